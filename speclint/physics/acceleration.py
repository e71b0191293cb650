"""Closed forms for a force a − b·v − c·v²: how long, how far, and the integral of v² on the way."""

from math import log1p, sqrt


def terminal_speed(a: float, b: float, c: float) -> float:
    """Speed at which the force is used up: the positive root of a − b·v − c·v² (a, c > 0, b ≥ 0)."""
    return 2.0 * a / (b + sqrt(b * b + 4.0 * a * c))


def moments(a: float, b: float, c: float, start: float, end: float) -> tuple[float, float, float]:
    """∫ vⁿ/(a − b·v − c·v²) dv from start to end, for n = 0 to 2.

    Times the mass these are time, distance, and the integral of v² over time. From partial fractions over the two
    roots; the last follows from the others. Needs a, c > 0, b ≥ 0 and both speeds from 0 to below the terminal speed.
    The last loses digits where c·v² is a very small part of a.
    """
    root = sqrt(b * b + 4.0 * a * c)
    top, low = 2.0 * a / (b + root), -(b + root) / (2.0 * c)
    gone = end - start
    near = -log1p(-gone / (top - start))
    far = log1p(gone / (start - low))
    zero = (near + far) / root
    first = (top * near + low * far) / root
    second = (a * zero - b * first - gone) / c
    return zero, first, second


def distance(a: float, b: float, c: float, start: float, end: float) -> float:
    """The second of the `moments`, the distance for a unit of mass, alone: much of the search for a braking point."""
    root = sqrt(b * b + 4.0 * a * c)
    top, low = 2.0 * a / (b + root), -(b + root) / (2.0 * c)
    gone = end - start
    return (low * log1p(gone / (start - low)) - top * log1p(-gone / (top - start))) / root
