"""The motor's relations against catalogue rows of industrial motors, and copper's against worked examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.physics import motor
from speclint.physics.battery import Supply
from speclint.physics.drive import stretches
from speclint.physics.units import rpm
from speclint.physics.vehicle import Road

# A catalogue of industrial motors of May 2013, one 40 mm brushless motor in its 14 windings, columns:
# U V, n0 rpm, I0 mA, M_H mNm, I_A A, efficiency %, R ohm, k_M mNm/A, k_n rpm/V, slope rpm/mNm, tau_m ms. J = 85.0 gcm2.
WINDINGS = (
    (12, 10300, 886, 985, 89.2, 81, 0.134, 11.0, 865, 10.5, 9.39),
    (18, 12000, 754, 1340, 94.4, 83, 0.191, 14.2, 673, 9.05, 8.06),
    (21, 10400, 515, 1150, 60.1, 83, 0.349, 19.1, 500, 9.13, 8.13),
    (30, 11600, 426, 1420, 57.9, 84, 0.518, 24.6, 389, 8.20, 7.30),
    (24, 10300, 443, 1210, 55.0, 83, 0.436, 22.1, 433, 8.55, 7.61),
    (36, 9830, 275, 1200, 34.6, 83, 1.04, 34.7, 275, 8.26, 7.35),
    (42, 10400, 258, 1280, 33.5, 84, 1.25, 38.2, 250, 8.20, 7.30),
    (48, 7560, 139, 940, 15.7, 82, 3.07, 60.1, 159, 8.12, 7.22),
    (48, 10300, 222, 1270, 28.8, 84, 1.66, 44.1, 216, 8.16, 7.26),
    (48, 5930, 97.8, 743, 9.72, 81, 4.94, 76.4, 125, 8.07, 7.18),
    (48, 5420, 86.2, 639, 7.65, 80, 6.28, 83.5, 114, 8.59, 7.64),
    (48, 3530, 48.6, 410, 3.21, 77, 14.9, 128, 74.8, 8.76, 7.79),
    (48, 3110, 41.3, 370, 2.56, 76, 18.8, 145, 66.0, 8.56, 7.62),
    (48, 2020, 24.4, 237, 1.07, 72, 44.8, 221, 43.2, 8.75, 7.78),
)
# Three direct-current motors from published datasheets, same columns, then nominal speed rpm, nominal torque mNm, J gcm2.
# The first one's mechanical time constant does not fit its own R, J and k_M, and is left out.
DATASHEETS = (
    ((12, 4860, 26.3, 129, 5.5, 87, 2.18, 23.4, 407, 37.7, None), 3800, 28.6, 10.3),
    ((48, 8490, 78.6, 1050, 19.6, 88, 2.45, 53.8, 178, 8.09, 2.94), 7760, 89.7, 34.7),
    ((48, 7590, 68.6, 2560, 42.4, 92, 1.13, 60.3, 158, 2.97, 4.28), 7000, 187, 137),
)
ROWS = [*((row, 85.0) for row in WINDINGS), *((row, inertia) for row, _, _, inertia in DATASHEETS)]

Row = tuple[float, float, float, float, float, float, float, float, float, float, float | None]


@pytest.mark.parametrize(("row", "inertia_gcm2"), ROWS)
def test_catalogue_rows_follow_from_one_no_load_run_and_the_winding(row: Row, inertia_gcm2: float) -> None:
    del inertia_gcm2
    voltage, n0, i0_ma, stall_mnm, _stall_a, _efficiency, ohm, km_mnm, kn, slope, _tau_ms = row
    built = motor.motor_from_bench(
        kv_rpm_per_v=n0 / voltage, supply_v=voltage, current_a=i0_ma / 1000.0, resistance_ohm=ohm, measured_c=25.0
    )
    constant = built.torque_constant_nm_per_a
    assert constant * 1000.0 == pytest.approx(km_mnm, rel=0.005)
    assert motor.speed_constant_rpm_per_v(constant) == pytest.approx(kn, rel=0.005)
    assert motor.torque_constant_nm_per_a(kn) * 1000.0 == pytest.approx(km_mnm, rel=0.005)
    # The force at full throttle is the motor's speed-torque line: M_H - M_0 at a stand, and its slope. A wheel of 1 m with
    # no gearing and no losses makes newton of newton metres.
    cold = motor.running(built, winding_c=25.0, magnet_c=25.0, friction_share=1.0, magnet_per_k=0.0)
    road = Road(1.0, 1.0, 1.0, 1.0, 0.0, 1e-9, 1e9, 1.0)
    (line,) = stretches(cold, Supply(voltage, 0.0, 0.0, 1e9), road, 1.0)
    assert (line.force_n + built.no_load_torque_nm) * 1000.0 == pytest.approx(stall_mnm, rel=0.01)
    assert rpm(1.0 / line.force_n_s_per_m) / 1000.0 == pytest.approx(slope, rel=0.01)
    assert rpm(line.force_n / line.force_n_s_per_m) == pytest.approx(n0, rel=0.005)


@pytest.mark.parametrize(("row", "nominal_rpm", "nominal_mnm", "inertia_gcm2"), DATASHEETS)
def test_nominal_speed_lies_on_the_speed_torque_line(
    row: Row, nominal_rpm: float, nominal_mnm: float, inertia_gcm2: float
) -> None:
    del inertia_gcm2
    built = motor.MotorModel(row[7] / 1000.0, row[6], 25.0, row[2] * row[7] * 1e-6, 100.0)
    cold = motor.running(built, winding_c=25.0, magnet_c=25.0, friction_share=1.0, magnet_per_k=0.0)
    (line,) = stretches(cold, Supply(row[0], 0.0, 0.0, 1e9), Road(1.0, 1.0, 1.0, 1.0, 0.0, 1e-9, 1e9, 1.0), 1.0)
    speed = (line.force_n - nominal_mnm / 1000.0) / line.force_n_s_per_m
    assert rpm(speed) == pytest.approx(nominal_rpm, rel=0.02)


def test_torque_constant_is_the_voltage_constant() -> None:
    # An encyclopedia's "torque constant" entry: 51 V for 1000 rpm go with 0.49 Nm/A.
    assert motor.torque_constant_nm_per_a(1000.0 / 51.0) == pytest.approx(0.49, rel=0.01)


@pytest.mark.parametrize(
    ("cold_ohm", "cold_c", "hot_ohm", "k", "hot_c"),
    [
        # A public physics forum's example, with both of the constants in use.
        (80.0, 20.0, 100.0, 234.5, 83.625),
        (80.0, 20.0, 100.0, 235.0, 83.75),
        # A public electronics forum's example with 0.004/K at 15 °C, that is k = 250 - 15.
        (20.0, 15.0, 22.0, 235.0, 40.0),
    ],
)
def test_a_winding_s_resistance_at_another_temperature(
    cold_ohm: float, cold_c: float, hot_ohm: float, k: float, hot_c: float
) -> None:
    assert motor.copper_resistance_ohm(cold_ohm, cold_c, hot_c, k) == pytest.approx(hot_ohm, rel=1e-12)


@pytest.mark.parametrize(
    ("hot_c", "factor"),
    [
        (40, 1.058),
        (50, 1.096),
        (60, 1.135),
        (75, 1.193),
        (80, 1.212),
        (90, 1.250),
        (100, 1.289),
        (125, 1.385),
        (150, 1.482),
    ],
)
def test_the_published_table_of_copper_factors_from_25_degrees(hot_c: float, factor: float) -> None:
    # A public page's table, made with the constant of IEEE 112 (234.5). Ours, of IEC 60034-1, differs by 0.08 % at most.
    assert motor.copper_resistance_ohm(1.0, 25.0, hot_c, 234.5) == pytest.approx(factor, abs=0.001)
    assert motor.copper_resistance_ohm(1.0, 25.0, hot_c) == pytest.approx(factor, abs=0.002)


def test_a_bench_run_gives_back_what_the_bench_read() -> None:
    built = motor.motor_from_bench(kv_rpm_per_v=2450, supply_v=3.7, current_a=3.9, resistance_ohm=0.0366, measured_c=31)
    # n = k_n·(U − I·R), as motor handbooks have it.
    constant = motor.speed_constant_rpm_per_v(built.torque_constant_nm_per_a)
    assert constant * (3.7 - 3.9 * 0.0366) == pytest.approx(2450 * 3.7, rel=1e-12)
    assert built.no_load_torque_nm / built.torque_constant_nm_per_a == pytest.approx(3.9, rel=1e-12)
    # Without load, all that goes in becomes heat.
    cold = motor.running(built, winding_c=31, magnet_c=31, friction_share=0.3, magnet_per_k=0.0)
    assert cold.no_load_loss_w(built.no_load_speed_rad_per_s) + 3.9**2 * 0.0366 == pytest.approx(3.7 * 3.9, rel=1e-12)


@given(st.floats(0.0, 1.0), st.floats(-10.0, 150.0))
def test_the_split_of_the_no_load_torque_never_changes_the_measured_point(share: float, winding_c: float) -> None:
    built = motor.MotorModel(0.004, 0.028, 25.0, 0.013, 1800.0)
    hot = motor.running(built, winding_c=winding_c, magnet_c=25.0, friction_share=share, magnet_per_k=0.0)
    assert hot.no_load_torque_nm(1800.0) == pytest.approx(0.013, rel=1e-12)


def test_a_warm_magnet_is_weaker_and_the_motor_faster() -> None:
    # Published coefficient of sintered neodymium magnets: -0.12 %/K, so -6.6 % at 80 °C from 25 °C.
    built = motor.MotorModel(0.004, 0.028, 25.0, 0.013, 1800.0)
    hot = motor.running(built, winding_c=25.0, magnet_c=80.0, friction_share=0.5, magnet_per_k=-0.0012)
    assert hot.torque_constant_nm_per_a / 0.004 == pytest.approx(1 - 0.066, abs=1e-12)


# The same catalogue of May 2013: no-load torques k_M·I₀ of its 14 windings over their no-load speeds lie on a line of
# 4.34 mNm + 0.53 mNm per 1000 rpm, so that the part without speed is 0.45 at 10,000 rpm and 0.33 at 17,000.
CATALOGUE_LINE = (4.34e-3, 0.53e-6)


def test_two_no_load_points_tell_friction_from_iron() -> None:
    def at(speed_rpm: float) -> motor.MotorModel:
        torque = CATALOGUE_LINE[0] + CATALOGUE_LINE[1] * speed_rpm
        return motor.MotorModel(0.035, 1.0, 25.0, torque, speed_rpm * 0.10471975511965977)

    share = motor.friction_share(at(4_000), at(11_000))
    assert share == pytest.approx(0.33, abs=0.006)
    hot = motor.running(at(10_000), winding_c=25, magnet_c=25, friction_share=share or 0.0, magnet_per_k=0.0)
    assert hot.friction_nm / hot.no_load_torque_nm(10_000 * 0.10471975511965977) == pytest.approx(0.45, abs=0.006)
    # A slower point with more torque, or one that leaves no friction, tells of the bench and not of the motor.
    assert motor.friction_share(at(11_000), at(4_000)) is None
    odd = motor.MotorModel(0.035, 1.0, 25.0, 1e-4, 400.0)
    assert motor.friction_share(odd, at(11_000)) is None


@pytest.mark.parametrize(
    "values",
    [
        {"kv_rpm_per_v": 0.0, "supply_v": 7.4, "current_a": 3.0, "resistance_ohm": 0.02},
        {"kv_rpm_per_v": 2400.0, "supply_v": 7.4, "current_a": 400.0, "resistance_ohm": 0.02},
        {"kv_rpm_per_v": 2400.0, "supply_v": 7.4, "current_a": float("nan"), "resistance_ohm": 0.02},
    ],
)
def test_a_bench_run_that_no_motor_gives_is_refused(values: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="volt"):
        motor.motor_from_bench(measured_c=25.0, **values)


@pytest.mark.parametrize("broken", [(-0.004, 0.028, 25.0), (0.004, 0.0, 25.0), (0.004, 0.028, -240.0)])
def test_a_motor_that_cannot_be_is_refused(broken: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="must"):
        motor.MotorModel(*broken, no_load_torque_nm=0.013, no_load_speed_rad_per_s=1800.0)


def test_a_motor_without_friction_or_iron_can_be_thought_of() -> None:
    assert (
        motor.MotorModel(0.004, 0.028, 25.0, no_load_torque_nm=0.0, no_load_speed_rad_per_s=1800.0).resistance_ohm
        == 0.028
    )
    with pytest.raises(ValueError, match="must"):
        motor.MotorModel(0.004, 0.028, 25.0, no_load_torque_nm=-0.001, no_load_speed_rad_per_s=1800.0)
