"""One motor over time: the line, how sure it is, where it breaks, and when it meets a limit."""

import math
import random
from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest
from scipy.stats import linregress, t

from speclint.comparison.drift import TrendLimit, crossings_of
from speclint.comparison.trend import MONTH_DAYS, FittedLine, Point, Trend, fit, trends_of
from speclint.limits.decisions import Limits
from speclint.readings.exact import exact
from speclint.readings.measured import Influence, Measured
from tests.comparison.bench_motors import motor, run, runs

ONE_RUN = runs(motor(run("2026-03-01")))[0]
TAILS = math.erfc(math.sqrt(2))
"""What two standard deviations of a normal distribution leave outside."""


def points(days: Sequence[float], values: Sequence[float], expanded_uncertainty: float = 0.0) -> tuple[Point, ...]:
    def value(i: int, of: float) -> Any:
        return (
            Measured(exact(of), {Influence(f"resolution:{i}", ""): expanded_uncertainty})
            if expanded_uncertainty
            else exact(of)
        )

    return tuple(
        Point(ONE_RUN, exact(day), value(i, one)) for i, (day, one) in enumerate(zip(days, values, strict=True))
    )


def line(days: Sequence[float], values: Sequence[float], expanded_uncertainty: float = 0.0) -> FittedLine:
    found = fit(points(days, values, expanded_uncertainty))
    assert found is not None
    return found


def test_the_thermometer_of_gum_h3() -> None:
    # JCGM 100 H.3: eleven readings of a thermometer (data from memory); slope 0.00218, u 0.00067, s 0.0035 as published.
    at = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    correction = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
    found = line(at, correction)
    assert float(found.slope) == pytest.approx(0.00218, abs=5e-6)
    assert found.slope_uncertainty / t.isf(TAILS / 2, 9) == pytest.approx(0.00067, abs=5e-6)
    assert found.scatter == pytest.approx(0.0035, abs=5e-5)
    assert float(found.at(Fraction(20))) == pytest.approx(-0.1712, abs=5e-5)
    assert float(found.at(Fraction(30))) == pytest.approx(-0.1494, abs=5e-5)


def test_an_unweighted_line_is_that_of_a_general_library() -> None:
    days, values = [0, 3, 4, 9, 15, 30], [21.4, 21.5, 21.45, 21.6, 21.9, 22.3]
    found, expected = line(days, values), linregress(days, values)
    assert float(found.slope) == pytest.approx(expected.slope, rel=1e-12)
    assert found.slope_uncertainty == pytest.approx(expected.stderr * t.isf(TAILS / 2, 4), rel=1e-9)


@pytest.mark.parametrize("count", [3, 4, 6, 12])
def test_the_true_slope_lies_within_its_blur_in_95_of_100_seasons(count: int) -> None:
    source = random.Random(f"seasons of {count} runs")  # noqa: S311 - a season, not a secret
    slope, seasons, held, shown = 0.0, 3000, 0, 0
    for season in range(seasons):
        slope = 0.02 if season % 2 else 0.0
        days = sorted(source.uniform(0, 120) for _ in range(count))
        values = [round(21.4 + slope * day + source.gauss(0, 0.2), 6) for day in days]
        found = line([round(day, 3) for day in days], values)
        held += abs(float(found.slope) - slope) <= found.slope_uncertainty
        shown += found.shown and slope == 0.0
    # Binomial: 95.45 % of 3000, four standard deviations either way.
    assert held / seasons == pytest.approx(1 - TAILS, abs=4 * math.sqrt(TAILS * (1 - TAILS) / seasons))
    assert shown / (seasons / 2) == pytest.approx(TAILS, abs=4 * math.sqrt(TAILS / (seasons / 2)))


def test_runs_that_agree_by_chance_are_not_surer_than_their_instrument() -> None:
    lucky = line([0, 10, 20, 30], [21.4, 21.4, 21.4, 21.4], expanded_uncertainty=0.1)
    # u = 0.1 / sqrt(500), with Student's factor for two degrees of freedom.
    assert lucky.slope_uncertainty == pytest.approx(0.1 / math.sqrt(500) * t.isf(TAILS / 2, 2), rel=1e-9)
    assert not lucky.shown
    scattered = line([0, 10, 20, 30], [21.0, 22.0, 21.0, 22.0], expanded_uncertainty=0.1)
    assert scattered.slope_uncertainty > 3 * lucky.slope_uncertainty


def test_a_less_certain_run_weighs_less() -> None:
    values = [exact(21), exact(22), exact(23), exact(30)]
    uncertainties = [0.1, 0.1, 0.1, 5.0]
    listed = tuple(
        Point(ONE_RUN, Fraction(i), Measured(value, {Influence(str(i), ""): expanded_uncertainty}))
        for i, (value, expanded_uncertainty) in enumerate(zip(values, uncertainties, strict=True))
    )
    found = fit(listed)
    assert found is not None
    assert float(found.slope) == pytest.approx(1.0, abs=0.02)


def test_an_instruments_own_error_cancels_in_the_slope_while_it_is_the_same_one() -> None:
    def slope_uncertainty(*names: str) -> float:
        listed = tuple(
            Point(
                ONE_RUN,
                Fraction(i * 10),
                Measured(exact(21), {Influence(f"accuracy:{name}", ""): 0.5, Influence(f"own:{i}", ""): 0.01}),
            )
            for i, name in enumerate(names)
        )
        found = fit(listed)
        assert found is not None
        return found.slope_uncertainty

    assert slope_uncertainty("a", "a", "a", "a") == pytest.approx(0.01 / math.sqrt(500) * t.isf(TAILS / 2, 2), rel=1e-6)
    assert slope_uncertainty("a", "a", "b", "b") > 10 * slope_uncertainty("a", "a", "a", "a")


