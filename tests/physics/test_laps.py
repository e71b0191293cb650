"""A lap against scipy's integrator, and what a driver knows about laps."""

from dataclasses import replace
from itertools import pairwise
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from speclint.physics.assumptions import NOMINAL, Parameters
from speclint.physics.battery import Supply
from speclint.physics.drive import drive_of, greatest_speed_m_per_s, stretches
from speclint.physics.infield import Infield, Track, infield
from speclint.physics.lap import IRON_LOAD_A, Lap, lap
from speclint.physics.motor import MotorModel, RunningMotor, running
from speclint.physics.straight import straight
from speclint.physics.vehicle import Road
from tests.physics.stock_cars import CLUB_HALL, STOCK_13, STOCK_17, drawn

SAMPLES = drawn(11, 60)
CORNERS = Infield(corners=8.0, arc_m=6.5, link_m=4.5, corner_m_per_s=6.0, curvature_per_m=0.27)


def parts(motor: MotorModel, parameters: Parameters = NOMINAL) -> tuple[RunningMotor, Supply, Road]:
    """A motor at 70 °C, its pack and its car."""
    weight = 1.352 * 9.80665
    return (
        running(
            motor,
            winding_c=70,
            magnet_c=60,
            friction_share=parameters.friction_share,
            magnet_per_k=parameters.magnet_per_k,
        ),
        Supply(
            7.95, 2 * parameters.cell_ohm + parameters.wiring_ohm, parameters.controller_ohm, parameters.current_limit_a
        ),
        Road(
            1.352,
            1.352 * parameters.inertia_factor,
            0.03125,
            parameters.driveline_efficiency,
            parameters.rolling_coefficient * weight,
            0.5 * parameters.air_density_kg_per_m3 * parameters.drag_area_m2,
            parameters.traction_coefficient * weight,
            parameters.traction_coefficient * parameters.brake_share * weight,
        ),
    )


def driven(
    motor: MotorModel,
    ratio: float,
    parameters: Parameters = NOMINAL,
    corners: Infield = CORNERS,
    straight_m: float = 24.0,
) -> Lap:
    hot, supply, road = parts(motor, parameters)
    return lap(drive_of(hot, supply, road, ratio), corners, straight_m=straight_m, parameters=parameters)


def _outside_straight(
    hot: RunningMotor, supply: Supply, road: Road, ratio: float, corner: float, length: float, returned: float
) -> dict[str, float]:
    """A straight by scipy alone; the drive force is written here from the physics of each limit, with no use of our lines.

    The braking point is where the course from the start of the straight and the one back from its end meet.
    """
    k, turn = hot.torque_constant_nm_per_a, ratio / road.wheel_radius_m
    total = hot.resistance_ohm + supply.controller_ohm + supply.source_ohm

    def drag(speed: float) -> float:
        return hot.friction_nm + hot.drag_nm_s * turn * speed

    def current(speed: float) -> float:
        by_voltage = (supply.open_circuit_v - k * turn * speed) / total
        by_grip = (road.traction_n / (road.efficiency * turn) + drag(speed)) / k
        return min(by_voltage, supply.current_limit_a, by_grip)

    def drawn_a(amperes: float, speed: float) -> float:
        power = amperes * (k * turn * speed + amperes * (hot.resistance_ohm + supply.controller_ohm))
        return float(brentq(lambda i: (supply.open_circuit_v - supply.source_ohm * i) * i - power, 0, 300, xtol=1e-13))

    def holding(speed: float) -> float:
        return road.rolling_n + road.drag_n_s2_per_m2 * speed**2

    def speeding_up(_x: float, state: list[float]) -> list[float]:
        v = state[0]
        i = current(v)
        force = road.efficiency * turn * (k * i - drag(v))
        return [
            (force - holding(v)) / road.inertia_kg / v,
            1 / v,
            drawn_a(i, v) / v,
            i * i / v,
            drag(v) * turn,
        ]

    def slowing_down(_x: float, state: list[float]) -> list[float]:
        v = state[0]
        return [
            (road.brake_n + holding(v)) / road.inertia_kg / v,
            1 / v,
            drag(v) * turn,
        ]

    precise = {"rtol": 1e-11, "atol": 1e-11, "dense_output": True, "max_step": 0.05}
    up = solve_ivp(speeding_up, (0, length), [corner, 0, 0, 0, 0], **precise).sol
    back = solve_ivp(slowing_down, (0, length), [corner, 0, 0], **precise).sol
    point = brentq(lambda x: up(x)[0] - back(length - x)[0], 0, length, xtol=1e-13)
    fast, slow = up(point), back(length - point)
    # Braking feeds a mean current back: torque times angle over k times angle.
    way = length - point
    electric = road.efficiency * road.brake_n * way - slow[2]
    brake_a = electric / (k * turn * way)
    copper = brake_a**2 * slow[1] * (hot.resistance_ohm + supply.controller_ohm)
    share = returned if electric > copper else 1.0
    return {
        "time": fast[1] + slow[1],
        "top": fast[0],
        "charge": fast[2] - share * (electric - copper) / supply.open_circuit_v,
        "square": fast[3] + brake_a**2 * slow[1],
        "no_load": fast[4] + slow[2],
    }


