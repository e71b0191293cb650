"""The straight of a lap: from one corner speed up to the braking point and down to the next, in closed form."""

from math import atan, log1p, sqrt
from typing import NamedTuple

from speclint.physics.acceleration import distance, moments, terminal_speed
from speclint.physics.drive import Drive, Stretch, greatest_speed_m_per_s
from speclint.physics.vehicle import Road

NEARLY = 1.0 - 1e-6
"""How near its greatest speed a car counts as having reached it: it nears that speed without ever reaching it."""

# Gauss-Legendre points and weights on 0 to 1 (Abramowitz & Stegun, table 25.4, n = 6, moved from -1 to 1).
_GAUSS = (
    (0.033765242898424, 0.085662246189585),
    (0.169395306766868, 0.180380786524069),
    (0.380690406958402, 0.233956967286346),
    (0.619309593041598, 0.233956967286346),
    (0.830604693233132, 0.180380786524069),
    (0.966234757101576, 0.085662246189585),
)


class Effort(NamedTuple):
    """What a part of a lap takes: integrals over its time.

    Attributes:
        time_s: Its time.
        charge_c: Out of the pack, less what braking gives back.
        square_current_a2_s: Of the motor's squared current, driving and braking.
        no_load_j: Friction and iron.
    """

    time_s: float
    charge_c: float
    square_current_a2_s: float
    no_load_j: float

    def plus(self, part: "Effort", times: float) -> "Effort":
        """This effort and another one that comes so many times."""
        return Effort(
            self.time_s + times * part.time_s,
            self.charge_c + times * part.charge_c,
            self.square_current_a2_s + times * part.square_current_a2_s,
            self.no_load_j + times * part.no_load_j,
        )


class Straight(NamedTuple):
    """A straight: what it takes, and the speed at the braking point."""

    effort: Effort
    top_m_per_s: float


def straight(
    drive: Drive,
    *,
    corner_m_per_s: float,
    length_m: float,
    returned_share: float = 0.0,
    near_m_per_s: float,
) -> Straight:
    """Drive a straight.

    Args:
        drive: The car.
        corner_m_per_s: Speed at both ends, below the greatest speed of the drive.
        length_m: Its length.
        returned_share: Part of the braking energy past the motor's heat that goes back to the pack.
        near_m_per_s: A speed that the braking point's is near, where one is known: it is found sooner from there.
    """
    motor, _, road, turn_per_m, stretches = drive
    air, mass = road.drag_n_s2_per_m2, road.inertia_kg
    greatest = greatest_speed_m_per_s(stretches, road.rolling_n, air)
    # The tyres brake at least with what the motor's own drag asks of them.
    brake = max(road.brake_n, motor.no_load_torque_nm(turn_per_m * greatest) * turn_per_m / road.efficiency)
    slowing = brake + road.rolling_n
    top, cruise_m = _braking_point(stretches, road, slowing, corner_m_per_s, length_m, near_m_per_s)
    time = charge = square = no_load = 0.0
    begin = corner_m_per_s
    for stretch in stretches:
        if stretch.until_m_per_s <= begin:
            continue
        end = min(stretch.until_m_per_s, top)
        a, b = stretch.force_n - road.rolling_n, stretch.force_n_s_per_m
        t, x, v2 = (mass * moment for moment in moments(a, b, air, begin, end))
        i0, i1 = stretch.current_a, stretch.current_a_s_per_m
        if stretch.full_throttle:
            charge += i0 * t + i1 * x
        else:
            charge += _chopped_charge_c(drive, stretch, begin=begin, end=end)
        time += t
        square += i0 * i0 * t + 2.0 * i0 * i1 * x + i1 * i1 * v2
        no_load += turn_per_m * (motor.friction_nm * x + motor.drag_nm_s * turn_per_m * v2)
        if end >= top:
            t = cruise_m / top
            current = i0 + i1 * top
            time += t
            charge += drive.drawn_a(current, top) * t
            square += current * current * t
            no_load += motor.no_load_loss_w(turn_per_m * top) * t
            break
        begin = end
    t, x, v2 = (mass * moment for moment in _slowing_moments(slowing, air, corner_m_per_s, top))
    dragged = turn_per_m * (motor.friction_nm * x + motor.drag_nm_s * turn_per_m * v2)
    electric_j = brake * x * road.efficiency - dragged
    brake_square, back = _braked(drive, electric_j, way_m=x, time_s=t, returned_share=returned_share)
    return Straight(Effort(time + t, charge - back, square + brake_square, no_load + dragged), top)


