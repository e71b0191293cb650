"""Forces on the car: rolling resistance, air, corner scrub, grip; speed through the gearing; coasting down."""

from dataclasses import dataclass
from math import atan, log1p, pi, sqrt, tan

from speclint.physics.units import STANDARD_GRAVITY_M_PER_S2


@dataclass(frozen=True, slots=True)
class Road:
    """What the car asks of its motor, for one car on one surface.

    Attributes:
        inertia_kg: Mass with what its turning parts add.
        wheel_radius_m: Half the tyre's diameter.
        efficiency: Of everything between pinion and tyre, while driving.
        rolling_n: Rolling resistance.
        drag_n_s2_per_m2: Force of the air for a speed of 1 m/s.
        scrub_n: What the tyres' slip angle takes in corners.
        traction_n: Largest force that the tyres can drive with.
        brake_n: Force of the tyres while braking.
    """

    inertia_kg: float
    wheel_radius_m: float
    efficiency: float
    rolling_n: float
    drag_n_s2_per_m2: float
    scrub_n: float
    traction_n: float
    brake_n: float


def rolling_resistance_n(coefficient: float, mass_kg: float, gravity: float = STANDARD_GRAVITY_M_PER_S2) -> float:
    """Rolling resistance C_rr·m·g."""
    return coefficient * mass_kg * gravity


def drag_factor_n_s2_per_m2(air_density_kg_per_m3: float, drag_area_m2: float) -> float:
    """Factor of v² in the drag of the air: ½·ρ·C_d·A."""
    return 0.5 * air_density_kg_per_m3 * drag_area_m2


def scrub_n(coefficient: float, grip: float, mass_kg: float, gravity: float = STANDARD_GRAVITY_M_PER_S2) -> float:
    """Drag of tyres that run at a slip angle, for a car that corners at the limit of its grip.

    The side force is then grip·m·g, and a part of it points backwards (the sine of the slip angle, and what
    the driver brakes away and drives up again between corners).
    """
    return coefficient * grip * mass_kg * gravity


def traction_n(grip: float, mass_kg: float, gravity: float = STANDARD_GRAVITY_M_PER_S2) -> float:
    """Largest force between all four tyres and the ground."""
    return grip * mass_kg * gravity


def rolling_circumference_m(tyre_diameter_m: float) -> float:
    """Distance of one wheel turn; how far the tyre flattens or grows is left out."""
    return pi * tyre_diameter_m


def rollout_m(tyre_diameter_m: float, ratio: float) -> float:
    """Distance of one motor turn: tyre circumference over final drive ratio (common practice)."""
    return rolling_circumference_m(tyre_diameter_m) / ratio


def road_speed_m_per_s(motor_rad_per_s: float, tyre_diameter_m: float, ratio: float) -> float:
    """Speed of the car for a speed of its motor."""
    return motor_rad_per_s / ratio * tyre_diameter_m / 2.0


def motor_speed_rad_per_s(road_m_per_s: float, tyre_diameter_m: float, ratio: float) -> float:
    """Speed of the motor for a speed of the car."""
    return road_m_per_s * ratio * 2.0 / tyre_diameter_m


# Coasting with a constant retardation `a` (m/s²) and one that grows with the square of speed, `c`·v² (c in 1/m).


def coast_speed_m_per_s(start_m_per_s: float, a: float, c: float, time_s: float) -> float:
    """Speed after coasting for a time; zero once the car stands."""
    angle = atan(start_m_per_s * sqrt(c / a)) - time_s * sqrt(a * c)
    return sqrt(a / c) * tan(angle) if angle > 0 else 0.0


def coast_stop_s(start_m_per_s: float, a: float, c: float) -> float:
    """Time until the car stands."""
    return atan(start_m_per_s * sqrt(c / a)) / sqrt(a * c)


def coast_distance_m(start_m_per_s: float, a: float, c: float, end_m_per_s: float = 0.0) -> float:
    """Distance from one speed down to another, by default to a stand."""
    return log1p(c * (start_m_per_s**2 - end_m_per_s**2) / (a + c * end_m_per_s**2)) / (2.0 * c)