@pytest.mark.parametrize(
    ("motor", "ratio", "link_m", "changes"),
    [
        (STOCK_17, 4.0, 4.5, {}),
        (STOCK_13, 4.5, 4.5, {}),
        (STOCK_13, 3.0, 4.5, {"current_limit_a": 60.0}),
        (STOCK_13, 4.0, 4.5, {"traction_coefficient": 1.0}),
        (STOCK_17, 5.5, 4.5, {"traction_coefficient": 3.0, "current_limit_a": 40.0}),
        (STOCK_17, 3.5, 4.5, {"pulse_share": 0.0}),
        (STOCK_17, 4.0, 0.9, {}),
        (STOCK_17, 6.5, 4.5, {}),
    ],
)
def test_the_whole_lap_agrees_with_scipy(
    motor: MotorModel, ratio: float, link_m: float, changes: dict[str, float]
) -> None:
    parameters = replace(NOMINAL, **changes)
    hot, supply, road = parts(motor, parameters)
    one_lap = driven(motor, ratio, parameters, replace(CORNERS, link_m=link_m))
    corner, k, turn = CORNERS.corner_m_per_s, hot.torque_constant_nm_per_a, ratio / road.wheel_radius_m
    fast, link = (
        _outside_straight(hot, supply, road, ratio, corner, way, parameters.returned_share) for way in (24.0, link_m)
    )
    side = min(1.352 * corner**2 * CORNERS.curvature_per_m, road.traction_n)
    resistance = road.rolling_n + road.drag_n_s2_per_m2 * corner**2 + parameters.scrub_coefficient * side
    idle = hot.friction_nm + hot.drag_nm_s * turn * corner
    needed = (resistance / (road.efficiency * turn) + idle) / k
    total = hot.resistance_ohm + supply.controller_ohm + supply.source_ohm
    most = min(
        (supply.open_circuit_v - k * turn * corner) / total,
        supply.current_limit_a,
        (road.traction_n / (road.efficiency * turn) + idle) / k,
    )
    pulse = needed + parameters.pulse_share * (most - needed)
    way = CORNERS.corners * CORNERS.arc_m
    arc_s = way / corner
    power = pulse * (k * turn * corner + pulse * (hot.resistance_ohm + supply.controller_ohm))
    drawn_a = brentq(lambda i: (supply.open_circuit_v - supply.source_ohm * i) * i - power, 0, 300, xtol=1e-13)
    time = fast["time"] + CORNERS.corners * link["time"] + arc_s
    square = fast["square"] + CORNERS.corners * link["square"] + pulse * needed * arc_s
    no_load = fast["no_load"] + CORNERS.corners * link["no_load"] + idle * turn * way
    loaded = no_load * parameters.iron_load_share * sqrt(square / time) / IRON_LOAD_A
    charge = fast["charge"] + CORNERS.corners * link["charge"] + drawn_a * arc_s * needed / pulse
    assert one_lap.time_s == pytest.approx(time, rel=1e-6)
    assert one_lap.top_m_per_s == pytest.approx(fast["top"], rel=1e-6)
    assert one_lap.battery_c == pytest.approx(charge + loaded / supply.open_circuit_v, rel=1e-6)
    assert one_lap.square_current_a2 == pytest.approx(square / time, rel=1e-6)
    assert one_lap.no_load_w == pytest.approx((no_load + loaded) / time, rel=1e-6)


