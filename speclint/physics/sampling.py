"""Seeded sets of assumed constants, and the quantiles of what follows from them."""

from collections.abc import Sequence
from dataclasses import replace
from math import log, sqrt
from random import Random

from speclint.physics.assumptions import ASSUMPTIONS, Parameters


def triangular_quantile(share: float, low: float, mode: float, high: float) -> float:
    """Value below which a share of a triangular distribution lies.

    The triangle from the least through the most likely to the greatest value is what JCGM 101, 6.4.5, and common
    practice use where nothing but these three is known.
    """
    if high <= low:
        return mode
    turn = (mode - low) / (high - low)
    if share < turn:
        return low + sqrt(share * (high - low) * (mode - low))
    return high - sqrt((1.0 - share) * (high - low) * (high - mode))


def sample(seed: int, count: int) -> tuple[Parameters, ...]:
    """Parameter sets, stratified: every constant has one value in each of `count` equally likely parts of its range.

    (Latin hypercube: McKay, Beckman & Conover, 1979.) The constants are taken as independent. Each has a stream of
    random numbers of its own, so a new assumption leaves the others' values as they were. Only `Random.random()` is
    used, whose sequence for a seed Python promises to keep.

    Args:
        seed: The same seed gives the same sets.
        count: How many, at least one.
    """
    columns = []
    for each in ASSUMPTIONS:
        draw = Random(f"{seed}:{each.name}").random  # noqa: S311
        order = list(range(count))
        for last in range(count - 1, 0, -1):
            other = int(draw() * (last + 1))
            order[last], order[other] = order[other], order[last]
        columns.append(
            [triangular_quantile((part + draw()) / count, each.low, each.value, each.high) for part in order]
        )
    return tuple(Parameters(*row) for row in zip(*columns, strict=True))


def normal_pairs(seed: int, count: int) -> tuple[tuple[float, float], ...]:
    """Pairs of independent standard normal numbers, by Marsaglia's polar method from `Random.random()`."""
    draw = Random(f"{seed}:normal").random  # noqa: S311
    pairs: list[tuple[float, float]] = []
    while len(pairs) < count:
        x, y = 2.0 * draw() - 1.0, 2.0 * draw() - 1.0
        square = x * x + y * y
        if 0.0 < square < 1.0:
            scale = sqrt(-2.0 * log(square) / square)
            pairs.append((x * scale, y * scale))
    return tuple(pairs)


def quantile(ordered: Sequence[float], share: float) -> float:
    """Quantile of values in rising order, straight between neighbours (type 7 of Hyndman & Fan, 1996)."""
    place = share * (len(ordered) - 1)
    below = int(place)
    if below >= len(ordered) - 1:
        return ordered[-1]
    return ordered[below] + (place - below) * (ordered[below + 1] - ordered[below])


def scaled(parameters: Parameters, **factors: float) -> Parameters:
    """The parameters with some of them multiplied."""
    return replace(parameters, **{name: getattr(parameters, name) * factor for name, factor in factors.items()})
