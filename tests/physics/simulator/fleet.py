"""Fleets of invented cars, each with a circuit, a driver and a motor of its own: what they are, and what is measured of them."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tests.physics.simulator.arrays import Array
from tests.physics.simulator.circuits import KINDS, Circuit, circuit
from tests.physics.simulator.constants import RANGES, Range

RAD_S_PER_RPM: Final = np.pi / 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CarClass:
    """A class of cars: sizes as least and most, tyre in metres; gears by their final drive ratio at 17.5 turns."""

    name: str
    mass_kg: tuple[float, float]
    tyre_m: tuple[float, float]
    internal: float
    spur: int
    pinions: tuple[int, int]
    turns: tuple[float, ...]
    cells: int
    capacity_mah: tuple[float, float]
    lap_m: tuple[float, float]
    corner_scale: float
    grip: Range
    drag_area: Range
    ratios: dict[float, tuple[float, float]]
    minutes: float


CLASSES: Final = {
    each.name: each
    for each in (
        CarClass(
            name="touring", mass_kg=(1.33, 1.42), tyre_m=(0.0605, 0.064), internal=1.9, spur=96, pinions=(20, 58),
            turns=(13.5, 17.5, 21.5), cells=2, capacity_mah=(5000, 7600), lap_m=(80, 190), corner_scale=1.0,
            grip=Range(0.9, 1.6, 2.3, "estimate: dusty asphalt to prepared carpet"),
            drag_area=Range(0.007, 0.010, 0.014, "0.021 m2 of front, drag coefficient 0.33-0.66: estimate"),
            ratios={13.5: (4.8, 7.8), 17.5: (3.6, 5.8), 21.5: (3.3, 5.0)}, minutes=5.0,
        ),
        CarClass(
            name="pan", mass_kg=(0.73, 0.80), tyre_m=(0.042, 0.047), internal=1.0, spur=80, pinions=(26, 64),
            turns=(13.5, 17.5), cells=1, capacity_mah=(5500, 8200), lap_m=(70, 150), corner_scale=1.0,
            grip=Range(1.0, 1.6, 2.2, "estimate: foam tyres on carpet"),
            drag_area=Range(0.005, 0.0075, 0.010, "0.016 m2 of front: estimate"),
            ratios={13.5: (1.7, 2.8), 17.5: (1.4, 2.2)}, minutes=8.0,
        ),
        CarClass(
            name="buggy", mass_kg=(1.48, 1.58), tyre_m=(0.082, 0.087), internal=2.6, spur=72, pinions=(12, 32),
            turns=(13.5, 17.5), cells=2, capacity_mah=(3800, 5200), lap_m=(110, 280), corner_scale=1.3,
            grip=Range(0.6, 1.05, 1.7, "estimate: loose ground to carpet"),
            drag_area=Range(0.010, 0.013, 0.018, "a wing and open wheels: estimate"),
            ratios={13.5: (8.2, 12.5), 17.5: (6.6, 10.5)}, minutes=5.0,
        ),
    )
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fleet:
    """Cars, one a row of each array; SI units.

    Attributes:
        values: Arrays by name: the ranges' quantities and what follows from them.
        curvature: Of each car's lap, a row of cells each.
        circuits: The laps.
        classes: The classes.
        turns: Of each motor.
    """

    values: dict[str, Array]
    curvature: Array
    circuits: tuple[Circuit, ...]
    classes: tuple[CarClass, ...]
    turns: tuple[float, ...]

    def __len__(self) -> int:
        """How many cars there are."""
        return len(self.circuits)

    def __getitem__(self, name: str) -> Array:
        """A quantity, one value a car."""
        return self.values[name]

    def take(self, indices: list[int]) -> "Fleet":
        """Some of the cars, or some of them again and again."""
        return Fleet(
            {name: array[indices] for name, array in self.values.items()},
            self.curvature[indices],
            tuple(self.circuits[index] for index in indices),
            tuple(self.classes[index] for index in indices),
            tuple(self.turns[index] for index in indices),
        )

    def with_values(self, **arrays: Array) -> "Fleet":
        """The same cars, some of their quantities others."""
        return replace(self, values={**self.values, **arrays})

    def another_day(self, random: np.random.Generator) -> "Fleet":
        """The same cars as they are on another run: driver, surface and wind differ a little, the air by some kelvin."""
        count = len(self)
        return self.with_values(
            corner_use=np.clip(self["corner_use"] * random.normal(1.0, 0.025, count), 0.5, 1.0),
            grip=self["grip"] * random.normal(1.0, 0.04, count),
            can_air_k_w=self["can_air_k_w"] * random.normal(1.0, 0.04, count),
            throttle_swing=self["throttle_swing"] * random.normal(1.0, 0.1, count),
            air_c=self["air_c"] + random.normal(0.0, 2.0, count),
        )


def fleet(
    seed: int,
    count: int,
    *,
    class_names: tuple[str, ...] = ("touring", "touring", "touring", "pan", "buggy"),
    kinds: tuple[str, ...] = KINDS,
    turns: tuple[float, ...] = (),
) -> Fleet:
    """A fleet; classes and kinds of infield take turns, everything else is drawn.

    Args:
        seed: The same seed gives the same cars.
        count: How many.
        class_names: Classes, in turn.
        kinds: Kinds of infield, in turn.
        turns: Turns of the motors, in turn; drawn from the class's where there are none.
    """
    random = np.random.default_rng(seed)
    classes = tuple(CLASSES[class_names[index % len(class_names)]] for index in range(count))
    wound = tuple(
        turns[index // len(kinds) % len(turns)] if turns else float(random.choice(each.turns))
        for index, each in enumerate(classes)
    )
    circuits = []
    for index, each in enumerate(classes):
        lap_m = random.uniform(*each.lap_m)
        kind = kinds[index // len(class_names) % len(kinds)]
        circuits.append(circuit(random, kind, lap_m, lap_m * random.uniform(0.13, 0.28), each.corner_scale))
    values = {name: each.draw(random, count) for name, each in RANGES.items()}
    values["grip"] = np.array([each.grip.draw(random, 1)[0] for each in classes])
    values["drag_area"] = np.array([each.drag_area.draw(random, 1)[0] for each in classes])
    for name, attribute in (("mass", "mass_kg"), ("tyre", "tyre_m"), ("capacity_mah", "capacity_mah")):
        values[name] = np.array([random.uniform(*getattr(each, attribute)) for each in classes])
    values["cells"] = np.array([float(each.cells) for each in classes])
    values["minutes"] = np.array([each.minutes for each in classes])
    values["charged_v"] = values["cells"] * random.uniform(4.16, 4.20, count)
    values["air_c"] = random.uniform(10.0, 32.0, count)
    return Fleet(
        {**values, **_motors(random, np.array(wound))},
        np.array([each.curvature for each in circuits]),
        tuple(circuits),
        classes,
        wound,
    )


def _motors(random: np.random.Generator, wound: Array) -> dict[str, Array]:
    """Motors of a wind: published club limits of 39,000 to 41,000 rpm/V times turns at zero timing, a little timing
    beside; published least windings of 35.4 and 20.6 milliohm for 17.5 and 13.5 turns, line to line at 25 °C."""
    count = len(wound)
    speed_per_volt = 41_500.0 / wound * random.normal(1.0, 0.03, count)
    constant = 1.0 / (speed_per_volt * RAD_S_PER_RPM)
    return {
        "torque_nm_a": constant,
        "winding_ohm": 0.1185e-3 * wound**2 * random.normal(1.0, 0.025, count),
        "no_load_nm": 0.013 * np.exp(random.normal(0.0, 0.13, count)),
    }
