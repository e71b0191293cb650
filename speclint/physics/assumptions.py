"""Every constant that stands for a car or a track that nobody has measured: value, range, meaning, source.

A range holds nine cars or tracks in ten. Each constant follows a normal distribution on either side of its value, by
ratio (two-piece log-normal), so a set of constants is a point of independent standard normal scores: that is what is
drawn, what is fitted to track runs, and what cannot leave its range by more than its tails.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from math import exp, inf, log
from typing import Final

END_SCORE: Final = 1.6448536269514722
"""Score of the upper end of a range: 5 % of a standard normal distribution lie above it."""

FARTHEST_SCORE: Final = 3.0
"""No constant is taken farther out than this: one car in 740."""

Scores = tuple[float, ...]
"""One standard normal score a constant, in the order of the constants."""


@dataclass(frozen=True, slots=True)
class Assumption:
    """One assumed constant.

    Attributes:
        name: Field of `Parameters`.
        value: Most likely value.
        low: Nineteen in twenty are above it.
        high: Nineteen in twenty are below it.
        unit: In SI; `1` for a pure number.
        meaning: What it stands for, in a racer's words.
        source: Where value and range come from.
        most: It cannot be more than this.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    meaning: str
    source: str
    most: float = inf

    def at(self, score: float) -> float:
        """The constant at a standard normal score; the value itself where it has no range."""
        if self.low == self.high:
            return self.value
        score = max(-FARTHEST_SCORE, min(FARTHEST_SCORE, score)) / END_SCORE
        end = self.high if score > 0 else self.low
        return min(self.value * exp(abs(score) * log(end / self.value)), self.most)

    def narrowed(self, value: float, low: float, high: float) -> "Assumption":
        """The same constant where more is known of it."""
        return replace(self, value=value, low=low, high=high)


@dataclass(frozen=True, slots=True)
class Parameters:
    """One set of all assumed constants; units and meanings stand in `ASSUMPTIONS`."""

    rolling_coefficient: float
    drag_area_m2: float
    air_density_kg_per_m3: float
    traction_coefficient: float
    scrub_coefficient: float
    infield_speed_factor: float
    corner_spacing_m: float
    corner_angle_rad: float
    link_ratio: float
    brake_share: float
    pulse_share: float
    driveline_efficiency: float
    inertia_factor: float
    cell_rest_factor: float
    capacity_factor: float
    cell_ohm: float
    wiring_ohm: float
    controller_ohm: float
    current_limit_a: float
    speed_factor: float
    winding_factor: float
    no_load_factor: float
    friction_share: float
    iron_load_share: float
    magnet_per_k: float
    returned_share: float
    winding_j_per_k: float
    can_j_per_k: float
    winding_can_k_per_w: float
    can_skin_k_per_w: float
    magnet_can_k_per_w: float
    magnet_j_per_k: float
    can_air_k_per_w: float
    air_speed_power: float
    still_air_k_per_w: float
    fan_w_per_k: float
    day_speed_factor: float
    day_cooling_factor: float


