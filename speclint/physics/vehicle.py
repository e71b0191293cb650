"""Forces on the car: rolling resistance, air, side force, grip; and the way of one motor turn."""

from dataclasses import dataclass
from typing import Final

from speclint.physics.units import STANDARD_GRAVITY_M_PER_S2

USUAL_MASS_KG: Final = 1.4
"""Mass of the car whose drag area is assumed."""


@dataclass(frozen=True, slots=True)
class Road:
    """What the car asks of its motor, for one car on one surface.

    Attributes:
        mass_kg: The car, ready to race.
        inertia_kg: Mass with what its turning parts add.
        wheel_radius_m: Half the tyre's diameter.
        efficiency: Of everything between pinion and tyre.
        rolling_n: Rolling resistance.
        drag_n_s2_per_m2: Force of the air for a speed of 1 m/s.
        traction_n: Largest force of all tyres.
        brake_n: Force of the tyres while braking.
    """

    mass_kg: float
    inertia_kg: float
    wheel_radius_m: float
    efficiency: float
    rolling_n: float
    drag_n_s2_per_m2: float
    traction_n: float
    brake_n: float


def rolling_resistance_n(coefficient: float, mass_kg: float) -> float:
    """Rolling resistance C_rr·m·g."""
    return coefficient * mass_kg * STANDARD_GRAVITY_M_PER_S2


def drag_factor_n_s2_per_m2(air_density_kg_per_m3: float, drag_area_m2: float) -> float:
    """Factor of v² in the drag of the air: ½·ρ·C_d·A."""
    return 0.5 * air_density_kg_per_m3 * drag_area_m2


def traction_n(grip: float, mass_kg: float) -> float:
    """Largest force between all four tyres and the ground."""
    return grip * mass_kg * STANDARD_GRAVITY_M_PER_S2


def scaled_area_m2(drag_area_m2: float, mass_kg: float) -> float:
    """Drag area of a car of another mass and the same shape: areas go with the two-thirds power of volumes."""
    return float(drag_area_m2 * (mass_kg / USUAL_MASS_KG) ** (2.0 / 3.0))
