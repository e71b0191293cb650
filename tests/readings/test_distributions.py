"""The normal and Student's distributions against printed tables and a general reference library."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from speclint.readings.distributions import normal_cdf, student_cdf, student_factor

freedoms = st.floats(min_value=1, max_value=2e5)


@pytest.mark.parametrize(
    ("degrees_of_freedom", "printed"),
    # NIST TN 1297 table B.1 and JCGM 100 table G.2, 95 % column; from memory.
    [(1, 12.71), (2, 4.30), (3, 3.18), (4, 2.78), (5, 2.57), (8, 2.31), (9, 2.26), (10, 2.23), (16, 2.12), (20, 2.09), (50, 2.01)],
)  # fmt: skip
def test_students_factor_is_the_printed_one(degrees_of_freedom: int, printed: float) -> None:
    assert student_factor(0.05, degrees_of_freedom) == pytest.approx(printed, abs=0.005)


@pytest.mark.parametrize(
    ("degrees_of_freedom", "printed"),
    # JCGM 100 table G.2, 95.45 % column; from memory.
    [(1, 13.97), (2, 4.53), (3, 3.31), (4, 2.87), (5, 2.65), (10, 2.28), (20, 2.13), (50, 2.05)],
)
def test_students_factor_for_two_standard_uncertainties_is_the_printed_one(
    degrees_of_freedom: int, printed: float
) -> None:
    assert student_factor(1 - 0.9545, degrees_of_freedom) == pytest.approx(printed, abs=0.0051)


@given(freedoms, st.floats(min_value=1e-4, max_value=0.999))
def test_students_factor_agrees_with_scipy(degrees_of_freedom: float, tails: float) -> None:
    expected = float(stats.t.isf(tails / 2, degrees_of_freedom))
    assert student_factor(tails, degrees_of_freedom) == pytest.approx(expected, rel=5e-5)


@given(st.floats(min_value=1, max_value=5e4), st.floats(min_value=-50, max_value=50))
def test_students_distribution_agrees_with_scipy(degrees_of_freedom: float, t: float) -> None:
    expected = float(stats.t.cdf(t, degrees_of_freedom))
    assert student_cdf(t, degrees_of_freedom) == pytest.approx(expected, rel=1e-8, abs=1e-12)


@given(st.floats(min_value=-30, max_value=30))
def test_the_normal_distribution_agrees_with_scipy_far_into_its_tails(z: float) -> None:
    assert normal_cdf(z) == pytest.approx(float(stats.norm.cdf(z)), rel=1e-12)
    assert student_cdf(z, math.inf) == normal_cdf(z)


@given(st.floats(min_value=1e-6, max_value=0.9))
def test_without_an_end_of_degrees_of_freedom_the_factor_is_that_of_the_normal_distribution(tails: float) -> None:
    assert student_factor(tails, math.inf) == pytest.approx(float(stats.norm.isf(tails / 2)), rel=1e-9)


@pytest.mark.parametrize(("tails", "freedom"), [(0.0, 3.0), (1.0, 3.0), (0.05, 0.5), (math.nan, 3.0), (0.05, math.nan)])
def test_a_factor_that_does_not_exist_is_refused(tails: float, freedom: float) -> None:
    with pytest.raises(ValueError, match="coverage"):
        student_factor(tails, freedom)