ASSUMPTIONS: Final[tuple[Assumption, ...]] = (
    Assumption(
        "rolling_coefficient", 0.035, 0.022, 0.06, "1",
        "rolling resistance, belts and bearings as a part of the car's weight",
        "coast-downs of 1/10 cars with the gears engaged give 0.09 to 0.15, motor drag included: estimate below these",
    ),
    Assumption(
        "drag_area_m2", 0.010, 0.007, 0.014, "m2",
        "drag coefficient times frontal area of a car of 1.4 kg; other cars by the two-thirds power of their mass",
        "0.021 m2 of front and a drag coefficient of 0.33 to 0.66: estimate",
    ),
    Assumption(
        "air_density_kg_per_m3", 1.19, 1.06, 1.25, "kg/m3",
        "density of the air",
        "ideal gas at 1013 hPa: 1.25 at 10 °C, 1.20 at 20 °C, 1.15 at 35 °C; less on a mountain",
    ),
    Assumption(
        "traction_coefficient", 1.45, 0.68, 2.1, "1",
        "largest force of all tyres as a part of the car's weight, where the track's grip is not stated",
        "0.6 to 0.9 measured of 1/10 cars on laboratory floors (Zarrar et al. 2024, arXiv 2403.11784); race tyres: estimate",
    ),
    Assumption(
        "scrub_coefficient", 0.15, 0.085, 0.27, "1",
        "part of the side force in corners that points backwards",
        "0.10 to 0.16 in 1/10 cars at 0.4 to 0.75 g, and the sine of 5 to 9 degrees of slip: estimate from both",
    ),
    Assumption(
        "infield_speed_factor", 1.0, 0.952, 1.05, "1",
        "true mean speed off the straight beside what is stated of the track",
        "a stopwatch over a part of a lap: estimate",
    ),
    Assumption(
        "corner_spacing_m", 10.5, 7.0, 15.0, "m",
        "way off the straight from one corner to the next, for 100 m of it and by its square root, where the corners are not stated",
        "six to fourteen corners in a hall's lap: estimate",
    ),
    Assumption(
        "corner_angle_rad", 1.75, 1.15, 2.5, "rad",
        "how far a corner turns on average",
        "kinks of 45 degrees to hairpins of 180: estimate",
    ),
    Assumption(
        "link_ratio", 0.85, 0.18, 4.2, "1",
        "how stop-and-go the infield is: metres driven up and braked again between corners for each metre of corner",
        "from flowing (0.18 to 1) over mixed (0.35 to 1.7) to stop-go (1 to 4.2); a wide corner after a tight one counts as a link: estimate",
    ),
    Assumption(
        "brake_share", 0.6, 0.35, 0.85, "1",
        "part of the grip that the driver brakes with",
        "estimate", most=1.0,
    ),
    Assumption(
        "pulse_share", 0.03, 0.008, 0.1, "1",
        "how corners are driven: 0 holds the throttle steady, 1 goes between full throttle and none",
        "estimate",
    ),
    Assumption(
        "driveline_efficiency", 0.925, 0.865, 0.96, "1",
        "part of the motor's power that reaches the tyres",
        "up to 0.98 for a spur gear pair (Schmid et al., machine elements, ch. 14), with a belt or joints after it: estimate",
    ),
    Assumption(
        "inertia_factor", 1.08, 1.04, 1.13, "1",
        "how much wheels, gears and rotor add to the car's mass while it gains speed",
        "four wheels of 35 g with a radius of gyration of 0.8, a rotor of 4 g cm2 through the gears",
    ),
    Assumption(
        "cell_rest_factor", 1.0, 0.988, 1.008, "1",
        "voltage of a cell at rest beside the curve of a published one",
        "spread of four published curves: Ai et al. 2020, Ecker et al. 2015, Chen & Rincon-Mora 2006 and a chart of a seller",
    ),
    Assumption(
        "capacity_factor", 0.95, 0.86, 1.01, "1",
        "true over printed capacity of a pack",
        "age, and what is printed: estimate",
    ),
    Assumption(
        "cell_ohm", 0.0025, 0.0012, 0.0048, "ohm",
        "internal resistance of a cell",
        "hobby sources list 1 to 4 milliohm for good packs; half to twice that with age and cold",
    ),
    Assumption(
        "wiring_ohm", 0.0023, 0.0012, 0.004, "ohm",
        "plugs and wires between pack and speed control",
        "0.3 m of 12 or 14 AWG wire by ASTM B258, two contacts of up to 0.55 milliohm",
    ),
    Assumption(
        "controller_ohm", 0.004, 0.0025, 0.007, "ohm",
        "two switches of the speed control in a row, and the motor wires",
        "switches of 0.5 to 1.5 milliohm cold and 1.4 times that hot, two wires of 0.12 m, joints: estimate",
    ),
    Assumption(
        "current_limit_a", 120.0, 90.0, 160.0, "A",
        "largest motor current that the speed control lets through",
        "estimate",
    ),
    Assumption(
        "speed_factor", 1.0, 0.992, 1.008, "1",
        "the motor's true speed per volt beside what is known of it",
        "a bench reads it to about half a percent: estimate",
    ),
    Assumption(
        "winding_factor", 1.0, 0.985, 1.015, "1",
        "the winding's true resistance beside what is known of it",
        "a four-wire meter and a thermometer: estimate",
    ),
    Assumption(
        "no_load_factor", 1.0, 0.95, 1.06, "1",
        "true friction and iron of the motor beside what is known of them",
        "a no-load current reads to 2 %, and bearings change: estimate",
    ),
    Assumption(
        "friction_share", 0.40, 0.25, 0.60, "1",
        "part of the no-load torque at 17,000 rpm that does not grow with speed",
        "no-load lines of 14 windings of a 40 mm motor in a catalogue of 2013: 0.45 at 10,000 rpm, 0.33 at 17,000",
    ),
    Assumption(
        "iron_load_share", 0.2, 0.05, 0.45, "1",
        "how much more the iron loses at 60 A than without load",
        "estimate",
    ),
    Assumption(
        "magnet_per_k", -0.0011, -0.0013, -0.0009, "1/K",
        "change of the magnet's flux with temperature, as long as it is reversible",
        "magnet catalogues: -0.10 to -0.12 % a kelvin for sintered neodymium, -0.11 % for bonded",
    ),
    Assumption(
        "returned_share", 0.4, 0.12, 0.8, "1",
        "part of the braking energy past the winding's heat that goes back to the pack",
        "a chopped brake is a boost converter; not measured on race speed controls: estimate", most=1.0,
    ),
    Assumption(
        "winding_j_per_k", 13.0, 11.0, 17.5, "J/K",
        "heat that warms the winding by one kelvin",
        "28 g of copper at 385 J/(kg K), with enamel and the skin of the teeth",
    ),
    Assumption(
        "can_j_per_k", 77.0, 61.0, 97.0, "J/K",
        "heat that warms stator iron, rotor, can and end bells by one kelvin",
        "67 g of iron at 435 J/(kg K), 35 g of aluminium or 75 g of steel, 23 to 34 g of rotor",
    ),
    Assumption(
        "winding_can_k_per_w", 1.15, 0.6, 2.1, "K/W",
        "thermal resistance from winding to can",
        "slotted 40 mm motors list 1.35 to 3.1 K/W; pressed into the can and wound for current, less",
    ),
    Assumption(
        "can_skin_k_per_w", 0.16, 0.08, 0.3, "K/W",
        "how much cooler the can's skin is than stator and can together, for each watt that leaves them",
        "a press fit of the stator, half of whose heat has to pass it: estimate",
    ),
    Assumption(
        "magnet_can_k_per_w", 5.0, 3.0, 9.0, "K/W",
        "thermal resistance from the rotor's magnet to the rest of the motor",
        "half a millimetre of stirred air: estimate",
    ),
    Assumption(
        "magnet_j_per_k", 12.5, 10.0, 16.0, "J/K",
        "heat that warms the rotor by one kelvin: it lags behind the rest of the motor",
        "23 to 34 g of magnet and shaft at 480 J/(kg K)",
    ),
    Assumption(
        "can_air_k_per_w", 2.3, 1.35, 3.55, "K/W",
        "thermal resistance from can to air at 6 m/s, motor mount included, without a fan",
        "cylinder in cross flow (Churchill & Bernstein 1977) behind a body, with a mount of 40 to 80 cm2; vents: estimate",
    ),
    Assumption(
        "air_speed_power", 0.5, 0.38, 0.6, "1",
        "power of the air's speed with which the cooling grows",
        "0.55 for a cylinder in cross flow (Churchill & Bernstein 1977), less with the part that goes into the mount",
    ),
    Assumption(
        "still_air_k_per_w", 12.0, 8.0, 17.0, "K/W",
        "thermal resistance from can to air in a standing car",
        "40 mm motors list 5 to 14 K/W with their flange; free convection from a bare can, 18",
    ),
    Assumption(
        "fan_w_per_k", 0.15, 0.07, 0.3, "W/K",
        "what a fan on the motor adds to its cooling",
        "a jet of 5 to 10 m/s on a third of the can: estimate",
    ),
    Assumption(
        "day_speed_factor", 1.0, 0.962, 1.04, "1",
        "how fast corners are driven on one day beside another, by grip and driver; the grip differs by its square",
        "standard deviations of 4 % of grip, and of 2.5 % of what the driver uses of it: estimate",
    ),
    Assumption(
        "day_cooling_factor", 1.0, 0.936, 1.068, "1",
        "thermal resistance from can to air on one day beside another (wind, traffic, body)",
        "a standard deviation of 4 %: estimate",
    ),
)  # fmt: skip

