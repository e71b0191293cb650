"""A lap in closed form: out of the corner at full throttle, brake, corner; its time, currents and heat by kind.

The straight starts and ends at the corner speed. The driver holds full throttle, as far as grip and the current limit
let it through, up to the point from which the brakes just reach the corner speed at the end. The rest of the lap is
driven at the corner speed against the scrub of the tyres, in pulses between steady throttle and full throttle. Each part
has a force of the form a − b·v − c·v², for which all integrals over time are known exactly.
"""

from dataclasses import dataclass

from speclint.physics.battery import Supply
from speclint.physics.drive import Stretch, greatest_speed_m_per_s, stretches
from speclint.physics.motor import RunningMotor
from speclint.physics.straight import NEARLY, Effort, straight
from speclint.physics.vehicle import Road


@dataclass(frozen=True, slots=True)
class Track:
    """One lap of a track.

    Attributes:
        lap_m: Length of the lap on the driven line.
        straight_m: Length of its longest straight, out of one corner and up to the next.
        corner_m_per_s: Mean speed of the rest of the lap, where the car can reach it.
    """

    lap_m: float
    straight_m: float
    corner_m_per_s: float

    def __post_init__(self) -> None:
        """Raises ValueError unless 0 < straight ≤ lap and the corner speed is above zero."""
        if not 0 < self.straight_m <= self.lap_m:
            raise ValueError("the straight must be longer than zero and no longer than the lap")
        if not self.corner_m_per_s > 0:
            raise ValueError("the corner speed must be above zero")


@dataclass(frozen=True, slots=True)
class Energies:
    """Where the energy of one lap goes, in joule; all but `battery` is heat."""

    battery: float
    pack_and_wiring: float
    controller: float
    copper: float
    no_load: float
    driveline: float
    rolling: float
    air: float
    scrub: float
    brake: float


@dataclass(frozen=True, slots=True)
class Lap:
    """One lap.

    Attributes:
        time_s: Lap time.
        top_m_per_s: Speed at the braking point.
        corner_m_per_s: Speed in the corners: the track's, or what the drive can hold.
        held: Whether the track's corner speed was reached.
        top_motor_rad_per_s: Motor speed at the braking point.
        braking_m: Distance from the braking point to the end of the straight.
        battery_c: Charge out of the pack.
        square_current_a2: Mean of the squared motor current, without the brake's.
        energies: Of one lap.
    """

    time_s: float
    top_m_per_s: float
    corner_m_per_s: float
    held: bool
    top_motor_rad_per_s: float
    braking_m: float
    battery_c: float
    square_current_a2: float
    energies: Energies


def lap(motor: RunningMotor, supply: Supply, road: Road, ratio: float, track: Track, *, pulse_share: float) -> Lap:
    """Drive one lap.

    Args:
        motor: At the temperatures of the run.
        supply: Pack and speed control.
        road: The car's resistances and grip.
        ratio: Final drive ratio.
        track: The lap.
        pulse_share: Driving in the infield, 0 for a steady throttle to 1 for full or none.

    Raises:
        ValueError: The motor cannot move the car.
    """
    drive = stretches(motor, supply, road, ratio)
    air = road.drag_n_s2_per_m2
    reach = greatest_speed_m_per_s(drive, road.rolling_n + road.scrub_n, air) * NEARLY
    corner = min(track.corner_m_per_s, reach)
    turn_per_m = ratio / road.wheel_radius_m
    fast = straight(motor, supply, road, drive, turn_per_m=turn_per_m, corner_m_per_s=corner, length_m=track.straight_m)
    slow = _infield(
        motor,
        supply,
        road,
        drive,
        turn_per_m=turn_per_m,
        corner=corner,
        length_m=track.lap_m - track.straight_m,
        pulse_share=pulse_share,
    )
    one = fast.effort
    time = one.time_s + slow.time_s
    square = one.square_current_a2_s + slow.square_current_a2_s
    charge = one.charge_c + slow.charge_c
    return Lap(
        time,
        fast.top_m_per_s,
        corner,
        track.corner_m_per_s <= reach,
        turn_per_m * fast.top_m_per_s,
        fast.braking_m,
        charge,
        square / time,
        Energies(
            supply.open_circuit_v * charge,
            one.source_j + slow.source_j,
            supply.controller_ohm * square,
            motor.resistance_ohm * square,
            one.no_load_j + slow.no_load_j,
            (one.shaft_j + slow.shaft_j) * (1.0 / road.efficiency - 1.0),
            road.rolling_n * (one.distance_m + slow.distance_m),
            air * (one.square_speed_m3_per_s2 + slow.square_speed_m3_per_s2),
            road.scrub_n * slow.distance_m,
            one.brake_j,
        ),
    )


def _infield(
    motor: RunningMotor,
    supply: Supply,
    road: Road,
    drive: tuple[Stretch, ...],
    *,
    turn_per_m: float,
    corner: float,
    length_m: float,
    pulse_share: float,
) -> Effort:
    """The rest of the lap at the corner speed.

    The mean current is what the resistances ask for. It flows in pulses, with a strength between that mean and the most
    that the drive gives at this speed, and long enough for the same mean: the squared current grows, the work does
    not. How the speed swings between pulses is left out.
    """
    time = length_m / corner
    spin = turn_per_m * corner
    resistance = road.rolling_n + road.scrub_n + road.drag_n_s2_per_m2 * corner * corner
    torque = resistance / (road.efficiency * turn_per_m) + motor.no_load_torque_nm(spin)
    mean_a = torque / motor.torque_constant_nm_per_a
    here = next(stretch for stretch in drive if corner <= stretch.until_m_per_s)
    most_a = max(mean_a, here.current_a + here.current_a_s_per_m * corner)
    pulse_a = mean_a + pulse_share * (most_a - mean_a)
    pulse_s = time * mean_a / pulse_a
    drawn_a = supply.battery_current_a(motor.terminal_power_w(pulse_a, spin, supply.controller_ohm))
    return Effort(
        time,
        drawn_a * pulse_s,
        pulse_a * pulse_a * pulse_s,
        supply.source_ohm * drawn_a * drawn_a * pulse_s,
        resistance * length_m,
        motor.no_load_loss_w(spin) * time,
        length_m,
        corner * corner * length_m,
        0.0,
    )