def test_each_limit_rules_its_own_range_of_speeds() -> None:
    hot, supply, road = parts(STOCK_13, replace(NOMINAL, current_limit_a=60.0))
    ratio = 5.0
    limited, _ = stretches(hot, supply, replace(road, traction_n=1000.0), ratio)
    # Grip between what the current limit gives at a stand and what the motor's drag leaves of it.
    grip = limited.force_n - 0.5 * limited.force_n_s_per_m * limited.until_m_per_s
    drive = stretches(hot, supply, replace(road, traction_n=grip), ratio)
    assert [each.full_throttle for each in drive] == [False, False, True]
    for below, above in pairwise(drive):
        at = below.until_m_per_s
        assert below.force_n - below.force_n_s_per_m * at == pytest.approx(above.force_n - above.force_n_s_per_m * at)
        assert below.current_a + below.current_a_s_per_m * at == pytest.approx(
            above.current_a + above.current_a_s_per_m * at
        )
    assert drive[0].force_n == grip
    assert drive[1].current_a == 60.0
    emf = hot.torque_constant_nm_per_a * ratio / road.wheel_radius_m * drive[1].until_m_per_s
    assert supply.open_circuit_v - emf == pytest.approx(
        60.0 * (hot.resistance_ohm + supply.controller_ohm + supply.source_ohm)
    )


def test_a_long_straight_ends_at_the_speed_that_the_drive_can_hold() -> None:
    hot, supply, road = parts(STOCK_17)
    greatest = greatest_speed_m_per_s(stretches(hot, supply, road, 6.0), road.rolling_n, road.drag_n_s2_per_m2)
    long, longer = (driven(STOCK_17, 6.0, straight_m=way) for way in (300.0, 400.0))
    assert long.top_m_per_s == pytest.approx(greatest, rel=2e-6)
    assert longer.time_s - long.time_s == pytest.approx(100 / greatest, rel=2e-6)


@given(st.floats(8, 80), st.floats(1.001, 1.5))
def test_a_longer_straight_is_never_slower_at_its_end(straight: float, more: float) -> None:
    short, long = (driven(STOCK_17, 4.0, straight_m=way) for way in (straight, straight * more))
    assert long.top_m_per_s > short.top_m_per_s


def test_a_corner_faster_than_the_car_is_driven_as_fast_as_it_goes() -> None:
    fast = replace(CORNERS, corner_m_per_s=30.0)
    one_lap = driven(STOCK_17, 6.5, corners=fast)
    hot, supply, road = parts(STOCK_17)
    greatest = greatest_speed_m_per_s(stretches(hot, supply, road, 6.5), road.rolling_n, road.drag_n_s2_per_m2)
    assert 0.5 * greatest < one_lap.corner_m_per_s < greatest


@pytest.mark.parametrize("ratio", [4.0, 5.5, 6.5, 8.0])
def test_no_metre_of_a_straight_is_driven_faster_than_the_car_can_go(ratio: float) -> None:
    hot, supply, road = parts(STOCK_17)
    drive = drive_of(hot, supply, road, ratio)
    greatest = greatest_speed_m_per_s(drive.stretches, road.rolling_n, road.drag_n_s2_per_m2)
    seconds = [
        straight(drive, corner_m_per_s=0.8 * greatest, length_m=length_m, near_m_per_s=0.0).effort.time_s
        for length_m in range(1, 200)
    ]
    assert min(later - sooner for sooner, later in pairwise(seconds)) * greatest > 1.0 - 1e-6


