"""The direct-current model of a brushless motor: torque, speed, resistance and no-load loss."""

from dataclasses import dataclass
from math import exp, expm1, sqrt

from speclint.physics.units import RAD_PER_S_PER_RPM, rad_per_s

COPPER_K = 235.0
"""Copper's resistance would reach zero at minus this temperature in °C (IEC 60034-1, resistance method)."""


@dataclass(frozen=True, slots=True)
class Motor:
    """A motor as measured.

    Resistance is the terminal value, line to line, and the torque constant the one of the equivalent
    direct-current motor. What the timing does is in the speed per volt as measured, and nowhere else.

    Attributes:
        torque_constant_nm_per_a: Torque for each ampere (equal to volts for each rad/s), at `measured_c`.
        resistance_ohm: Winding between two terminals at `measured_c`.
        measured_c: Temperature of winding and magnet while both were measured.
        no_load_torque_nm: Friction and iron together, at `no_load_speed_rad_per_s`.
        no_load_speed_rad_per_s: Speed of the no-load point.
    """

    torque_constant_nm_per_a: float
    resistance_ohm: float
    measured_c: float
    no_load_torque_nm: float
    no_load_speed_rad_per_s: float

    def __post_init__(self) -> None:
        """Raises ValueError for a quantity that no motor has."""
        if not (self.torque_constant_nm_per_a > 0 and self.resistance_ohm > 0 and self.no_load_speed_rad_per_s > 0):
            raise ValueError("torque constant, resistance and no-load speed must be above zero")
        if not (self.no_load_torque_nm >= 0 and self.measured_c > -COPPER_K):
            raise ValueError(
                "no-load torque must not be negative, nor the temperature below the absolute zero of copper"
            )


@dataclass(frozen=True, slots=True)
class RunningMotor:
    """A motor at the temperatures of a run.

    Attributes:
        torque_constant_nm_per_a: With the magnet as warm as it is.
        resistance_ohm: With the winding as warm as it is.
        friction_nm: Part of the no-load torque that speed does not change (bearings, hysteresis).
        drag_nm_s: Part that grows with speed, per rad/s (eddy currents, air).
    """

    torque_constant_nm_per_a: float
    resistance_ohm: float
    friction_nm: float
    drag_nm_s: float

    def no_load_torque_nm(self, speed_rad_per_s: float) -> float:
        """Torque that friction and iron take at a speed."""
        return self.friction_nm + self.drag_nm_s * speed_rad_per_s

    def no_load_loss_w(self, speed_rad_per_s: float) -> float:
        """Heat from friction and iron at a speed."""
        return self.no_load_torque_nm(speed_rad_per_s) * speed_rad_per_s

    def terminal_power_w(self, current_a: float, speed_rad_per_s: float, series_ohm: float = 0.0) -> float:
        """Electric power for a current at a speed, with a resistance in series to the winding."""
        return current_a * (
            self.torque_constant_nm_per_a * speed_rad_per_s + current_a * (self.resistance_ohm + series_ohm)
        )


def motor_from_bench(
    *, kv_rpm_per_v: float, supply_v: float, current_a: float, resistance_ohm: float, measured_c: float
) -> Motor:
    """The motor behind one no-load bench run.

    A bench shows speed over supply voltage; the drop I₀·R is given back before the torque constant is taken
    from it, since n₀ = k_n·(U − I₀·R).

    Raises:
        ValueError: A value is not above zero, or the no-load current alone would use up the supply voltage.
    """
    if not (kv_rpm_per_v > 0 and supply_v > 0 and current_a >= 0 and resistance_ohm > 0):
        raise ValueError("speed per volt, supply voltage and resistance must be above zero, the current not below it")
    back_emf_v = supply_v - current_a * resistance_ohm
    if back_emf_v <= 0:
        raise ValueError("the no-load current through this resistance uses up the whole supply voltage")
    speed = rad_per_s(kv_rpm_per_v * supply_v)
    constant = back_emf_v / speed
    return Motor(constant, resistance_ohm, measured_c, constant * current_a, speed)


def torque_constant_nm_per_a(speed_constant_rpm_per_v: float) -> float:
    """Torque constant of a speed constant: k_M·k_n = 60/2π."""
    return 1.0 / (speed_constant_rpm_per_v * RAD_PER_S_PER_RPM)