INFIELDS: Final = {"flowing": (0.43, 0.18, 1.0), "mixed": (0.78, 0.35, 1.7), "stop-go": (2.05, 1.0, 4.2)}
"""How stop-and-go an infield of a word is: likely, low and high `link_ratio` (estimate)."""

_BY_NAME: Final = {assumption.name: assumption for assumption in ASSUMPTIONS}


def assumption(name: str) -> Assumption:
    """The assumption of a name; KeyError where there is none."""
    return _BY_NAME[name]


def narrowed(changes: Iterable[Assumption]) -> tuple[Assumption, ...]:
    """All assumptions, some of them replaced by what is known of one car, in the usual order."""
    by_name = {assumption.name: assumption for assumption in changes}
    return tuple(by_name.get(assumption.name, assumption) for assumption in ASSUMPTIONS)


def parameters_at(assumptions: Sequence[Assumption], scores: Scores) -> Parameters:
    """The set of constants at standard normal scores."""
    return Parameters(*(assumption.at(score) for assumption, score in zip(assumptions, scores, strict=True)))


def nominal(assumptions: Sequence[Assumption] = ASSUMPTIONS) -> Parameters:
    """The most likely value of every constant."""
    return Parameters(*(assumption.value for assumption in assumptions))


OFF_ROAD_TYRE_M: Final = 0.075
"""Driven tyres larger than this are those of an off-road car (common practice: 82 to 88 mm for 1/10 buggies)."""

