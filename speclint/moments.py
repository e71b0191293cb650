"""Days and times of day as records write them, and their order."""

import re
from dataclasses import dataclass
from datetime import date, time, timedelta
from functools import lru_cache
from typing import Final, NamedTuple


class Moment(NamedTuple):
    """A day, with a time of day where one is written."""

    day: date
    at: time | None = None

    def __str__(self) -> str:
        """As a record writes it: `2026-03-14`, or `2026-03-14 19:30`."""
        return self.day.isoformat() if self.at is None else f"{self.day.isoformat()} {self.at:%H:%M}"

    def certainly_after(self, other: "Moment") -> bool:
        """Whether it came later than the other: on one day, only times of day can tell."""
        if self.day != other.day:
            return self.day > other.day
        return self.at is not None and other.at is not None and self.at > other.at

    @property
    def newest_first(self) -> tuple[int, time]:
        """Sorts moments from the newest to the oldest, when reversed."""
        return self.day.toordinal(), self.at or time.min


@dataclass(frozen=True, slots=True)
class Period:
    """The days from one to another, both counted in; an end that is None is open."""

    start: date | None = None
    end: date | None = None

    def __contains__(self, day: date) -> bool:
        """Whether the day is one of them."""
        return (self.start is None or self.start <= day) and (self.end is None or day <= self.end)

    @property
    def text(self) -> str:
        """The days in words: `from 1 March 2026 until 30 June 2026`; "" for all days."""
        first = f"from {day_text(self.start)}" if self.start is not None else ""
        last = f"until {day_text(self.end)}" if self.end is not None else ""
        return f"{first} {last}".strip()


def days_from(start: date, count: int) -> Period:
    """A day and so many after it, as far as the calendar goes."""
    return Period(start, date.fromordinal(min(start.toordinal() + count, date.max.toordinal())))


@lru_cache(maxsize=4096)
def moment(text: str) -> Moment:
    """The moment that a text says, `2026-03-14`, `2026-03-14 19:30` or `2026-03-14T19:30`.

    Raises:
        ValueError: the text is none of these, or its day does not exist.
    """
    day = date.fromisoformat(text[:10])
    return Moment(day, time.fromisoformat(text[11:]) if len(text) > 10 else None)


def day_after(day: date) -> date:
    """The day that follows; the calendar's last day is followed by itself."""
    return day if day == date.max else day + _DAY


def day_before(day: date) -> date:
    """The day that comes before; before the calendar's first day comes itself."""
    return day if day == date.min else day - _DAY


def day_text(day: date) -> str:
    """The day in words, without a locale: `14 March 2026`."""
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


_DAY = timedelta(days=1)

_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


_DOTTED: Final = r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4})"


def typed_day(text: str) -> date | None:
    """A day as a person types it: 2026-03-14, or 14.3.2026, where dots part the day, the month and the year.

    None where it is neither: of 3/14/2026 and 14/3/2026 nobody can know which comes first.
    """
    dotted = re.fullmatch(_DOTTED, text.strip())
    try:
        if dotted is not None:
            return date(int(dotted[3]), int(dotted[2]), int(dotted[1]))
        return date.fromisoformat(text.strip())
    except ValueError:
        return None
