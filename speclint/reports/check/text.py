"""The `text` report of a check: the slip of one car, the field table of several, or with `--full` every slip."""

from bisect import insort
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from sys import intern
from typing import TYPE_CHECKING, Final, NamedTuple

from speclint.advice.model import Advice
from speclint.findings import EntryResult, Tally
from speclint.plain import counted
from speclint.reports import Kept, Order
from speclint.reports.check.car_text import advice_on, failing_rows, slip
from speclint.reports.check.coming_text import coming_table
from speclint.reports.check.deciding import rank_of, turns_out_worse
from speclint.reports.check.field_text import FieldRow, field_row, field_table
from speclint.reports.check.selection import Names, Selection
from speclint.reports.check.tally_text import problem_parts, tally_lines
from speclint.reports.layout import Layout, Line, Span
from speclint.rules.checks import FAILING, Check, Verdict

if TYPE_CHECKING:
    from speclint.places import Place

_TOLD: Final = 10
"""How many failing entries of a field are told in full; of all there is a row.

In a field of more entries than these, what is the same for several cars is told with the first of them.
"""


class _Shown(NamedTuple):
    """An entry with the checks that are asked about."""

    result: EntryResult
    checks: tuple[Check, ...]


class _Extract(NamedTuple):
    """What the text needs of an entry.

    Attributes:
        until: up to which day it stays legal, where it does not stay so.
        names: what could have been asked for of it with `--only`.
        slip: its slip, where all are asked for.
        row: its row in the table, without its number; None where it is not asked about, or has its slip.
        failing: how many of its checks have its verdict, where any that is asked about fails.
        kept: the entry itself, where it may have to be told in full.
    """

    until: date | None
    names: Names
    is_selected: bool
    slip: str = ""
    row: FieldRow | None = None
    file: str = ""
    failing: int = 0
    kept: Kept[EntryResult] | None = None


