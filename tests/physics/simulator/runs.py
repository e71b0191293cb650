"""Whole runs: four heat stores that warm each other while the pack empties, and what is read of them afterwards."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from tests.physics.simulator.arrays import Array
from tests.physics.simulator.constants import COPPER_ZERO_C
from tests.physics.simulator.fleet import Fleet
from tests.physics.simulator.lap import Laps, drive_laps

PART_S: Final = 25.0
"""A lap is driven anew this often, at the temperatures and the charge of then."""

STEP_S: Final = 0.5


@dataclass(frozen=True, slots=True)
class Heat:
    """Temperatures of the four stores in °C."""

    winding: Array
    iron: Array
    can: Array
    magnet: Array


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a run came to.

    Attributes:
        end: Temperatures at its end.
        looks: Temperatures at the times asked for.
        used_mah: Out of the pack.
        best_lap_s: Shortest lap.
        mean_lap_s: Mean lap.
        top_m_s: Greatest speed.
        mean_top_m_s: Greatest speed of a lap, mean over the run.
        infield_m_s: Mean speed off the straight.
        rpm: Greatest motor speed.
    """

    end: Heat
    looks: tuple[Heat, ...]
    used_mah: Array
    best_lap_s: Array
    mean_lap_s: Array
    top_m_s: Array
    mean_top_m_s: Array
    infield_m_s: Array
    rpm: Array


def run(cars: Fleet, ratio: Array, *, minutes: Array | None = None, looks_min: tuple[float, ...] = ()) -> Outcome:
    """Run every car on its ratio from cold.

    Args:
        cars: The fleet.
        ratio: Final drive ratios.
        minutes: How long each runs; as its class does where not given.
        looks_min: Minutes whose temperatures are kept.
    """
    length_s = (cars["minutes"] if minutes is None else minutes) * 60.0
    air = cars["air_c"]
    heat = Heat(air.copy(), air.copy(), air.copy(), air.copy())
    used = np.zeros(len(cars))
    looks = [heat] * len(looks_min)
    laps: list[tuple[Laps, Array]] = []
    begin = 0.0
    while begin < length_s.max() - 1e-9:
        driven = drive_laps(cars, ratio, winding_c=heat.winding, magnet_c=heat.magnet, used_mah=used)
        length = np.clip(length_s - begin, 0.0, PART_S)
        cooling = cooling_w_k(cars, driven.mean_m_s)
        for step in range(round(PART_S / STEP_S)):
            on = np.clip((length - step * STEP_S) / STEP_S, 0.0, 1.0) * STEP_S
            heat = warmed(cars, heat, on, driven, cooling)
            now = begin + (step + 1) * STEP_S
            for row, look_min in enumerate(looks_min):
                if abs(now - look_min * 60.0) < STEP_S / 2:
                    looks[row] = heat
        used = used + driven.charge_c / driven.time_s * length / 3.6
        laps.append((driven, length))
        begin += PART_S
    weight = np.array([length for _, length in laps])
    weight = weight / weight.sum(axis=0)
    driving = weight > 0

    def mean(name: str) -> Array:
        return np.asarray((np.array([getattr(driven, name) for driven, _ in laps]) * weight).sum(axis=0))

    tops = np.where(driving, np.array([driven.top_m_s for driven, _ in laps]), 0.0)
    times = np.where(driving, np.array([driven.time_s for driven, _ in laps]), np.inf)
    return Outcome(
        heat,
        tuple(looks),
        used,
        times.min(axis=0),
        1.0 / (np.array([1.0 / driven.time_s for driven, _ in laps]) * weight).sum(axis=0),
        tops.max(axis=0),
        mean("top_m_s"),
        mean("infield_m_s"),
        mean("top_m_s") * ratio / (cars["tyre"] / 2.0) * 30.0 / np.pi,
    )


def cooling_w_k(cars: Fleet, velocity: Array) -> Array:
    """Conductance from can to air, by the speed of the car; never less than in still air."""
    moving = (velocity / 6.0) ** cars["air_power"] / cars["can_air_k_w"]
    return np.maximum(moving, 1.0 / cars["still_air_k_w"])


def warmed(cars: Fleet, heat: Heat, seconds: Array, driven: Laps | None, cooling: Array) -> Heat:
    """The stores after a short time (the midpoint rule), driving or, without a lap, standing."""
    middle = _stepped(cars, heat, heat, seconds / 2.0, driven, cooling)
    return _stepped(cars, heat, middle, seconds, driven, cooling)


def _stepped(cars: Fleet, start: Heat, at: Heat, seconds: Array, driven: Laps | None, cooling: Array) -> Heat:
    copper: Array | float = 0.0
    iron: Array | float = 0.0
    bearing: Array | float = 0.0
    if driven is not None:
        hot = cars["winding_ohm"] * (at.winding - COPPER_ZERO_C) / (25.0 - COPPER_ZERO_C)
        copper, iron, bearing = driven.square_a2 * hot, driven.iron_w, driven.bearing_w
    to_iron = (at.winding - at.iron) / cars["winding_iron_k_w"]
    to_can = (at.iron - at.can) / cars["iron_can_k_w"]
    from_magnet = (at.magnet - at.iron) / cars["magnet_iron_k_w"]
    to_air = (at.can - cars["air_c"]) * cooling
    share = cars["magnet_iron_share"]
    return Heat(
        start.winding + seconds * (copper - to_iron) / cars["winding_j"],
        start.iron + seconds * (to_iron + from_magnet + iron * (1.0 - share) - to_can) / cars["iron_j"],
        start.can + seconds * (to_can + bearing - to_air) / cars["can_j"],
        start.magnet + seconds * (iron * share - from_magnet) / cars["magnet_j"],
    )


def can_after_stop(cars: Fleet, end: Heat, after_s: Array) -> Array:
    """Can some time after the car stopped, in still air."""
    heat = end
    for step in range(int(np.ceil(after_s.max() / STEP_S)) if after_s.max() > 0 else 0):
        seconds = np.clip(after_s - step * STEP_S, 0.0, STEP_S)
        heat = warmed(cars, heat, seconds, None, 1.0 / cars["still_air_k_w"])
    return heat.can
