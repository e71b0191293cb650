"""Resistances of the road against textbook cars, the force integrals against scipy, a pack's discharge against its curve."""

from itertools import pairwise
from math import exp

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from speclint.physics import vehicle
from speclint.physics.acceleration import distance, moments, terminal_speed
from speclint.physics.assumptions import ASSUMPTIONS, Assumption
from speclint.physics.battery import CELL_REST_V, Supply, mean_rest_v
from speclint.physics.drive import Stretch, greatest_speed_m_per_s
from speclint.physics.units import m_per_s, mah

LBF_N, FT_M, LB_KG, MPH, HP_W = 4.4482216152605, 0.3048, 0.45359237, 0.44704, 745.6998715822702


def test_textbook_car_on_the_highway() -> None:
    # Moran & Shapiro, Fundamentals of Engineering Thermodynamics, 8th ed., problem 2.23 (inputs; results computed):
    # 3040 lbf, 6.24 ft2, C_d 0.25, f 0.02, air 0.08 lb/ft3, 55 mph: 8.917 hp rolling, 1.851 hp drag.
    speed = 55 * MPH
    rolling = vehicle.rolling_resistance_n(0.02, 3040 * LBF_N / 9.80665)
    drag = vehicle.drag_factor_n_s2_per_m2(0.08 * LB_KG / FT_M**3, 0.25 * 6.24 * FT_M**2) * speed**2
    assert rolling / LBF_N == pytest.approx(60.8, rel=1e-9)
    assert rolling * speed / HP_W == pytest.approx(8.917, abs=0.001)
    assert drag / LBF_N == pytest.approx(12.620, abs=0.005)
    assert drag * speed / HP_W == pytest.approx(1.851, abs=0.001)


def test_worked_example_of_drag_at_80_kmh() -> None:
    # A university's worked example (inputs): 80 km/h, C_d 0.28, A 2.3 m2, density 1.2 kg/m3.
    force = vehicle.drag_factor_n_s2_per_m2(1.2, 0.28 * 2.3) * m_per_s(80) ** 2
    assert force == pytest.approx(190.815, abs=0.001)
    assert force * m_per_s(80) == pytest.approx(4240.3, abs=0.1)


def test_a_lighter_car_of_the_same_shape_has_a_smaller_front() -> None:
    # Areas go with the square of the length where masses go with its cube: half the length, an eighth of the mass.
    assert vehicle.scaled_area_m2(0.01, vehicle.USUAL_MASS_KG) == pytest.approx(0.01)
    assert vehicle.scaled_area_m2(0.01, vehicle.USUAL_MASS_KG / 8) == pytest.approx(0.0025)


forces = (st.floats(1, 60), st.floats(0, 15), st.floats(0.002, 0.05))


@given(*forces, st.floats(0, 0.9), st.floats(0.01, 0.99))
def test_time_distance_and_higher_integrals_agree_with_scipy(
    a: float, b: float, c: float, low: float, part: float
) -> None:
    top = terminal_speed(a, b, c)
    assert a - b * top - c * top * top == pytest.approx(0, abs=1e-9 * a)
    start = low * top
    end = start + part * (0.999 * top - start)
    # The higher integrals are differences of the lower ones: they lose digits where the drag of the air is a hair beside
    # the force, that is for cars slower than a walk.
    assume(end > 1.5 and end - start > 0.01 * top)
    for power, integral in enumerate(moments(a, b, c, start, end)):
        outside, _ = quad(lambda v, power=power: v**power / (a - b * v - c * v * v), start, end, epsabs=0, epsrel=1e-10)
        assert integral == pytest.approx(outside, rel=1e-6)
    assert distance(a, b, c, start, end) == pytest.approx(moments(a, b, c, start, end)[1], rel=1e-12)


