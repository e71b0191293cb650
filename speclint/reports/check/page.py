"""The `html` report of a check: a slip for each entry with its motor's life, and before several an index."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any, Final, NamedTuple

from speclint.findings import EntryResult, Findings
from speclint.moments import day_text
from speclint.pages.render import page
from speclint.plain import clipped
from speclint.reports import LAST_WORD, Order, Paper
from speclint.reports.check.deciding import deciding_text
from speclint.reports.check.gathered import Gathered
from speclint.reports.check.motor_life import MotorLife, life_of
from speclint.reports.check.slip import Slip, slip_of
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import title

_TITLE_SIGNS: Final = 70
"""As many as fit on the tab of a browser."""

_WORST_FIRST: Final = (Verdict.ILLEGAL, Verdict.NOT_SHOWN, Verdict.LEGAL)


class Sheet(NamedTuple):
    """An entry's slip with what goes with it."""

    anchor: str
    slip: Slip
    life: MotorLife | None
    whole_car: tuple[str, ...]
    advice: tuple[str, ...]


class Mark(NamedTuple):
    """A cell of the matrix: its sign, its word, and what colours it."""

    sign: str
    word: str
    kind: str


class FieldCar(NamedTuple):
    """A row of the matrix."""

    anchor: str
    name: str
    verdict: str
    decided_by: str
    marks: tuple[Mark, ...]


class FieldGroup(NamedTuple):
    """The cars of one class on one day."""

    title: str
    rules: tuple[str, ...]
    cars: tuple[FieldCar, ...]


class FieldPart(NamedTuple):
    """A list beside the matrix: problems, and what could not be judged."""

    title: str
    texts: tuple[str, ...]


class Field(NamedTuple):
    """The index of a field."""

    facts: tuple[str, ...]
    tally: str
    groups: tuple[FieldGroup, ...]
    parts: tuple[FieldPart, ...]


def render(findings: Findings, _paper: Paper) -> str:
    """The page, the same on any paper."""
    return page("check.html", **content_of(findings))


def content_of(findings: Findings) -> dict[str, Any]:
    """What the page says, by the names that its templates call it."""
    entries = sorted(findings.entries, key=lambda result: (*_group_key(result), _WORST_FIRST.index(result.verdict)))
    anchored = [(f"entry-{number}", result) for number, result in enumerate(entries, 1)]
    parts = tuple(part for part in _parts(findings) if part.texts)
    return {
        "title": clipped(_title(entries), _TITLE_SIGNS),
        "field": None if len(entries) == 1 and not parts else _field(anchored, parts),
        "sheets": [_sheet(anchor, result, findings) for anchor, result in anchored],
        "last_word": LAST_WORD,
    }


def begin(order: Order) -> Gathered:
    """The report."""
    return Gathered(render, order)


def _title(entries: Sequence[EntryResult]) -> str:
    """What the page is about: a car, a race day, or several."""
    if len(entries) == 1:
        return f"{entries[0].name}, {day_text(entries[0].on)}"
    days = sorted({result.on for result in entries})
    titles = list(dict.fromkeys(result.flat.ruleset.title for result in entries))
    if not days:
        return "Nothing was judged"
    when = day_text(days[0]) if len(days) == 1 else f"{day_text(days[0])} to {day_text(days[-1])}"
    return f"{titles[0]}, {when}" if len(titles) == 1 else f"Field, {when}"


def _sheet(anchor: str, result: EntryResult, findings: Findings) -> Sheet:
    files = set(_files(result))
    of_car = [check for entry in findings.entries if entry.file == result.file for check in entry.checks]
    illegal = sum(1 for check in of_car if check.verdict is Verdict.ILLEGAL)
    for_all_entries = [
        remedy.message for car in findings.car_remedies if car.file == result.file for remedy in car.remedies
    ]
    return Sheet(
        anchor=anchor,
        slip=slip_of(result),
        life=life_of(result),
        whole_car=tuple(for_all_entries) if illegal > 1 and result.verdict is Verdict.ILLEGAL else (),
        advice=tuple(advice.message for advice in findings.advice if advice.place.file in files),
    )


