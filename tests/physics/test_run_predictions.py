"""A run's temperatures: common sense, laws, numbers of the trade, and the lap-by-lap run that they stand for."""

from dataclasses import replace
from itertools import pairwise
from math import expm1, inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.physics.assumptions import NOMINAL, Parameters
from speclint.physics.battery import CELL_REST_V, Supply
from speclint.physics.drive import drive_of
from speclint.physics.infield import Track
from speclint.physics.lap import lap
from speclint.physics.motor import COPPER_K, MotorModel, running
from speclint.physics.prediction import CEILING, MAGNET_IRON_SHARE, Prediction, PreparedRun, RunConditions, VehicleModel
from speclint.physics.thermal import Network, Temperatures, after, copper_heat
from speclint.physics.typical import typical_motor
from speclint.physics.units import kmh, mah, rpm
from speclint.physics.vehicle import Road
from tests.physics.stock_cars import CLUB_HALL, FIVE_MINUTES, STOCK_13, STOCK_17, TOURING, drawn

TOLD_AT_MOST_C = 150.0
"""Past this a report says \"over 150 °C\" and no more."""
SAMPLES = drawn(7, 80)
motors = st.sampled_from([STOCK_13, STOCK_17])
parameter_sets = st.sampled_from(SAMPLES)
tracks = st.builds(Track, st.floats(60, 200), st.floats(12, 40), st.floats(5, 10))
runs = st.builds(RunConditions, tracks, st.floats(2, 10), st.floats(5, 35), st.floats(4, 5))


def predict(
    motor: MotorModel,
    ratio: float,
    parameters: Parameters = NOMINAL,
    *,
    run: RunConditions = FIVE_MINUTES,
    car: VehicleModel = TOURING,
    guess: Prediction | None = None,
) -> Prediction:
    return PreparedRun(car, motor, run, parameters).predict(ratio, guess)


def test_a_17_turn_touring_car_geared_as_racers_gear_it_ends_as_warm_as_racers_report() -> None:
    # Published numbers of the trade: touring cars with 17.5 turns at zero timing were seen at 3.9-4.0 below 60 °C, with
    # ceilings of 71-79 °C after five minutes; a maker's chart starts a 17.5 at 3.5 and a 13.5 at 4.5.
    at_4 = predict(STOCK_17, 4.0)
    assert 55 < at_4.end.can_c < 82
    assert 45 < kmh(at_4.lap.top_m_per_s) < 65
    assert 15_000 < rpm(at_4.lap.top_motor_rad_per_s) < 21_000
    assert 500 < mah(at_4.charge_c) < 2000
    assert predict(STOCK_17, 3.0).end.can_c > 79
    assert predict(STOCK_13, 3.5).end.can_c > 79


def test_fewer_turns_heat_more_on_a_short_gear() -> None:
    # Where both spin near their no-load speed, fewer turns spin faster and lose more in the iron.
    for ratio in (8.0, 9.0, 10.0):
        slow, fast = (predict(motor, ratio).end.can_c for motor in (STOCK_17, STOCK_13))
        assert fast > slow


@settings(deadline=None)
@given(parameter_sets, motors, runs, st.floats(3, 8), st.floats(0.1, 15))
def test_hotter_air_is_never_cooler_at_the_can(
    parameters: Parameters, motor: MotorModel, run: RunConditions, ratio: float, hotter: float
) -> None:
    cool = predict(motor, ratio, parameters, run=run)
    hot = predict(motor, ratio, parameters, run=replace(run, ambient_c=run.ambient_c + hotter))
    assert hot.end.can_c > cool.end.can_c


@settings(deadline=None)
@given(parameter_sets, motors, runs, st.floats(3, 7), st.floats(1.2, 1.5), st.floats(1.01, 1.2))
def test_a_heavier_car_is_never_cooler(
    parameters: Parameters, motor: MotorModel, run: RunConditions, ratio: float, mass_kg: float, more: float
) -> None:
    cars = [PreparedRun(replace(TOURING, mass_kg=mass), motor, run, parameters) for mass in (mass_kg, mass_kg * more)]
    light, heavy = (car.predict(ratio) for car in cars)
    # A car that its drive holds back everywhere laps slower when it is heavier, and may so be cooler by a hair.
    if all(run.lap.corner_m_per_s == car.infield.corner_m_per_s for car, run in zip(cars, (light, heavy), strict=True)):
        assert heavy.end.can_c > light.end.can_c - 0.3


