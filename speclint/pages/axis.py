"""Round numbers along an axis."""

from math import ceil, floor, log10
from typing import Final, NamedTuple

_MOST_TICKS: Final = 6


class Tick(NamedTuple):
    """A place on an axis and its text."""

    place: float
    text: str


def ticks(low: float, high: float) -> tuple[float, ...]:
    """Round values over a range, both ends within them: steps of one, two or five times a power of ten."""
    span = max(high - low, 1e-9)
    raw = span / (_MOST_TICKS - 1)
    power = 10.0 ** floor(log10(raw))
    step = next(size * power for size in (1.0, 2.0, 5.0, 10.0) if size * power >= raw * (1 - 1e-9))
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    return tuple(round(number * step, 9) for number in range(first, max(last, first + 1) + 1))
