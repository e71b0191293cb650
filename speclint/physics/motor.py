"""The direct-current model of a brushless motor: torque, speed, resistance and no-load loss."""

from dataclasses import dataclass
from typing import Final

from speclint.copper import K_COPPER
from speclint.physics.units import RAD_PER_S_PER_RPM, rad_per_s

COPPER_K: Final = float(K_COPPER)
"""Copper's resistance would reach zero at minus this temperature in °C."""

SHARE_SPEED_RAD_PER_S: Final = rad_per_s(17_000.0)
"""Motor speed at which a friction share holds: where catalogues' no-load lines were split."""


@dataclass(frozen=True, slots=True)
class MotorModel:
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
) -> MotorModel:
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
    return MotorModel(constant, resistance_ohm, measured_c, constant * current_a, speed)


def torque_constant_nm_per_a(speed_constant_rpm_per_v: float) -> float:
    """Torque constant of a speed constant: k_M·k_n = 60/2π."""
    return 1.0 / (speed_constant_rpm_per_v * RAD_PER_S_PER_RPM)


def speed_constant_rpm_per_v(constant_nm_per_a: float) -> float:
    """Speed constant of a torque constant: k_M·k_n = 60/2π."""
    return 1.0 / (constant_nm_per_a * RAD_PER_S_PER_RPM)


def copper_resistance_ohm(resistance_ohm: float, from_c: float, to_c: float, k: float = COPPER_K) -> float:
    """A copper resistance at another temperature: R₂ = R₁·(k + t₂)/(k + t₁)."""
    return resistance_ohm * (k + to_c) / (k + from_c)


def running(
    motor: MotorModel, *, winding_c: float, magnet_c: float, friction_share: float, magnet_per_k: float
) -> RunningMotor:
    """The motor at the temperatures of a run.

    One no-load point cannot tell friction from iron, so the split is an assumption. It is one for a given speed: of the
    torque at a slow no-load point, friction is a larger part.

    Args:
        motor: As measured.
        winding_c: Temperature of the copper.
        magnet_c: Temperature of the rotor's magnet.
        friction_share: Part of the no-load torque at `SHARE_SPEED_RAD_PER_S` that does not change with speed, 0 to 1.
        magnet_per_k: Relative change of the magnet's flux for each kelvin (NdFeB: about −0.0011).
    """
    constant = motor.torque_constant_nm_per_a * (1.0 + magnet_per_k * (magnet_c - motor.measured_c))
    growing = (1.0 - friction_share) / SHARE_SPEED_RAD_PER_S
    torque = motor.no_load_torque_nm / (friction_share + growing * motor.no_load_speed_rad_per_s)
    return RunningMotor(
        constant,
        motor.resistance_ohm * (COPPER_K + winding_c) / (COPPER_K + motor.measured_c),
        torque * friction_share,
        torque * growing,
    )


def friction_share(slow: MotorModel, fast: MotorModel) -> float | None:
    """The friction share that two no-load points of one motor show; None where the line through them says neither part.

    Torque a + b·ω through both points, and a over its value at `SHARE_SPEED_RAD_PER_S`.
    """
    apart = fast.no_load_speed_rad_per_s - slow.no_load_speed_rad_per_s
    if not apart > 0:
        return None
    growing = (fast.no_load_torque_nm - slow.no_load_torque_nm) / apart
    steady = slow.no_load_torque_nm - growing * slow.no_load_speed_rad_per_s
    if not (growing > 0 and steady > 0):
        return None
    return steady / (steady + growing * SHARE_SPEED_RAD_PER_S)
