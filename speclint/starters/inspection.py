"""The starting file of an inspection: the cars that are entered, and under each what its rules want read and looked at."""

import posixpath
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final, NamedTuple

from speclint.edits.spelled import key, scalar
from speclint.errors import UsageError
from speclint.forms.bodies import LOOKS_PER
from speclint.models.inspections import Inspection
from speclint.models.setups import Entry, Setup, setup_of
from speclint.places import Path
from speclint.quantities.keys import BENCH_DATE, keys_behind
from speclint.quantities.model import Home, Quantity
from speclint.quantities.registry import quantity
from speclint.rules.rulebook import Rulebook, rulebook
from speclint.rules.wording import asked, rule_title
from speclint.rulesets.model import Rule, Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.starters.draft import heading
from speclint.starters.options import StarterOptions
from speclint.starters.required_keys import read_so, run_keys
from speclint.starters.template_keys import leaves
from speclint.workspace.overrides import NamedRuleset
from speclint.workspace.ruleset_index import BUNDLED, problems_error
from speclint.workspace.workspace import Workspace

_HEAD: Final = (
    "What officials measure and look at on a race day. `speclint check` with the path of this file judges it: what they read"
    " goes before what a racer declares.",
    "A key with nothing behind its colon is not read: what the setup declares stands. A reading is a number, taken with the"
    " instrument that the rule names, or {value: NUMBER, instrument: NAME} with another one of the ruleset's.",
)
_FORM: Final = (("number", ""), ("class", ""), ("readings", ""), ("looked_at", ""), ("ruling", "passed or failed"))
_REMARK_AT: Final = 34
"""The column at which a remark stands, where its key leaves room."""


def inspection_text(
    options: StarterOptions, workspace: Workspace, asked_ruleset: NamedRuleset | None, file: str, modeline: str
) -> str:
    """The text of an inspection.

    Args:
        options: the day, a class if only one is inspected, and the event's name.
        workspace: the repository around the new file.
        asked_ruleset: the ruleset that is asked for; None for the only one there is.
        file: the new file's name, from which setups are named.
        modeline: the way to its schema, "" where there is none.

    Raises:
        FileProblemsError: the ruleset has problems.
        UsageError: no ruleset is named where several could be meant, or it is not in force, or has no such class.
    """
    ruleset = _ruleset(options, workspace, asked_ruleset)
    lines = [
        *heading(modeline, *_HEAD),
        "format: inspection/1",
        f"event:{_written(options.name)}",
        f"on: {options.day}",
        f"ruleset: {ruleset.name}",
        f"digest: {workspace.index.library.digest(ruleset)}",
        *([f"venue:{_written(options.venue)}"] if options.venue else []),
        *([f"track:{_written(options.track)}"] if options.track else []),
        _line("officials:", "a list: [NAME, NAME]"),
        "cars:",
    ]
    told_classes: set[str] = set()
    cars = [*_entered(options, ruleset, workspace, file)]
    for setup, entry in cars:
        book = rulebook(workspace.index.class_of(ruleset, entry.class_id), options.day)
        lines += _car(setup, entry, book, file, is_told=entry.class_id not in told_classes)
        told_classes.add(entry.class_id)
    if not cars:
        lines += [
            f"  # {'- ' if i == 0 else '  '}{name}:{f'  # {remark}' if remark else ''}"
            for i, (name, remark) in enumerate(_FORM)
        ]
    return "\n".join(lines) + "\n"


class Wanted(NamedTuple):
    """What the rules of a class want of officials: the keys of readings, and the rules to look at with what they ask."""

    book: Rulebook
    readings: frozenset[Path]
    looks: dict[str, str]


def wanted(workspace: Workspace, inspection: Inspection, class_id: str) -> Wanted | NotFound:
    """What the rules of a class want on the day of an inspection."""
    ruleset = workspace.index.ruleset(inspection.ruleset, inspection.version, inspection.on, None)
    flat = ruleset if isinstance(ruleset, NotFound) else workspace.index.library.flat(ruleset, class_id)
    if isinstance(flat, NotFound):
        return flat
    book = rulebook(flat, inspection.on)
    return Wanted(
        book,
        frozenset(path for path, _ in _readings(book)),
        {rule.id: asked_of(rule) for rule in _seen_rules(book)},
    )


