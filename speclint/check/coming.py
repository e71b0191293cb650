"""What comes for a car in the days that are asked about: changes of its rules, stale readings and calibrations, entries."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from speclint.advice.instruments import ends_of_calibrations
from speclint.findings import ComingChange, ComingSort, EntryResult
from speclint.models.cars import Car
from speclint.models.setups import Entry
from speclint.moments import Period, day_after, day_text
from speclint.remedies.judged_entry import JudgedEntry
from speclint.rules.checks import Check, LaterRule, Verdict
from speclint.rules.judge import entry_facts
from speclint.rules.wording import later_text, message, title
from speclint.workspace.cars import Assembled
from speclint.workspace.entries import UnresolvedEntry
from speclint.workspace.workspace import Workspace


class _Turn(NamedTuple):
    """A check that is not as it was the day before, or whose rule is another one; the names are those of its rules."""

    sort: ComingSort
    text: str
    verdict: Verdict | None
    rule_names: tuple[str, ...]


def coming_for_car(
    workspace: Workspace, assembled: Assembled, entries: Iterable[Entry], days: Period
) -> Iterator[ComingChange]:
    """What changes on the days after the first, in each class that the car is or was entered in, as the car is now.

    A class is judged anew on every day, since a reading or a waiver may end on any: work grows with the days.

    Args:
        workspace: finds the rules of a class on a day.
        assembled: the car.
        entries: its entries, whatever their days.
        days: the first and the last day that are asked about.
    """
    car = assembled.car
    told: dict[ComingChange, ComingChange] = {}
    nowhere = car.setup.document.place(())
    for entry in _of_each_class(workspace, entries):
        for change in _in_class(workspace, car, entry, days):
            told.setdefault(change._replace(place=nowhere), change)
    yield from told.values()
    for name, day, place in ends_of_calibrations(car, assembled.garage):
        if day in days:
            text = f"the calibration of the {name} is a year old: hold it against something whose value is sure"
            yield ComingChange(
                day, car.setup.document.file, car.setup.name, ComingSort.CALIBRATION, "", text, None, place
            )


def entry_to_come(result: EntryResult) -> ComingChange:
    """An entry as one thing that comes, with its verdict."""
    flat = result.flat
    return ComingChange(
        result.on,
        result.file,
        result.name,
        ComingSort.ENTRY,
        flat.label,
        f"entered in {flat.title}",
        result.verdict,
        result.place,
    )


def _of_each_class(workspace: Workspace, entries: Iterable[Entry]) -> Iterable[Entry]:
    """One entry for each class and each set of further keys; what follows a version counts, unless one is asked for."""
    by_question: dict[tuple[object, ...], Entry] = {}
    for entry in entries:
        version = entry.version if workspace.ruleset is not None else None
        keys = frozenset((key, repr(value)) for key, value in entry.keys.items() if key not in ("on", "ruleset"))
        question = entry.ruleset, version, entry.class_id, keys
        by_question.setdefault(question, entry._replace(version=version))
    return by_question.values()


def _in_class(workspace: Workspace, car: Car, entry: Entry, days: Period) -> Iterator[ComingChange]:
    file, name, place = car.setup.document.file, car.setup.name, car.setup.document.place(entry.path)
    book = f"{entry.ruleset}/{entry.class_id}"
    before: JudgedEntry | UnresolvedEntry | None = None
    for day in _each(days):
        resolved = workspace.resolved(entry._replace(on=day), None)
        if isinstance(resolved, UnresolvedEntry):
            if isinstance(before, JudgedEntry):
                yield ComingChange(day, file, name, ComingSort.RULE, book, resolved.why.message, None, place)
            before = resolved
            continue
        facts = entry_facts(car, resolved.entry, resolved.book.flat)
        judged = JudgedEntry(resolved.book, facts, place)
        if isinstance(before, JudgedEntry):
            for turn in _turns(before.checks, judged.checks, day):
                yield ComingChange(day, file, name, turn.sort, book, turn.text, turn.verdict, place, turn.rule_names)
        elif before is not None:
            ruleset = judged.book.flat.ruleset
            verdict, _ = judged.verdict()
            text = f"{ruleset.title} {ruleset.version} comes into force"
            yield ComingChange(day, file, name, ComingSort.RULE, book, text, verdict, place)
        before = judged


def _each(days: Period) -> Iterator[date]:
    if days.start is None or days.end is None:
        return
    day = days.start
    while day < days.end:
        yield day
        day = day_after(day)
    yield day


def _turns(before: Sequence[Check], after: Sequence[Check], day: date) -> Iterator[_Turn]:
    """What was announced for the day, and the checks that turn out otherwise without it."""
    announced = [(check, later) for check in before for later in check.later if later.on == day]
    for check, later in announced:
        verdict = Verdict.NOT_APPLICABLE if later.ends else later.verdict
        text = later_text(later).removeprefix(f"from {day_text(day)} ")
        turned = verdict if verdict is not check.verdict else None
        yield _Turn(_sort(check, later), f"{title(later.check)}: {text}", turned, _names(check, later.check))
    told = {rule.id for check, later in announced for rule in (check.rule, later.rule)}
    checks = {check.rule.id: check for check in before}
    for check in after:
        old = checks.get(check.rule.id)
        if old is not None and old.verdict is not check.verdict and check.rule.id not in told:
            sort = ComingSort.WAIVER if old.waived or check.waived else ComingSort.READING
            ended = f"; it was {old.waived}" if old.waived else ""
            yield _Turn(sort, f"{message(check)}{ended}", check.verdict, _names(check))


def _names(*checks: Check) -> tuple[str, ...]:
    names = ((check.rule.id, title(check), check.rule.quantity or "") for check in checks)
    return tuple(dict.fromkeys(name for of_check in names for name in of_check if name))


def _sort(check: Check, later: LaterRule) -> ComingSort:
    is_same = later.rule.data is check.rule.data and not later.ends
    return (
        ComingSort.LIST
        if is_same and later.rule.lists and check.verdict is not Verdict.NOT_APPLICABLE
        else ComingSort.RULE
    )
