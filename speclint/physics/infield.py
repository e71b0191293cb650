"""The way off the straight as like corners with links between them: how fast the corners are for a mean speed that is known.

Each corner turns by an angle at a steady speed; each link is driven up and braked again as a straight is. The longer the
links, the more the infield stops and goes. A corner's speed belongs to its radius and the grip, so it is found once, for
the gearing with which the track's speed was read, and holds for every other.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt
from typing import Final

from speclint.physics.assumptions import Parameters
from speclint.physics.drive import Drive, greatest_speed_m_per_s
from speclint.physics.straight import NEARLY, straight
from speclint.physics.vehicle import Road

USUAL_INFIELD_M: Final = 100.0
"""Way off the straight for which the spacing of corners is stated: a larger track has more corners, and wider ones."""

_SHORTEST_LINK_M: Final = 0.05
_MOST_ROUNDS: Final = 12
_CLOSE: Final = 1e-4


@dataclass(frozen=True, slots=True)
class Track:
    """One lap of a track.

    Attributes:
        lap_m: Length of the lap on the driven line.
        straight_m: Length of its longest straight, out of one corner and up to the next.
        infield_m_per_s: Mean speed off the straight; counts where no lap time is given.
        lap_s: Lap time of this car, where the mean speed is not known.
        corners: How many there are off the straight, where that is known.
    """

    lap_m: float
    straight_m: float
    infield_m_per_s: float
    lap_s: float | None = None
    corners: int | None = None

    def __post_init__(self) -> None:
        """Raises ValueError unless 0 < straight < lap and the other figures are above zero."""
        if not 0 < self.straight_m < self.lap_m:
            raise ValueError("the straight must be longer than zero and shorter than the lap")
        if not (self.infield_m_per_s > 0 and (self.lap_s is None or self.lap_s > 0)):
            raise ValueError("speed and lap time must be above zero")
        if self.corners is not None and self.corners < 1:
            raise ValueError("a track must have a corner")


@dataclass(frozen=True, slots=True)
class Infield:
    """The way off the straight.

    Attributes:
        corners: How many; need not be whole.
        arc_m: Length of each.
        link_m: Way from each to the next.
        corner_m_per_s: Speed in them, where the car can reach it.
        curvature_per_m: One over their radius.
    """

    corners: float
    arc_m: float
    link_m: float
    corner_m_per_s: float
    curvature_per_m: float

    def scrub_n_s2_per_m2(self, coefficient: float, road: Road) -> float:
        """Part of the side force m·v²/R that points backwards, for a speed of 1 m/s.

        Where a corner would ask for more side force than the grip gives, its radius is taken to be as wide as that asks.
        """
        speed = max(self.corner_m_per_s, 1e-6)
        return coefficient * min(road.mass_kg * self.curvature_per_m, road.traction_n / (speed * speed))


def infield(drive: Drive, *, track: Track, parameters: Parameters) -> Infield:
    """The infield whose mean speed, or whose lap time, is that of the track, with this car on this gearing.

    The speed in the corners is found by the secant method. Where even the greatest speed of the drive in corners makes no
    such mean, that speed counts.
    """
    length_m = track.lap_m - track.straight_m
    corners = (
        float(track.corners)
        if track.corners is not None
        else max(1.0, sqrt(length_m * USUAL_INFIELD_M) / parameters.corner_spacing_m)
    )
    arc_m = length_m / corners / (1.0 + parameters.link_ratio)
    link_m = arc_m * parameters.link_ratio
    target = track.infield_m_per_s * parameters.infield_speed_factor
    most = greatest_speed_m_per_s(drive.stretches, drive.road.rolling_n, drive.road.drag_n_s2_per_m2) * NEARLY

    tops = {link_m: 0.0, track.straight_m: 0.0}

    def link_s(corner: float, way_m: float) -> float:
        if way_m < _SHORTEST_LINK_M:
            return way_m / corner
        link = straight(drive, corner_m_per_s=corner, length_m=way_m, near_m_per_s=tops[way_m])
        tops[way_m] = link.top_m_per_s
        return link.effort.time_s

    def excess_s(corner: float) -> float:
        slow_s = corners * (arc_m / corner + link_s(corner, link_m))
        if track.lap_s is None:
            return slow_s - length_m / target
        return slow_s + link_s(corner, track.straight_m) - track.lap_s / parameters.infield_speed_factor

    guess = min(target * (1.0 - 0.3 * link_m / (arc_m + link_m)), 0.98 * most)
    return Infield(corners, arc_m, link_m, _root(excess_s, guess, most), parameters.corner_angle_rad / arc_m)


def _root(excess: Callable[[float], float], guess: float, most: float) -> float:
    """The speed at which a time that falls with speed is neither too long nor too short; `most` where it stays too long."""
    low, high = 0.02 * most, most
    speed, last_speed, last_excess = guess, 0.0, 0.0
    for step in range(_MOST_ROUNDS):
        now = excess(speed)
        if now > 0:
            low = speed
        else:
            high = speed
        if step == 0:
            # Were all of it driven at one speed, the time would go with one over it.
            better = speed * (1.06 if now > 0 else 0.94)
        else:
            better = speed - now * (speed - last_speed) / (now - last_excess) if now != last_excess else speed
        if not low < better < high:
            better = (low + high) / 2.0
        if abs(better - speed) < _CLOSE * speed:
            return better
        last_speed, last_excess, speed = speed, now, better
    return speed
