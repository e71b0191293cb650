"""A gauge: a value beside its limits on a short scale, on which a limit has one place however large it is."""

from typing import Final, NamedTuple

Interval = tuple[float | None, float | None]
"""From the lowest allowed value to the highest; None where that side is open."""

WIDTH: Final = 176.0
_EDGE: Final = 6.0
_MIDDLE: Final = WIDTH / 2
_WINDOW: Final = 40.0
"""Half the width on which what lies between the outermost limits is drawn."""

_SCALE: Final = 0.02
"""The share of a lone limit at which a value stands halfway to the edge; what a reading can tell may ask for more."""


class Gauge(NamedTuple):
    """A value beside its limits, for a macro of the templates to draw.

    Between two limits the scale is even. Beyond them, and on both sides of a lone limit, it narrows towards the edge, so
    that any value has a place, the value lies on its true side of every limit, and so does either end of its ±.

    Attributes:
        allowed: the intervals that the rule allows, in rising order.
        value: what the car has.
        reach: the ± of the value; 0 where none is known.
        verdict: the word that colours the dot.
        text: what is to be seen, in words.
    """

    allowed: tuple[Interval, ...]
    value: float
    reach: float
    verdict: str
    text: str

    @property
    def limits(self) -> tuple[float, ...]:
        """Where the limits stand."""
        return tuple(self._place(limit) for interval in self.allowed for limit in interval if limit is not None)

    @property
    def spans(self) -> tuple[tuple[float, float], ...]:
        """Where the allowed side begins and ends."""
        return tuple(
            (
                _EDGE if low is None else self._place(low),
                WIDTH - _EDGE if high is None else self._place(high),
            )
            for low, high in self.allowed
        )

    @property
    def dot(self) -> float:
        """Where the value stands."""
        return self._place(self.value)

    @property
    def bar(self) -> tuple[float, float] | None:
        """From the lower end of the ± to the upper one; None where none is known."""
        return (self._place(self.value - self.reach), self._place(self.value + self.reach)) if self.reach > 0 else None

    @property
    def first(self) -> float:
        """Where the scale begins."""
        return _EDGE

    @property
    def last(self) -> float:
        """Where the scale ends."""
        return WIDTH - _EDGE

    def _place(self, value: float) -> float:
        ends = sorted(limit for interval in self.allowed for limit in interval if limit is not None)
        low, high = ends[0], ends[-1]
        half = _WINDOW if high > low else 0.0
        # The scale goes on beyond a window as steeply as within it.
        width = (high - low) / 2 if high > low else self._lone_scale(low)
        room = _MIDDLE - half - _EDGE
        steep = room / (_WINDOW if half else room)
        if value < low:
            return _MIDDLE - half - room * _share(low - value, width * steep)
        if value > high:
            return _MIDDLE + half + room * _share(value - high, width * steep)
        return _MIDDLE + half * (2 * (value - low) / (high - low) - 1) if half else _MIDDLE

    def _lone_scale(self, limit: float) -> float:
        return max(_SCALE * abs(limit), 2 * self.reach) or abs(self.value) or 1.0


def _share(distance: float, scale: float) -> float:
    """Rises from 0, by 1 / scale at first, and never reaches 1."""
    return distance / (distance + scale)
