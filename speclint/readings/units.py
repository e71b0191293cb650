"""Other units of what the keys measure, and exact factors between them.

Source: NIST Special Publication 811 (2008), appendix B: the inch is 25.4 mm, the foot 0.3048 m, the pound 0.45359237 kg
and the ounce a sixteenth of it, the mile 1.609344 km, and t/°C = (t/°F − 32)/1.8, all exact.
"""

from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

from speclint.readings.measured import Number


class Unit(NamedTuple):
    """A unit: what it measures, how much of that dimension's smallest common measure it is, and where its zero lies."""

    dimension: str
    factor: Fraction = Fraction(1)
    zero: Fraction = Fraction(0)


_LB: Final = Fraction("453.59237")

_UNITS: Final[dict[str, Unit]] = {
    "mg": Unit("mass", Fraction(1, 1000)),
    "g": Unit("mass"),
    "kg": Unit("mass", Fraction(1000)),
    "oz": Unit("mass", _LB / 16),
    "lb": Unit("mass", _LB),
    "um": Unit("length", Fraction(1, 1000)),
    "thou": Unit("length", Fraction("0.0254")),
    "mm": Unit("length"),
    "cm": Unit("length", Fraction(10)),
    "in": Unit("length", Fraction("25.4")),
    "ft": Unit("length", Fraction("304.8")),
    "yd": Unit("length", Fraction("914.4")),
    "m": Unit("length", Fraction(1000)),
    "uohm": Unit("resistance", Fraction(1, 1000)),
    "mohm": Unit("resistance"),
    "ohm": Unit("resistance", Fraction(1000)),
    "mv": Unit("voltage", Fraction(1, 1000)),
    "v": Unit("voltage"),
    "ma": Unit("current", Fraction(1, 1000)),
    "a": Unit("current"),
    "mah": Unit("charge"),
    "ah": Unit("charge", Fraction(1000)),
    "mw": Unit("power", Fraction(1, 1000)),
    "w": Unit("power"),
    "kw": Unit("power", Fraction(1000)),
    "k": Unit("temperature"),
    "c": Unit("temperature", zero=Fraction("273.15")),
    "f": Unit("temperature", Fraction(5, 9), Fraction("273.15") - 32 * Fraction(5, 9)),
    "deg": Unit("angle"),
    "kmh": Unit("speed"),
    "m/s": Unit("speed", Fraction("3.6")),
    "mph": Unit("speed", Fraction("1.609344")),
    "ms": Unit("time", Fraction(1, 1000)),
    "s": Unit("time"),
    "minutes": Unit("time", Fraction(60)),
    "hours": Unit("time", Fraction(3600)),
    "days": Unit("time", Fraction(86400)),
    "rpm": Unit("rotation"),
    "krpm": Unit("rotation", Fraction(1000)),
    "rpm_per_v": Unit("rotation per volt"),
    "percent": Unit("share"),
    "teeth": Unit("teeth"),
    "turns": Unit("turns"),
    "cells": Unit("cells"),
    "dp": Unit("pitch"),
}

_SPELLINGS: Final[dict[str, tuple[str, ...]]] = {
    "mg": ("milligram", "milligrams"),
    "g": ("gr", "gram", "grams", "gramme", "grammes"),
    "kg": ("kgs", "kilo", "kilos", "kilogram", "kilograms"),
    "oz": ("ozs", "ounce", "ounces"),
    "lb": ("lbs", "pound", "pounds"),
    "um": ("µm", "μm", "micron", "microns"),
    "thou": ("mil", "mils"),
    "mm": ("millimeter", "millimeters", "millimetre", "millimetres"),
    "cm": ("centimeter", "centimeters", "centimetre", "centimetres"),
    "in": ('"', "''", "″", "inch", "inches"),
    "ft": ("'", "′", "foot", "feet"),
    "yd": ("yds", "yard", "yards"),
    "m": ("meter", "meters", "metre", "metres"),
    "uohm": ("µΩ", "μΩ", "µohm", "microohm", "microohms"),
    "mohm": ("mΩ", "mohms", "milliohm", "milliohms"),
    "ohm": ("Ω", "ohms"),
    "mv": ("millivolt", "millivolts"),
    "v": ("volt", "volts"),
    "ma": ("milliamp", "milliamps"),
    "a": ("amp", "amps", "ampere", "amperes"),
    "mah": (),
    "ah": (),
    "w": ("watt", "watts"),
    "k": ("kelvin",),
    "c": ("°c", "deg c", "degc", "degree c", "degrees c", "celsius", "degrees celsius"),
    "f": ("°f", "deg f", "degf", "degree f", "degrees f", "fahrenheit", "degrees fahrenheit"),
    "deg": ("°", "degree", "degrees"),
    "kmh": ("km/h", "kph"),
    "m/s": ("mps",),
    "s": ("sec", "secs", "second", "seconds"),
    "minutes": ("min", "mins", "minute"),
    "hours": ("h", "hr", "hrs", "hour"),
    "days": ("d", "day"),
    "rpm": ("1/min",),
    "rpm_per_v": ("rpm/v", "kv"),
    "percent": ("%", "pct"),
    "teeth": ("t", "tooth"),
    "turns": ("t", "turn"),
    "cells": ("s", "cell"),
    "dp": ("pitch",),
}
"""How people write them. Source: common practice."""