class Text:
    """Keeps the slips of one car, or a row of each entry and the worst few of them."""

    def __init__(self, order: Order) -> None:
        self._layout = Layout(order.paper)
        self._coming = order.asked.coming
        self._is_full = order.asked.full
        self._selection = Selection(order.asked.only)
        self._first_car = ""
        self._worst_extracted: list[tuple[int, int, Place]] = []
        self._car = ""
        self._of_one_car: list[Kept[EntryResult]] | None = []
        self._rows: list[FieldRow] = []
        self._worst: list[tuple[tuple[int, int, int], Kept[EntryResult]]] = []
        self._until: list[date] = []
        self._failing = 0
        self._said: set[Advice] = set()

    def extract(self, result: EntryResult) -> _Extract:
        """The slip where all are asked for; else the row in the table."""
        checks = self._selection.checks(result)
        extract = _Extract(_legal_until(result), self._selection.named(result), checks is not None)
        if checks is None:
            return extract
        if self._is_full:
            return extract._replace(slip=self._layout.text([*slip(result, self._layout, None, (), checks), ()]))
        is_failing = any(check.verdict in FAILING for check in checks)
        failing = sum(1 for check in result.checks if check.verdict is result.verdict) if is_failing else 0
        kept = Kept(result) if self._may_be_shown(result, failing) else None
        return extract._replace(row=field_row(result, checks), file=result.file, failing=failing, kept=kept)

    def add(self, extract: _Extract) -> str:
        """The slip where all are asked for; else nothing yet."""
        self._selection.note(extract.names, is_selected=extract.is_selected)
        if extract.until is not None:
            self._until.append(extract.until)
        if extract.row is not None:
            self._keep(extract.row, extract.file, extract.failing, extract.kept)
        return extract.slip

    def end(self, tally: Tally) -> str:
        """The slips of one car, or the table with what fails, and the tally."""
        lines = [*self._entries(tally)]
        if self._coming is not None:
            changes = self._selection.changes(tally.coming)
            lines += [*coming_table(changes, self._coming, self._layout, self._selection.word), ()]
        trouble = self._selection.trouble()
        if trouble:
            lines += [*self._layout.wrapped(trouble), ()]
        for part in problem_parts(tally, self._layout):
            lines += [*part, ()]
        lines += tally_lines(tally, self._layout, until=self._until, hidden=self._hidden(tally))
        return self._layout.text(lines)

    def _may_be_shown(self, result: EntryResult, failing: int) -> bool:
        """Whether the entry is of the first car here, or among the worst so far: of the others no report asks again."""
        self._first_car = self._first_car or result.file
        is_among_worst = False
        if failing:
            rank = (rank_of(result.verdict), -failing, result.place)
            insort(self._worst_extracted, rank)
            del self._worst_extracted[_TOLD:]
            is_among_worst = rank in self._worst_extracted
        return is_among_worst or result.file == self._first_car

    def _keep(self, row: FieldRow, file: str, failing: int, kept: Kept[EntryResult] | None) -> None:
        """Keeps the row of an entry, all of it while there is one car, and after that where it is one of the worst."""
        number = len(self._rows)
        self._rows.append(row._replace(number=number, ruleset=intern(row.ruleset), class_title=intern(row.class_title)))
        if self._of_one_car is not None:
            if kept is None or (self._of_one_car and self._car != file):
                self._of_one_car = None
            else:
                self._car = file
                self._of_one_car.append(kept)
        self._failing += bool(failing)
        if failing and kept is not None:
            self._worst.append(((rank_of(row.verdict), -failing, number), kept))
            self._worst.sort(key=lambda ranked: ranked[0])
            del self._worst[_TOLD:]

    def _shown(self, kept: Kept[EntryResult]) -> _Shown:
        result = kept.result
        return _Shown(result, self._selection.checks(result) or ())

    def _entries(self, tally: Tally) -> Iterator[Line]:
        remedies = {car.file: car for car in tally.car_remedies}
        if self._is_full:
            yield from self._beside_slips(tally)
        elif self._of_one_car:
            for kept in self._of_one_car:
                result, checks = self._shown(kept)
                advice = advice_on(result, tally.advice) if kept is self._of_one_car[-1] else ()
                shown = None if len(checks) == len(result.checks) else checks
                yield from slip(result, self._layout, remedies.get(result.file), advice, shown)
                yield ()
        elif self._rows:
            yield from field_table(self._rows, self._layout)
            yield ()
            is_alone = len({(row.ruleset, row.class_title, row.on) for row in self._rows}) == 1
            explained: set[str] | None = set() if len(self._rows) > _TOLD else None
            for i, (_, kept) in enumerate(self._worst, 1):
                result, checks = self._shown(kept)
                advice = self._untold(result, tally, is_large=explained is not None)
                yield from failing_rows(
                    result,
                    self._layout,
                    remedies.get(result.file),
                    advice,
                    checks,
                    is_alone=is_alone,
                    explained=explained,
                )
                if explained is None or advice or i == len(self._worst):
                    yield ()
        elif tally.holdings:
            yield from self._advice(tally)

    def _untold(self, result: EntryResult, tally: Tally, *, is_large: bool) -> list[Advice]:
        """The advice to tell of an entry; of a large field, none in the same words as that of another."""
        told_messages = {piece.message for piece in self._said} if is_large else set()
        advice = [piece for piece in advice_on(result, tally.advice) if piece.message not in told_messages]
        self._said.update(advice)
        return advice

    def _beside_slips(self, tally: Tally) -> Iterator[Line]:
        """What makes whole cars legal, and all advice, behind the slips that were written as they came."""
        for car in tally.car_remedies:
            texts: Sequence[str] = [f"{i}  {remedy.message}" for i, remedy in enumerate(car.remedies, 1)]
            yield from self._layout.wrapped(f"{car.name} ({car.file}), to be legal in every entry:", "", "  ")
            for text in texts or [car.reason]:
                yield from self._layout.wrapped(text, "  ", "     ")
            yield ()
        yield from self._advice(tally)

    def _advice(self, tally: Tally) -> Iterator[Line]:
        """All advice; in the whole report with the lines that there are to paste, which are never wrapped."""
        if tally.advice:
            yield (Span("Advice, which no rule asks for"),)
            for piece in tally.advice:
                yield from self._layout.wrapped(
                    f"{piece.place.file}:{piece.place.line}: {piece.message}", "  - ", "    "
                )
                if self._is_full and piece.lines:
                    yield from ((Span(f"  {self._layout.clean(line)}"),) for line in piece.lines)
            yield ()

    def _hidden(self, tally: Tally) -> str:
        """What is not told, and which option tells it."""
        if self._is_full or self._of_one_car or not self._rows:
            return ""
        told_count = len(self._worst)
        left = (
            counted(self._failing - told_count, "more failing entry", "more failing entries")
            if self._failing > told_count
            else ""
        )
        unsaid = len(tally.advice) - len(self._said)
        advice = counted(unsaid, "piece of advice", "pieces of advice") if unsaid else ""
        parts = " and ".join(part for part in (left, advice) if part)
        more = "every rule of every car" if not parts else f"{parts}, and every rule of every car"
        return f"--full tells {more}; --only WORD shows a verdict, a class, a rule or a car alone."


def _legal_until(result: EntryResult) -> date | None:
    """Up to which day a legal entry stays so; None where nothing is known to end that."""
    if result.verdict is not Verdict.LEGAL:
        return None
    days = [later.on for check in result.checks for later in check.later if turns_out_worse(later)]
    return min(days) - timedelta(days=1) if days else None


begin: Final = Text
