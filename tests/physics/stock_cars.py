"""Invented stock cars on an invented club track, for the tests of this folder."""

from speclint.physics.lap import Track
from speclint.physics.motor import motor_from_bench
from speclint.physics.prediction import Car, Run

TOURING = Car(mass_kg=1.352, tyre_diameter_m=0.0625, pack_v=8.38, cells=2)
CLUB_HALL = Track(lap_m=90.0, straight_m=22.0, corner_m_per_s=28.0 / 3.6)
FIVE_MINUTES = Run(CLUB_HALL, minutes=5.0, ambient_c=20.0)
STOCK_17 = motor_from_bench(kv_rpm_per_v=2400.0, supply_v=7.4, current_a=3.3, resistance_ohm=0.0280, measured_c=25.0)
STOCK_13 = motor_from_bench(kv_rpm_per_v=3100.0, supply_v=7.4, current_a=4.3, resistance_ohm=0.0165, measured_c=25.0)
