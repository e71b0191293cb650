"""Every constant that stands for a car or a track that nobody has measured: value, range, meaning, source."""

from dataclasses import dataclass

from speclint.physics.battery import Supply
from speclint.physics.motor import Motor, torque_constant_nm_per_a
from speclint.physics.thermal import Network
from speclint.physics.units import rad_per_s
from speclint.physics.vehicle import Road, drag_factor_n_s2_per_m2, rolling_resistance_n, scrub_n, traction_n


@dataclass(frozen=True, slots=True)
class Assumption:
    """One assumed constant.

    Attributes:
        name: Field of `Parameters`.
        value: Most likely value.
        low: Least value that a usual car or track has.
        high: Greatest such value.
        unit: In SI; `1` for a pure number.
        meaning: What it stands for, in a racer's words.
        source: Where value and range come from.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    meaning: str
    source: str


@dataclass(frozen=True, slots=True)
class Parameters:
    """One set of all assumed constants; units and meanings stand in `ASSUMPTIONS`."""

    rolling_coefficient: float
    drag_area_m2: float
    air_density_kg_per_m3: float
    traction_coefficient: float
    scrub_coefficient: float
    brake_share: float
    pulse_share: float
    driveline_efficiency: float
    inertia_factor: float
    cell_fall_v: float
    pack_ohm: float
    wiring_ohm: float
    controller_ohm: float
    current_limit_a: float
    friction_share: float
    magnet_per_k: float
    brake_heat_share: float
    winding_j_per_k: float
    can_j_per_k: float
    winding_can_k_per_w: float
    can_air_k_per_w: float


ASSUMPTIONS: tuple[Assumption, ...] = (
    Assumption(
        "rolling_coefficient", 0.03, 0.02, 0.045, "1",
        "rolling resistance as a part of the car's weight",
        "from memory: small rubber tyres on carpet or asphalt, two to four times a full-size car's 0.010-0.015",
    ),
    Assumption(
        "drag_area_m2", 0.010, 0.007, 0.014, "m2",
        "drag coefficient times frontal area of a 1/10 body",
        "from memory: 0.19 m by 0.11 m of frontal area, drag coefficient 0.35-0.65",
    ),
    Assumption(
        "air_density_kg_per_m3", 1.20, 1.12, 1.26, "kg/m3",
        "density of the air",
        "ideal gas at 1013 hPa: 1.25 at 10 °C, 1.20 at 20 °C, 1.15 at 35 °C",
    ),
    Assumption(
        "traction_coefficient", 1.8, 1.3, 2.3, "1",
        "largest force of all tyres as a part of the car's weight, where the track's grip is not stated",
        "from memory: prepared carpet and rubber or foam tyres",
    ),
    Assumption(
        "scrub_coefficient", 0.20, 0.12, 0.30, "1",
        "part of the side force that holds the car back in corners, with what is braked and driven up again between them",
        "from memory: slip angles of 5-8 degrees, and a driver who is never quite smooth",
    ),
    Assumption(
        "brake_share", 0.6, 0.35, 0.85, "1",
        "part of the grip that the driver brakes with",
        "from memory: brakes act on a car that still turns in",
    ),
    Assumption(
        "pulse_share", 0.45, 0.25, 0.65, "1",
        "how the infield is driven: 0 holds the throttle steady, 1 goes between full throttle and none",
        "from memory: mean currents of 15-25 A with peaks of 60-90 A in stock touring cars",
    ),
    Assumption(
        "driveline_efficiency", 0.92, 0.87, 0.96, "1",
        "part of the motor's power that reaches the tyres",
        "handbook practice: 0.98 for a spur gear pair and 0.95 for a toothed belt or a joint (from memory)",
    ),
    Assumption(
        "inertia_factor", 1.08, 1.04, 1.13, "1",
        "how much wheels, gears and rotor add to the car's mass while it gains speed",
        "from memory: four wheels of 30-40 g with their mass near the rim",
    ),
    Assumption(
        "cell_fall_v", 0.22, 0.12, 0.32, "V",
        "how far a cell's open-circuit voltage lies below its full charge, on average over the run",
        "from memory: lithium polymer cell from 4.2 V down to 3.8 V at a third of its charge",
    ),
    Assumption(
        "pack_ohm", 0.006, 0.003, 0.010, "ohm",
        "internal resistance of the pack",
        "from memory: 1.5-5 milliohm a cell, two cells",
    ),
    Assumption(
        "wiring_ohm", 0.002, 0.001, 0.004, "ohm",
        "plugs and wires between pack and speed control",
        "from memory: 0.3 m of 3-5 mm2 wire and two plugs",
    ),
    Assumption(
        "controller_ohm", 0.004, 0.002, 0.007, "ohm",
        "two switches of the speed control in a row, and the motor wires",
        "from memory: switches of 0.5-2 milliohm each, 0.2 m of wire and solder joints",
    ),
    Assumption(
        "current_limit_a", 120.0, 90.0, 160.0, "A",
        "largest motor current that the speed control lets through",
        "from memory: usual ratings for stock classes",
    ),
    Assumption(
        "friction_share", 0.5, 0.25, 0.75, "1",
        "part of the no-load torque that does not grow with speed; one no-load point cannot tell it from the rest",
        "from memory: bearings and hysteresis against eddy currents in 0.35 mm sheet",
    ),
    Assumption(
        "magnet_per_k", -0.0012, -0.0013, -0.0009, "1/K",
        "change of the magnet's flux with temperature, as long as it is reversible",
        "published coefficients of sintered neodymium magnets, -0.12 % a kelvin; bonded ones from -0.10 (from memory)",
    ),
    Assumption(
        "brake_heat_share", 0.3, 0.0, 0.6, "1",
        "part of the braking energy that ends as heat in the winding; nothing is fed back to the pack",
        "from memory: the speed control brakes by shorting the motor, so winding, switches and tyres share it",
    ),
    Assumption(
        "winding_j_per_k", 14.0, 10.0, 22.0, "J/K",
        "heat that warms the winding by one kelvin",
        "25-30 g of copper at 385 J/(kg K), insulation and the skin of the teeth beside it",
    ),
    Assumption(
        "can_j_per_k", 62.0, 50.0, 78.0, "J/K",
        "heat that warms stator iron, can and end bells by one kelvin",
        "a motor of 165 g less copper and rotor, at 450-900 J/(kg K) for steel and aluminium",
    ),
    Assumption(
        "winding_can_k_per_w", 0.7, 0.4, 1.2, "K/W",
        "thermal resistance from winding to can",
        "industrial motors of the size list 1.7-3.1; wound for high current and pressed into the can, less (from memory)",
    ),
    Assumption(
        "can_air_k_per_w", 1.7, 1.1, 2.5, "K/W",
        "thermal resistance from can to air in a moving car, motor mount included",
        "industrial motors of the size list 5-14 in still air; with 5-10 m/s of air, a third to a fifth (from memory)",
    ),
)  # fmt: skip

NOMINAL = Parameters(**{assumption.name: assumption.value for assumption in ASSUMPTIONS})

SPEED_PER_VOLT_TIMES_TURNS = 40_000.0
"""Speed per volt times turns of a stock motor at zero timing: 39,000 to 41,000 in published club limits."""

WINDING_OHM_PER_TURN2 = 0.000_125
"""Resistance over turns squared at 25 °C, about a tenth above published minimums of 35.4 mΩ (17.5) and 20.6 mΩ (13.5)."""

NO_LOAD_TORQUE_NM = 0.013
"""Friction and iron of a 540-size stock motor at its rated speed: 2.5 to 4 A at 7.4 V in a 17.5 (from memory)."""

GRIP_BY_WORD = {"low": 1.2, "medium": 1.6, "high": 2.0}
"""Tyre force over weight for a track described in a word (from memory): dusty asphalt, clean asphalt, prepared carpet."""


def typical_motor(turns: float) -> Motor:
    """A stock motor of which only the turns are known, at 25 °C: for a first guess before any bench run.

    Speed per volt goes with one over the turns and resistance with their square (same copper, same slots).

    Raises:
        ValueError: The turns are not above zero.
    """
    if not turns > 0:
        raise ValueError("turns must be above zero")
    constant = SPEED_PER_VOLT_TIMES_TURNS / turns
    return Motor(
        torque_constant_nm_per_a(constant),
        WINDING_OHM_PER_TURN2 * turns**2,
        25.0,
        NO_LOAD_TORQUE_NM,
        rad_per_s(constant * 7.4),
    )


def assumption(name: str) -> Assumption:
    """The assumption of a name; KeyError where there is none."""
    for each in ASSUMPTIONS:
        if each.name == name:
            return each
    raise KeyError(name)


def network(parameters: Parameters) -> Network:
    """The motor's thermal network."""
    return Network(
        parameters.winding_j_per_k,
        parameters.can_j_per_k,
        parameters.winding_can_k_per_w,
        parameters.can_air_k_per_w,
    )


