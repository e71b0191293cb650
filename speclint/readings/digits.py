"""Readings as text: the digits that their uncertainty supports, with the unit as people write it."""

import math
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.readings.exact import decimal_text, decimals_of, exact, rounded_whole
from speclint.readings.measured import Measured, Number

_MOST_PLACES: Final = 4
"""Decimals of a value that no decimal writes exactly, such as a ratio of teeth."""

_WRITTEN_PLACES: Final = 6
"""Decimals up to which a value with no uncertainty is written out in full."""


class UnitText(NamedTuple):
    """A unit as it is written behind a number.

    Attributes:
        sign: with the space before it.
        one: behind exactly 1, where that differs.
    """

    sign: str
    one: str | None = None


UNITS: Final[dict[str, UnitText]] = {
    "": UnitText(""),
    "mohm": UnitText(" mΩ"),
    "c": UnitText(" °C"),
    "f": UnitText(" °F"),
    "deg": UnitText("°"),
    "g": UnitText(" g"),
    "kg": UnitText(" kg"),
    "lb": UnitText(" lb"),
    "oz": UnitText(" oz"),
    "mm": UnitText(" mm"),
    "cm": UnitText(" cm"),
    "in": UnitText(" in"),
    "ft": UnitText(" ft"),
    "m": UnitText(" m"),
    "s": UnitText(" s"),
    "kmh": UnitText(" km/h"),
    "v": UnitText(" V"),
    "a": UnitText(" A"),
    "w": UnitText(" W"),
    "mah": UnitText(" mAh"),
    "rpm": UnitText(" rpm"),
    "rpm_per_v": UnitText(" rpm/V"),
    "percent": UnitText(" %"),
    "minutes": UnitText(" min"),
    "teeth": UnitText(" teeth", " tooth"),
    "turns": UnitText(" turns", " turn"),
    "cells": UnitText(" cells", " cell"),
    "dp": UnitText(" dp"),
    "days": UnitText(" days", " day"),
}
"""Units by their code, which is the end of the keys that carry them: `_mohm`, `_rpm_per_v`, `_teeth`; a ratio has none.

Spaces follow ISO 80000-1: none before the sign of a plane angle, one before every other unit.
"""


def with_unit(text: str, unit: str) -> str:
    """A number's text with its unit behind it: `4.5 mm`, `38°`, `1 tooth`.

    Raises:
        KeyError: the unit is not one of `UNITS`.
    """
    unit_text = UNITS[unit]
    return text + (unit_text.one if unit_text.one is not None and text == "1" else unit_text.sign)


def plain_text(value: Fraction, *, most: int = _WRITTEN_PLACES) -> str:
    """A value with no uncertainty: written out in full where a short decimal does, else to four decimals."""
    value_places = decimals_of(value)
    return decimal_text(value, value_places if value_places is not None and value_places <= most else _MOST_PLACES)


def reading_text(number: Number, unit: str = "") -> str:
    """A number with U and its unit: `36.46 ± 0.19 mΩ`; without uncertainty `1350 g`.

    U is given to one or two significant digits and the value to the same place: `supported_places`.

    Raises:
        KeyError: the unit is not one of `UNITS`.
    """
    if not isinstance(number, Measured):
        return with_unit(plain_text(number), unit)
    expanded = number.expanded()
    if not math.isfinite(expanded) or expanded <= 0:
        return with_unit(plain_text(number.value), unit)
    places = supported_places(expanded)
    blur = decimal_text(exact(expanded), places)
    return with_unit(f"{decimal_text(number.value, places)} ± {blur}", unit)


def supported_places(expanded_uncertainty: float) -> int:
    """The decimals of U, and of the value beside it; below zero where the last digit of U is a ten or more.

    At most two significant digits (JCGM 100 7.2.6): two where the first three are 100 to 354, one where they are 355 to 949,
    and from 950 on the next power of ten with two (Particle Data Group, Review of Particle Physics, Introduction, 5.3).

    Raises:
        ValueError: U is not a number above zero.
    """
    if not (math.isfinite(expanded_uncertainty) and expanded_uncertainty > 0):
        raise ValueError("digits follow an uncertainty above zero")
    first_digit_place = -math.floor(math.log10(expanded_uncertainty))
    leading = rounded_whole(exact(expanded_uncertainty), first_digit_place + 2)
    return first_digit_place + (1 if leading <= _TWO_DIGITS_UP_TO else 0)


_TWO_DIGITS_UP_TO: Final = 354
"""The first three digits of an uncertainty up to which two of them are given; 950 and more has two as the next ten."""