def converted(value: Fraction, word: str, unit: str) -> Fraction | None:
    """A value in a unit that somebody wrote, in the unit of a key; None where the word is no unit of what that measures.

    Args:
        value: the number that stands before the word.
        word: a unit as people write it, such as `oz`, `inches` or `°F`.
        unit: the code that a key ends in, one of `digits.UNITS`.
    """
    written, wanted = _of_dimension(word, unit), _UNITS.get(unit)
    if written is None or wanted is None:
        return None
    return (value * written.factor + written.zero - wanted.zero) / wanted.factor


def is_of_one_dimension(first: str, second: str) -> bool:
    """Whether two units, by their codes, measure the same; what has no unit measures what has none."""
    first_unit, second_unit = _UNITS.get(first), _UNITS.get(second)
    return (
        first == second if first_unit is None or second_unit is None else first_unit.dimension == second_unit.dimension
    )


def is_never_below_zero(unit: str) -> bool:
    """Whether nothing that is measured or counted in a unit can be less than nothing: a mass, a resistance, teeth."""
    return unit in _UNITS and _UNITS[unit].dimension in _NEVER_BELOW_ZERO


def is_hardly_below_zero(unit: str) -> bool:
    """Whether less than nothing is rare in a unit, as a difference: a length by which a body stands back, a drop in volts."""
    return unit in _UNITS and _UNITS[unit].dimension in _HARDLY_BELOW_ZERO


_NEVER_BELOW_ZERO: Final = frozenset(
    {"mass", "resistance", "charge", "rotation", "rotation per volt", "teeth", "turns", "cells", "pitch"}
)
_HARDLY_BELOW_ZERO: Final = frozenset({"length", "voltage", "current"})


def in_unit(number: Number, unit: str, wanted: str) -> Number:
    """A number of one unit in another one of the same dimension, exactly, with its uncertainty.

    Raises:
        KeyError: one of the units is not known.
    """
    if unit == wanted:
        return number
    factor, shift = _conversion(unit, wanted)
    return number * factor + shift if shift else number * factor


@lru_cache(maxsize=256)
def _conversion(unit: str, wanted: str) -> tuple[Fraction, Fraction]:
    """What a number of one unit is multiplied by, and what is added then, to have it in the other."""
    given, taken = _UNITS[unit], _UNITS[wanted]
    return given.factor / taken.factor, (given.zero - taken.zero) / taken.factor


@lru_cache(maxsize=256)
def is_same_unit(word: str, unit: str) -> bool:
    """Whether a unit that somebody wrote is that of the key."""
    return unit in _UNITS and _of_dimension(word, unit) == _UNITS[unit]


def unit_at_end(key: str, unit: str) -> str:
    """The other unit that a key ends in, of what `unit` measures: `oz` of `mass_oz`; "" where there is none."""
    end = key.rpartition("_")[2]
    return "" if end == key or _of_dimension(end, unit) is None else end


def _of_dimension(word: str, unit: str) -> Unit | None:
    """The unit that a word stands for, among those of one dimension: `t` is a tooth here and a turn there."""
    wanted = _UNITS.get(unit)
    if wanted is None:
        return None
    plain = " ".join(word.strip().strip(".").split())
    for code, candidate in _UNITS.items():
        if candidate.dimension == wanted.dimension:
            spellings = (code, *_SPELLINGS.get(code, ()))
            if plain in spellings or plain.lower() in spellings:
                return candidate
    return None