def test_pulses_heat_the_copper_and_leave_the_lap_time_alone() -> None:
    laps = [driven(STOCK_17, 4.0, replace(NOMINAL, pulse_share=share)) for share in (0.0, 0.5, 1.0)]
    assert laps[0].time_s == laps[1].time_s == laps[2].time_s
    assert laps[0].square_current_a2 < laps[1].square_current_a2 < laps[2].square_current_a2


def test_the_longer_the_links_the_more_a_tall_gear_heats_the_copper() -> None:
    flowing = Infield(8.0, 9.0, 1.0, 7.0, 0.2)
    stop_go = Infield(8.0, 3.0, 7.0, 4.6, 0.6)
    grown = [
        driven(STOCK_17, 3.4, corners=corners).square_current_a2
        - driven(STOCK_17, 4.4, corners=corners).square_current_a2
        for corners in (flowing, stop_go)
    ]
    assert 0.0 < grown[0] < grown[1]


@settings(deadline=None)
@given(st.sampled_from(SAMPLES), st.floats(15, 40), st.floats(3.2, 7.0), st.booleans())
def test_the_infield_has_the_mean_speed_that_is_stated_of_it(
    parameters: Parameters, kmh: float, ratio: float, lap_known: bool
) -> None:
    hot, supply, road = parts(STOCK_17, parameters)
    drive = drive_of(hot, supply, road, ratio)
    straight_m = 24.0
    track = Track(110.0, straight_m, kmh / 3.6)
    found = infield(drive, track=track, parameters=parameters)
    one_lap = driven(STOCK_17, ratio, parameters, found, straight_m)
    if one_lap.corner_m_per_s < found.corner_m_per_s:
        return
    straight = driven(STOCK_17, ratio, parameters, replace(found, corners=1e-9), straight_m).time_s
    mean = (110.0 - straight_m) / (one_lap.time_s - straight)
    assert mean == pytest.approx(kmh / 3.6 * parameters.infield_speed_factor, rel=1e-3)
    if lap_known:
        known = replace(track, lap_s=one_lap.time_s * parameters.infield_speed_factor)
        again = infield(drive, track=known, parameters=parameters)
        assert again.corner_m_per_s == pytest.approx(found.corner_m_per_s, rel=5e-3)


def test_more_corners_that_are_counted_are_more_corners_that_are_driven() -> None:
    hot, supply, road = parts(STOCK_17)
    drive = drive_of(hot, supply, road, 4.4)
    few, many = (infield(drive, track=replace(CLUB_HALL, corners=corners), parameters=NOMINAL) for corners in (5, 12))
    assert (few.corners, many.corners) == (5, 12)
    assert few.corners * (few.arc_m + few.link_m) == pytest.approx(many.corners * (many.arc_m + many.link_m))
    assert many.curvature_per_m > few.curvature_per_m


def test_a_motor_that_cannot_move_the_car_is_refused() -> None:
    hot, supply, road = parts(STOCK_17)
    with pytest.raises(ValueError, match="cannot move the car"):
        driven(STOCK_17, 0.02)
    with pytest.raises(ValueError, match="its own friction"):
        stretches(replace(hot, friction_nm=2.0), supply, road, 4.0)


@pytest.mark.parametrize("broken", [(90.0, 95.0, 7.0), (90.0, 0.0, 7.0), (90.0, 20.0, 0.0), (float("nan"), 20.0, 7.0)])
def test_a_track_that_cannot_be_is_refused(broken: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="must"):
        Track(*broken)


def test_a_straight_may_be_as_short_as_it_likes() -> None:
    assert Track(90.0, 0.5, 7.0).straight_m == 0.5
