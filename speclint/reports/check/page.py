"""The `html` report of a check: a slip for each entry with its motor's life, and before several an index."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import groupby
from sys import intern
from typing import Any, Final, NamedTuple

from speclint.findings import ComingChange, EntryResult, Tally
from speclint.moments import Period, day_text
from speclint.pages.render import page, page_parts
from speclint.plain import clipped
from speclint.reports import LAST_WORD, Order, Paper
from speclint.reports.check.coming_rows import coming_heading, coming_rows
from speclint.reports.check.deciding import deciding_text
from speclint.reports.check.motor_life import MotorLife, life_of
from speclint.reports.check.slip import Slip, slip_of
from speclint.rules.checks import WORST_FIRST, Check, Verdict
from speclint.rules.wording import title

_TITLE_SIGNS: Final = 70
"""As many as fit on the tab of a browser."""


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


class FieldComing(NamedTuple):
    """What changes on the days to come that are asked about: day, cars, what, and the verdict or None."""

    title: str
    rows: tuple[tuple[str, str, str, str | None], ...]


class Field(NamedTuple):
    """The index of a field."""

    facts: tuple[str, ...]
    tally: str
    groups: tuple[FieldGroup, ...]
    parts: tuple[FieldPart, ...]
    coming: "FieldComing | None"


class _Row(NamedTuple):
    """What is kept of an entry until all are there: what the index says, and what its sheet is put together by.

    Attributes:
        group: its day, ruleset, version and class, by which the index is divided.
        rank: of its verdict, the worst first.
        number: where its sheet lies among those that were put aside.
        ruleset: title of the ruleset.
        version: version of the ruleset.
        files: the files of the car, to which advice belongs.
        marks: by rule, in the order of the class.
    """

    group: tuple[str, str, str, str]
    rank: int
    number: int
    on: date
    name: str
    ruleset: str
    version: str
    class_title: str
    verdict: Verdict
    decided_by: str
    files: tuple[str, ...]
    marks: tuple[tuple[str, Mark], ...]


class _Extract(NamedTuple):
    """What the page needs of an entry; of its rules the titles of those that it is the first to have."""

    slip: Slip
    life: MotorLife | None
    row: _Row
    illegal: int
    titles: tuple[tuple[str, str], ...]


class CheckPage:
    """Puts the sheet of each entry aside as it comes; at the end all of them follow the index, the worst first."""

    def __init__(self, order: Order) -> None:
        self._coming = order.asked.coming
        self._sheets = order.spool()
        self._rows: list[_Row] = []
        self._extracted: set[str] = set()
        self._rules: dict[str, str] = {}
        self._shared: dict[tuple[Any, ...], Any] = {}
        self._illegal: Counter[str] = Counter()

    def extract(self, result: EntryResult) -> _Extract:
        """Its sheet, and what the index says of it."""
        checks = {_rule_name(result, check): check for check in result.checks}
        new = checks.keys() - self._extracted
        self._extracted |= new
        return _Extract(
            slip_of(result),
            life_of(result),
            _row(result),
            sum(1 for check in result.checks if check.verdict is Verdict.ILLEGAL),
            tuple((name, title(check)) for name, check in checks.items() if name in new),
        )

    def add(self, extract: _Extract) -> str:
        """Nothing yet."""
        row = extract.row
        self._sheets.put((extract.slip, extract.life))
        self._illegal[row.files[0]] += extract.illegal
        for name, rule_title in extract.titles:
            self._rules.setdefault(name, rule_title)
        # Most cars of a field have the same marks, in one of a few classes and days: these are kept once.
        group, marks = self._shared.setdefault(row.group, row.group), self._shared.setdefault(row.marks, row.marks)
        self._rows.append(row._replace(number=len(self._rows), group=group, marks=marks))
        return ""

    def end(self, tally: Tally) -> Iterator[str]:
        """The page."""
        yield from page_parts("check.html", **self.content(tally))

    def content(self, tally: Tally) -> dict[str, Any]:
        """What the page says, by the names that its templates call it."""
        self._rows.sort(key=lambda row: (*row.group, row.rank))
        parts = tuple(part for part in self._parts(tally) if part.texts)
        coming = None if self._coming is None else _coming(tally.coming, self._coming)
        is_slip_alone = len(self._rows) == 1 and not parts and coming is None
        return {
            "title": clipped(self._title(), _TITLE_SIGNS),
            "field": None if is_slip_alone else self._field(parts, coming),
            "sheets": self._sheets_with(tally),
            "last_word": LAST_WORD,
        }

    def _title(self) -> str:
        """What the page is about: a car, a race day, or several."""
        if len(self._rows) == 1:
            return f"{self._rows[0].name}, {day_text(self._rows[0].on)}"
        days = sorted({row.on for row in self._rows})
        titles = list(dict.fromkeys(row.ruleset for row in self._rows))
        if not days:
            return "Nothing was judged"
        when = day_text(days[0]) if len(days) == 1 else f"{day_text(days[0])} to {day_text(days[-1])}"
        return f"{titles[0]}, {when}" if len(titles) == 1 else f"Field, {when}"

    def _sheets_with(self, tally: Tally) -> Iterator[Sheet]:
        """The sheets in their order, each with what is known of its car now that all are judged."""
        whole_cars = {car.file: tuple(remedy.message for remedy in car.remedies) for car in tally.car_remedies}
        advice: dict[str, list[tuple[int, str]]] = {}
        for number, piece in enumerate(tally.advice):
            advice.setdefault(piece.place.file, []).append((number, piece.message))
        for number, row in enumerate(self._rows, 1):
            slip, life = self._sheets.get(row.number)
            needs_whole_car = self._illegal[row.files[0]] > 1 and row.verdict is Verdict.ILLEGAL
            of_car = sorted(piece for file in row.files for piece in advice.get(file, ()))
            yield Sheet(
                f"entry-{number}",
                slip,
                life,
                whole_cars.get(row.files[0], ()) if needs_whole_car else (),
                tuple(message for _, message in of_car),
            )

    def _field(self, parts: tuple[FieldPart, ...], coming: FieldComing | None) -> Field:
        numbered = ((f"entry-{number}", row) for number, row in enumerate(self._rows, 1))
        return Field(
            facts=tuple(dict.fromkeys(f"{row.ruleset}, version {row.version}" for row in self._rows)),
            tally=verdict_counts(row.verdict for row in self._rows),
            groups=tuple(
                self._group(tuple(members)) for _, members in groupby(numbered, key=lambda pair: pair[1].group)
            ),
            parts=parts,
            coming=coming,
        )

    def _group(self, members: Sequence[tuple[str, _Row]]) -> FieldGroup:
        first = members[0][1]
        rules = dict.fromkeys(rule for _, row in members for rule, _ in row.marks)
        return FieldGroup(
            title=f"{first.class_title}, {day_text(first.on)}, {first.ruleset}",
            rules=tuple(self._rules[rule] for rule in rules),
            cars=tuple(
                FieldCar(
                    anchor,
                    row.name,
                    row.verdict.value,
                    row.decided_by,
                    tuple(marks.get(rule, _NOT_ASKED) for rule in rules),
                )
                for anchor, row in members
                for marks in (dict(row.marks),)
            ),
        )

    def _parts(self, tally: Tally) -> Iterator[FieldPart]:
        yield FieldPart("Problems in files", tuple(f"{problem.place}: {problem.message}" for problem in tally.problems))
        yield FieldPart("Not judged", tuple(f"{setup.file}: {setup.reason}" for setup in tally.not_judged))
        yield FieldPart(
            "Inspections that no path named",
            tuple(f"{inspection.file}: {inspection.reason}" for inspection in tally.set_aside),
        )
        yield FieldPart("Without an entry", tuple(f"{setup.file}: {setup.reason}" for setup in tally.not_entered))
        entered = {file for row in self._rows for file in row.files}
        yield FieldPart(
            "Advice, which no rule asks for",
            tuple(f"{advice.place}: {advice.message}" for advice in tally.advice if advice.place.file not in entered),
        )


begin: Final = CheckPage


def render(findings: Tally, _paper: Paper) -> str:
    """The page of a run that is all at hand, the same on any paper."""
    return page("check.html", **content_of(findings))


def content_of(findings: Tally) -> dict[str, Any]:
    """What the page of a run says that is all at hand, by the names that its templates call it."""
    check_page = CheckPage(Order())
    for result in findings.entries:
        check_page.add(check_page.extract(result))
    return check_page.content(findings)


def _coming(changes: Sequence[ComingChange], days: Period) -> FieldComing:
    return FieldComing(
        coming_heading(days, has_changes=bool(changes)),
        tuple(
            (day_text(row.on), row.cars, row.text, None if row.verdict is None else row.verdict.value)
            for row in coming_rows(changes)
        ),
    )


def _rule_name(result: EntryResult, check: Check) -> str:
    return intern(f"{result.flat.ruleset.name}/{result.flat.id}/{check.rule.id}")


def _row(result: EntryResult) -> _Row:
    ruleset, motor = result.flat.ruleset, result.facts.car.motor
    motor_file = () if motor is None else (motor.document.file,)
    return _Row(
        (result.on.isoformat(), ruleset.id, ruleset.version, result.flat.id),
        WORST_FIRST.index(result.verdict),
        0,
        result.on,
        result.name,
        ruleset.title,
        ruleset.version,
        result.flat.title,
        result.verdict,
        deciding_text(result),
        tuple(dict.fromkeys((result.file, *motor_file))),
        tuple((_rule_name(result, check), _mark(check)) for check in result.checks),
    )


def _mark(check: Check) -> Mark:
    verdict = check.verdict
    if verdict is Verdict.LEGAL and check.close_call:
        return _CLOSE
    if verdict is Verdict.LEGAL and any(later.verdict is Verdict.ILLEGAL for later in check.later):
        return _NOT_LATER
    return _MARKS[verdict]


_SIGNS: Final = {
    Verdict.LEGAL: "·",
    Verdict.ILLEGAL: "x",
    Verdict.NOT_SHOWN: "?",
    Verdict.TO_INSPECT: "i",
    Verdict.NOT_APPLICABLE: "",
}

_MARKS: Final = {verdict: Mark(sign, verdict.words, verdict.value) for verdict, sign in _SIGNS.items()}
_CLOSE: Final = Mark("~", "legal, a close call", Verdict.LEGAL.value)
_NOT_LATER: Final = Mark("›", "legal, but not later", Verdict.LEGAL.value)
_NOT_ASKED: Final = Mark("", "not asked", Verdict.NOT_APPLICABLE.value)


def verdict_counts(verdicts: Iterable[Verdict]) -> str:
    """How many entries have which verdict, the worst first."""
    counts = Counter(verdicts)
    return (
        ", ".join(f"{counts[verdict]} {verdict.words}" for verdict in WORST_FIRST if counts[verdict])
        or "nothing judged"
    )
