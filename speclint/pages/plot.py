"""A plot: a band with its middle over an axis, limits as lines, what is not allowed as a shade, and single points."""

from typing import Final, NamedTuple

from speclint.pages.axis import Tick, ticks

WIDTH: Final = 360
HEIGHT: Final = 240
_LEFT: Final = 40.0
_RIGHT: Final = WIDTH - 12.0
_TOP: Final = 24.0
_BOTTOM: Final = HEIGHT - 42.0
_NAME_WIDTH: Final = 60.0
"""Room that the text of a point takes."""
_TEXT_ROWS: Final = 3
"""Texts of upright lines stand in turn on so many rows, so that two near each other can both be read."""


class BandPoint(NamedTuple):
    """The band at a place along the axis."""

    across: float
    low: float
    middle: float
    high: float


class Level(NamedTuple):
    """A line across the plot: at a height, or with `is_upright` at a place along the axis; `kind` styles it."""

    at: float
    text: str
    kind: str
    is_upright: bool = False


class Mark(NamedTuple):
    """A single point; one without a text is a reading, one with it is pointed out."""

    across: float
    height: float
    text: str = ""


class PlacedText(NamedTuple):
    """A text on the paper, and which of its ends stands there."""

    x: float
    y: float
    anchor: str
    text: str


class PlacedLine(NamedTuple):
    """A line on the paper with its text."""

    kind: str
    x1: float
    y1: float
    x2: float
    y2: float
    text: PlacedText


class PlacedMark(NamedTuple):
    """A point on the paper with its text."""

    x: float
    y: float
    text: PlacedText


class Plot(NamedTuple):
    """A plot, for a macro of the templates to draw.

    Attributes:
        text: what is to be seen, in words.
        across: text of the axis across.
        upwards: text of the axis upwards.
        points: the band, in rising order; two or more.
        levels: limits.
        marks: single points.
        not_below: places along the axis below this are not allowed; None where all are.
        ceiling: heights above this are drawn at it.
    """

    text: str
    across: str
    upwards: str
    points: tuple[BandPoint, ...]
    levels: tuple[Level, ...] = ()
    marks: tuple[Mark, ...] = ()
    not_below: float | None = None
    ceiling: float = 160.0

    @property
    def frame(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom edge."""
        return _LEFT, _TOP, _RIGHT, _BOTTOM

    @property
    def places(self) -> tuple[Tick, ...]:
        """Round values along the axis."""
        return tuple(Tick(self._x(value), f"{value:g}") for value in self._across)

    @property
    def heights(self) -> tuple[Tick, ...]:
        """Round values upwards."""
        return tuple(Tick(self._y(value), f"{value:g}") for value in self._upwards if value < self.ceiling)

    @property
    def outline(self) -> tuple[tuple[float, float], ...]:
        """The corners of the band."""
        upper = [(self._x(point.across), self._y(point.high)) for point in self.points]
        return (*upper, *((self._x(point.across), self._y(point.low)) for point in reversed(self.points)))

    @property
    def middle(self) -> tuple[tuple[float, float], ...]:
        """The line of the band's middle."""
        return tuple((self._x(point.across), self._y(point.middle)) for point in self.points)

    @property
    def excluded(self) -> float | None:
        """Where what is not allowed ends, from the left edge; None where nothing is drawn of it."""
        limit = self.not_below
        return self._x(limit) if limit is not None and self._across[0] < limit <= self._across[-1] else None

    @property
    def lines(self) -> tuple[PlacedLine, ...]:
        """The limits."""
        placed = []
        for index, level in enumerate(self.levels):
            if level.is_upright:
                x = self._x(level.at)
                anchor, shift = _beside(x, 4.0)
                text = PlacedText(x + shift, _TOP + 12 + 14 * (index % _TEXT_ROWS), anchor, level.text)
                placed.append(PlacedLine(level.kind, x, _TOP, x, _BOTTOM, text))
            else:
                y = self._y(level.at)
                placed.append(PlacedLine(level.kind, _LEFT, y, _RIGHT, y, PlacedText(_RIGHT, y - 4, "end", level.text)))
        return tuple(placed)

    @property
    def placed(self) -> tuple[PlacedMark, ...]:
        """The single points."""
        marks = []
        named = [self._x(mark.across) for mark in self.marks if mark.text]
        for mark in self.marks:
            x, y = self._x(mark.across), self._y(mark.height)
            # Of two points near each other, the text of the left one stands to its left.
            anchor, shift = ("end", -7.0) if any(0 < right - x < _NAME_WIDTH for right in named) else _beside(x, 7.0)
            marks.append(PlacedMark(x, y, PlacedText(x + shift, y - 7, anchor, mark.text)))
        return tuple(marks)

    @property
    def _across(self) -> tuple[float, ...]:
        places = [point.across for point in self.points] + [mark.across for mark in self.marks]
        places += [level.at for level in self.levels if level.is_upright]
        return ticks(min(places), max(places))

    @property
    def _upwards(self) -> tuple[float, ...]:
        heights = [end for point in self.points for end in (point.low, point.high)]
        heights += [mark.height for mark in self.marks] + [level.at for level in self.levels if not level.is_upright]
        round_values = ticks(min(*heights, self.ceiling), min(max(heights), self.ceiling))
        return (*(value for value in round_values if value < self.ceiling), min(round_values[-1], self.ceiling))

    def _x(self, value: float) -> float:
        first, last = self._across[0], self._across[-1]
        return _LEFT + (value - first) / (last - first) * (_RIGHT - _LEFT)

    def _y(self, value: float) -> float:
        first, last = self._upwards[0], self._upwards[-1]
        return _BOTTOM - (min(value, self.ceiling) - first) / (last - first) * (_BOTTOM - _TOP)


def _beside(x: float, gap: float) -> tuple[str, float]:
    """On which side of a place a text has room."""
    return ("start", gap) if x < WIDTH * 0.6 else ("end", -gap)
