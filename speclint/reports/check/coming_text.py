"""What changes for cars on days to come, as text: a row for each change, by day."""

from collections.abc import Iterator, Sequence
from typing import Final

from speclint.findings import ComingChange
from speclint.moments import Period, day_text
from speclint.reports.check.coming_rows import ComingRow, coming_heading, coming_rows
from speclint.reports.check.rule_text import VERDICT_STYLES
from speclint.reports.layout import Column, Layout, Line, Span, Style

_COLUMNS: Final = (Column("day", 8), Column("cars", 30, 1), Column("what", 24, 2), Column("verdict", 9))


def coming_table(changes: Sequence[ComingChange], days: Period, layout: Layout, only: str) -> Iterator[Line]:
    """A heading with the days, and what changes on them, or that nothing of what is asked for does."""
    heading = coming_heading(days, has_changes=bool(changes), only=only)
    if not changes:
        yield from layout.wrapped(heading, "", "  ")
        return
    yield from layout.wrapped(Span(heading, Style.HEAD), "", "  ")
    rows = [*map(_cells, coming_rows(changes))]
    widths = layout.widths(_COLUMNS, rows, indent=2)
    if widths is not None:
        yield from layout.headings(_COLUMNS, widths, 2)
    for row in rows:
        if widths is not None:
            yield from layout.row(row, widths, (Span("  "),))
            continue
        day, car, change, verdict = row
        turned = [Span(change.text + ":"), verdict] if verdict.text else [change]
        yield from layout.wrapped([day, Span(f"{car.text}:"), *turned], "  ", "    ")


def _cells(row: ComingRow) -> tuple[Span, ...]:
    verdict = row.verdict
    return (
        Span(day_text(row.on)),
        Span(row.cars),
        Span(row.text),
        Span("") if verdict is None else Span(verdict.words, VERDICT_STYLES.get(verdict, Style.PLAIN)),
    )
