"""The `markdown` report: a summary for the page of a CI job, with the answer first. The form is that of CommonMark."""

from collections.abc import Iterator, Sequence
from functools import partial
from typing import Final

from speclint.findings import ComingChange, EntryResult, Findings
from speclint.moments import Period, day_text
from speclint.reports import LAST_WORD, Order, Paper
from speclint.reports.check.coming_rows import coming_heading, coming_rows
from speclint.reports.check.deciding import deciding
from speclint.reports.check.gathered import Gathered
from speclint.reports.check.remarks import Remark, Weight, remarks_of, worst_first
from speclint.reports.check.tally_text import counted
from speclint.reports.markdown_text import escaped
from speclint.rules.checks import Verdict

_MOST_ROWS: Final = 100
"""Rows of each part that are shown."""

_ORDER: Final = (Verdict.ILLEGAL, Verdict.NOT_SHOWN, Verdict.LEGAL)


def begin(order: Order) -> Gathered:
    """The report."""
    return Gathered(partial(render, coming=order.asked.coming), order)


def render(findings: Findings, _: Paper, *, coming: Period | None = None) -> str:
    """The whole summary; of the days to come that are asked about, with what changes on them."""
    return "\n".join((*_lines(findings, coming), "", "<!-- speclint check -->")) + "\n"


def _lines(findings: Findings, coming: Period | None) -> Iterator[str]:
    yield f"## {_answer(findings)}"
    rows = sorted(findings.entries, key=lambda entry: _ORDER.index(entry.verdict))
    if rows:
        yield from ("", "| car | class | race day | verdict | what decides it |", "| --- | --- | --- | --- | --- |")
        yield from map(_row, rows[:_MOST_ROWS])
    if len(rows) > _MOST_ROWS:
        yield from ("", f"{len(rows) - _MOST_ROWS} more are not shown here.")
    if coming is not None:
        yield from _changes(findings.coming, coming)
    remarks = worst_first(remarks_of(findings))
    to_mend = [remark for remark in remarks if remark.weight is not Weight.ADVICE]
    for heading, part in (("To mend", to_mend), ("Advice", remarks[len(to_mend) :])):
        if part:
            yield from ("", f"### {heading}", "", *map(_item, part[:_MOST_ROWS]))
        if len(part) > _MOST_ROWS:
            yield f"- {len(part) - _MOST_ROWS} more are not shown here."
    yield from ("", LAST_WORD)


def _answer(findings: Findings) -> str:
    counts = findings.counts
    parts = (
        (counts.illegal, "illegal"),
        (counts.not_shown, "not shown"),
        (counts.legal, "legal"),
        (len(findings.problems), counted(len(findings.problems), "problem").partition(" ")[2]),
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
        cells = (day_text(row.on), row.cars, row.what, "" if row.verdict is None else row.verdict.value)
        yield f"| {' | '.join(map(escaped, cells))} |"
    if len(rows) > _MOST_ROWS:
        yield from ("", f"{len(rows) - _MOST_ROWS} more are not shown here.")


def _item(remark: Remark) -> str:
    return f"- **{remark.weight.value}** {escaped(str(remark.place))}: {escaped(remark.text)}"
