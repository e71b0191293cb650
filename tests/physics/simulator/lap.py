"""One lap cell by cell under a friction circle: speeds by a pass forward and one back, then currents and heat of each cell."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from tests.physics.simulator.arrays import Array
from tests.physics.simulator.circuits import CELLS
from tests.physics.simulator.constants import COPPER_ZERO_C, GRAVITY, REST_VOLTAGE
from tests.physics.simulator.fleet import RAD_S_PER_RPM, Fleet

FASTEST_M_S: Final = 45.0
SLOWEST_M_S: Final = 0.5
STEADY_RPM: Final = 17_000.0
"""Where the no-load torque is what `no_load_nm` says, and its part without speed what `steady_share` says."""


@dataclass(frozen=True, slots=True)
class Laps:
    """One lap of each car.

    Attributes:
        time_s: Lap time.
        top_m_s: Greatest speed on the straight.
        infield_m_s: Mean speed off the straight.
        mean_m_s: Mean speed.
        charge_c: Out of the pack.
        square_a2: Mean of the squared motor current.
        iron_w: Loss of the iron, without bearings.
        bearing_w: Loss of the bearings.
        work_j: What the pack gave, less what became heat or went back: zero up to rounding.
    """

    time_s: Array
    top_m_s: Array
    infield_m_s: Array
    mean_m_s: Array
    charge_c: Array
    square_a2: Array
    iron_w: Array
    bearing_w: Array
    work_j: Array


class Drive:
    """What motor, pack and gears can do at a state of heat and charge."""

    def __init__(self, cars: Fleet, ratio: Array, winding_c: Array, magnet_c: Array, used_mah: Array) -> None:
        self.turn_per_m = ratio / (cars["tyre"] / 2.0)
        self.constant = cars["torque_nm_a"] * (1.0 - cars["magnet_fall"] * (magnet_c - 25.0))
        self.winding = cars["winding_ohm"] * (winding_c - COPPER_ZERO_C) / (25.0 - COPPER_ZERO_C)
        left = 1.0 - used_mah / (cars["capacity_mah"] * cars["pack_truth"])
        places, volts = zip(*REST_VOLTAGE, strict=True)
        full = cars["charged_v"] / cars["cells"] - REST_VOLTAGE[-1][1]
        self.rest_v = cars["cells"] * (np.interp(left, places, volts) + full * np.clip(left, 0.0, 1.0))
        # A cell's resistance grows towards its end.
        self.source = cars["cells"] * cars["cell_ohm"] * (1.0 + 0.4 * (1.0 - left)) + cars["plugs_ohm"]
        self.switches = cars["switches_ohm"]
        self.total = self.winding + self.source + self.switches
        self.limit_a = cars["current_limit"]
        self.efficiency = cars["gear_efficiency"]
        steady = cars["no_load_nm"] * cars["steady_share"]
        self.bearing = steady * cars["bearing_share"]
        self.steady_iron = steady - self.bearing
        self.growing_iron = cars["no_load_nm"] * (1.0 - cars["steady_share"]) / (STEADY_RPM * RAD_S_PER_RPM)
        self.load_iron = cars["load_iron"] / 60.0

    def iron_nm(self, speed: Array) -> Array:
        """Torque of the iron without current, at a speed of the motor."""
        return self.steady_iron + self.growing_iron * speed

    def most_a(self, speed: Array) -> Array:
        """Current at full throttle."""
        return np.asarray(np.minimum((self.rest_v - self.constant * speed) / self.total, self.limit_a))

    def most_n(self, velocity: Array) -> Array:
        """Force at the tyres at full throttle; below zero where the motor holds the car back."""
        speed = self.turn_per_m * velocity
        current = self.most_a(speed)
        torque = (
            self.constant * current
            - self.bearing
            - self.iron_nm(speed) * (1.0 + self.load_iron * np.maximum(current, 0.0))
        )
        return torque * self.turn_per_m * np.where(torque > 0, self.efficiency, 1.0 / self.efficiency)


def _resistance(cars: Fleet, curvature: Array, velocity: Array) -> Array:
    """Rolling, belts, air, and the part of the side force that points backwards, in newton."""
    side = cars["mass"] * velocity**2 * curvature
    use = side / (cars["grip"] * cars["mass"] * GRAVITY)
    return (
        cars["rolling"] * cars["mass"] * GRAVITY
        + cars["belt_n"]
        + 0.5 * cars["air_density"] * cars["drag_area"] * velocity**2
        + side * (cars["slip_base"] + cars["slip_rise"] * use**2)
    )


def _along(cars: Fleet, curvature: Array, velocity: Array) -> Array:
    """Force along the car that the friction circle leaves beside the side force."""
    most = cars["grip"] * cars["corner_use"] * GRAVITY
    return cars["mass"] * most * np.sqrt(np.clip(1.0 - (velocity**2 * curvature / most) ** 2, 0.0, 1.0))


def _speeds(cars: Fleet, drive: Drive, curvature: Array, cell_m: Array) -> Array:
    """Speeds at the borders of the cells, one more than there are cells; the lap starts at its slowest place."""
    with np.errstate(divide="ignore"):
        limit = np.sqrt((cars["grip"] * cars["corner_use"] * GRAVITY)[:, None] / curvature)
    cell_limit = np.minimum(limit, FASTEST_M_S)
    border = np.minimum(cell_limit, np.roll(cell_limit, 1, axis=1))
    inertia = cars["mass"] * cars["turning_mass"]
    speeds = np.empty((len(cars), CELLS + 1))
    speeds[:, 0] = border[:, 0]
    for _ in range(3):
        for cell in range(CELLS):
            velocity = speeds[:, cell]
            bend = curvature[:, cell]
            force = np.minimum(drive.most_n(velocity), _along(cars, bend, velocity))
            square = velocity**2 + 2.0 * cell_m * (force - _resistance(cars, bend, velocity)) / inertia
            speeds[:, cell + 1] = np.clip(np.sqrt(np.maximum(square, 0.0)), SLOWEST_M_S, border[:, (cell + 1) % CELLS])
        if np.all(speeds[:, -1] >= speeds[:, 0] - 1e-6):
            break
        speeds[:, 0] = np.minimum(speeds[:, 0], speeds[:, -1])
    speeds[:, -1] = np.minimum(speeds[:, -1], speeds[:, 0])
    for cell in range(CELLS - 1, -1, -1):
        velocity = speeds[:, cell + 1]
        bend = curvature[:, cell]
        force = cars["brake_use"] * _along(cars, bend, velocity) + _resistance(cars, bend, velocity)
        slowed = np.sqrt(velocity**2 + 2.0 * cell_m * force / inertia)
        speeds[:, cell] = np.minimum(speeds[:, cell], slowed)
    return speeds


def drive_laps(cars: Fleet, ratio: Array, *, winding_c: Array, magnet_c: Array, used_mah: Array) -> Laps:
    """One lap of each car on its ratio, at temperatures and a charge used."""
    drive = Drive(cars, ratio, winding_c, magnet_c, used_mah)
    cell_m = np.array([each.lap_m for each in cars.circuits]) / CELLS
    # Rolled so that every lap starts where it is slowest.
    first = np.argmax(cars.curvature, axis=1)
    places = (np.arange(CELLS)[None, :] + first[:, None]) % CELLS
    curvature = np.take_along_axis(cars.curvature, places, axis=1)
    speeds = _speeds(cars, drive, curvature, cell_m)
    straight = places < (np.array([each.straight_m for each in cars.circuits]) / cell_m)[:, None]
    time = 2.0 * cell_m[:, None] / (speeds[:, :-1] + speeds[:, 1:])
    middle = cell_m[:, None] / time
    inertia = cars["mass"] * cars["turning_mass"]
    totals = {name: np.zeros(len(cars)) for name in ("charge", "square", "iron", "bearing", "balance")}
    for cell in range(CELLS):
        velocity, seconds = middle[:, cell], time[:, cell]
        gained = inertia * (speeds[:, cell + 1] ** 2 - speeds[:, cell] ** 2) / (2.0 * cell_m)
        force = gained + _resistance(cars, curvature[:, cell], velocity)
        _add_cell(cars, drive, force, velocity, seconds, totals)
    lap_s = time.sum(axis=1)
    off = np.where(straight, 0.0, time).sum(axis=1)
    return Laps(
        lap_s,
        np.where(straight, speeds[:, :-1], 0.0).max(axis=1),
        np.where(straight, 0.0, cell_m[:, None]).sum(axis=1) / off,
        cell_m * CELLS / lap_s,
        totals["charge"],
        totals["square"] / lap_s,
        totals["iron"] / lap_s,
        totals["bearing"] / lap_s,
        totals["balance"],
    )


def _add_cell(
    cars: Fleet, drive: Drive, force: Array, velocity: Array, seconds: Array, totals: dict[str, Array]
) -> None:
    """Adds what one cell takes. All braking goes through the motor, as in every electric model car."""
    speed = drive.turn_per_m * velocity
    lever = np.where(force > 0, drive.efficiency, 1.0 / drive.efficiency) * drive.turn_per_m
    idle = drive.bearing + drive.iron_nm(speed)
    needed = force / lever + idle
    # The iron's growth with the current turns with the current, whichever way it flows.
    growth = drive.iron_nm(speed) * drive.load_iron
    current = np.where(needed > 0, needed / (drive.constant - growth), needed / (drive.constant + growth))
    most = drive.most_a(speed)
    full = current >= 0.985 * most
    swing = np.where(full | (current <= 0), 0.0, cars["throttle_swing"])
    room = np.clip((most - current) / np.maximum(current, 1e-6), 0.0, 1.0)
    square = current**2 * (1.0 + (swing**2) * room + np.where(full, 0.0, cars["ripple"]))
    power = drive.constant * speed * current + square * (drive.winding + drive.switches)
    inside = np.maximum(drive.rest_v**2 - 4.0 * drive.source * np.maximum(power, 0.0), 0.0)
    drawn = 2.0 * np.maximum(power, 0.0) / (drive.rest_v + np.sqrt(inside))
    back = cars["returned_share"] * np.maximum(-power, 0.0) / drive.rest_v
    iron = drive.iron_nm(speed) * (1.0 + drive.load_iron * np.abs(current)) * speed
    totals["charge"] += (drawn - back) * seconds
    totals["square"] += square * seconds
    totals["iron"] += iron * seconds
    totals["bearing"] += drive.bearing * speed * seconds
    # Energy: terminals less copper, switches and no-load losses is what reaches the gears.
    reached = power - square * (drive.winding + drive.switches) - iron - drive.bearing * speed
    totals["balance"] += (reached - force / lever * speed) * seconds
