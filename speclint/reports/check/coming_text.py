"""What changes for cars on days to come, as text: a row for each change, by day."""

from collections.abc import Iterator, Sequence
from typing import Final

from speclint.findings import ComingChange
from speclint.moments import Period, day_text
from speclint.reports.check.rule_text import VERDICT_STYLES, verdict_word
from speclint.reports.layout import Column, Layout, Line, Span, Style

_COLUMNS: Final = (Column("day", 8), Column("cars", 30, 1), Column("what", 24, 2), Column("verdict", 9))


def coming_table(changes: Sequence[ComingChange], days: Period, layout: Layout) -> Iterator[Line]:
    """A heading with the days, and what changes on them, or that nothing does."""
    if days.start is None or days.end is None:
        return
    span = f"from {day_text(days.start)} to {day_text(days.end)}"
    if not changes:
        yield from layout.wrapped(f"Nothing changes for these cars {span}.", "", "  ")
        return
    yield from layout.wrapped(Span(f"What changes for these cars {span}", Style.HEAD), "", "  ")
    cars: dict[ComingChange, list[str]] = {}
    for change in changes:
        # What several cars share is one row: but for the car, and where it stands, these are the same.
        shared = change._replace(file="", name="", place=changes[0].place)
        cars.setdefault(shared, []).append(change.name)
    rows = [_cells(change, names) for change, names in cars.items()]
    widths = layout.widths(_COLUMNS, rows, indent=2)
    if widths is not None:
        yield from layout.row([Span(spec.heading, Style.SOFT) for spec in _COLUMNS], widths, (Span("  "),))
    for row in rows:
        if widths is not None:
            yield from layout.row(row, widths, (Span("  "),))
            continue
        day, car, what, verdict = row
        turned = [Span(what.text + ":"), verdict] if verdict.text else [what]
        yield from layout.wrapped([day, Span(f"{car.text}:"), *turned], "  ", "    ")


def _cells(change: ComingChange, cars: Sequence[str]) -> tuple[Span, ...]:
    verdict = change.verdict
    return (
        Span(day_text(change.on)),
        Span("; ".join(dict.fromkeys(cars))),
        Span(f"{change.text} ({change.book})" if change.book else change.text),
        Span("") if verdict is None else Span(verdict_word(verdict), VERDICT_STYLES.get(verdict, Style.PLAIN)),
    )