def _seen_rules(book: Rulebook) -> list[Rule]:
    return [rule for rule in by_how_often(book.rules) if not is_measured(rule) and not rule.withdrawn]


def by_how_often(rules: Iterable[Rule]) -> list[Rule]:
    """Rules in the order of an inspector's sheet: what is looked at once a run before what is once a season."""
    return sorted(rules, key=lambda rule: list(LOOKS_PER).index(rule.per) + 1 if rule.per else 0)


def _ruleset(options: StarterOptions, workspace: Workspace, asked_ruleset: NamedRuleset | None) -> Ruleset:
    index = workspace.index
    id_ = _only_one(options, workspace) if asked_ruleset is None else asked_ruleset.id
    ruleset = index.ruleset(id_, None if asked_ruleset is None else asked_ruleset.version, options.day, None)
    if isinstance(ruleset, NotFound):
        if ruleset.file:
            raise problems_error(ruleset.message, workspace.causes(ruleset), ruleset.file)
        hint = "" if options.on is not None or ruleset.problem != "not-in-force" else "; --on gives another day"
        raise UsageError(f"{ruleset.message}{hint}")
    if options.class_id:
        index.class_of(ruleset, options.class_id)
    return ruleset


def _only_one(options: StarterOptions, workspace: Workspace) -> str:
    """The id of the one ruleset of the user's own that nothing else builds on and that is in force."""
    users = [ruleset for ruleset in workspace.index.rulesets if not ruleset.place.file.startswith(BUNDLED)]
    bases = {ruleset.based_on[0] for ruleset in users if ruleset.based_on is not None}
    meant = {ruleset.id for ruleset in users if ruleset.id not in bases and options.day in ruleset.in_force}
    if len(meant) == 1:
        return meant.pop()
    ids = sorted({ruleset.id for ruleset in users}) or workspace.index.library.ids
    raise UsageError(f"say by whose rules with --ruleset: {', '.join(ids)}")


def _entered(
    options: StarterOptions, ruleset: Ruleset, workspace: Workspace, file: str
) -> Iterator[tuple[Setup, Entry]]:
    """The setups that are entered for the day, by class and number."""
    classes = workspace.index.library.class_ids(ruleset)
    entered: list[tuple[Setup, Entry]] = []
    for text in workspace.setups_around(file):
        loaded = workspace.files.take(text)
        setup = setup_of(loaded.sound) if loaded.format == "setup/1" and loaded.sound is not None else None
        for entry in () if setup is None else setup.entries:
            is_meant = (entry.ruleset, entry.on) == (ruleset.id, options.day) and entry.class_id in classes
            if setup is not None and is_meant and options.class_id in ("", entry.class_id):
                entered.append((setup, entry))
    yield from sorted(entered, key=lambda pair: (pair[1].class_id, *_by_number(pair[1]), pair[0].document.file))


def _by_number(entry: Entry) -> tuple[int, str]:
    number = str(entry.keys.get("number", ""))
    return (int(number), "") if number.isdecimal() else (10**9, number)


def _car(setup: Setup, entry: Entry, book: Rulebook, file: str, *, is_told: bool) -> Iterator[str]:
    number = entry.keys.get("number")
    way = posixpath.relpath(setup.document.file, posixpath.dirname(file) or ".")
    identity = f"setup: {scalar(way, in_flow=False)}" if number is None else f"number: {scalar(number, in_flow=False)}"
    yield _line(f"  - {identity}", setup.name)
    yield f"    class: {entry.class_id}"
    yield _line("    at:", "the time of day, as in 10:40" if is_told else "")
    yield "    by:"
    readings = [*_readings(book)]
    if readings:
        yield "    readings:"
        yield from _sections(readings, book.on.isoformat(), is_told=is_told)
    seen = _seen_rules(book)
    if seen:
        yield _line("    looked_at:", "passed or failed" if is_told else "")
        for rule in seen:
            yield _line(f"      {key(rule.id)}:", asked_of(rule) if is_told else "")
    yield _line("    ruling:", "passed or failed" if is_told else "")
    yield "    note:"


