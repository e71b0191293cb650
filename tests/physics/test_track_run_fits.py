"""Fitting the constants to track runs: it finds what is there, knows when it can't, and takes no nonsense."""

from dataclasses import replace
from math import log
from statistics import NormalDist

import numpy as np
import pytest

from speclint.physics.assumptions import NOMINAL, Parameters, parameters_at
from speclint.physics.bands import Band, Fleet, HeatLimits
from speclint.physics.fit import Fit, fit
from speclint.physics.least_squares import factored, linear_model, solved
from speclint.physics.prediction import PreparedRun, RunConditions
from speclint.physics.sampling import sample
from speclint.physics.track_readings import (
    BEST_LAP,
    CHARGE_EFFICIENCY,
    DAYS,
    LogReading,
    TrackReadings,
    covariance,
    log_readings,
    predicted_logs,
)
from tests.physics.stock_cars import ASSUMED, CLUB_HALL, FIVE_MINUTES, STOCK_17, TOURING

SCORES = sample(3, 80)
CONDITIONS = ((5.0, 19.0, 4.5), (5.0, 22.0, 4.0), (3.0, 20.0, 3.7))
HARD_WORKING = replace(NOMINAL, scrub_coefficient=0.23, corner_angle_rad=2.1)
BADLY_COOLED = replace(NOMINAL, can_air_k_per_w=3.2)


def driven(truth: Parameters, *, charge: bool = False) -> tuple[TrackReadings, ...]:
    """Runs of a car whose constants are known, read without an error."""
    readings = []
    for minutes, ambient, ratio in CONDITIONS:
        conditions = RunConditions(CLUB_HALL, minutes, ambient, 4.4)
        run = PreparedRun(TOURING, STOCK_17, conditions, truth)
        found = run.predict(ratio)
        readings.append(
            TrackReadings(
                conditions=conditions,
                ratio=ratio,
                can_c=run.can_after_stop_c(found, found.end, 20.0),
                after_s=20.0,
                returned_mah=found.charge_c / 3.6 / CHARGE_EFFICIENCY if charge else None,
            )
        )
    return tuple(readings)


def fitted(runs: tuple[TrackReadings, ...]) -> Fit:
    return fit(TOURING, STOCK_17, runs, ASSUMED, SCORES, seed=5)


def band(result: Fit | None, ratio: float) -> Band:
    scores = SCORES if result is None else result.samples
    parameters = [parameters_at(ASSUMED, each) for each in scores]
    (outlook,) = Fleet(TOURING, STOCK_17, FIVE_MINUTES, parameters, HeatLimits(71, 120)).outlooks([ratio])
    assert outlook is not None
    return outlook.can_c


@pytest.mark.parametrize("truth", [HARD_WORKING, BADLY_COOLED, replace(NOMINAL, link_ratio=2.2)])
def test_the_band_after_a_fit_is_half_as_wide_and_holds_another_gear_of_the_same_car(truth: Parameters) -> None:
    result = fitted(driven(truth))
    for ratio in (4.2, 3.5):
        before, after = band(None, ratio), band(result, ratio)
        true = PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, truth).predict(ratio).end.can_c
        assert after.high - after.low < 0.55 * (before.high - before.low)
        assert after.low < true < after.high
        assert after.median == pytest.approx(true, abs=0.12 * (true - 20))


def test_what_the_charger_put_back_tells_a_car_that_works_hard_from_one_that_cools_badly() -> None:
    def cooling(truth: Parameters, *, charge: bool) -> float:
        index = [each.name for each in ASSUMED].index("can_air_k_per_w")
        return float(np.median([scores[index] for scores in fitted(driven(truth, charge=charge)).samples]))

    apart = cooling(BADLY_COOLED, charge=True) - cooling(HARD_WORKING, charge=True)
    assert apart > cooling(BADLY_COOLED, charge=False) - cooling(HARD_WORKING, charge=False)
    assert apart > 0.4


