"""Monotone piecewise cubic interpolation: smooth between points and never past them."""

from collections.abc import Callable, Sequence
from itertools import pairwise


def monotone_cubic(xs: Sequence[float], ys: Sequence[float]) -> Callable[[float], float]:
    """A curve through points of rising x, monotone wherever the points are.

    Slopes as the weighted harmonic mean of the neighbouring secants (Fritsch & Butland, 1984), three-point at the ends.
    Outside the points the end value holds.

    Raises:
        ValueError: Fewer than two points, or x does not rise.
    """
    count = len(xs)
    if count < 2 or len(ys) != count or any(right <= left for left, right in pairwise(xs)):
        raise ValueError("interpolation needs two or more points of rising x")
    widths = [right - left for left, right in pairwise(xs)]
    secants = [(ys[i + 1] - ys[i]) / widths[i] for i in range(count - 1)]
    if count == 2:
        slopes = [secants[0], secants[0]]
    else:
        inner = [_harmonic(widths[i - 1], widths[i], secants[i - 1], secants[i]) for i in range(1, count - 1)]
        slopes = [
            _end_slope(widths[0], widths[1], secants[0], secants[1]),
            *inner,
            _end_slope(widths[-1], widths[-2], secants[-1], secants[-2]),
        ]
    points, values = tuple(xs), tuple(ys)

    def curve(x: float) -> float:
        if x <= points[0]:
            return values[0]
        if x >= points[-1]:
            return values[-1]
        low, high = 0, count - 1
        while high - low > 1:
            middle = (low + high) // 2
            if points[middle] <= x:
                low = middle
            else:
                high = middle
        width = widths[low]
        t = (x - points[low]) / width
        rest = 1.0 - t
        return rest * rest * ((1.0 + 2.0 * t) * values[low] + t * width * slopes[low]) + t * t * (
            (3.0 - 2.0 * t) * values[high] - rest * width * slopes[high]
        )

    return curve


def _harmonic(left_width: float, right_width: float, left: float, right: float) -> float:
    if left * right <= 0:
        return 0.0
    one, two = 2.0 * right_width + left_width, right_width + 2.0 * left_width
    return (one + two) / (one / left + two / right)


def _end_slope(width: float, next_width: float, secant: float, next_secant: float) -> float:
    slope = ((2.0 * width + next_width) * secant - width * next_secant) / (width + next_width)
    if slope * secant <= 0:
        return 0.0
    if secant * next_secant <= 0 and abs(slope) > 3.0 * abs(secant):
        return 3.0 * secant
    return slope