@settings(deadline=None)
@given(parameter_sets, motors, runs, st.floats(3, 8), st.floats(1.01, 2))
def test_a_longer_run_is_never_cooler(
    parameters: Parameters, motor: MotorModel, run: RunConditions, ratio: float, longer: float
) -> None:
    short = predict(motor, ratio, parameters, run=run)
    long = predict(motor, ratio, parameters, run=replace(run, minutes=run.minutes * longer))
    # A pack that is run down further gives less: with a run of minutes that costs some tenths of a kelvin at most, as far
    # as a prediction is told at all.
    assert long.end.can_c > min(short.end.can_c, TOLD_AT_MOST_C) - 0.5


@pytest.mark.parametrize("motor", [STOCK_13, STOCK_17])
def test_over_gearing_and_under_gearing_both_heat(motor: MotorModel) -> None:
    ratios = [2.8 * (9 / 2.8) ** (step / 30) for step in range(31)]
    predictions = [predict(motor, ratio) for ratio in ratios]
    temperatures = [each.end.can_c for each in predictions]
    least = temperatures.index(min(temperatures))
    assert 0 < least < 30
    assert sorted(temperatures[: least + 1], reverse=True) == temperatures[: least + 1]
    tall, short = (
        (at.heat.winding_w + at.heat.winding_w_per_k * at.mean.winding_c) / at.lap.no_load_w
        for at in (predictions[0], predictions[-1])
    )
    assert tall > 3
    assert short < 0.5


def test_a_tall_gear_is_worst_where_the_infield_stops_and_goes() -> None:
    risen = []
    for links in (0.33, 0.7, 2.0):
        parameters = replace(NOMINAL, link_ratio=links)
        slow = replace(FIVE_MINUTES, track=replace(CLUB_HALL, infield_m_per_s=5.8))
        tall, short = (predict(STOCK_17, ratio, parameters, run=slow).end.can_c for ratio in (3.65, 4.24))
        risen.append(tall - short)
    assert risen == sorted(risen)
    assert risen[-1] > 1.5 * risen[0]


def _lap_by_lap(
    motor: MotorModel, run: RunConditions, ratio: float, parameters: Parameters
) -> tuple[Temperatures, float]:
    """The run in single laps, each with resistance, magnet and pack at the state of its own beginning: its end, and the
    mean of the top speeds."""
    prepared = PreparedRun(TOURING, motor, run, parameters)
    weight = TOURING.mass_kg * 9.80665
    traction = parameters.traction_coefficient * weight
    road = Road(
        TOURING.mass_kg,
        TOURING.mass_kg * parameters.inertia_factor,
        TOURING.tyre_diameter_m / 2,
        parameters.driveline_efficiency,
        parameters.rolling_coefficient * weight,
        0.5 * parameters.air_density_kg_per_m3 * parameters.drag_area_m2 * (TOURING.mass_kg / 1.4) ** (2 / 3),
        traction,
        traction * parameters.brake_share,
    )
    start = Temperatures(run.ambient_c, run.ambient_c)
    now, left, used_c, magnet_c = start, run.minutes * 60.0, 0.0, run.ambient_c
    lag_s = parameters.magnet_j_per_k * parameters.magnet_can_k_per_w
    air, tops_m = 1.0, 0.0
    while left > 0:
        share = used_c / (TOURING.capacity_mah * 3.6 * parameters.capacity_factor)
        place = 1.0 - share
        volts = next(
            low[1] + (high[1] - low[1]) * (place - low[0]) / (high[0] - low[0])
            for low, high in pairwise(CELL_REST_V)
            if low[0] <= place <= high[0]
        )
        supply = Supply(
            2 * (volts + TOURING.pack_v / 2 - 4.2),
            2 * parameters.cell_ohm + parameters.wiring_ohm,
            parameters.controller_ohm,
            parameters.current_limit_a,
        )
        hot = running(
            motor,
            winding_c=now.winding_c,
            magnet_c=magnet_c,
            friction_share=parameters.friction_share,
            magnet_per_k=parameters.magnet_per_k,
        )
        drive = drive_of(hot, supply, road, ratio)
        one_lap = lap(drive, prepared.infield, straight_m=run.track.straight_m, parameters=parameters)
        iron_w = one_lap.no_load_w
        heat = copper_heat(one_lap.square_current_a2, hot.resistance_ohm, now.winding_c, COPPER_K, can_w=iron_w)
        speed = run.track.lap_m / one_lap.time_s
        air = parameters.can_air_k_per_w / (speed / 6.0) ** parameters.air_speed_power
        network = Network(
            parameters.winding_j_per_k,
            parameters.can_j_per_k,
            parameters.winding_can_k_per_w,
            air + parameters.can_skin_k_per_w,
        )
        step = min(left, one_lap.time_s)
        settled_c = now.can_c + MAGNET_IRON_SHARE * iron_w * parameters.magnet_can_k_per_w
        magnet_c += (settled_c - magnet_c) * -expm1(-step / lag_s)
        now, _ = after(network, heat, run.ambient_c, now, step)
        used_c += one_lap.battery_c * step / one_lap.time_s
        tops_m += one_lap.top_m_per_s * step
        left -= step
    skin = air / (air + parameters.can_skin_k_per_w)
    end = Temperatures(now.winding_c, run.ambient_c + skin * (now.can_c - run.ambient_c))
    return end, tops_m / (run.minutes * 60.0)


