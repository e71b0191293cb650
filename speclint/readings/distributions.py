"""The two distributions that uncertainty needs, by the standard library alone: the normal one and Student's t."""

import math
from functools import lru_cache
from typing import Final

_ALMOST_NORMAL: Final = 1e7
"""From so many degrees of freedom on, Student's t is the normal distribution to a few parts in ten million of its factor."""

_TINY: Final = 1e-300
_CLOSE_ENOUGH: Final = 1e-15


def normal_cdf(z: float) -> float:
    """The part of a standard normal distribution below z; exact in the far tails, because it goes through erfc."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def student_cdf(t: float, degrees_of_freedom: float) -> float:
    """The part of Student's distribution below t; infinite degrees of freedom are the normal distribution."""
    if degrees_of_freedom >= _ALMOST_NORMAL or not math.isfinite(t):
        return normal_cdf(t)
    tail = 0.5 * _two_tails(abs(t), degrees_of_freedom)
    return tail if t < 0 else 1.0 - tail


@lru_cache(maxsize=512)
def student_factor(tails: float, degrees_of_freedom: float) -> float:
    """The t that leaves `tails`, a probability, outside ±t (JCGM 100 table G.2; tails 0.05 is its 95 % column).

    Raises:
        ValueError: tails is not between 0 and 1, or there is less than one degree of freedom.
    """
    if not (0.0 < tails < 1.0 and degrees_of_freedom >= 1.0):
        raise ValueError("a coverage factor needs tails between 0 and 1 and one degree of freedom or more")
    if degrees_of_freedom >= _ALMOST_NORMAL:
        from statistics import NormalDist  # slow to import, and few factors are of the normal distribution

        return -NormalDist().inv_cdf(0.5 * tails)
    # With one degree of freedom the distribution is Cauchy's, whose factor is the largest of all.
    low, high = 0.0, 1.0 / math.tan(0.5 * math.pi * tails)
    guess = min(high, 2.0)
    for _ in range(200):
        excess = _two_tails(guess, degrees_of_freedom) - tails
        low, high = (guess, high) if excess > 0 else (low, guess)
        step = guess + excess / (2.0 * _density(guess, degrees_of_freedom))
        # Newton's step, unless it leaves the bracket: then half of the bracket.
        following = step if low <= step <= high else 0.5 * (low + high)
        if abs(following - guess) <= _CLOSE_ENOUGH * guess * 4:
            return following
        guess = following
    return guess


def _density(t: float, degrees_of_freedom: float) -> float:
    half = 0.5 * degrees_of_freedom
    scale = math.lgamma(half + 0.5) - math.lgamma(half) - 0.5 * math.log(degrees_of_freedom * math.pi)
    return math.exp(scale - (half + 0.5) * math.log1p(t * t / degrees_of_freedom))


def _two_tails(t: float, degrees_of_freedom: float) -> float:
    """Abramowitz and Stegun 26.5.27 and 26.7.1: the tails are an incomplete beta function of ν/(ν + t²)."""
    a, b = 0.5 * degrees_of_freedom, 0.5
    square = t * t
    x, rest = degrees_of_freedom / (degrees_of_freedom + square), square / (degrees_of_freedom + square)
    if rest == 0.0:
        return 1.0
    front = math.exp(
        math.lgamma(a + b)
        - math.lgamma(a)
        - math.lgamma(b)
        - a * math.log1p(square / degrees_of_freedom)
        + b * math.log(rest)
    )
    if x < (a + 1.0) / (a + b + 2.0):
        return front * _beta_fraction(a, b, x) / a
    return 1.0 - front * _beta_fraction(b, a, rest) / b


def _beta_fraction(a: float, b: float, x: float) -> float:
    """The continued fraction of the incomplete beta function (DLMF 8.17.22), by Lentz's method."""
    c, d = 1.0, 1.0 / ((1.0 - (a + b) * x / (a + 1.0)) or _TINY)
    total = d
    for m in range(1, 10_000):
        for numerator in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1.0 / ((1.0 + numerator * d) or _TINY)
            c = (1.0 + numerator / c) or _TINY
            total *= c * d
        if abs(c * d - 1.0) < _CLOSE_ENOUGH:
            break
    return total
