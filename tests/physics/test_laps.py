"""A lap against scipy's integrator and an energy balance, and what a driver knows about laps."""

from dataclasses import fields, replace
from itertools import pairwise
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from speclint.physics import assumptions
from speclint.physics.assumptions import NOMINAL, Parameters
from speclint.physics.battery import Supply
from speclint.physics.drive import greatest_speed_m_per_s, stretches
from speclint.physics.lap import Lap, Track, lap
from speclint.physics.motor import Motor, RunningMotor, running
from speclint.physics.sampling import sample
from speclint.physics.vehicle import Road
from tests.physics.stock_cars import CLUB_HALL, STOCK_13, STOCK_17

SAMPLES = sample(11, 60)
shares = st.floats(0, 1)


def parts(motor: Motor, parameters: Parameters = NOMINAL, mass_kg: float = 1.352) -> tuple[RunningMotor, Supply, Road]:
    """A motor at 70 °C, its pack and its car."""
    return (
        running(
            motor,
            winding_c=70,
            magnet_c=60,
            friction_share=parameters.friction_share,
            magnet_per_k=parameters.magnet_per_k,
        ),
        assumptions.supply(parameters, pack_v=8.38, cells=2),
        assumptions.road(parameters, mass_kg=mass_kg, tyre_diameter_m=0.0625),
    )


def heat(driven: Lap) -> float:
    """All that became heat."""
    return sum(float(getattr(driven.energies, each.name)) for each in fields(driven.energies) if each.name != "battery")


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(SAMPLES),
    st.sampled_from([STOCK_13, STOCK_17]),
    st.floats(2.5, 12),
    st.floats(3, 14),
    st.floats(30, 400),
    st.floats(0.02, 1),
    shares,
)
def test_what_comes_out_of_the_pack_becomes_heat_and_nothing_is_lost(
    parameters: Parameters, motor: Motor, ratio: float, corner: float, lap_m: float, straight: float, pulses: float
) -> None:
    hot, supply, road = parts(motor, parameters)
    driven = lap(hot, supply, road, ratio, Track(lap_m, lap_m * straight, corner), pulse_share=pulses)
    # The car ends a lap as fast as it began it, so that kinetic energy has no part in the balance.
    assert heat(driven) == pytest.approx(driven.energies.battery, rel=1e-6)
    assert min(getattr(driven.energies, each.name) for each in fields(driven.energies)) >= 0
    assert driven.corner_m_per_s <= driven.top_m_per_s
    assert driven.held == (driven.corner_m_per_s == corner)
    assert driven.square_current_a2 <= supply.current_limit_a**2 * (1 + 1e-9)


def _outside_lap(
    hot: RunningMotor, supply: Supply, road: Road, ratio: float, track: Track, pulses: float
) -> list[float]:
    """Lap time, top speed, charge, mean squared current, and the energies no-load, air and brake: by scipy alone.

    The drive force is written here from the physics of each limit, with no use of our straight lines; the braking point
    is where the course from the start of the straight and the one back from its end meet.
    """
    k, turn = hot.torque_constant_nm_per_a, ratio / road.wheel_radius_m
    total = hot.resistance_ohm + supply.controller_ohm + supply.source_ohm

    def drag(speed: float) -> float:
        return hot.friction_nm + hot.drag_nm_s * turn * speed

    def current(speed: float) -> float:
        by_voltage = (supply.open_circuit_v - k * turn * speed) / total
        by_grip = (road.traction_n / (road.efficiency * turn) + drag(speed)) / k
        return min(by_voltage, supply.current_limit_a, by_grip)

    def force(speed: float) -> float:
        return road.efficiency * turn * (k * current(speed) - drag(speed))

    def drawn(amperes: float, speed: float) -> float:
        power = amperes * (k * turn * speed + amperes * (hot.resistance_ohm + supply.controller_ohm))
        return float(brentq(lambda i: (supply.open_circuit_v - supply.source_ohm * i) * i - power, 0, 300, xtol=1e-13))

    def holding(speed: float) -> float:
        return road.rolling_n + road.drag_n_s2_per_m2 * speed**2

    def speeding_up(_x: float, state: list[float]) -> list[float]:
        v = state[0]
        i = current(v)
        return [
            (force(v) - holding(v)) / road.inertia_kg / v,
            1 / v,
            drawn(i, v) / v,
            i * i / v,
            drag(v) * turn,
            road.drag_n_s2_per_m2 * v * v,
        ]

    def slowing_down(_x: float, state: list[float]) -> list[float]:
        v = state[0]
        return [
            (road.brake_n + holding(v)) / road.inertia_kg / v,
            1 / v,
            drag(v) * turn,
            road.drag_n_s2_per_m2 * v * v,
        ]

    corner, length = track.corner_m_per_s, track.straight_m
    precise = {"rtol": 1e-11, "atol": 1e-11, "dense_output": True, "max_step": 0.05}
    up = solve_ivp(speeding_up, (0, length), [corner, 0, 0, 0, 0, 0], **precise).sol
    back = solve_ivp(slowing_down, (0, length), [corner, 0, 0, 0], **precise).sol
    point = brentq(lambda x: up(x)[0] - back(length - x)[0], 0, length, xtol=1e-13)
    fast, slow = up(point), back(length - point)
    time = (track.lap_m - length) / corner
    needed = ((holding(corner) + road.scrub_n) / (road.efficiency * turn) + drag(corner)) / k
    pulse = needed + pulses * (current(corner) - needed)
    part = needed / pulse
    lap_s = fast[1] + slow[1] + time
    way = track.lap_m - length
    return [
        lap_s,
        fast[0],
        fast[2] + drawn(pulse, corner) * time * part,
        (fast[3] + pulse**2 * time * part) / lap_s,
        fast[4] + slow[2] + drag(corner) * turn * way,
        fast[5] + slow[3] + road.drag_n_s2_per_m2 * corner**2 * way,
        road.brake_n * (length - point) - slow[2],
    ]


