"""The functions of the public interface: they read files as the commands do, and return values in place of printing."""

import os
from collections.abc import Iterable
from datetime import date
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from speclint.api.frozen import frozen
from speclint.api.report import Report
from speclint.api.ruleset import Rule, Ruleset, RulesetClass
from speclint.check.pipeline import check, hand_on
from speclint.errors import FileProblemsError, UsageError
from speclint.files import Folder, Found
from speclint.forms.bodies import PER_KEY, TERM_KEYS
from speclint.forms.registry import ASKING_KEYS
from speclint.moments import days_from
from speclint.reports.check.fields import ENTRY, TAIL
from speclint.reports.places import WHERE
from speclint.rules.rulebook import rulebook
from speclint.rules.wording import asked
from speclint.rulesets.not_found import NotFound
from speclint.workspace.loaded import Files
from speclint.workspace.overrides import Overrides, UnsoundRuleset
from speclint.workspace.workspace import Workspace

if TYPE_CHECKING:
    from speclint.rulesets.model import Rule as StatedRule

_OF_THE_COMMAND = ("summary",)
"""What a program counts for itself."""

Paths = str | os.PathLike[str] | Iterable[str | os.PathLike[str]]


def check_paths(
    paths: Paths = ".",
    *,
    ruleset: str | None = None,
    class_id: str | None = None,
    on: date | None = None,
    known_on: date | None = None,
    from_day: date | None = None,
    coming_days: int | None = None,
) -> Report:
    """Everything there is to say of the setups, motors, garages and rulesets under one path or several.

    >>> import speclint
    >>> report = speclint.check_paths("examples/cars/car-14-one-tooth-too-tall.yaml")
    >>> entry = report.entries[0]
    >>> entry.verdict, entry.ruleset, entry.class_id, entry.on.isoformat()
    ('illegal', 'harbour-city', 'stock-17', '2026-03-14')
    >>> [(check.rule, round(check.margin, 4)) for check in entry.checks if check.verdict == "illegal"]
    [('final-drive', -0.0545)]
    >>> report.failed
    True

    Args:
        paths: files and folders, from the current folder; in folders, what says `format:` counts.
        ruleset: the ruleset to judge by in place of those of the entries: an id, `id@version` or a file.
        class_id: the class to judge in, in place of those of the entries.
        on: the day to judge for, in place of those of the entries.
        known_on: a day; what was published after it is left out.
        from_day: entries for days before it are left unjudged.
        coming_days: `coming` has what changes for the cars in so many days from `from_day`, or from today.

    Raises:
        SpeclintError: the ruleset, the class or the day is one that no entry can be judged by. Whatever is wrong with a
            file is in the report.
    """
    folder = Folder(os.getcwd())
    listing = folder.find(_names(paths))
    overrides = Overrides(
        today=on or date.today(),
        ruleset=None if ruleset is None else folder.shown(ruleset),
        class_id=class_id,
        on=on,
        known_on=known_on,
        from_day=from_day,
        coming=None if coming_days is None else days_from(from_day or date.today(), coming_days),
    )
    entries: list[dict[str, Any]] = []
    results = check(listing.files, folder, overrides, named=listing.named)
    tally = hand_on(results, lambda entry: entries.append(ENTRY.json(entry)))
    unread = _unread(listing)
    keys: dict[str, Any] = {field.key: field.value(tally) for field in TAIL if field.key not in _OF_THE_COMMAND}
    keys["not_judged"] = [*keys["not_judged"], *unread]
    keys["entries"] = entries
    keys["failed"] = tally.failed(strict=False) or bool(unread)
    keys["failed_strictly"] = tally.failed(strict=True) or bool(unread)
    return frozen(Report, keys)


def load_ruleset(reference: str | os.PathLike[str], *, on: date | None = None) -> Ruleset:
    """A ruleset, with what its classes ask on a day.

    >>> import speclint
    >>> from datetime import date
    >>> club = speclint.load_ruleset("rulesets/harbour-city-2026.2.yaml", on=date(2026, 3, 14))
    >>> club.id, club.version
    ('harbour-city', '2026.2')
    >>> [rule.asks for rule in club.classes["stock-17"].rules if rule.quantity == "final_drive_ratio"]
    ['at least 4.2']

    Args:
        reference: a file, or the id of a ruleset in a folder `rulesets` here or above, or `id@version`.
        on: the day, today unless it is given.

    Raises:
        SpeclintError: there is no such ruleset, it is not in force on the day, or it has problems.
    """
    folder = Folder(os.getcwd())
    day = on or date.today()
    overrides = Overrides(today=day, on=day, ruleset=folder.shown(os.fspath(reference)))
    workspace = Workspace(Files(folder), overrides, near=("a file here",))
    if workspace.ruleset is None or isinstance(workspace.ruleset, UnsoundRuleset):
        lines = tuple(f"{problem.place}: {problem.message}" for problem in workspace.refusal)
        raise FileProblemsError(f"the ruleset {os.fspath(reference)} has problems: {'; '.join(lines)}", lines)
    index = workspace.index
    stated = index.ruleset(workspace.ruleset.id, workspace.ruleset.version, day, None)
    if isinstance(stated, NotFound):
        raise UsageError(stated.message)
    classes: dict[str, RulesetClass] = {}
    for class_id in index.library.class_ids(stated):
        flat = index.library.flat(stated, class_id)
        if not isinstance(flat, NotFound):
            rules = tuple(_rule(rule) for rule in rulebook(flat, day).rules)
            classes[class_id] = RulesetClass(id=class_id, title=flat.title, rules=rules)
    return Ruleset(
        id=stated.id,
        version=stated.version,
        title=stated.title,
        first_day=stated.in_force.start,
        last_day=stated.in_force.end,
        digest=index.library.digest(stated),
        on=day,
        classes=MappingProxyType(classes),
    )


def _names(paths: Paths) -> tuple[str, ...]:
    if isinstance(paths, str | os.PathLike):
        return (os.fspath(paths),)
    return tuple(os.fspath(path) for path in paths)


def _unread(listing: Found) -> list[dict[str, str]]:
    """What was asked for by name and is not in the report, as mappings of `NotJudged`."""
    troubles = (trouble.partition(": ") for trouble in listing.troubles)
    return [
        *({"file": file, "reason": reason} for file, _, reason in troubles),
        *({"file": file, "reason": "it says no `format:`"} for file in listing.passed_over),
    ]


def _rule(rule: "StatedRule") -> Rule:
    return frozen(
        Rule,
        {
            "id": rule.id,
            "quantity": rule.quantity,
            "asks": asked(rule),
            "limit": {key: rule.data[key] for key in (*ASKING_KEYS, *TERM_KEYS, PER_KEY) if key in rule.data},
            "cite": rule.cite,
            "because": rule.because,
            "measure": rule.measure,
            "penalty": rule.penalty,
            "ruleset": rule.ruleset,
            "where": WHERE.json(rule.place),
        },
    )
