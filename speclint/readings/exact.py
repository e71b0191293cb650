"""Exact numbers: from what was written to a `Fraction`, rounding, and decimal text that never misleads."""

import math
from fractions import Fraction
from functools import lru_cache
from typing import Final

PI: Final = Fraction(3141592653589793238462643383279502884197, 10**39)
"""π to 40 digits, which is beyond anything a tyre can be measured to, and keeps rollout rational."""

_MOST_PLACES: Final = 12


@lru_cache(maxsize=4096)
def exact(value: int | float | str) -> Fraction:
    """The number that was written: a float by the decimal that names it, a text as a decimal or a ratio of two.

    `exact(1.9)` is 19/10 and `exact("40/21")` is 40/21; neither is the nearest binary fraction.

    Raises:
        ValueError: the value is not finite, or the text is not a number.
    """
    if isinstance(value, int):
        return Fraction(int(value))
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueError(f"{value!r} is not a finite number")
        return _decimal(repr(value))
    numerator, slash, denominator = value.partition("/")
    if not slash:
        return _plain(numerator)
    below = _plain(denominator)
    if not below:
        raise ValueError(f"{value!r} divides by zero")
    return _plain(numerator) / below


def _decimal(text: str) -> Fraction:
    # By hand, because Fraction("1.9") goes through a regular expression and a gear table makes thousands of these.
    mantissa, _, exponent = text.partition("e")
    whole, _, part = mantissa.partition(".")
    shift = (int(exponent) if exponent else 0) - len(part)
    digits = int(whole + part)
    return Fraction(digits * 10**shift) if shift >= 0 else Fraction(digits, 10**-shift)


def _plain(text: str) -> Fraction:
    # A stranger's text gets no exponent, so that "1e999999999" cannot fill the memory.
    number = text.strip(" ")
    digits = number[1:] if number[:1] in ("+", "-") else number
    whole, dot, part = digits.partition(".")
    if not (number.isascii() and whole.isdigit() and (part.isdigit() if dot else True)):
        raise ValueError(f"{text!r} is not a number")
    return _decimal(number)


def to_float(value: Fraction | int) -> float:
    """The nearest float; a value past its range becomes an infinity, which no comparison takes for legal."""
    return _float_of(value.numerator, value.denominator)


def float_ratio(value: Fraction, divisor: Fraction) -> float:
    """The float nearest to the quotient of two values: without the fraction in lowest terms, which takes ten times as long.

    Raises:
        ZeroDivisionError: the divisor is zero.
    """
    return _float_of(value.numerator * divisor.denominator, value.denominator * divisor.numerator)


def _float_of(numerator: int, denominator: int) -> float:
    try:
        return numerator / denominator
    except OverflowError:
        return math.inf if (numerator > 0) is (denominator > 0) else -math.inf


def to_number(value: Fraction) -> int | float:
    """The value as JSON and YAML write it: a whole number where it is one."""
    return value.numerator if value.denominator == 1 else to_float(value)


def round_to(value: Fraction, step: Fraction) -> Fraction:
    """The multiple of `step` nearest to the value; halves go away from zero, as rulebooks read a scale.

    Raises:
        ValueError: the step is not above zero.
    """
    if step <= 0:
        raise ValueError("a step to round to is above zero")
    return step * _nearest_whole(value.numerator * step.denominator, value.denominator * step.numerator)


def rounded(value: Fraction, places: int) -> Fraction:
    """The value at so many decimals, halves away from zero; negative places round to tens, hundreds and so on."""
    whole = rounded_whole(value, places)
    return Fraction(whole, 10**places) if places > 0 else Fraction(whole * 10**-places)


def rounded_whole(value: Fraction, places: int) -> int:
    """How many units of its last decimal the rounded value has: 415 for 4.146 at two places."""
    if places >= 0:
        return _nearest_whole(value.numerator * 10**places, value.denominator)
    return _nearest_whole(value.numerator, value.denominator * 10**-places)


def _nearest_whole(numerator: int, denominator: int) -> int:
    # In whole numbers: every text of a report is rounded, and arithmetic of fractions takes ten times as long.
    whole = (2 * abs(numerator) + denominator) // (2 * denominator)
    return -whole if numerator < 0 else whole


def rounded_up(value: Fraction, places: int) -> Fraction:
    """The value at so many decimals, never less than it is."""
    return Fraction(math.ceil(value * 10**places), 10**places)


def rounded_down(value: Fraction, places: int) -> Fraction:
    """The value at so many decimals, never more than it is."""
    return -rounded_up(-value, places)


def decimals_of(value: Fraction) -> int | None:
    """How many decimals write the value exactly; None where no number of them does (1/3)."""
    rest = value.denominator
    twos = fives = 0
    while rest % 2 == 0:
        rest //= 2
        twos += 1
    while rest % 5 == 0:
        rest //= 5
        fives += 1
    return max(twos, fives) if rest == 1 else None


def decimal_text(value: Fraction, places: int) -> str:
    """The value with that many decimals, halves away from zero; zero carries no sign.

    Negative places round to tens, hundreds and so on: `decimal_text(Fraction(1352), -1)` is `1350`.
    """
    whole = rounded_whole(value, places)
    if places <= 0:
        return str(whole * 10**-places)
    digits = str(abs(whole)).rjust(places + 1, "0")
    return f"{'-' if whole < 0 else ''}{digits[:-places]}.{digits[-places:]}"


def full_text(value: Fraction) -> str:
    """The value with all of its decimals; one that no decimals write (1/3) is rounded to a whole number."""
    return decimal_text(value, decimals_of(value) or 0)


def places_to_tell(value: Fraction, limit: Fraction, *, least: int = 0) -> int | None:
    """The fewest decimals at which the value reads differently from the limit, and no fewer than the limit has.

    A value equal to the limit takes the limit's own decimals. None: they look the same at all decimals that are told.
    """
    limit_places = decimals_of(limit)
    if value == limit:
        return min(max(least, _MOST_PLACES if limit_places is None else limit_places), _MOST_PLACES)
    for places in range(min(max(least, limit_places or 0), _MOST_PLACES), _MOST_PLACES + 1):
        if rounded_whole(value, places) != rounded_whole(limit, places):
            return places
    return None


def text_beside(value: Fraction, limit: Fraction, *, least: int = 0) -> str:
    """The value as it is printed beside a limit: `4.495` beside 4.5, never `4.50` for a number that breaks it.

    Where no decimals that are told part the two, it says `just under 4.5` or `just over 4.5`.
    """
    places = places_to_tell(value, limit, least=least)
    if places is not None:
        return decimal_text(value, places)
    limit_places = decimals_of(limit)
    near = decimal_text(limit, _MOST_PLACES if limit_places is None else min(limit_places, _MOST_PLACES))
    return f"just {'under' if value < limit else 'over'} {near}"