@pytest.mark.parametrize(
    ("motor", "ratio", "changes"),
    [
        (STOCK_17, 4.0, {}),
        (STOCK_13, 4.5, {}),
        (STOCK_13, 3.0, {"current_limit_a": 60.0}),
        (STOCK_13, 4.0, {"traction_coefficient": 1.2}),
        (STOCK_17, 5.5, {"traction_coefficient": 3.0, "current_limit_a": 40.0}),
        (STOCK_17, 3.5, {"pulse_share": 0.0}),
    ],
)
def test_the_whole_lap_agrees_with_scipy(motor: Motor, ratio: float, changes: dict[str, float]) -> None:
    parameters = replace(NOMINAL, **changes)
    hot, supply, road = parts(motor, parameters)
    driven = lap(hot, supply, road, ratio, CLUB_HALL, pulse_share=parameters.pulse_share)
    outside = _outside_lap(hot, supply, road, ratio, CLUB_HALL, parameters.pulse_share)
    ours = [
        driven.time_s,
        driven.top_m_per_s,
        driven.battery_c,
        driven.square_current_a2,
        driven.energies.no_load,
        driven.energies.air,
        driven.energies.brake,
    ]
    assert ours == pytest.approx(outside, rel=1e-6)


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
    drive = stretches(hot, supply, road, 6.0)
    greatest = greatest_speed_m_per_s(drive, road.rolling_n, road.drag_n_s2_per_m2)
    long = lap(hot, supply, road, 6.0, Track(400, 300, 6.0), pulse_share=0.5)
    assert long.top_m_per_s == pytest.approx(greatest, rel=1e-8)
    longer = lap(hot, supply, road, 6.0, Track(500, 400, 6.0), pulse_share=0.5)
    assert longer.time_s - long.time_s == pytest.approx(100 / greatest, rel=1e-6)


@given(st.floats(8, 80), st.floats(1.001, 1.5))
def test_a_longer_straight_is_never_slower_at_its_end(straight: float, more: float) -> None:
    hot, supply, road = parts(STOCK_17)
    short = lap(hot, supply, road, 4.0, Track(200, straight, 7.0), pulse_share=0.5)
    long = lap(hot, supply, road, 4.0, Track(200, straight * more, 7.0), pulse_share=0.5)
    assert long.top_m_per_s > short.top_m_per_s
    assert long.time_s < short.time_s


def test_a_corner_faster_than_the_car_is_driven_as_fast_as_it_goes() -> None:
    hot, supply, road = parts(STOCK_17)
    driven = lap(hot, supply, road, 9.0, CLUB_HALL, pulse_share=0.5)
    assert not driven.held
    drive = stretches(hot, supply, road, 9.0)
    assert driven.corner_m_per_s == pytest.approx(
        greatest_speed_m_per_s(drive, road.rolling_n + road.scrub_n, road.drag_n_s2_per_m2), rel=1e-8
    )


def test_pulses_heat_the_copper_and_leave_the_lap_time_alone() -> None:
    hot, supply, road = parts(STOCK_17)
    laps = [lap(hot, supply, road, 4.0, CLUB_HALL, pulse_share=each) for each in (0.0, 0.5, 1.0)]
    assert laps[0].time_s == laps[1].time_s == laps[2].time_s
    assert laps[0].square_current_a2 < laps[1].square_current_a2 < laps[2].square_current_a2
    assert sqrt(laps[2].square_current_a2) < supply.current_limit_a


def test_braking_takes_what_the_constant_retardation_formula_says() -> None:
    # Without air or rolling resistance the braking distance is that of school physics: (v1² - v0²)/2a.
    hot, supply, road = parts(STOCK_17)
    bare = replace(road, rolling_n=0.0, drag_n_s2_per_m2=1e-6)
    driven = lap(hot, supply, bare, 4.0, CLUB_HALL, pulse_share=0.5)
    retardation = bare.brake_n / bare.inertia_kg
    expected = (driven.top_m_per_s**2 - driven.corner_m_per_s**2) / (2 * retardation)
    assert driven.braking_m == pytest.approx(expected, rel=5e-5)


def test_a_motor_that_cannot_move_the_car_is_refused() -> None:
    hot, supply, road = parts(STOCK_17)
    with pytest.raises(ValueError, match="cannot move the car"):
        lap(hot, supply, road, 0.3, CLUB_HALL, pulse_share=0.5)
    with pytest.raises(ValueError, match="its own friction"):
        lap(replace(hot, friction_nm=2.0), supply, road, 4.0, CLUB_HALL, pulse_share=0.5)


@pytest.mark.parametrize("broken", [(90.0, 95.0, 7.0), (90.0, 0.0, 7.0), (90.0, 20.0, 0.0), (float("nan"), 20.0, 7.0)])
def test_a_track_that_cannot_be_is_refused(broken: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="must"):
        Track(*broken)