def supply(parameters: Parameters, *, pack_v: float, cells: int) -> Supply:
    """Pack and speed control.

    Args:
        parameters: The assumed constants.
        pack_v: Voltage of the charged pack, as it goes to the start.
        cells: Cells in a row.
    """
    return Supply(
        pack_v - cells * parameters.cell_fall_v,
        parameters.pack_ohm + parameters.wiring_ohm,
        parameters.controller_ohm,
        parameters.current_limit_a,
    )


def road(parameters: Parameters, *, mass_kg: float, tyre_diameter_m: float, grip: float | None = None) -> Road:
    """What the car asks of its motor.

    Args:
        parameters: The assumed constants.
        mass_kg: The car, ready to race.
        tyre_diameter_m: Of the driven wheels.
        grip: The track's largest tyre force over weight, where it is known; the assumed range then keeps its
            relative width around it.
    """
    traction = parameters.traction_coefficient
    if grip is not None:
        traction *= grip / NOMINAL.traction_coefficient
    limit = traction_n(traction, mass_kg)
    return Road(
        mass_kg * parameters.inertia_factor,
        tyre_diameter_m / 2.0,
        parameters.driveline_efficiency,
        rolling_resistance_n(parameters.rolling_coefficient, mass_kg),
        drag_factor_n_s2_per_m2(parameters.air_density_kg_per_m3, parameters.drag_area_m2),
        scrub_n(parameters.scrub_coefficient, traction, mass_kg),
        limit,
        limit * parameters.brake_share,
    )
