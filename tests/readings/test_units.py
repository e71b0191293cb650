"""What a unit is worth in another one of the same dimension, by NIST Special Publication 811 (2008), appendix B: exactly."""

from fractions import Fraction

import pytest

from speclint.readings.units import (
    converted,
    in_unit,
    is_hardly_below_zero,
    is_never_below_zero,
    is_of_one_dimension,
    is_same_unit,
    unit_at_end,
)


@pytest.mark.parametrize(
    ("word", "unit", "worth"),
    [
        ("mg", "g", "0.001"), ("kg", "g", "1000"), ("oz", "g", "28.349523125"), ("lb", "g", "453.59237"),
        ("um", "mm", "0.001"), ("thou", "mm", "0.0254"), ("cm", "mm", "10"), ("in", "mm", "25.4"), ("ft", "mm", "304.8"),
        ("yd", "mm", "914.4"), ("m", "mm", "1000"), ("uohm", "mohm", "0.001"), ("ohm", "mohm", "1000"),
        ("mv", "v", "0.001"), ("ma", "a", "0.001"), ("ah", "mah", "1000"), ("mw", "w", "0.001"), ("kw", "w", "1000"),
        ("m/s", "kmh", "3.6"), ("mph", "kmh", "1.609344"), ("ms", "s", "0.001"), ("minutes", "s", "60"),
        ("hours", "s", "3600"), ("days", "s", "86400"), ("krpm", "rpm", "1000"),
    ],
)  # fmt: skip
def test_a_unit_is_worth_what_the_standard_says(word: str, unit: str, worth: str) -> None:
    assert converted(Fraction(1), word, unit) == Fraction(worth)
    assert converted(Fraction(worth), unit, word) == 1
    assert converted(Fraction(0), word, unit) == 0


@pytest.mark.parametrize(
    ("word", "unit", "reads", "is_"), [("f", "c", 212, "100"), ("c", "f", -40, "-40"), ("k", "c", 0, "-273.15")]
)
def test_a_temperature_has_its_zero_elsewhere(word: str, unit: str, reads: int, is_: str) -> None:
    assert converted(Fraction(reads), word, unit) == Fraction(is_)


def test_what_is_of_another_dimension_is_not_converted() -> None:
    assert converted(Fraction(1), "g", "mm") is None
    assert converted(Fraction(1), "furlong", "mm") is None


def test_a_number_keeps_its_size_in_another_unit() -> None:
    assert in_unit(Fraction(212), "f", "c") == 100
    assert in_unit(Fraction(100), "c", "f") == 212
    assert in_unit(Fraction(2), "in", "mm") == Fraction("50.8")


@pytest.mark.parametrize(
    ("word", "unit", "is_same"),
    [("grams", "g", True), (" Gram. ", "g", True), ("kg", "g", False), ("mm", "g", False), ("g", "furlong", False), ("", "", False)],
)  # fmt: skip
def test_a_unit_is_known_by_what_people_write(word: str, unit: str, is_same: bool) -> None:
    assert is_same_unit(word, unit) is is_same


@pytest.mark.parametrize(
    ("first", "second", "is_one"),
    [("oz", "g", True), ("oz", "mm", False), ("", "", True), ("", "g", False), ("g", "", False)],
)
def test_only_units_of_one_dimension_say_the_same(first: str, second: str, is_one: bool) -> None:
    assert is_of_one_dimension(first, second) is is_one


@pytest.mark.parametrize(
    ("key", "unit", "end"), [("mass_oz", "g", "oz"), ("mass_g", "g", "g"), ("oz", "g", ""), ("mass_mm", "g", "")]
)
def test_a_key_that_ends_in_another_unit_is_told_by_that(key: str, unit: str, end: str) -> None:
    assert unit_at_end(key, unit) == end


def test_what_can_lie_below_zero_is_told_by_its_dimension() -> None:
    assert [unit for unit in ("kg", "mohm", "teeth", "mm", "c", "") if is_never_below_zero(unit)] == [
        "kg",
        "mohm",
        "teeth",
    ]
    assert [unit for unit in ("kg", "mm", "v", "a", "c", "") if is_hardly_below_zero(unit)] == ["mm", "v", "a"]