def is_measured(rule: Rule) -> bool:
    """Whether officials read a number for it; all else they look at."""
    limited = quantity(rule.quantity) if rule.quantity is not None and rule.limit is not None else None
    return limited is not None and limited.numeric


def asked_of(rule: Rule) -> str:
    """What a rule asks, with its clause, beside the key that says of what."""
    limited = quantity(rule.quantity) if rule.quantity is not None else None
    is_said_by_key = limited is None or (limited.key is not None and limited.numeric)
    title = "" if is_said_by_key else f"{rule_title(rule)}: "
    often = f", {LOOKS_PER[rule.per]}" if rule.per else ""
    return f"{title}{asked(rule)}{often}{rule.cite_behind}"


def _readings(book: Rulebook) -> Iterator[tuple[Path, str]]:
    """What the rules want read: each key, under the sections of a setup, and what is asked of it."""
    wanted: dict[Path, str] = {}
    for rule in book.rules:
        limited = quantity(rule.quantity) if rule.quantity is not None and is_measured(rule) else None
        if limited is None:
            continue
        so = "" if rule.test is None else read_so(rule.test, limited)
        ask = ", ".join(filter(None, (asked_of(rule), rule.instrument, so)))
        made_so = () if rule.test is None else run_keys(rule.test, limited)
        of_run = (("motor", "bench_runs", 0, *path) for path in made_so if path != BENCH_DATE.path)
        for path in (*reading_paths(limited), *of_run):
            # What is asked stands beside the first key that the rule needs.
            wanted[path] = "; ".join(filter(None, (wanted.get(path, ""), ask)))
            ask = ""
    order = {path: i for i, path in enumerate(leaves("inspection", ("cars", 0, "readings")))}
    yield from sorted(wanted.items(), key=lambda item: order.get(("cars", 0, "readings", *item[0]), len(order)))


def reading_paths(limited: Quantity) -> Iterator[Path]:
    """Where the keys of a quantity stand among an official's readings."""
    if limited.declared_by and limited.inputs:
        parts = (quantity(part) for part in limited.inputs if isinstance(part, str))
        yield from (path for part in parts if part is not None for path in reading_paths(part))
        return
    prefix, _, open_key = limited.name.partition(".")
    if prefix == "extra" and open_key:
        yield "extra", open_key
    homes: dict[Home, Path] = {Home.SETUP: (), Home.MOTOR: ("motor",), Home.BENCH: ("motor", "bench_runs", 0)}
    yield from (
        (*homes[found_key.home], *found_key.path)
        for found_key in keys_behind(limited)
        if found_key.home in homes and found_key != BENCH_DATE
    )


def _sections(readings: Sequence[tuple[Path, str]], on: str, *, is_told: bool) -> Iterator[str]:
    """The keys under their sections; a bench run begins with its day."""
    shown: Path = ()
    for path, ask in readings:
        parent = path[:-1]
        shared = 0
        while shared < min(len(parent), len(shown)) and parent[shared] == shown[shared]:
            shared += 1
        for depth in range(shared, len(parent)):
            indent = "  " * (depth + 3)
            yield f"{indent}- date: {on}" if parent[depth] == 0 else f"{indent}{key(str(parent[depth]))}:"
        yield _line(f"{'  ' * (len(path) + 2)}{key(str(path[-1]))}:", ask if is_told else "")
        shown = parent


def _line(text: str, remark: str) -> str:
    return f"{text.ljust(_REMARK_AT)} # {remark}" if remark else text


def _written(value: Any) -> str:
    return f" {scalar(value, in_flow=False)}" if value else ""
