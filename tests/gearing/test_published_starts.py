"""The demonstration cars' starts beside what was published of stock touring cars at zero timing.

A maker's chart (final drive ratio at zero timing on rubber tyres: 3.5 for 17.5 turns, 4.5 for 13.5, 3.4 for 21.5), with its
ceiling for the can of 160 to 175 °F, 71 to 79 °C, after five minutes; a racer's report on a public board of 3.9 to 4.0 with 17.5
turns at less than 140 °F, 60 °C; club rules of 4.0 to 5.67 as the lowest ratio for such cars. A safe start lies on the short
side of the chart, which is for cars that have been geared up by measuring.
"""

import pytest

from speclint.gearing.plan import Plan
from tests.gearing.geared_cars import demo, planned

CHART = {21.5: 3.4, 17.5: 3.5, 13.5: 4.5}
OBSERVED_17 = (3.9, 4.0)
CEILING_C = (71.0, 79.0)
SHORTER_AT_MOST = 1.45


@pytest.mark.parametrize(
    ("name", "turns"), [("car-12-carpet", 17.5), ("car-13-touring", 13.5), ("car-21-touring", 21.5)]
)
def test_a_start_is_on_the_safe_side_of_the_published_chart(name: str, turns: float) -> None:
    start = demo(name).start
    assert start is not None
    assert CHART[turns] <= start.rated.pair.ratio <= SHORTER_AT_MOST * CHART[turns]


def test_a_17_turn_start_is_within_a_fifth_of_what_a_racer_reported_and_likely_as_cool() -> None:
    start = demo("car-12-carpet").start
    assert start is not None
    assert OBSERVED_17[0] <= start.rated.pair.ratio <= 1.2 * OBSERVED_17[1]
    assert start.rated.likely_c < 65.0


def likely_at(plan: Plan, ratio: float) -> float:
    assert plan.forecaster is not None
    (outlook,) = plan.forecaster.fleet.outlooks([ratio])
    assert outlook is not None
    return outlook.can_c.median


@pytest.mark.parametrize("turns", [21.5, 17.5, 13.5])
def test_a_typical_motor_on_a_club_track_geared_by_the_chart_is_near_the_chart_s_ceiling(
    tmp_path_factory: pytest.TempPathFactory, turns: float
) -> None:
    # Within a third of the rise at the middle of its ceiling: the chart knows neither track nor car, and is for good ones.
    track = "format: garage/1\ntracks: {hall: {lap_m: 110, straight_m: 24, infield_speed_kmh: 26, ambient_c: 20}}\n"
    plan = planned(tmp_path_factory.mktemp("car"), track="hall", garage=track, motor=f"{{turns: {turns}}}")
    ceiling = sum(CEILING_C) / 2
    assert likely_at(plan, CHART[turns]) - 20 == pytest.approx(ceiling - 20, rel=0.33)


def test_a_13_turn_car_starts_shorter_than_a_17_turn_one() -> None:
    ratios = []
    for name in ("car-12-carpet", "car-13-touring"):
        start = demo(name).start
        assert start is not None
        ratios.append(start.rated.pair.ratio)
    assert ratios == sorted(ratios)
