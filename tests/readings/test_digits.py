"""Readings as people read them: no more digits than the uncertainty supports."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.plain import in_ascii
from speclint.readings.digits import UNITS, plain_text, reading_text, supported_places, with_unit
from speclint.readings.exact import exact, to_float
from speclint.readings.measured import Influence, Measured


def blurred(value: float, expanded: float) -> Measured:
    return Measured(exact(value), {Influence("a", "a"): expanded / 2})


@pytest.mark.parametrize(
    ("value", "expanded", "text"),
    [
        (20.6149, 0.1234, "20.61 ± 0.12 mΩ"),
        (20.6149, 0.0996, "20.61 ± 0.10 mΩ"),
        (20.6149, 0.0994, "20.61 ± 0.10 mΩ"),
        (20.6149, 0.0584, "20.61 ± 0.06 mΩ"),
        (1352.61, 1.23, "1352.6 ± 1.2 mΩ"),
        (1352.61, 9.96, "1353 ± 10 mΩ"),
        (1352.61, 12.3, "1353 ± 12 mΩ"),
        (1352.61, 123.0, "1350 ± 120 mΩ"),
        (-0.004, 0.2, "0.00 ± 0.20 mΩ"),
    ],
)
def test_one_or_two_digits_of_uncertainty_and_the_value_to_the_same_place(
    value: float, expanded: float, text: str
) -> None:
    assert reading_text(blurred(value, expanded), "mohm") == text


@pytest.mark.parametrize(("expanded", "text"), [(0.119, "0.83 ± 0.12"), (0.367, "0.8 ± 0.4")])
def test_the_examples_of_the_rule_for_rounding(expanded: float, text: str) -> None:
    # Particle Data Group, Review of Particle Physics, Introduction, 5.3: 0.827 ± 0.119 and 0.827 ± 0.367.
    assert reading_text(blurred(0.827, expanded)) == text


def test_ascii_has_no_sign_that_an_old_terminal_lacks() -> None:
    assert in_ascii(reading_text(blurred(20.6149, 0.1234), "mohm")) == "20.61 +/- 0.12 mOhm"
    assert in_ascii(reading_text(exact(38), "deg")) == "38 deg"


@pytest.mark.parametrize("unit", UNITS)
def test_every_unit_has_an_ascii_form_and_stands_behind_the_number(unit: str) -> None:
    assert "?" not in in_ascii(UNITS[unit].sign)
    assert with_unit("2", unit) == "2" + UNITS[unit].sign


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (exact(1350), "g", "1350 g"),
        (exact(38), "deg", "38°"),
        (exact(31.5), "c", "31.5 °C"),
        (exact(2450), "rpm_per_v", "2450 rpm/V"),
        (exact(1), "teeth", "1 tooth"),
        (exact(42), "teeth", "42 teeth"),
        (exact(4.2), "percent", "4.2 %"),
        (exact("40/21"), "", "1.9048"),
        (exact(4.5), "", "4.5"),
    ],
)
def test_a_value_without_uncertainty_is_written_in_full(value: Fraction, unit: str, text: str) -> None:
    assert reading_text(value, unit) == text


def test_an_uncertainty_that_cancels_or_overflows_is_not_printed() -> None:
    assert reading_text(blurred(21.4, 0.0), "mohm") == "21.4 mΩ"
    assert reading_text(blurred(21.4, math.inf), "mohm") == "21.4 mΩ"


def test_a_unit_that_nobody_knows_is_refused() -> None:
    with pytest.raises(KeyError):
        with_unit("1", "furlong")


@given(st.floats(min_value=1e-9, max_value=1e9))
def test_uncertainty_keeps_one_or_two_significant_digits(expanded: float) -> None:
    places = supported_places(expanded)
    kept = round(to_float(exact(expanded) * Fraction(10) ** places))
    assert 4 <= kept <= 35


@pytest.mark.parametrize("expanded", [0.0, -1.0, math.nan, math.inf])
def test_digits_follow_an_uncertainty_above_zero_only(expanded: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        supported_places(expanded)


@given(st.fractions(min_value=-1000, max_value=1000, max_denominator=10**4))
def test_a_plain_text_is_within_half_its_last_place(value: Fraction) -> None:
    assert abs(exact(plain_text(value)) - value) <= Fraction(1, 20_000)


@pytest.mark.parametrize(
    ("value", "text"), [("0.123456", "0.123456"), ("0.1234567", "0.1235"), ("1/3", "0.3333"), ("-12", "-12")]
)
def test_a_plain_value_is_written_out_as_far_as_anybody_writes(value: str, text: str) -> None:
    assert plain_text(exact(value)) == text
