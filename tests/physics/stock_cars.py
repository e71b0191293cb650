"""Invented stock cars on an invented club track, for the tests of this folder."""

from speclint.physics.assumptions import NO_FAN, Parameters, narrowed, parameters_at
from speclint.physics.infield import Track
from speclint.physics.motor import motor_from_bench
from speclint.physics.prediction import RunConditions, VehicleModel
from speclint.physics.sampling import sample

TOURING = VehicleModel(mass_kg=1.352, tyre_diameter_m=0.0625, pack_v=8.38, cells=2, capacity_mah=6000)
CLUB_HALL = Track(lap_m=110.0, straight_m=24.0, infield_m_per_s=26.0 / 3.6)
FIVE_MINUTES = RunConditions(CLUB_HALL, minutes=5.0, ambient_c=20.0, reference_ratio=4.4)
STOCK_17 = motor_from_bench(kv_rpm_per_v=2400.0, supply_v=7.4, current_a=3.3, resistance_ohm=0.0365, measured_c=25.0)
STOCK_13 = motor_from_bench(kv_rpm_per_v=3100.0, supply_v=7.4, current_a=4.3, resistance_ohm=0.0217, measured_c=25.0)
ASSUMED = narrowed([NO_FAN])


def drawn(seed: int, count: int) -> tuple[Parameters, ...]:
    """Sets of constants, as a band draws them."""
    return tuple(parameters_at(ASSUMED, scores) for scores in sample(seed, count))
