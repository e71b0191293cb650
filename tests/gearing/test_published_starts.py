"""The demonstration cars' starts beside what was published of stock touring cars at zero timing.

A maker's chart (final drive ratio at zero timing on rubber tyres: 3.5 for 17.5 turns, 4.5 for 13.5, 3.4 for 21.5), with its
ceiling for the can of 160 to 175 °F, 71 to 79 °C, after five minutes; a racer's report on a public board of 3.9 to 4.0 with 17.5
turns at less than 140 °F, 60 °C; club rules of 4.0 to 5.67 as the lowest ratio for such cars. A safe start lies on the short
side of the chart, which is for cars that have been geared up by measuring.
"""

import pytest

from speclint.gearing.plan import Plan
from speclint.physics.prediction import predict
from tests.gearing.geared_cars import demo, planned

CHART = {21.5: 3.4, 17.5: 3.5, 13.5: 4.5}
OBSERVED_17 = (3.9, 4.0)
CEILING_C = (71.0, 79.0)
SHORTER_AT_MOST = 1.25


@pytest.mark.parametrize(
    ("name", "turns"), [("car-12-carpet", 17.5), ("car-13-touring", 13.5), ("car-21-touring", 21.5)]
)
def test_a_start_is_on_the_safe_side_of_the_published_chart_by_a_quarter_at_most(name: str, turns: float) -> None:
    start = demo(name).start
    assert start is not None
    assert CHART[turns] <= start.pair.ratio <= SHORTER_AT_MOST * CHART[turns]


def test_a_17_turn_start_is_within_a_tenth_of_what_a_racer_reported_and_as_cool() -> None:
    start = demo("car-12-carpet").start
    assert start is not None
    assert start.outlook is not None
    assert OBSERVED_17[0] <= start.pair.ratio <= 1.1 * OBSERVED_17[1]
    assert start.outlook.likely.can_c < 60.0


def ratio_at(plan: Plan, can_c: float) -> float:
    """The ratio at which the most likely prediction reaches a temperature, on the tall side."""
    case = plan.forecaster.case
    low, high = 2.5, 5.5
    for _ in range(40):
        middle = (low + high) / 2
        hot = predict(case.car, case.motor.motors[0], case.run, middle, plan.forecaster.likely).can_c > can_c
        low, high = (middle, high) if hot else (low, middle)
    return low


@pytest.mark.parametrize("turns", [21.5, 17.5, 13.5])
def test_a_typical_motor_on_a_fast_club_track_reaches_the_chart_s_ceiling_near_the_chart_s_ratio(
    tmp_path_factory: pytest.TempPathFactory, turns: float
) -> None:
    # Within a fifth of the chart, at the middle of its ceiling: the chart knows neither track nor car.
    track = "format: garage/1\ntracks: {hall: {lap_m: 90, straight_m: 22, infield_speed_kmh: 28, ambient_c: 20}}\n"
    plan = planned(tmp_path_factory.mktemp("car"), track="hall", garage=track, motor=f"{{turns: {turns}}}")
    assert ratio_at(plan, sum(CEILING_C) / 2) == pytest.approx(CHART[turns], rel=0.2)


def test_fewer_turns_want_a_shorter_gearing() -> None:
    ratios = []
    for name in ("car-21-touring", "car-12-carpet", "car-13-touring"):
        start = demo(name).start
        assert start is not None
        ratios.append(start.pair.ratio)
    assert ratios == sorted(ratios)