def _files(result: EntryResult) -> Iterator[str]:
    """The files of the car."""
    yield result.file
    if result.facts.car.motor is not None:
        yield result.facts.car.motor.document.file


def _field(anchored: Sequence[tuple[str, EntryResult]], parts: tuple[FieldPart, ...]) -> Field:
    entries = [result for _, result in anchored]
    return Field(
        facts=tuple(
            dict.fromkeys(f"{result.flat.ruleset.title}, version {result.flat.ruleset.version}" for result in entries)
        ),
        tally=tally(entries),
        groups=tuple(
            _group(tuple(members))
            for _, members in groupby(anchored, key=lambda anchor_and_result: _group_key(anchor_and_result[1]))
        ),
        parts=parts,
    )


def _group_key(result: EntryResult) -> tuple[str, str, str, str]:
    ruleset = result.flat.ruleset
    return result.on.isoformat(), ruleset.id, ruleset.version, result.flat.id


def _group(members: Sequence[tuple[str, EntryResult]]) -> FieldGroup:
    first = members[0][1]
    rules: dict[str, str] = {}
    for _, result in members:
        rules |= {check.rule.id: title(check) for check in result.checks if check.rule.id not in rules}
    return FieldGroup(
        title=f"{first.flat.title}, {day_text(first.on)}, {first.flat.ruleset.title}",
        rules=tuple(rules.values()),
        cars=tuple(
            FieldCar(anchor, result.name, result.verdict.value, deciding_text(result), tuple(_marks(result, rules)))
            for anchor, result in members
        ),
    )


def _marks(result: EntryResult, rules: Iterable[str]) -> Iterator[Mark]:
    checks = {check.rule.id: check for check in result.checks}
    for rule_id in rules:
        check = checks.get(rule_id)
        yield _NOT_ASKED if check is None else _mark(check)


def _mark(check: Check) -> Mark:
    verdict = check.verdict
    if verdict is Verdict.LEGAL and check.close_call:
        return Mark("~", "legal, a close call", verdict.value)
    if verdict is Verdict.LEGAL and any(later.verdict is Verdict.ILLEGAL for later in check.later):
        return Mark("›", "legal, but not later", verdict.value)
    return Mark(_SIGNS[verdict], verdict.value.replace("-", " "), verdict.value)


_SIGNS: Final = {
    Verdict.LEGAL: "·",
    Verdict.ILLEGAL: "x",
    Verdict.NOT_SHOWN: "?",
    Verdict.TO_INSPECT: "i",
    Verdict.NOT_APPLICABLE: "",
}

_NOT_ASKED: Final = Mark("", "not asked", Verdict.NOT_APPLICABLE.value)


def tally(entries: Sequence[EntryResult]) -> str:
    """How many entries have which verdict, the worst first."""
    counts = {verdict: sum(1 for result in entries if result.verdict is verdict) for verdict in _WORST_FIRST}
    text = ", ".join(f"{count} {verdict.value.replace('-', ' ')}" for verdict, count in counts.items() if count)
    return text or "nothing judged"


def _parts(findings: Findings) -> Iterator[FieldPart]:
    yield FieldPart("Problems in files", tuple(f"{problem.place}: {problem.message}" for problem in findings.problems))
    yield FieldPart("Not judged", tuple(f"{setup.file}: {setup.reason}" for setup in findings.not_judged))
    yield FieldPart(
        "Inspections that no path named",
        tuple(f"{inspection.file}: {inspection.reason}" for inspection in findings.set_aside),
    )
    yield FieldPart("Without an entry", tuple(f"{setup.file}: {setup.reason}" for setup in findings.not_entered))
    entered = {file for result in findings.entries for file in _files(result)}
    yield FieldPart(
        "Advice, which no rule asks for",
        tuple(f"{advice.place}: {advice.message}" for advice in findings.advice if advice.place.file not in entered),
    )
