"""What changes for cars on days to come, as rows that every report for people shows: what several cars share is one row."""

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from speclint.findings import ComingChange
from speclint.moments import Period, day_text
from speclint.rules.checks import Verdict


class ComingRow(NamedTuple):
    """What changes on a day for the cars that are named, separated by semicolons."""

    on: date
    cars: str
    text: str
    verdict: Verdict | None


def coming_rows(changes: Iterable[ComingChange]) -> tuple[ComingRow, ...]:
    """A row for each change, in their order; those that differ in nothing but the car are one."""
    cars: dict[tuple[date, str, Verdict | None], list[str]] = {}
    for change in changes:
        text = f"{change.text} ({change.book})" if change.book else change.text
        cars.setdefault((change.on, text, change.verdict), []).append(change.name)
    return tuple(
        ComingRow(on, "; ".join(dict.fromkeys(names)), text, verdict) for (on, text, verdict), names in cars.items()
    )


def coming_heading(days: Period, *, has_changes: bool, only: str = "") -> str:
    """What the rows are, with the days; or that there are none, of all changes or of those that a word names."""
    start, end = (day for day in (days.start, days.end) if day is not None)
    span = f"from {day_text(start)} to {day_text(end)}"
    if has_changes:
        return f"What changes for these cars {span}"
    return f"Nothing of {only} changes {span}." if only else f"Nothing changes for these cars {span}."
