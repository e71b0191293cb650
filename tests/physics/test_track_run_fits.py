"""Fitting cooling and load to track runs: it finds what is there, and knows when it can't."""

from dataclasses import replace
from math import exp, log

import pytest
from scipy.optimize import least_squares

from speclint.physics.assumptions import NOMINAL
from speclint.physics.bands import outlooks
from speclint.physics.fit import HeatRun, fit, fitted_samples, prior_log_u
from speclint.physics.prediction import Run, predict
from speclint.physics.sampling import sample, scaled
from tests.physics.stock_cars import CLUB_HALL, FIVE_MINUTES, STOCK_17, TOURING

TRUTH = scaled(NOMINAL, can_air_k_per_w=1.25, scrub_coefficient=0.85)
CONDITIONS = ((5.0, 19.0, 4.3), (5.0, 22.0, 3.9), (3.0, 20.0, 3.5), (8.0, 21.0, 5.0), (2.0, 18.0, 3.2))


def driven(u_k: float) -> tuple[HeatRun, ...]:
    """Runs of a car whose constants are known, with readings as sharp as asked."""
    return tuple(
        HeatRun(run, ratio, predict(TOURING, STOCK_17, run, ratio, TRUTH).can_c, reading_u_k=u_k)
        for minutes, ambient, ratio in CONDITIONS
        for run in (Run(CLUB_HALL, minutes, ambient),)
    )


REAL = (
    HeatRun(Run(CLUB_HALL, 5.0, 19.0), 4.3, 71.0),
    HeatRun(Run(CLUB_HALL, 5.0, 21.0), 4.0, 77.0),
    HeatRun(Run(CLUB_HALL, 4.0, 20.0), 3.7, 80.0),
)


