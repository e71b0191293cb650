"""A chart over time: readings with their ±, the allowed side as a band, and what happened between them as lines."""

from collections.abc import Iterator
from datetime import date
from typing import Final, NamedTuple

from speclint.pages.axis import Tick, ticks
from speclint.pages.gauge import Interval

WIDTH: Final = 360
HEIGHT: Final = 170
_LEFT: Final = 46.0
_RIGHT: Final = WIDTH - 8.0
_TOP: Final = 10.0
_BOTTOM: Final = HEIGHT - 24.0
_UNDATED: Final = 72.0
"""Room at the left for a reading that is older than all and has no day."""
_MOST_DAYS: Final = 4
_LONG_DAYS: Final = 300
"""From so many days on, years are named with the months."""


class TimePoint(NamedTuple):
    """A reading: its day as an ordinal (None: before all days), its ±, and whether the next one continues it."""

    at: float | None
    value: float
    reach: float
    is_joined: bool


class TimeMark(NamedTuple):
    """Something that happened, with the letter that a table explains."""

    at: float
    letter: str


class PlacedPoint(NamedTuple):
    """A reading on the paper."""

    x: float
    y: float
    top: float
    bottom: float


class TimeChart(NamedTuple):
    """A chart, for a macro of the templates to draw; `span` holds its first and last day, `text` what is to be seen."""

    title: str
    span: tuple[float, float]
    points: tuple[TimePoint, ...]
    allowed: tuple[Interval, ...]
    marks: tuple[TimeMark, ...]
    text: str

    @property
    def frame(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom edge."""
        return _LEFT, _TOP, _RIGHT, _BOTTOM

    @property
    def heights(self) -> tuple[Tick, ...]:
        """Round values upwards."""
        return tuple(Tick(self._y(value), f"{value:g}") for value in self._scale)

    @property
    def days(self) -> tuple[Tick, ...]:
        """Days along the axis, and the word for what has none."""
        first, last = (int(day) for day in self.span)
        in_years = last - first > _LONG_DAYS
        steps = max(1, min(_MOST_DAYS - 1, last - first))
        shown = [date.fromordinal(first + (last - first) * step // steps) for step in range(steps + 1)]
        dated = [Tick(self._x(self._noon(day)), _day(day, in_years=in_years)) for day in shown]
        return (*([Tick(_LEFT + _UNDATED / 2, "sheet")] if self._has_undated else []), *dated)

    @property
    def bands(self) -> tuple[tuple[float, float], ...]:
        """Upper and lower edge of what is allowed."""
        return tuple(
            (_TOP if high is None else self._y(high), _BOTTOM if low is None else self._y(low))
            for low, high in self.allowed
        )

    @property
    def limits(self) -> tuple[float, ...]:
        """The heights of the limits."""
        return tuple(self._y(limit) for interval in self.allowed for limit in interval if limit is not None)

    @property
    def placed(self) -> tuple[PlacedPoint, ...]:
        """The readings on the paper."""
        return tuple(
            PlacedPoint(
                self._x(point.at),
                self._y(point.value),
                self._y(point.value + point.reach),
                self._y(point.value - point.reach),
            )
            for point in self.points
        )

    @property
    def lines(self) -> Iterator[tuple[PlacedPoint, PlacedPoint]]:
        """From each reading to the next one that continues it."""
        for point, placed, following in zip(self.points, self.placed, self.placed[1:], strict=False):
            if point.is_joined:
                yield placed, following

    @property
    def events(self) -> tuple[Tick, ...]:
        """What happened, on the paper."""
        return tuple(Tick(self._x(mark.at), mark.letter) for mark in self.marks)

    @property
    def _has_undated(self) -> bool:
        return any(point.at is None for point in self.points)

    @property
    def _scale(self) -> tuple[float, ...]:
        ends = [point.value + side * point.reach for point in self.points for side in (-1, 1)]
        ends += [limit for interval in self.allowed for limit in interval if limit is not None]
        low, high = min(ends), max(ends)
        room = 0.06 * (high - low) or 0.02 * abs(high) or 1.0
        return ticks(low - room, high + room)

    def _noon(self, day: date) -> float:
        return min(max(day.toordinal() + 0.5, self.span[0]), self.span[1])

    def _x(self, at: float | None) -> float:
        if at is None:
            return _LEFT + _UNDATED / 2
        first, last = self.span
        left = _LEFT + (_UNDATED if self._has_undated else 6.0)
        return left + (at - first) / (last - first) * (_RIGHT - 20.0 - left)

    def _y(self, value: float) -> float:
        scale = self._scale
        return _BOTTOM - (value - scale[0]) / (scale[-1] - scale[0]) * (_BOTTOM - _TOP)


def _day(day: date, *, in_years: bool) -> str:
    month = _MONTHS[day.month - 1]
    return f"{month} {day.year}" if in_years else f"{day.day} {month}"


_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sep", "Oct", "Nov", "Dec")
