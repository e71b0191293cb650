"""The `markdown` report: a summary for the page of a CI job, with the answer first. The form is that of CommonMark."""

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from speclint.findings import ComingChange, EntryResult, Tally
from speclint.moments import Period, day_text
from speclint.plain import counted
from speclint.reports import LAST_WORD, Order
from speclint.reports.check.coming_rows import coming_heading, coming_rows
from speclint.reports.check.deciding import deciding
from speclint.reports.check.remarks import (
    EntryRemarks,
    FirstRemarks,
    Remark,
    RemarksByCar,
    Weight,
    advice_remarks,
    problem_remarks,
    remarks_on,
)
from speclint.reports.markdown_text import escaped
from speclint.rules.checks import WORST_FIRST, Verdict

_MOST_ROWS: Final = 100
"""Rows of each part that are shown."""


class _Row(NamedTuple):
    """What the summary needs of an entry: its row in the table, and the remarks on it."""

    verdict: Verdict
    text: str
    remarks: EntryRemarks


class Markdown:
    """Keeps as much of each sort as can be shown, and counts the rest."""

    def __init__(self, order: Order) -> None:
        self._coming = order.asked.coming
        self._rows: dict[Verdict, list[str]] = {verdict: [] for verdict in WORST_FIRST}
        self._by_car = RemarksByCar()
        self._first = FirstRemarks(_MOST_ROWS)

    def extract(self, result: EntryResult) -> _Row:
        """Its row and its remarks."""
        return _Row(result.verdict, _row(result), remarks_on(result))

    def add(self, extract: _Row) -> str:
        """Nothing yet."""
        rows = self._rows[extract.verdict]
        if len(rows) < _MOST_ROWS:
            rows.append(extract.text)
        for remark in self._by_car.add(extract.remarks):
            self._first.add(remark)
        return ""

    def end(self, tally: Tally) -> str:
        """The whole summary."""
        for remark in (*self._by_car.last(), *problem_remarks(tally), *advice_remarks(tally)):
            self._first.add(remark)
        return "\n".join((*self._lines(tally), "", "<!-- speclint check -->")) + "\n"

    def _lines(self, tally: Tally) -> Iterator[str]:
        yield f"## {_answer(tally)}"
        rows = [row for verdict in WORST_FIRST for row in self._rows[verdict]]
        if rows:
            yield from ("", "| car | class | race day | verdict | what decides it |", "| --- | --- | --- | --- | --- |")
            yield from rows[:_MOST_ROWS]
        if tally.counts.entries > _MOST_ROWS:
            yield from ("", f"{tally.counts.entries - _MOST_ROWS} more are not shown here.")
        if self._coming is not None:
            yield from _changes(tally.coming, self._coming)
        to_mend = [weight for weight in Weight if weight is not Weight.ADVICE]
        for heading, weights in (("To mend", to_mend), ("Advice", [Weight.ADVICE])):
            shown, count = self._first.of(*weights), sum(self._first.counts[weight] for weight in weights)
            if shown:
                yield from ("", f"### {heading}", "", *map(_item, shown[:_MOST_ROWS]))
            if count > _MOST_ROWS:
                yield f"- {count - _MOST_ROWS} more are not shown here."
        yield from ("", LAST_WORD)


begin: Final = Markdown


def _answer(tally: Tally) -> str:
    counts = tally.counts
    parts = (
        (counts.illegal, "illegal"),
        (counts.not_shown, "not shown"),
        (counts.legal, "legal"),
        (len(tally.problems), counted(len(tally.problems), "problem").partition(" ")[2]),
    )
    return ", ".join(f"{count} {word}" for count, word in parts if count) or "Nothing was judged"


def _row(entry: EntryResult) -> str:
    cells = (
        entry.name,
        entry.flat.title or entry.flat.id,
        day_text(entry.on),
        entry.verdict.value,
        f"{(decides := deciding(entry)).text} {decides.clause}",
    )
    return f"| {' | '.join(escaped(cell) for cell in cells)} |"


def _changes(changes: Sequence[ComingChange], days: Period) -> Iterator[str]:
    heading = coming_heading(days, has_changes=bool(changes))
    if not changes:
        yield from ("", heading)
        return
    yield from ("", f"### {heading}", "", "| day | cars | what | verdict |", "| --- | --- | --- | --- |")
    rows = coming_rows(changes)
    for row in rows[:_MOST_ROWS]:
        cells = (day_text(row.on), row.cars, row.text, "" if row.verdict is None else row.verdict.value)
        yield f"| {' | '.join(map(escaped, cells))} |"
    if len(rows) > _MOST_ROWS:
        yield from ("", f"{len(rows) - _MOST_ROWS} more are not shown here.")


def _item(remark: Remark) -> str:
    return f"- **{remark.weight.value}** {escaped(str(remark.place))}: {escaped(remark.text)}"