def test_residuals_are_measured_less_predicted() -> None:
    runs = driven(BADLY_COOLED)
    result = fitted(runs)
    assert len(result.residuals) == 3
    for residual, run in zip(result.residuals, runs, strict=True):
        prepared = PreparedRun(TOURING, STOCK_17, run.conditions, NOMINAL)
        found = prepared.predict(run.ratio)
        before = prepared.can_after_stop_c(found, found.end, run.after_s)
        assert residual.read_c == run.can_c
        assert residual.before_k == pytest.approx(run.can_c - before, abs=0.1)
        assert abs(residual.after_k) < 0.6 * abs(residual.before_k)
    assert result.after_k < 0.6 * result.before_k
    assert result.misfit < 1.5
    assert "can_air_k_per_w" in [each.assumption.name for each in result.constants]
    assert all(each.low < each.value < each.high for each in result.constants)


def test_what_a_run_reads_is_what_its_prediction_says_that_it_reads() -> None:
    prepared = PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, NOMINAL)
    prediction = prepared.predict(4.0)
    run = TrackReadings(
        conditions=FIVE_MINUTES,
        ratio=4.0,
        can_c=prepared.can_after_stop_c(prediction, prediction.end, 20.0),
        after_s=20.0,
        returned_mah=prediction.charge_c / 3.6 / CHARGE_EFFICIENCY,  # 1 mAh is 3.6 C, and 1 A is 1 C in a second
        current_a=prediction.charge_c / 300.0,
        best_lap_s=prediction.lap.time_s * BEST_LAP,
        top_speed_m_per_s=prediction.lap.top_m_per_s,
    )
    read = [reading.value for reading in log_readings(0, run, [()] * 5, expected_k=50.0)]
    assert predicted_logs(run, prepared, prediction) == pytest.approx(read, rel=1e-9)


def test_readings_as_predicted_narrow_the_band_about_where_it_was() -> None:
    result = fitted(driven(NOMINAL))
    before, after = band(None, 4.2), band(result, 4.2)
    likely = PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, NOMINAL).predict(4.2).end.can_c
    assert after.median == pytest.approx(likely, abs=3.0)
    assert after.high - after.low < before.high - before.low


def test_a_can_that_reads_low_counts_as_much_as_one_that_reads_high() -> None:
    good = driven(NOMINAL)

    def log_rise(factor: float) -> float:
        rise_k = good[1].can_c - good[1].conditions.ambient_c
        off = replace(good[1], can_c=good[1].conditions.ambient_c + factor * rise_k)
        return log(band(fitted((good[0], off, good[2])), 4.0).median - FIVE_MINUTES.ambient_c)

    usual = log_rise(1.0)
    assert usual - log_rise(1 / 1.35) == pytest.approx(log_rise(1.35) - usual, rel=0.15)


def test_more_runs_make_the_fit_surer_and_runs_of_one_thermometer_never_sure_of_everything() -> None:
    runs = driven(NOMINAL)
    widths: list[float] = []
    for count in (1, 3, 3):
        chosen = runs[:count] if not widths else runs * (1 if len(widths) == 1 else 2)
        after = band(fitted(chosen), 4.2)
        widths.append(after.high - after.low)
    assert widths[1] < widths[0]
    assert widths[2] > 4.0, "the thermometer's error is shared, and a day differs from another"


@pytest.mark.parametrize("can_c", [149.0, 240.0])
def test_a_can_out_of_all_proportion_is_refused_with_what_was_to_be_expected(can_c: float) -> None:
    good = driven(NOMINAL)
    wrong = replace(good[1], can_c=can_c)
    result = fitted((good[0], wrong, good[2]))
    assert [index for index, _, _ in result.refused] == [1]
    _, low, high = result.refused[0]
    assert low < good[1].can_c < high < can_c
    assert len(result.residuals) == 2


def test_a_lone_can_that_no_car_shows_teaches_nothing() -> None:
    alone = fitted((replace(driven(NOMINAL)[1], can_c=900.0),))
    assert [index for index, _, _ in alone.refused] == [0]
    assert alone.residuals == ()
    assert (alone.before_k, alone.after_k, alone.misfit) == (0.0, 0.0, 0.0)
    assert alone.samples == SCORES


def test_a_charge_out_of_all_proportion_is_left_out_and_the_can_counts() -> None:
    good = driven(NOMINAL)
    result = fitted((replace(good[0], returned_mah=59_000.0), *good[1:]))
    assert result.refused == ()
    assert len(result.residuals) == 3
    assert result.after_k < 3.0