OFF_ROAD: Final = _BY_NAME["traction_coefficient"].narrowed(1.05, 0.6, 1.7)
"""Grip of an off-road car, where the track's is not stated: loose ground to carpet (estimate)."""

TIMED_LAP: Final = replace(
    _BY_NAME["infield_speed_factor"].narrowed(1.0, 0.98, 1.015),
    meaning="mean lap of a run beside the lap time that is stated of the track, by speed",
    source="timing is exact; which laps are meant is not, and a run's best is 2.5 % shorter than its mean: estimate",
)
"""How far a track is known by a lap time of the car."""

BENCH_FRICTION_SHARE: Final = _BY_NAME["friction_share"].narrowed(0.56, 0.39, 0.74)
"""The friction share at 9,000 rpm, where a bench at 3.7 V spins a 17.5: s/(s + (1 − s)·9/17) of that at 17,000."""

NO_FAN: Final = _BY_NAME["fan_w_per_k"].narrowed(0.0, 0.0, 0.0)
"""A motor without a fan on it."""

NOMINAL: Final = nominal(narrowed([NO_FAN]))
"""A usual car on a usual track, without a fan."""

if [field.name for field in fields(Parameters)] != [each.name for each in ASSUMPTIONS]:
    raise AssertionError("the assumptions do not stand in the order of the parameters")
