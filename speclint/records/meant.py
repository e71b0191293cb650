"""What was probably meant by a number: the same in another unit, a diameter for a radius, a moved decimal point."""

import math
from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.readings.digits import plain_text, with_unit
from speclint.readings.exact import decimal_text, exact, to_float
from speclint.readings.units import converted
from speclint.records.ranges import Range


class Meant(NamedTuple):
    """A usual value that explains an unusual one.

    Attributes:
        value: in the unit of the key.
        text: the same with its unit, in as many digits as were written.
        read_in: the unit that was written in, in words; "" where it was that of the key.
        is_radius: half of a diameter was written.
        needs_lone: small things are ten times or twice as small all over, so that this explains a lone value only.
    """

    value: Fraction
    text: str
    read_in: str = ""
    is_radius: bool = False
    needs_lone: bool = False


def meant(value: Fraction, usual: Range, limits: Iterable[Fraction] = ()) -> Meant | None:
    """The explanation that brings the value nearest to what is expected, of those that make it usual.

    Args:
        value: what was written, in the unit of the key.
        usual: what the trade meets there, with an example.
        limits: what the classes of the car ask for, which goes before the example.
    """
    asked = [to_float(limit) for limit in limits if limit > 0]
    fitting = [
        guess
        for guess in _guesses(value, usual)
        if usual.low <= to_float(guess.value) <= usual.high or is_about(to_float(guess.value), asked)
    ]
    expected = asked or [usual.example]
    return min(fitting, key=lambda guess: min(_distance(guess.value, size, usual) for size in expected), default=None)


def is_about(value: float, sizes: Iterable[float]) -> bool:
    """Whether a value is in the neighbourhood of one of these."""
    return any(size <= value * FAR and value <= size * FAR for size in sizes)


def _distance(value: Fraction, expected: float, usual: Range) -> float:
    """In proportion; temperatures have no proportions, so in degrees."""
    if usual.unit == "c":
        return abs(to_float(value) - expected)
    return abs(math.log(to_float(value) / expected)) if value > 0 and expected > 0 else math.inf


def _guesses(value: Fraction, usual: Range) -> Iterator[Meant]:
    for word, words in OTHER_UNITS.get(usual.unit, ()):
        factor = _SHIFTED.get((usual.unit, word))
        inner = converted(value, word, usual.unit) if factor is None else value * factor
        if inner is not None:
            yield Meant(
                inner, _in_digits(inner, usual), words, needs_lone=inner / value in _SMALL_SHIFTS if value else False
            )
    if usual.is_diameter:
        yield Meant(value * 2, with_unit(plain_text(value * 2), usual.unit), is_radius=True, needs_lone=True)
    if usual.shifts:
        for shift in SHIFTS:
            text = with_unit(plain_text(value * shift), unit_shown(usual))
            yield Meant(value * shift, text, needs_lone=shift in _SMALL_SHIFTS)


def _in_digits(value: Fraction, usual: Range) -> str:
    """A converted value: in full where a short decimal says it, else to four digits, as no scale shows more."""
    size = abs(to_float(value))
    if usual.unit == "c":
        return with_unit(decimal_text(value, 0), usual.unit)
    text = plain_text(value)
    # What is past the range of a float is past every usual range, too.
    if len(text.replace(".", "").lstrip("0")) > _MOST_DIGITS and 0 < size < math.inf:
        text = decimal_text(value, max(0, _MOST_DIGITS - 1 - math.floor(math.log10(size))))
        value = exact(text)
        text = plain_text(value)
    return with_unit(text, unit_shown(usual))


def unit_shown(usual: Range) -> str:
    """The unit behind a value, but not "17.5 turns" of what is called turns."""
    return "" if usual.unit == usual.title else usual.unit


def units_apart(unit: str, shift: Fraction) -> str:
    """The unit, in words, that a power of ten lies between and this one; "" where there is none."""
    for word, words in OTHER_UNITS.get(unit, ()):
        if (_SHIFTED.get((unit, word)) or converted(Fraction(1), word, unit)) == shift:
            return words
    return ""


FAR: Final = 1.5
"""A value this many times past the end of the usual range is no longer merely unusual."""

SHIFTS: Final = tuple(Fraction(10) ** power for power in (3, 2, 1, -1, -2, -3))
_SMALL_SHIFTS: Final = frozenset(SHIFTS[1:5])
_MOST_DIGITS: Final = 4

OTHER_UNITS: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    "g": (("kg", "kilograms"), ("oz", "ounces"), ("lb", "pounds"), ("mg", "milligrams")),
    "mm": (("m", "metres"), ("cm", "centimetres"), ("in", "inches"), ("um", "micrometres")),
    "mohm": (("ohm", "ohms"), ("uohm", "microhms")),
    "v": (("mv", "millivolts"),),
    "a": (("ma", "milliamperes"),),
    "mah": (("ah", "ampere-hours"),),
    "rpm": (("krpm", "thousands of rpm"),),
    "rpm_per_v": (("krpm/v", "thousands of rpm per volt"),),
    "c": (("f", "degrees Fahrenheit"), ("k", "kelvin")),
    "deg": (("rad", "radians"),),
    "minutes": (("s", "seconds"),),
    "kg": (("g", "grams"), ("lb", "pounds")),
    "lb": (("g", "grams"), ("kg", "kilograms"), ("oz", "ounces")),
    "oz": (("g", "grams"), ("kg", "kilograms"), ("lb", "pounds")),
    "cm": (("mm", "millimetres"), ("in", "inches")),
    "in": (("mm", "millimetres"), ("cm", "centimetres")),
    "f": (("c", "degrees Celsius"),),
}
"""By the unit of a key, others that its value is read in elsewhere, and what they are called. Source: common practice."""

_SHIFTED: Final = {("rpm_per_v", "krpm/v"): Fraction(1000), ("deg", "rad"): Fraction("57.29577951")}
"""Factors between units that nobody writes behind a number, so that the table of units has none of them."""

OWN_UNITS: Final = {
    "g": "grams", "mm": "millimetres", "mohm": "milliohms", "v": "volts", "a": "amperes", "mah": "milliampere-hours",
    "rpm": "rpm", "rpm_per_v": "rpm per volt", "c": "degrees Celsius", "deg": "degrees", "minutes": "minutes", "kg": "kilograms", "lb": "pounds", "oz": "ounces", "cm": "centimetres",
    "in": "inches", "f": "degrees Fahrenheit",
}  # fmt: skip
