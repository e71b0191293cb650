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
        sign: in Unicode, with the space before it.
        ascii: the same where only ASCII can be shown.
        one: behind exactly 1, where that differs.
    """

    sign: str
    ascii: str
    one: str | None = None


UNITS: Final[dict[str, UnitText]] = {
    "": UnitText("", ""),
    "mohm": UnitText(" mΩ", " mOhm"),
    "c": UnitText(" °C", " degC"),
    "f": UnitText(" °F", " degF"),
    "deg": UnitText("°", " deg"),
    "g": UnitText(" g", " g"),
    "kg": UnitText(" kg", " kg"),
    "lb": UnitText(" lb", " lb"),
    "oz": UnitText(" oz", " oz"),
    "mm": UnitText(" mm", " mm"),
    "cm": UnitText(" cm", " cm"),
    "in": UnitText(" in", " in"),
    "ft": UnitText(" ft", " ft"),
    "m": UnitText(" m", " m"),
    "s": UnitText(" s", " s"),
    "kmh": UnitText(" km/h", " km/h"),
    "v": UnitText(" V", " V"),
    "a": UnitText(" A", " A"),
    "w": UnitText(" W", " W"),
    "mah": UnitText(" mAh", " mAh"),
    "rpm": UnitText(" rpm", " rpm"),
    "rpm_per_v": UnitText(" rpm/V", " rpm/V"),
    "percent": UnitText(" %", " %"),
    "minutes": UnitText(" min", " min"),
    "teeth": UnitText(" teeth", " teeth", " tooth"),
    "turns": UnitText(" turns", " turns", " turn"),
    "cells": UnitText(" cells", " cells", " cell"),
    "dp": UnitText(" dp", " dp"),
    "days": UnitText(" days", " days", " day"),
}
"""Units by their code, which is the end of the keys that carry them: `_mohm`, `_rpm_per_v`, `_teeth`; a ratio has none.

Spaces follow ISO 80000-1: none before the sign of a plane angle, one before every other unit.
"""


def with_unit(text: str, unit: str, *, ascii_only: bool = False) -> str:
    """A number's text with its unit behind it: `4.5 mm`, `38°`, `1 tooth`.

    Raises:
        KeyError: the unit is not one of `UNITS`.
    """
    unit_text = UNITS[unit]
    if unit_text.one is not None and text == "1":
        return text + unit_text.one
    return text + (unit_text.ascii if ascii_only else unit_text.sign)


def plain_text(value: Fraction, *, most: int = _WRITTEN_PLACES) -> str:
    """A value with no uncertainty: written out in full where a short decimal does, else to four decimals."""
    value_places = decimals_of(value)
    return decimal_text(value, value_places if value_places is not None and value_places <= most else _MOST_PLACES)


def reading_text(number: Number, unit: str = "", *, ascii_only: bool = False) -> str:
    """A number with U and its unit: `36.46 ± 0.19 mΩ`; without uncertainty `1350 g`.

    U is given to one or two significant digits and the value to the same place: `supported_places`.

    Raises:
        KeyError: the unit is not one of `UNITS`.
    """
    if not isinstance(number, Measured):
        return with_unit(plain_text(number), unit, ascii_only=ascii_only)
    expanded = number.expanded()
    if not math.isfinite(expanded) or expanded <= 0:
        return with_unit(plain_text(number.value), unit, ascii_only=ascii_only)
    places = supported_places(expanded)
    sign = "+/-" if ascii_only else "±"
    blur = decimal_text(exact(expanded), places)
    return with_unit(f"{decimal_text(number.value, places)} {sign} {blur}", unit, ascii_only=ascii_only)


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