def _braked(
    drive: Drive, electric_j: float, *, way_m: float, time_s: float, returned_share: float
) -> tuple[float, float]:
    """Squared current over time, and charge back, for a braking energy of the motor.

    All braking goes through the motor: E = k·I·ω over time gives the mean current. A chopped brake feeds what copper and
    switches leave of it back, as far as the speed control lets it; where they take more, the pack gives the rest.
    """
    if not way_m > 0:
        return 0.0, 0.0
    motor, supply = drive.motor, drive.supply
    current = electric_j / (motor.torque_constant_nm_per_a * drive.turn_per_m * way_m)
    square = current * current * time_s
    spare = electric_j - square * (motor.resistance_ohm + supply.controller_ohm)
    back = (returned_share if spare > 0 else 1.0) * spare
    return square, back / supply.open_circuit_v


def _braking_point(
    stretches: tuple[Stretch, ...], road: Road, slowing_n: float, corner: float, length_m: float, near: float
) -> tuple[float, float]:
    """Speed from which the brakes just reach the corner speed at the end of the straight (Newton's method).

    Where the drive nears its greatest speed before that point, the second value is the distance driven at it.
    """
    air, mass = road.drag_n_s2_per_m2, road.inertia_kg
    floor = slowing_n + air * corner * corner
    left_m, begin = length_m, corner
    for stretch in stretches:
        if stretch.until_m_per_s <= begin:
            continue
        a, b = stretch.force_n - road.rolling_n, stretch.force_n_s_per_m
        greatest = terminal_speed(a, b, air) * NEARLY
        end = min(stretch.until_m_per_s, max(greatest, begin))
        gone = mass * distance(a, b, air, begin, end)
        spare = left_m - gone - _slowing_m(mass, air, floor, corner, end)
        if spare >= 0:
            if end < stretch.until_m_per_s:
                return end, spare
            left_m -= gone
            begin = end
            continue
        low, high = begin, end
        speed = near
        if not low < near < high:
            # A start from the energy that the force at the beginning would give over the way that is left.
            force = a - b * begin - air * begin * begin
            square = begin * begin + 2.0 * force * left_m / mass * slowing_n / (slowing_n + force)
            speed = min(sqrt(square), low + 0.9 * (high - low))
        for _ in range(60):
            excess = mass * distance(a, b, air, begin, speed) + _slowing_m(mass, air, floor, corner, speed) - left_m
            if excess > 0:
                high = speed
            else:
                low = speed
            force = a - b * speed - air * speed * speed
            better = speed - excess / (mass * speed * (1.0 / force + 1.0 / (slowing_n + air * speed * speed)))
            if not low < better < high:
                better = (low + high) / 2.0
            if abs(better - speed) < 1e-9 * speed:
                break
            speed = better
        return better, 0.0
    raise AssertionError("the last stretch has no upper end")


def _slowing_m(mass: float, air: float, floor_n: float, corner: float, top: float) -> float:
    return mass * log1p(air * (top * top - corner * corner) / floor_n) / (2.0 * air)


def _slowing_moments(slowing_n: float, air: float, corner: float, top: float) -> tuple[float, float, float]:
    """∫ vⁿ/(B + c·v²) dv from corner to top, for n = 0 to 2; times the mass, as in `acceleration.moments`."""
    root = sqrt(slowing_n * air)
    scale = air / root
    zero = (atan(top * scale) - atan(corner * scale)) / root
    first = log1p(air * (top * top - corner * corner) / (slowing_n + air * corner * corner)) / (2.0 * air)
    second = ((top - corner) - slowing_n * zero) / air
    return zero, first, second


def _chopped_charge_c(drive: Drive, stretch: Stretch, *, begin: float, end: float) -> float:
    """Charge out of the pack where part throttle drives (Gauss-Legendre quadrature over speed)."""
    road, charge = drive.road, 0.0
    gone = end - begin
    for point, weight in _GAUSS:
        speed = begin + gone * point
        current = stretch.current_a + stretch.current_a_s_per_m * speed
        spare = stretch.force_n - road.rolling_n - stretch.force_n_s_per_m * speed - road.drag_n_s2_per_m2 * speed**2
        time = weight * gone * road.inertia_kg / spare
        charge += drive.drawn_a(current, speed) * time
    return charge