def test_sharp_readings_give_back_the_constants_that_made_them(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("speclint.physics.fit.DAY_U_K", 0.0)
    found = fit(TOURING, STOCK_17, driven(0.01))
    assert found.cooling.factor == pytest.approx(1.25, rel=0.005)
    assert found.load.factor == pytest.approx(0.85, rel=0.005)
    assert found.after_k < 0.02 < found.before_k
    assert found.cooling.relative_u < 0.01


def test_the_fit_is_the_least_squares_of_readings_and_prior() -> None:
    found = fit(TOURING, STOCK_17, REAL)

    def pulls(place: list[float]) -> list[float]:
        there = scaled(NOMINAL, can_air_k_per_w=exp(place[0]), scrub_coefficient=exp(place[1]))
        off = [(predict(TOURING, STOCK_17, each.run, each.ratio, there).can_c - each.can_c) / each.u_k for each in REAL]
        return [*off, place[0] / prior_log_u("can_air_k_per_w"), place[1] / prior_log_u("scrub_coefficient")]

    outside = least_squares(pulls, [0.0, 0.0], diff_step=1e-3, xtol=1e-10)
    assert log(found.cooling.factor) == pytest.approx(outside.x[0], abs=0.003)
    assert log(found.load.factor) == pytest.approx(outside.x[1], abs=0.003)
    covariance = [[float(cell) for cell in row] for row in _inverse(outside.jac.T @ outside.jac)]
    assert found.cooling.relative_u == pytest.approx(covariance[0][0] ** 0.5, rel=0.03)
    assert found.load.relative_u == pytest.approx(covariance[1][1] ** 0.5, rel=0.03)
    assert found.correlation == pytest.approx(covariance[0][1] / (covariance[0][0] * covariance[1][1]) ** 0.5, abs=0.03)


def _inverse(matrix: list[list[float]]) -> list[list[float]]:
    (a, b), (c, d) = matrix
    determinant = a * d - b * c
    return [[d / determinant, -b / determinant], [-c / determinant, a / determinant]]


def test_residuals_are_measured_less_predicted() -> None:
    found = fit(TOURING, STOCK_17, REAL)
    for residual, each in zip(found.residuals, REAL, strict=True):
        before = predict(TOURING, STOCK_17, each.run, each.ratio).can_c
        after = predict(TOURING, STOCK_17, each.run, each.ratio, found.parameters).can_c
        assert residual.before_k == pytest.approx(each.can_c - before, abs=0.02)
        assert residual.after_k == pytest.approx(each.can_c - after, abs=0.02)
    assert found.after_k < 3.0 < found.before_k
    assert found.chi_square == pytest.approx(sum((each.after_k / 4.2426) ** 2 for each in found.residuals), rel=1e-3)


def test_one_run_pulls_towards_its_reading_and_leaves_the_rest_open() -> None:
    one = (HeatRun(FIVE_MINUTES, 4.0, 85.0),)
    found = fit(TOURING, STOCK_17, one)
    assert 0 < found.residuals[0].after_k < found.residuals[0].before_k
    assert found.cooling.factor > 1 and found.load.factor > 1
    assert found.correlation < -0.5, "one run cannot tell cooling from load"
    for each in (found.cooling, found.load):
        assert 0.3 * each.prior_relative_u < each.relative_u < each.prior_relative_u


def test_a_reading_as_predicted_changes_nothing() -> None:
    as_predicted = predict(TOURING, STOCK_17, FIVE_MINUTES, 4.0).can_c
    found = fit(TOURING, STOCK_17, (HeatRun(FIVE_MINUTES, 4.0, as_predicted),))
    assert found.cooling.factor == pytest.approx(1.0, abs=1e-3)
    assert found.load.factor == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize("can_c", [21.0, 300.0])
def test_a_reading_far_from_any_model_still_ends(can_c: float) -> None:
    found = fit(TOURING, STOCK_17, (HeatRun(FIVE_MINUTES, 4.0, can_c),))
    assert 0.05 < found.cooling.factor < 20
    assert abs(found.residuals[0].after_k) < abs(found.residuals[0].before_k)


def test_more_runs_make_the_fit_surer() -> None:
    few = fit(TOURING, STOCK_17, REAL[:1])
    many = fit(TOURING, STOCK_17, REAL)
    assert many.cooling.relative_u < few.cooling.relative_u
    assert many.load.relative_u < few.load.relative_u


def test_the_car_of_a_run_may_differ_from_the_car_asked_about() -> None:
    heavy = replace(TOURING, mass_kg=1.6)
    reading = predict(heavy, STOCK_17, FIVE_MINUTES, 4.0).can_c
    found = fit(TOURING, STOCK_17, (HeatRun(FIVE_MINUTES, 4.0, reading, car=heavy),))
    assert found.load.factor == pytest.approx(1.0, abs=1e-3)


def test_the_band_after_a_fit_is_narrower_and_lies_at_the_readings() -> None:
    samples = sample(3, 100)
    known = fitted_samples(TOURING, STOCK_17, REAL, samples, seed=4)
    assert known == fitted_samples(TOURING, STOCK_17, REAL, samples, seed=4)
    found = fit(TOURING, STOCK_17, REAL)
    (before,) = outlooks(TOURING, STOCK_17, FIVE_MINUTES, [4.0], samples)
    (after,) = outlooks(TOURING, STOCK_17, FIVE_MINUTES, [4.0], known, likely=found.parameters)
    assert before is not None and after is not None
    assert after.can_c.high - after.can_c.low < 0.5 * (before.can_c.high - before.can_c.low)
    assert after.can_c.low < after.likely.can_c < after.can_c.high
    # 77 °C at 21 °C of air, and three readings of 4.2 K uncertainty each.
    assert after.can_c.median == pytest.approx(76.0, abs=3.0)
    # Untouched constants keep their spread: a fit says nothing about them.
    assert {each.drag_area_m2 for each in known} == {each.drag_area_m2 for each in samples}


def test_a_fit_needs_a_run() -> None:
    with pytest.raises(ValueError, match="at least one"):
        fit(TOURING, STOCK_17, ())
    with pytest.raises(ValueError, match="at least one"):
        fitted_samples(TOURING, STOCK_17, (), sample(1, 2), seed=1)
    with pytest.raises(ValueError, match="above zero"):
        HeatRun(FIVE_MINUTES, 4.0, 70.0, reading_u_k=0.0)