@pytest.mark.parametrize(("motor", "ratio"), [(STOCK_17, 3.8), (STOCK_17, 4.4), (STOCK_13, 5.0), (STOCK_13, 6.5)])
def test_one_mean_lap_stands_for_the_laps_of_a_run(motor: MotorModel, ratio: float) -> None:
    stepped, mean_top = _lap_by_lap(motor, FIVE_MINUTES, ratio, NOMINAL)
    mean = predict(motor, ratio)
    # The warm end of a run, with its weaker magnet, counts for more than its cold start; the mean lap leaves that out.
    assert mean.end.can_c == pytest.approx(stepped.can_c, abs=1.5)
    assert mean.end.winding_c == pytest.approx(stepped.winding_c, abs=3.0)
    assert mean.lap.top_m_per_s == pytest.approx(mean_top, rel=0.003)


@settings(deadline=None)
@given(st.floats(3, 8), st.floats(3, 8))
def test_the_prediction_does_not_depend_on_where_it_starts_from(ratio: float, other: float) -> None:
    plain = predict(STOCK_17, ratio)
    guessed = predict(STOCK_17, ratio, guess=predict(STOCK_17, other))
    assert guessed.end.can_c == pytest.approx(plain.end.can_c, abs=0.1)


def test_a_pack_that_is_run_down_slows_the_car() -> None:
    fresh = predict(STOCK_17, 4.4, run=replace(FIVE_MINUTES, minutes=1.0))
    late = predict(STOCK_17, 4.4, run=replace(FIVE_MINUTES, minutes=25.0))
    assert late.lap.top_m_per_s < fresh.lap.top_m_per_s
    small = predict(STOCK_17, 4.4, car=replace(TOURING, capacity_mah=2500))
    assert small.lap.top_m_per_s < predict(STOCK_17, 4.4).lap.top_m_per_s


def test_a_pack_of_one_cell_has_half_the_resistance_of_one_of_two() -> None:
    # Packs that never run down, of one voltage: one cell drives as two do that have half of its resistance each.
    laps = [
        predict(
            STOCK_17,
            4.4,
            replace(NOMINAL, cell_ohm=0.006 / cells),
            car=replace(TOURING, cells=cells, pack_v=8.4, capacity_mah=1e9),
        ).lap
        for cells in (1, 2)
    ]
    assert laps[0].top_m_per_s == pytest.approx(laps[1].top_m_per_s, rel=1e-4)
    assert laps[0].battery_c == pytest.approx(laps[1].battery_c, rel=1e-4)


def test_a_faster_car_and_a_fan_cool_the_motor() -> None:
    still = predict(STOCK_17, 4.4, replace(NOMINAL, air_speed_power=1e-9))
    assert predict(STOCK_17, 4.4).network.can_air_k_per_w != still.network.can_air_k_per_w
    fan = predict(STOCK_17, 4.4, replace(NOMINAL, fan_w_per_k=0.15))
    assert fan.end.can_c < predict(STOCK_17, 4.4).end.can_c - 5.0
    fast = replace(FIVE_MINUTES, track=replace(CLUB_HALL, infield_m_per_s=9.0))
    assert predict(STOCK_17, 4.4, run=fast).network.can_air_k_per_w < predict(STOCK_17, 4.4).network.can_air_k_per_w


