"""Resistances of the road against textbook cars, coasting against our integrator, the force integrals against scipy."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad

from speclint.physics import vehicle
from speclint.physics.acceleration import moments, speed_after, terminal_speed
from speclint.physics.battery import Supply
from speclint.physics.integrate import rk4
from speclint.physics.units import kmh, m_per_s, mah, rad_per_s

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


def test_a_tyre_of_100_mm_at_1000_rpm() -> None:
    assert vehicle.rolling_circumference_m(0.1) == pytest.approx(0.3141593, abs=1e-7)
    speed = vehicle.road_speed_m_per_s(rad_per_s(1000), 0.1, 1.0)
    assert speed == pytest.approx(5.235988, abs=1e-6)
    assert kmh(speed) == pytest.approx(18.84956, abs=1e-5)
    assert vehicle.motor_speed_rad_per_s(speed, 0.1, 1.0) == pytest.approx(rad_per_s(1000))


def test_published_rollout_of_a_pan_car() -> None:
    # A forum's worked example: 1.80 in tyre, 96 spur, 30 pinion, no internal ratio: 1.767 in.
    assert vehicle.rollout_m(1.80 * 0.0254, 96 / 30) / 0.0254 == pytest.approx(1.767, abs=0.0005)


def test_coasting_down_in_closed_form() -> None:
    # m 1.5 kg, C_rr 0.02, density 1.2, C_dA 0.01, from 15 m/s: computed outside speclint, against an ODE to 1e-10.
    a, c = 0.02 * 9.80665, 0.5 * 1.2 * 0.01 / 1.5
    for time, speed in ((5, 10.762767), (10, 8.034725), (20, 4.526423)):
        assert vehicle.coast_speed_m_per_s(15, a, c, time) == pytest.approx(speed, abs=1e-6)
    assert vehicle.coast_stop_s(15, a, c) == pytest.approx(40.48766, abs=1e-5)
    assert vehicle.coast_distance_m(15, a, c) == pytest.approx(215.09385, abs=1e-5)
    assert vehicle.coast_speed_m_per_s(15, a, c, 41) == 0.0

    def rates(_: float, state: tuple[float, ...]) -> tuple[float, ...]:
        return (-a - c * state[0] ** 2, state[0])

    speed, distance = rk4(rates, (15.0, 0.0), 0.0, 20.0, 400)
    assert speed == pytest.approx(vehicle.coast_speed_m_per_s(15, a, c, 20), rel=1e-10)
    assert distance == pytest.approx(vehicle.coast_distance_m(15, a, c, speed), rel=1e-9)


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
    for power, found in enumerate(moments(a, b, c, start, end)):
        outside, _ = quad(lambda v, power=power: v**power / (a - b * v - c * v * v), start, end, epsabs=0, epsrel=1e-10)
        assert found == pytest.approx(outside, rel=1e-6)


@given(*forces, st.floats(0, 0.9), st.floats(0.01, 3))
def test_speed_after_a_time_is_the_inverse_of_the_time_to_a_speed(
    a: float, b: float, c: float, low: float, time: float
) -> None:
    top = terminal_speed(a, b, c)
    speed = speed_after(a, b, c, low * top, time)
    assume(speed < top * (1 - 1e-6))
    assert moments(a, b, c, low * top, speed)[0] == pytest.approx(time, rel=1e-6)


def test_speed_after_a_time_agrees_with_our_integrator() -> None:
    stepped = rk4(lambda _, s: (20 - 1.5 * s[0] - 0.01 * s[0] ** 2,), (3.0,), 0.0, 1.0, 200)
    assert speed_after(20, 1.5, 0.01, 3.0, 1.0) == pytest.approx(stepped[0], rel=1e-10)


@given(st.floats(3, 17), st.floats(0, 0.02), st.floats(0.1, 200))
def test_the_pack_gives_exactly_the_power_asked_for(voltage: float, ohm: float, power: float) -> None:
    supply = Supply(voltage, ohm, 0.004, 120)
    assume(4 * ohm * power < 0.999 * voltage**2)
    current = supply.battery_current_a(power)
    assert supply.loaded_voltage_v(current) * current == pytest.approx(power, rel=1e-9)
    assert current <= voltage / (2 * ohm) if ohm else True


def test_a_pack_asked_for_too_much_gives_its_most() -> None:
    supply = Supply(8.0, 0.01, 0.004, 120)
    assert supply.battery_current_a(5000) == pytest.approx(2 * 5000 / 8.0)
    assert mah(3600) == 1000


@pytest.mark.parametrize("broken", [(0.0, 0.01, 0.0, 1.0), (8.0, -0.01, 0.0, 1.0), (8.0, 0.01, 0.0, float("nan"))])
def test_a_supply_that_cannot_be_is_refused(broken: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="must"):
        Supply(*broken)
