"""The force at the tyres over the car's speed: what grip, current limit and voltage each allow."""

from dataclasses import dataclass
from typing import NamedTuple

from speclint.physics.acceleration import terminal_speed
from speclint.physics.battery import Supply
from speclint.physics.motor import RunningMotor
from speclint.physics.vehicle import Road


@dataclass(frozen=True, slots=True)
class Stretch:
    """A range of speeds in which one thing limits the force; force and motor current are lines in the speed v.

    Attributes:
        until_m_per_s: Upper end of the range.
        force_n: Force of the tyres at v = 0, on the line.
        force_n_s_per_m: What the force loses for each m/s.
        current_a: Motor current at v = 0, on the line.
        current_a_s_per_m: What the current gains for each m/s.
        full_throttle: The voltage is the limit, so motor and pack carry the same current.
    """

    until_m_per_s: float
    force_n: float
    force_n_s_per_m: float
    current_a: float
    current_a_s_per_m: float
    full_throttle: bool


class Drive(NamedTuple):
    """A car on one ratio, as it drives.

    Attributes:
        motor: At the temperatures of the run.
        supply: Pack and speed control.
        road: The car's resistances and grip.
        turn_per_m: Angle that the motor turns for each metre (rad/m).
        stretches: The greatest drive force over speed.
    """

    motor: RunningMotor
    supply: Supply
    road: Road
    turn_per_m: float
    stretches: tuple[Stretch, ...]

    def drawn_a(self, current_a: float, speed_m_per_s: float) -> float:
        """Current out of the pack for one in the motor, at a speed of the car."""
        spin = self.turn_per_m * speed_m_per_s
        return self.supply.battery_current_a(self.motor.terminal_power_w(current_a, spin, self.supply.controller_ohm))


def drive_of(motor: RunningMotor, supply: Supply, road: Road, ratio: float) -> Drive:
    """The drive of a car on a final drive ratio.

    Raises:
        ValueError: At a stand the motor's friction is more than its torque.
    """
    return Drive(motor, supply, road, ratio / road.wheel_radius_m, stretches(motor, supply, road, ratio))


def stretches(motor: RunningMotor, supply: Supply, road: Road, ratio: float) -> tuple[Stretch, ...]:
    """The greatest drive force over speed, as one to three stretches in the order of speed.

    Grip gives a level line; the current limit one that falls with the motor's own drag; full throttle the steepest.
    The least of the three counts, so they follow each other in that order, and one that is nowhere the least is
    left out. The last stretch has no upper end.

    Raises:
        ValueError: At a stand the motor's friction is more than its torque.
    """
    k = motor.torque_constant_nm_per_a
    turn = ratio / road.wheel_radius_m
    lever = road.efficiency * turn
    total_ohm = motor.resistance_ohm + supply.source_ohm + supply.controller_ohm
    stall_a = supply.open_circuit_v / total_ohm
    emf_a = k * turn / total_ohm
    drag = motor.drag_nm_s * turn
    full = (lever * (k * stall_a - motor.friction_nm), lever * (k * emf_a + drag))
    limited = (lever * (k * supply.current_limit_a - motor.friction_nm), lever * drag)
    grip = road.traction_n
    if full[0] <= 0 or limited[0] <= 0:
        raise ValueError("this motor cannot turn against its own friction; check no-load current and resistance")
    grip_stretch_a, grip_stretch_slope = (grip / lever + motor.friction_nm) / k, drag / k
    to_full = (stall_a - supply.current_limit_a) / emf_a
    last = Stretch(float("inf"), full[0], full[1], stall_a, -emf_a, full_throttle=True)
    if to_full <= 0 or limited[0] - limited[1] * to_full >= grip:
        until = (full[0] - grip) / full[1]
        if until <= 0:
            return (last,)
        return Stretch(until, grip, 0.0, grip_stretch_a, grip_stretch_slope, full_throttle=False), last
    middle = Stretch(to_full, limited[0], limited[1], supply.current_limit_a, 0.0, full_throttle=False)
    if limited[0] <= grip:
        return middle, last
    until = (limited[0] - grip) / limited[1]
    return Stretch(until, grip, 0.0, grip_stretch_a, grip_stretch_slope, full_throttle=False), middle, last


def greatest_speed_m_per_s(drive: tuple[Stretch, ...], against_n: float, drag_n_s2_per_m2: float) -> float:
    """Speed that the drive force can hold against a constant force and the air.

    Every stretch's line lies on or above the drive force, so the least of the speeds that they could hold counts.

    Raises:
        ValueError: The force at a stand does not overcome `against_n`.
    """
    least = float("inf")
    for stretch in drive:
        spare = stretch.force_n - against_n
        if spare <= 0:
            raise ValueError("this drive cannot move the car against its rolling and scrub resistance")
        least = min(least, terminal_speed(spare, stretch.force_n_s_per_m, drag_n_s2_per_m2))
    return least