METER = {
    "meter": {"accuracy_percent": 0.1, "resolution": 0.01},
    "thermometer": {"accuracy": 0.2, "resolution": 0.1},
    "motor-bench": {"accuracy_percent": 0.5},
}


def season(*mohm: float, rebuilds: list[dict[str, Any]] | None = None, step: int = 14) -> dict[str, list[Trend]]:
    listed = []
    for i, value in enumerate(mohm):
        pairs = {f"{pair}_mohm": value for pair in ("ab", "bc", "ca")}
        day = date(2026, 1, 1) + timedelta(days=step * i)
        listed.append(
            run(
                day.isoformat(), winding={**pairs, "winding_c": 20, "instrument": "meter", "thermometer": "thermometer"}
            )
        )
    of = motor(*listed, rebuilds=rebuilds or [])
    found: dict[str, list[Trend]] = {}
    for trend in trends_of(of, runs(of, METER)):
        found.setdefault(trend.quantity.name, []).append(trend)
    return found


def test_a_trend_is_broken_where_a_rebuild_ends_the_readings() -> None:
    swapped = [{"date": "2026-02-01", "did": ["rotor-swap"]}, {"date": "2026-02-02", "did": ["clean"]}]
    found = season(21.4, 21.4, 21.5, 21.5, 21.6, 21.6, rebuilds=swapped)
    assert [len(trend.points) for trend in found["winding_mean_mohm"]] == [6]
    assert [len(trend.points) for trend in found["kv_rpm_per_v"]] == [3, 3]
    assert [(trend.since is None, trend.until is None) for trend in found["kv_rpm_per_v"]] == [
        (True, False),
        (False, True),
    ]
    assert found["kv_rpm_per_v"][1].since is not None
    assert found["kv_rpm_per_v"][1].since.did == ("rotor-swap",)


def test_two_runs_are_no_trend() -> None:
    (found,) = season(21.4, 21.9)["winding_mean_mohm"]
    assert found.line is None
    assert found.direction.value == "can't tell"
    assert found.reason == "2 runs with this reading; a trend takes 3"


def test_runs_of_one_day_are_no_trend() -> None:
    (found,) = season(21.4, 21.5, 21.6, step=0)["winding_mean_mohm"]
    assert found.reason == "all runs are of one moment: give them different days, or times of day"


def test_a_drift_is_followed_to_the_limit_that_it_goes_towards() -> None:
    found = season(21.4, 21.6, 21.8, 22.0, 22.2)["winding_mean_mohm"]
    assert [trend.direction.value for trend in found] == ["rising"]
    limits = Limits(low=Fraction("20.5"), high=Fraction("22.4"))
    (crossing,) = crossings_of(
        found, [TrendLimit("winding_mean_mohm", limits, "winding"), TrendLimit("kv_rpm_per_v", limits, "speed")]
    )
    # 0.2 mOhm in 14 days from 22.2 on 26 February: 22.4 on 12 March.
    assert crossing.on == date(2026, 3, 12)
    assert crossing.limit == Fraction("22.4")
    assert not crossing.passed
    assert crossing.earliest < crossing.on
    assert crossing.latest is not None
    assert crossing.latest > crossing.on
    (passed,) = crossings_of(found, [TrendLimit("winding_mean_mohm", Limits(high=Fraction("21.9")), "winding")])
    assert passed.passed
    assert crossings_of(found, [TrendLimit("winding_mean_mohm", Limits(low=Fraction("20.5")), "winding")]) == ()
    assert crossings_of(found, [TrendLimit("winding_mean_mohm", Limits(high=Fraction(60)), "winding")]) == (), (
        "years away"
    )


def test_a_falling_line_is_mirrored() -> None:
    found = season(22.2, 22.0, 21.8, 21.6, 21.4)["winding_mean_mohm"]
    assert [trend.direction.value for trend in found] == ["falling"]
    (crossing,) = crossings_of(found, [TrendLimit("winding_mean_mohm", Limits(low=Fraction("21.2")), "winding")])
    assert crossing.on == date(2026, 3, 12)


def test_a_slope_that_is_not_shown_warns_of_nothing() -> None:
    found = season(21.4, 21.5, 21.4)["winding_mean_mohm"]
    assert [trend.direction.value for trend in found] == ["no trend shown"]
    assert crossings_of(found, [TrendLimit("winding_mean_mohm", Limits(high=Fraction("21.5")), "winding")]) == ()


def test_a_known_drift_is_found_again_within_its_blur() -> None:
    source = random.Random("a drift of 0.3 mOhm a month")  # noqa: S311 - a season, not a secret
    mohm = [round(21.4 + 0.3 / MONTH_DAYS * 14 * i + source.gauss(0, 0.02), 3) for i in range(8)]
    (found,) = season(*mohm)["winding_mean_mohm"]
    assert found.line is not None
    assert found.line.shown
    assert abs(float(found.line.slope) * MONTH_DAYS - 0.3) < found.line.slope_uncertainty * MONTH_DAYS
