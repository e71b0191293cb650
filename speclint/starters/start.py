"""From options to the text of a starting file, which is proved sound before anybody sees it."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from speclint.errors import FileProblemsError, UsageError
from speclint.files import FileText
from speclint.models.setups import Entry
from speclint.rulesets.model import FlatClass
from speclint.spelling import known_words
from speclint.starters.garage import garage_text
from speclint.starters.inspection import inspection_text
from speclint.starters.motor import motor_text
from speclint.starters.options import TAKEN, StarterOptions
from speclint.starters.ruleset import ruleset_text
from speclint.starters.setup import setup_text
from speclint.workspace.entries import ResolvedEntry
from speclint.workspace.loaded import load
from speclint.workspace.overrides import NamedRuleset, is_file_name
from speclint.workspace.ruleset_index import problems_error
from speclint.workspace.workspace import Workspace

_OPTIONS: Final = {"class_id": "--class", "based_on": "--based-on"}


def start(
    kind: str,
    options: StarterOptions,
    opened: Callable[[str], Workspace],
    modeline: str = "",
    file: str = "new.yaml",
) -> str:
    """The text of a starting file.

    Args:
        kind: one of `options.KINDS`.
        options: what it is to say already.
        opened: opens the repository around the new file, for a reference to a ruleset or ""; it is asked only where an
            option names one.
        modeline: the way from the file to its schema, for editors; "" where there is none.
        file: the name of the new file, from which an inspection names setups.

    Raises:
        FileProblemsError: the ruleset has problems.
        UsageError: an option does not go with the kind, names a ruleset or class that is not there, or cannot stand in a
            file.
    """
    unfit = [
        name for name in sorted(set().union(*TAKEN.values())) if getattr(options, name) and name not in TAKEN[kind]
    ]
    if unfit:
        goes = " or ".join(f"start {fitting_kind}" for fitting_kind, taken in TAKEN.items() if unfit[0] in taken)
        raise UsageError(f"{option(unfit[0])} goes with {goes}, not with start {kind}")
    if kind == "garage":
        text = garage_text(options, modeline)
    elif kind == "inspection":
        workspace = opened(options.ruleset)
        asked_ruleset = _asked(workspace) if options.ruleset else None
        text = inspection_text(options, workspace, asked_ruleset, file, modeline)
    elif kind == "ruleset":
        text = ruleset_text(options, _base(options, opened), modeline)
    else:
        builder = setup_text if kind == "setup" else motor_text
        flat = _class(options, opened)
        if flat is not None and is_file_name(options.ruleset):
            options = replace(options, ruleset=_id_of_file(options.ruleset, flat, opened))
        text = builder(options, flat, modeline)
    problems = load(FileText(f"the new {kind}", text)).problems
    if problems:
        raise UsageError(f"this cannot be written: {problems[0].message}")
    return text


def option(option_name: str) -> str:
    """The spelling of an option on the command line."""
    return _OPTIONS.get(option_name, f"--{option_name}")


def _class(options: StarterOptions, opened: Callable[[str], Workspace]) -> FlatClass | None:
    """The class that a setup or a motor is for."""
    if not options.ruleset:
        if options.class_id:
            raise UsageError("--class needs --ruleset beside it: the class is one of that ruleset's")
        return None
    workspace = opened(options.ruleset)
    ruleset = _asked(workspace)
    if not options.class_id:
        classes = ", ".join(ruleset.classes)
        raise UsageError(f"--ruleset needs --class beside it; the classes of {ruleset.name} are {classes}")
    entry = workspace.resolved(Entry((), ruleset.id, ruleset.version, options.class_id, options.day, {}), None)
    if isinstance(entry, ResolvedEntry):
        return entry.book.flat
    if entry.why.file:
        raise problems_error(entry.why.message, workspace.causes(entry.why), entry.why.file)
    hint = "" if options.on is not None or entry.why.problem != "not-in-force" else "; --on gives another day"
    raise UsageError(f"{entry.why.message}{hint}")


def _asked(workspace: Workspace) -> NamedRuleset:
    """The ruleset that an option names."""
    ruleset = workspace.ruleset
    if not isinstance(ruleset, NamedRuleset):
        raise FileProblemsError(
            ruleset.reason if ruleset is not None else "",
            tuple(f"{problem.place}: {problem.message}" for problem in workspace.refusal),
        )
    return ruleset


def _id_of_file(file: str, flat: FlatClass, opened: Callable[[str], Workspace]) -> str:
    """The id of a ruleset that is named by its file, which an entry can be judged by only where it is found."""
    rulesets = opened("").index
    if flat.ruleset.version not in rulesets.library.versions(flat.ruleset.id):
        raise UsageError(
            f"{file} is not in a folder `rulesets` beside the new file or above it, so no check would find it: copy it there"
        )
    return flat.ruleset.id


def _base(options: StarterOptions, opened: Callable[[str], Workspace]) -> FlatClass | None:
    """The class of another ruleset that a new ruleset changes first."""
    if not options.based_on:
        return None
    rulesets = opened("").index
    id_, _, version = options.based_on.partition("@")
    versions = [ruleset for ruleset in rulesets.rulesets if ruleset.id == id_ and version in ("", ruleset.version)]
    if not versions:
        names = [ruleset.name for ruleset in rulesets.rulesets]
        rulesets.refuse_broken(id_)
        raise UsageError(f"there is no ruleset {options.based_on}{known_words(options.based_on, names)}")
    if id_ == (options.id or "our-club"):
        raise UsageError(f"a ruleset cannot build on itself: give the new one an --id of its own, other than {id_}")
    newest = max(
        versions,
        key=lambda ruleset: (options.day in ruleset.in_force, ruleset.in_force.start or options.day, ruleset.version),
    )
    classes = rulesets.library.class_ids(newest)
    return rulesets.class_of(newest, options.class_id or classes[0])