def test_every_fitted_set_is_a_car_that_moves() -> None:
    # A reading at the edge of what is taken moves the constants far, and never to a car that does not exist.
    extreme = tuple(replace(run, can_c=run.can_c + 35.0) for run in driven(NOMINAL))
    for scores in fitted(extreme).samples:
        assert all(-3.0 <= score <= 3.0 for score, each in zip(scores, ASSUMED, strict=True) if each.name not in DAYS)
        assert PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, parameters_at(ASSUMED, scores)).can_move(3.5)


def test_the_same_seed_gives_the_same_fit_and_the_day_stays_open() -> None:
    runs = driven(NOMINAL)
    assert fitted(runs).samples == fitted(runs).samples
    for day in (index for index, each in enumerate(ASSUMED) if each.name in DAYS):
        assert [scores[day] for scores in fitted(runs).samples] == [scores[day] for scores in SCORES]


def test_the_car_of_a_run_may_differ_from_the_car_asked_about() -> None:
    heavy = replace(TOURING, mass_kg=1.6)
    run = PreparedRun(heavy, STOCK_17, FIVE_MINUTES, NOMINAL)
    found = run.predict(4.2)
    reading = TrackReadings(
        conditions=FIVE_MINUTES,
        ratio=4.2,
        can_c=run.can_after_stop_c(found, found.end, 20.0),
        after_s=20.0,
        vehicle=heavy,
    )
    assert abs(fitted((reading,)).residuals[0].before_k) < 0.1
    assert abs(fitted((replace(reading, vehicle=None),)).residuals[0].before_k) > 1.0


def test_progress_counts_every_set_of_every_round() -> None:
    seen: list[tuple[int, int]] = []
    fit(TOURING, STOCK_17, driven(NOMINAL)[:1], ASSUMED, SCORES[:40], seed=1, progress=lambda *now: seen.append(now))
    assert seen == [(done, 120) for done in range(1, 121)]


def test_a_fit_needs_a_run_and_a_run_a_warm_can() -> None:
    with pytest.raises(ValueError, match="at least one"):
        fitted(())
    with pytest.raises(ValueError, match="warmer than the air"):
        TrackReadings(conditions=FIVE_MINUTES, ratio=4.0, can_c=21.0, after_s=0.0)
    with pytest.raises(ValueError, match="above zero"):
        TrackReadings(conditions=FIVE_MINUTES, ratio=0.0, can_c=61.0, after_s=0.0)


def test_the_linear_algebra_agrees_with_numpy() -> None:
    normal = NormalDist()
    places = [[normal.inv_cdf((7 * i + 3 * j) % 29 / 29 + 0.01) for j in range(4)] for i in range(29)]
    values = [[1.0 + 2.0 * row[0] - row[3], row[1] * 0.5 - 3.0] for row in places]
    outside, *_ = np.linalg.lstsq(np.column_stack([np.ones(29), places]), np.array(values), rcond=None)
    for ours, theirs in zip(linear_model(places, values), outside[1:].T, strict=True):
        assert ours == pytest.approx(theirs, abs=1e-6)
    matrix = [[4.0, 1.0, 0.5], [1.0, 3.0, 0.2], [0.5, 0.2, 2.0]]
    assert solved(factored(matrix), [1.0, 2.0, 3.0]) == pytest.approx(np.linalg.solve(matrix, [1.0, 2.0, 3.0]))
    with pytest.raises(ValueError, match="positive definite"):
        factored([[1.0, 2.0], [2.0, 1.0]])


def test_the_errors_of_readings_are_their_own_their_thermometer_s_and_their_day_s() -> None:
    # Variances add, and what two readings have in common is the product of what it makes of each (JCGM 100, 5.2.2).
    can, charge = LogReading(0, True, 3.0, 0.1, 0.05, (0.2,)), LogReading(0, False, 7.0, 0.02, 0.0, (0.1,))
    later = LogReading(1, True, 3.2, 0.1, 0.04, (0.2,))
    expected = [
        [0.1**2 + 0.05**2 + 0.2**2, 0.2 * 0.1, 0.05 * 0.04],
        [0.2 * 0.1, 0.02**2 + 0.1**2, 0.0],
        [0.05 * 0.04, 0.0, 0.1**2 + 0.04**2 + 0.2**2],
    ]
    assert covariance([can, charge, later]) == [pytest.approx(row) for row in expected]
    assert can.variance == pytest.approx(expected[0][0])
