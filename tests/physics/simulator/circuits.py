"""Random circuits: curvature along a lap, with one longest straight and an infield that flows or stops and goes."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from tests.physics.simulator.arrays import Array

CELLS: Final = 360
"""Cells of a lap, all as long as each other."""

KINDS: Final = ("flowing", "mixed", "stop-go")


@dataclass(frozen=True, slots=True)
class Corner:
    """How the corners of a kind of infield are: radius and links in metres, angle in radians; each as least and most."""

    radius: tuple[float, float]
    angle: tuple[float, float]
    link: tuple[float, float]


_CORNERS: Final = {
    "flowing": Corner((3.0, 9.0), (0.5, 1.9), (0.5, 3.0)),
    "mixed": Corner((1.8, 6.0), (0.8, 2.6), (1.0, 7.0)),
    "stop-go": Corner((0.9, 2.5), (1.5, 3.1), (3.0, 11.0)),
}


@dataclass(frozen=True, slots=True)
class Circuit:
    """A lap on the driven line.

    Attributes:
        kind: Of its infield.
        lap_m: Its length.
        straight_m: Of its longest straight, which comes first.
        curvature: One over the radius, a cell each; zero where it is straight.
        corners: How many there are.
    """

    kind: str
    lap_m: float
    straight_m: float
    curvature: Array
    corners: int


def circuit(random: np.random.Generator, kind: str, lap_m: float, straight_m: float, scale: float = 1.0) -> Circuit:
    """A circuit of a kind.

    Args:
        random: Where its chances come from.
        kind: One of `KINDS`.
        lap_m: Length of the lap.
        straight_m: Length of its longest straight.
        scale: Size of its corners beside those of a hall for 1/10 cars.
    """
    shape = _CORNERS[kind]
    cell_m = lap_m / CELLS
    curvature = np.zeros(CELLS)
    at, corners = straight_m, 0
    while at < lap_m - cell_m:
        radius = scale * random.uniform(*shape.radius)
        arc = min(radius * random.uniform(*shape.angle), lap_m - at)
        curvature[round(at / cell_m) : round((at + arc) / cell_m)] = 1.0 / radius
        at += arc + min(scale * random.uniform(*shape.link), 0.8 * straight_m)
        corners += 1
    # The lap ends in a corner, so that the straight is no longer than it says.
    curvature[-2:] = np.maximum(curvature[-2:], 1.0 / (scale * shape.radius[1]))
    return Circuit(kind, lap_m, straight_m, curvature, corners)
