"""Seeded sets of scores for assumed constants, and the quantiles of what follows from them."""

from collections.abc import Sequence
from functools import cache
from random import Random
from statistics import NormalDist
from typing import Final

from speclint.physics.assumptions import ASSUMPTIONS, Scores

_NORMAL: Final = NormalDist()


@cache
def sample(
    seed: int, count: int, names: tuple[str, ...] = tuple(assumption.name for assumption in ASSUMPTIONS)
) -> tuple[Scores, ...]:
    """Sets of standard normal scores, stratified: every constant has one in each of `count` equally likely parts.

    (Latin hypercube: McKay, Beckman & Conover, 1979.) The constants are taken as independent. Each has a stream of
    random numbers of its own, so a new constant leaves the others' scores as they were. Only `Random.random()` is
    used, whose sequence for a seed Python promises to keep.

    Args:
        seed: The same seed gives the same sets.
        count: How many, at least one.
        names: Of the constants.
    """
    columns = []
    for name in names:
        draw = Random(f"{seed}:{name}").random  # noqa: S311
        order = list(range(count))
        for last in range(count - 1, 0, -1):
            chosen = int(draw() * (last + 1))
            order[last], order[chosen] = order[chosen], order[last]
        columns.append([_NORMAL.inv_cdf((part + draw()) / count) for part in order])
    return tuple(zip(*columns, strict=True))


def quantile(ordered: Sequence[float], share: float) -> float:
    """Quantile of values in rising order, straight between neighbours (type 7 of Hyndman & Fan, 1996)."""
    place = share * (len(ordered) - 1)
    below = int(place)
    if below >= len(ordered) - 1:
        return ordered[-1]
    return ordered[below] + (place - below) * (ordered[below + 1] - ordered[below])
