"""A lap in closed form: the straight, then corners with links between them; its time, its currents and the heat of iron and bearings.

Every straight, long or short, starts and ends at the speed of the corners. The driver holds full throttle, as far as grip
and the current limit let it through, up to the point from which the brakes just reach the corner's speed. Corners are driven
at one speed against rolling, air and the side force, in pulses between steady throttle and full throttle. Each part has a
force of the form a − b·v − c·v², for which all integrals over time are known exactly.
"""

from dataclasses import dataclass
from math import sqrt
from typing import Final

from speclint.physics.assumptions import Parameters
from speclint.physics.drive import Drive, greatest_speed_m_per_s
from speclint.physics.infield import Infield
from speclint.physics.straight import NEARLY, Effort, Straight, straight

IRON_LOAD_A: Final = 60.0
"""Motor current at which the iron's growth with load is stated."""

_SHORTEST_M: Final = 0.05


@dataclass(frozen=True, slots=True)
class Lap:
    """One lap.

    Attributes:
        time_s: Lap time.
        top_m_per_s: Speed at the braking point of the straight.
        link_top_m_per_s: The same of the links; the corners' where there are none.
        corner_m_per_s: Speed in the corners: the infield's, or what the drive can hold.
        top_motor_rad_per_s: Motor speed at the braking point.
        battery_c: Charge out of the pack.
        square_current_a2: Mean of the squared motor current.
        no_load_w: Mean heat of friction and iron.
    """

    time_s: float
    top_m_per_s: float
    link_top_m_per_s: float
    corner_m_per_s: float
    top_motor_rad_per_s: float
    battery_c: float
    square_current_a2: float
    no_load_w: float


def lap(drive: Drive, infield: Infield, *, straight_m: float, parameters: Parameters, near: Lap | None = None) -> Lap:
    """Drive one lap.

    Args:
        drive: The car.
        infield: Corners and links, from `infield.infield`.
        straight_m: Length of the straight.
        parameters: How corners and brakes are driven, and what the iron makes of a load.
        near: A lap like this one, where there is one.

    Raises:
        ValueError: The motor cannot move the car.
    """
    road = drive.road
    scrub = infield.scrub_n_s2_per_m2(parameters.scrub_coefficient, road)
    reach = greatest_speed_m_per_s(drive.stretches, road.rolling_n, road.drag_n_s2_per_m2 + scrub) * NEARLY
    corner = min(infield.corner_m_per_s, reach)
    scrub_n = scrub * corner * corner

    def along(length_m: float, near_m_per_s: float) -> Straight:
        return straight(
            drive,
            corner_m_per_s=corner,
            length_m=length_m,
            returned_share=parameters.returned_share,
            near_m_per_s=near_m_per_s,
        )

    fast = along(straight_m, 0.0 if near is None else near.top_m_per_s)
    arcs_m = infield.arc_m * infield.corners
    arcs = _arcs(drive, corner=corner, scrub_n=scrub_n, length_m=arcs_m, pulse_share=parameters.pulse_share)
    whole, link_top = fast.effort.plus(arcs, 1.0), corner
    if infield.link_m >= _SHORTEST_M:
        link = along(infield.link_m, 0.0 if near is None else near.link_top_m_per_s)
        whole, link_top = whole.plus(link.effort, infield.corners), link.top_m_per_s
    time, square = whole.time_s, whole.square_current_a2_s
    # The field of the current adds to the iron's loss; the pack has to give it.
    loaded = whole.no_load_j * parameters.iron_load_share * sqrt(square / time) / IRON_LOAD_A
    return Lap(
        time,
        fast.top_m_per_s,
        link_top,
        corner,
        drive.turn_per_m * fast.top_m_per_s,
        whole.charge_c + loaded / drive.supply.open_circuit_v,
        square / time,
        (whole.no_load_j + loaded) / time,
    )


def _arcs(drive: Drive, *, corner: float, scrub_n: float, length_m: float, pulse_share: float) -> Effort:
    """All corners at their speed.

    The mean current is what the resistances ask for. It flows in pulses, with a strength between that mean and the most
    that the drive gives at this speed, and long enough for the same mean: the squared current grows, the work does
    not. How the speed swings between pulses is left out.
    """
    motor, _, road, turn_per_m, stretches = drive
    time = length_m / corner
    spin = turn_per_m * corner
    resistance = road.rolling_n + scrub_n + road.drag_n_s2_per_m2 * corner * corner
    torque = resistance / (road.efficiency * turn_per_m) + motor.no_load_torque_nm(spin)
    mean_a = torque / motor.torque_constant_nm_per_a
    stretch = next(stretch for stretch in stretches if corner <= stretch.until_m_per_s)
    most_a = max(mean_a, stretch.current_a + stretch.current_a_s_per_m * corner)
    pulse_a = mean_a + pulse_share * (most_a - mean_a)
    pulse_s = time * mean_a / pulse_a
    drawn_a = drive.drawn_a(pulse_a, corner)
    return Effort(time, drawn_a * pulse_s, pulse_a * pulse_a * pulse_s, motor.no_load_loss_w(spin) * time)
