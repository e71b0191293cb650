"""Exact numbers: what was written is what is compared, and what is printed never contradicts a verdict."""

import math
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.readings.exact import (
    PI,
    decimal_text,
    decimals_of,
    exact,
    places_to_tell,
    round_to,
    text_beside,
    to_float,
)

fractions = st.fractions(min_value=-(10**6), max_value=10**6, max_denominator=10**6)
floats = st.floats(allow_nan=False, allow_infinity=False)


@given(floats)
def test_a_float_is_the_decimal_that_names_it(value: float) -> None:
    assert exact(value) == Fraction(repr(value))


@given(st.integers())
def test_a_whole_number_is_itself(value: int) -> None:
    assert exact(value) == value


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**9), max_value=10**9, places=6))
def test_a_decimal_text_is_itself(value: Decimal) -> None:
    assert exact(f"{value:f}") == Fraction(value)


def test_an_internal_ratio_by_teeth_stays_a_ratio() -> None:
    assert exact("40/21") == Fraction(40, 21)
    assert exact("84.5 / 21") == Fraction(169, 42)


@pytest.mark.parametrize(
    "text",
    ["", "/", "1/", "1/0", "1/0.0", "nan", "inf", "1e3", "1_000", "0x10", "1.", ".5", "--1", "1/2/3", "٣", "½", "1 0"],
)
def test_what_is_no_plain_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"number|zero"):
        exact(text)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_number_that_is_not_finite_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        exact(value)


def test_a_value_past_the_range_of_floats_becomes_infinite_and_keeps_its_sign() -> None:
    assert to_float(Fraction(-(10**400))) == -math.inf
    assert to_float(Fraction(10**400, 10**399)) == 10.0


@pytest.mark.parametrize(
    ("spur", "pinion", "internal", "ratio"),
    [
        # Ratios that floats put just below the limit; computed.
        (90, 38, 1.9, 4.5),
        (80, 38, 1.9, 4.0),
        (105, 57, 1.9, 3.5),
        (84, 39, 1.95, 4.2),
        (69, 12, 1.9, 10.925),
    ],
)
def test_a_ratio_exactly_on_the_limit_meets_it(spur: int, pinion: int, internal: float, ratio: float) -> None:
    assert exact(spur) / exact(pinion) * exact(internal) == exact(ratio)
    assert spur / pinion * internal != ratio


@given(fractions, st.integers(min_value=0, max_value=6))
def test_rounding_agrees_with_decimal_arithmetic(value: Fraction, places: int) -> None:
    # Decimal's ROUND_HALF_UP takes halves away from zero; a quotient of 80 digits has every half exactly.
    with localcontext(prec=80):
        decimal = Decimal(value.numerator) / Decimal(value.denominator)
        rounded = decimal.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    assert round_to(value, Fraction(1, 10**places)) == Fraction(rounded)
    assert decimal_text(value, places) == f"{rounded or abs(rounded):f}"


@given(fractions, st.fractions(min_value=Fraction(1, 1000), max_value=100, max_denominator=1000))
def test_rounding_is_odd_idempotent_and_moves_by_half_a_step_at_most(value: Fraction, step: Fraction) -> None:
    rounded = round_to(value, step)
    assert round_to(rounded, step) == rounded
    assert round_to(-value, step) == -rounded
    assert 2 * abs(rounded - value) <= step


def test_a_half_goes_away_from_zero() -> None:
    assert round_to(exact(4.495), exact(0.01)) == exact(4.5)
    assert round_to(exact(-4.495), exact(0.01)) == exact(-4.5)
    assert round_to(exact(1352.5), exact(5)) == exact(1355)


def test_a_step_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="step"):
        round_to(Fraction(1), Fraction(0))


def test_places_before_the_point_round_to_tens_and_hundreds() -> None:
    assert decimal_text(Fraction(1352), -1) == "1350"
    assert decimal_text(Fraction(-1352), -2) == "-1400"
    assert decimal_text(Fraction(-1, 3), 0) == "0"


def test_pi_agrees_with_machins_formula() -> None:
    # J. Machin 1706: π/4 = 4 arctan(1/5) - arctan(1/239).
    def arctangent_of_one_over(n: int) -> Fraction:
        return sum((Fraction((-1) ** i, (2 * i + 1) * n ** (2 * i + 1)) for i in range(35)), Fraction(0))

    assert abs(PI - 4 * (4 * arctangent_of_one_over(5) - arctangent_of_one_over(239))) < Fraction(1, 10**38)
    assert to_float(PI) == math.pi


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (exact(97) / 41 * exact(1.9), "4.495"),
        (exact(116) / 49 * exact(1.9), "4.498"),
        (exact(90) / 40 * exact(2.0), "4.5"),
        (exact(4.3), "4.3"),
        (exact(4), "4.0"),
        (exact(4.5) - Fraction(1, 10**15), "just under 4.5"),
        (exact(4.5) + Fraction(1, 10**15), "just over 4.5"),
    ],
)
def test_a_value_beside_a_limit_of_four_and_a_half(value: Fraction, text: str) -> None:
    assert text_beside(value, exact(4.5)) == text


def test_a_value_on_the_limit_takes_the_limits_digits() -> None:
    assert text_beside(exact(4.25), exact(4.25)) == "4.25"
    assert text_beside(exact(1350), exact(1350)) == "1350"
    assert text_beside(exact(4.5), exact(4.5), least=2) == "4.50"


def test_a_limit_that_no_decimal_writes_is_told_apart_at_the_decimals_both_are_printed_with() -> None:
    limit = exact("40/21")
    assert text_beside(exact(1.9), limit) == "1.900"
    assert decimal_text(limit, 3) == "1.905"


@given(
    fractions,
    st.decimals(min_value=-1000, max_value=1000, places=3, allow_nan=False, allow_infinity=False).map(Fraction),
)
def test_what_is_printed_lies_on_the_same_side_of_the_limit(value: Fraction, limit: Fraction) -> None:
    places = places_to_tell(value, limit)
    assert places is not None
    assert places >= (decimals_of(limit) or 0)
    printed = exact(text_beside(value, limit))
    assert (printed > limit) == (value > limit)
    assert (printed < limit) == (value < limit)


@given(fractions)
def test_the_decimals_of_a_value_write_it_exactly_and_one_fewer_does_not(value: Fraction) -> None:
    places = decimals_of(value)
    if places is None:
        assert 10**60 % value.denominator
        return
    assert exact(decimal_text(value, places)) == value
    if places:
        assert exact(decimal_text(value, places - 1)) != value