def speed_constant_rpm_per_v(constant_nm_per_a: float) -> float:
    """Speed constant of a torque constant: k_M·k_n = 60/2π."""
    return 1.0 / (constant_nm_per_a * RAD_PER_S_PER_RPM)


def no_load_speed_rpm(constant_rpm_per_v: float, supply_v: float, no_load_a: float, resistance_ohm: float) -> float:
    """Speed without load: n₀ = k_n·(U − I₀·R)."""
    return constant_rpm_per_v * (supply_v - no_load_a * resistance_ohm)


def stall_current_a(supply_v: float, resistance_ohm: float) -> float:
    """Current of the motor held still."""
    return supply_v / resistance_ohm


def stall_torque_nm(constant_nm_per_a: float, supply_v: float, resistance_ohm: float) -> float:
    """Torque of the motor held still, as catalogues state it: the no-load torque is not taken off."""
    return constant_nm_per_a * supply_v / resistance_ohm


def slope_rpm_per_nm(constant_nm_per_a: float, resistance_ohm: float) -> float:
    """Speed lost for each newton metre: Δn/ΔM = (60/2π)·R/k_M²."""
    return resistance_ohm / constant_nm_per_a**2 / RAD_PER_S_PER_RPM


def mechanical_time_constant_s(inertia_kg_m2: float, resistance_ohm: float, constant_nm_per_a: float) -> float:
    """Time in which a rotor covers 63 % of a step in speed: J·R/k_M²."""
    return inertia_kg_m2 * resistance_ohm / constant_nm_per_a**2


def greatest_efficiency(no_load_a: float, stall_a: float) -> float:
    """Best efficiency with a no-load torque that speed does not change: (1 − √(I₀/I_A))²."""
    return (1.0 - sqrt(no_load_a / stall_a)) ** 2


def greatest_power_w(supply_v: float, resistance_ohm: float) -> float:
    """Greatest mechanical power without friction, U²/4R, at half the stall current."""
    return supply_v**2 / (4.0 * resistance_ohm)


def spin_up_speed_rad_per_s(final_rad_per_s: float, time_constant_s: float, time_s: float) -> float:
    """Speed after a step in voltage, from rest."""
    return -final_rad_per_s * expm1(-time_s / time_constant_s)


def spin_up_angle_rad(final_rad_per_s: float, time_constant_s: float, time_s: float) -> float:
    """Angle turned after a step in voltage, from rest."""
    return final_rad_per_s * (time_s - time_constant_s * (1.0 - exp(-time_s / time_constant_s)))


def copper_resistance_ohm(resistance_ohm: float, from_c: float, to_c: float, k: float = COPPER_K) -> float:
    """A copper resistance at another temperature: R₂ = R₁·(k + t₂)/(k + t₁)."""
    return resistance_ohm * (k + to_c) / (k + from_c)


def copper_temperature_c(cold_ohm: float, cold_c: float, hot_ohm: float, k: float = COPPER_K) -> float:
    """Winding temperature from two resistances (IEC 60034-1, resistance method)."""
    return hot_ohm / cold_ohm * (k + cold_c) - k


def line_resistance_ohm(phase_ohm: float, *, delta: bool = False) -> float:
    """Resistance between two terminals of three equal phases: twice a phase in wye, two thirds in delta."""
    return phase_ohm * (2.0 / 3.0 if delta else 2.0)


def running(
    motor: Motor, *, winding_c: float, magnet_c: float, friction_share: float, magnet_per_k: float = 0.0
) -> RunningMotor:
    """The motor at the temperatures of a run.

    One no-load point cannot tell friction from iron, so the split is an assumption.

    Args:
        motor: As measured.
        winding_c: Temperature of the copper.
        magnet_c: Temperature of the rotor's magnet.
        friction_share: Part of the no-load torque that does not change with speed, 0 to 1.
        magnet_per_k: Relative change of the magnet's flux for each kelvin (NdFeB: about −0.0012).
    """
    constant = motor.torque_constant_nm_per_a * (1.0 + magnet_per_k * (magnet_c - motor.measured_c))
    return RunningMotor(
        constant,
        motor.resistance_ohm * (COPPER_K + winding_c) / (COPPER_K + motor.measured_c),
        motor.no_load_torque_nm * friction_share,
        motor.no_load_torque_nm * (1.0 - friction_share) / motor.no_load_speed_rad_per_s,
    )