def test_no_car_is_so_slow_that_its_motor_is_cooled_less_than_in_still_air() -> None:
    at_a_crawl = replace(NOMINAL, can_air_k_per_w=1000.0, fan_w_per_k=0.0)
    rest = at_a_crawl.still_air_k_per_w + at_a_crawl.can_skin_k_per_w
    assert predict(STOCK_17, 4.4, at_a_crawl).network.can_air_k_per_w == pytest.approx(rest, rel=1e-12)


def test_after_the_stop_a_can_rises_before_it_falls() -> None:
    # From catalogues of 40 mm motors, start 92/66 °C in 22 °C of air: a peak after 10 to 45 s, and below the start after
    # two minutes.
    run = PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, NOMINAL)
    found = run.predict(4.0)
    course = [run.can_after_stop_c(found, found.end, seconds) for seconds in (0.0, 10.0, 30.0, 60.0, 120.0, 300.0)]
    assert course[0] == pytest.approx(found.end.can_c)
    assert max(course) in course[1:4]
    assert 1.0 < max(course) - course[0] < 7.0
    assert course[-1] < course[0]


def test_the_course_of_a_run_starts_at_the_air_and_ends_at_the_prediction() -> None:
    run = PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, NOMINAL)
    found = run.predict(4.0)
    points = run.course(found, (0.0, 1.0, 2.0, 3.0, 4.0, 5.0))
    assert (points[0].winding_c, points[0].can_c) == (20.0, 20.0)
    assert [each.can_c for each in points] == sorted(each.can_c for each in points)
    assert (points[-1].winding_c, points[-1].can_c) == pytest.approx((found.end.winding_c, found.end.can_c), rel=1e-12)


@settings(deadline=None)
@given(parameter_sets, motors, st.floats(0.05, 30))
def test_a_gearing_far_from_sense_still_gets_a_finite_answer(
    parameters: Parameters, motor: MotorModel, ratio: float
) -> None:
    run = PreparedRun(TOURING, motor, FIVE_MINUTES, parameters)
    if not run.can_move(ratio):
        return
    found = run.predict(ratio)
    assert 20 < found.end.can_c < inf
    assert 20 < found.end.winding_c < inf
    assert found.mean.winding_c <= CEILING.winding_c


def test_gearing_that_cannot_move_the_car_is_known_beforehand() -> None:
    run = PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, NOMINAL)
    assert run.can_move(4.0)
    assert not run.can_move(0.01)
    assert not run.can_move(-1.0)
    with pytest.raises(ValueError, match="cannot move the car"):
        run.predict(0.01)
    with pytest.raises(ValueError, match="ratio"):
        run.predict(0.0)


@settings(deadline=None)
@given(st.floats(12.5, 22.0))
def test_a_known_lap_time_is_the_lap_time_that_is_predicted(lap_s: float) -> None:
    run = replace(FIVE_MINUTES, track=replace(CLUB_HALL, lap_s=lap_s))
    assert predict(STOCK_17, 4.4, run=run).lap.time_s == pytest.approx(lap_s, abs=0.06)


def test_a_single_cell_pan_car_is_within_reach_of_the_model() -> None:
    # 1/12 on one cell: 44 mm tyres, 730 g, no internal ratio; rollouts of 80-110 mm for 17.5 turns (common practice).
    pan = VehicleModel(mass_kg=0.735, tyre_diameter_m=0.044, pack_v=4.19, cells=1, capacity_mah=6500)
    run = replace(FIVE_MINUTES, minutes=8.0, reference_ratio=1.55)
    assert 30 < predict(typical_motor(17.5), 0.044 * 3.14159 / 0.090, run=run, car=pan).end.can_c < 95


@pytest.mark.parametrize(
    "broken", [(0.0, 0.06, 8.4, 2, 6000), (1.35, 0.06, float("nan"), 2, 6000), (1.35, 0.06, 8.4, 0, 6000), (1.35, 0.06, 8.4, 2, 0)]
)  # fmt: skip
def test_a_car_that_cannot_be_is_refused(broken: tuple[float, float, float, int, float]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        VehicleModel(*broken)


@pytest.mark.parametrize("broken", [(0.0, 20.0, 4.4), (5.0, 20.0, 0.0), (5.0, -COPPER_K, 4.4)])
def test_a_run_that_cannot_be_is_refused(broken: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        RunConditions(CLUB_HALL, *broken)