@given(st.floats(3, 17), st.floats(0, 0.02), st.floats(0.1, 200))
def test_the_pack_gives_exactly_the_power_asked_for(voltage: float, ohm: float, power: float) -> None:
    supply = Supply(voltage, ohm, 0.004, 120)
    assume(4 * ohm * power < 0.999 * voltage**2)
    current = supply.battery_current_a(power)
    assert (voltage - ohm * current) * current == pytest.approx(power, rel=1e-9)
    assert current <= voltage / (2 * ohm) if ohm else True


def test_a_pack_asked_for_too_much_gives_its_most() -> None:
    supply = Supply(8.0, 0.01, 0.004, 120)
    assert supply.battery_current_a(5000) == pytest.approx(2 * 5000 / 8.0)
    assert mah(3600) == 1000


@pytest.mark.parametrize("used", [0.03, 0.1, 0.2, 0.33, 0.5, 0.77, 1.0])
def test_the_mean_voltage_of_a_discharge_is_the_integral_of_the_cell_s_curve(used: float) -> None:
    def volts(left: float) -> float:
        (x0, y0), (x1, y1) = next((low, high) for low, high in pairwise(CELL_REST_V) if low[0] <= left <= high[0])
        return y0 + (y1 - y0) * (left - x0) / (x1 - x0)

    places = [place for place, _ in CELL_REST_V if 1.0 - used < place < 1.0]
    outside, _ = quad(volts, 1.0 - used, 1.0, points=places or None, limit=200)
    assert mean_rest_v(used) == pytest.approx(outside / used, rel=1e-7)


def test_a_cell_s_curve_lies_within_other_published_ones() -> None:
    # Chen & Rincon-Mora 2006 (IEEE Trans. Energy Convers. 21(2), 504), their fit of a lithium polymer cell at rest, and
    # a seller's chart: 4.11 V at 0.9, 3.95 at 0.7, 3.84 at 0.5.
    for left, ours in ((0.9, 4.088), (0.7, 3.909), (0.5, 3.793)):
        chen = -1.031 * exp(-35 * left) + 3.685 + 0.2156 * left - 0.1178 * left**2 + 0.3201 * left**3
        assert dict(CELL_REST_V)[left] == ours
        assert ours == pytest.approx(chen, abs=0.08)
    assert mean_rest_v(0.0) == CELL_REST_V[-1][1]
    assert mean_rest_v(1.5) < mean_rest_v(1.0) < mean_rest_v(0.2)
    # What is taken past its end is taken at the voltage of an empty cell.
    assert mean_rest_v(2.0) == pytest.approx((mean_rest_v(1.0) + CELL_REST_V[0][1]) / 2)


def test_a_weak_supply_is_one_that_drives_a_little() -> None:
    # The matched load takes a quarter of U²/R (maximum power transfer): 0.2 W of 0.8 V behind 0.8 Ω.
    assert Supply(0.8, 0.8, 0.0, 0.5).battery_current_a(0.2) == pytest.approx(0.5)


def test_what_is_left_of_a_force_is_held_against_the_air_be_it_ever_so_little() -> None:
    drive = (Stretch(float("inf"), 1.5, 0.0, 10.0, 0.0, full_throttle=True),)
    assert greatest_speed_m_per_s(drive, 1.0, 0.02) == pytest.approx(5.0)  # 0.02 × 5² = 0.5
    with pytest.raises(ValueError, match="cannot move"):
        greatest_speed_m_per_s(drive, 1.5, 0.02)


@pytest.mark.parametrize("assumption", ASSUMPTIONS, ids=lambda assumption: assumption.name)
def test_no_constant_is_taken_farther_out_than_that_of_one_car_in_740(assumption: Assumption) -> None:
    farthest = norm.isf(1 / 740)
    for side in (-1, 1):
        assert assumption.at(side * 9.0) == pytest.approx(assumption.at(side * farthest), rel=1e-3)


@pytest.mark.parametrize("broken", [(0.0, 0.01, 0.0, 1.0), (8.0, -0.01, 0.0, 1.0), (8.0, 0.01, 0.0, float("nan"))])
def test_a_supply_that_cannot_be_is_refused(broken: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="must"):
        Supply(*broken)
