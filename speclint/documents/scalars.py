"""Plain scalars: what an unquoted word or number means, by the core schema of YAML 1.2.

Source: YAML 1.2.2, section 10.3.2. The parser library's own resolver is not used: it makes dates, takes `1_000` and
`0b11` for numbers, and lets infinite numbers through.
"""

import re
import sys
from functools import lru_cache
from typing import Final, NamedTuple

WORDS: Final[dict[str, bool | None]] = {
    "": None,
    "~": None,
    "null": None,
    "Null": None,
    "NULL": None,
    "true": True,
    "True": True,
    "TRUE": True,
    "false": False,
    "False": False,
    "FALSE": False,
}
"""Every spelling of nothing, true and false; any other word is text."""

NUMBER_STARTS: Final = frozenset("0123456789+-.")
"""The characters a number can begin with."""

SIGNIFICANT_DIGITS: Final = 15
"""A decimal of so many digits comes back unchanged from a binary double (DBL_DIG of IEEE 754 binary64)."""

LARGEST_WHOLE_NUMBER: Final = 2**53 - 1
"""Other readers of the file may keep every number as a double (RFC 8259, section 6)."""

_FLOAT: Final = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_WHOLE: Final = re.compile(r"[-+]?[0-9]+")
# Hardly ever met, and so compiled where they may be; a date is not.
_OCTAL_OR_HEXADECIMAL: Final = r"0o[0-7]+|0x[0-9a-fA-F]+"
_BASES: Final = ("o", "x")
_INFINITE: Final = r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)"
_ENDS_OF_INFINITE: Final = ("f", "F", "n", "N")


class Unkept(NamedTuple):
    """A number that cannot be kept as it is written.

    `stand_in` takes its place in the data: of the type that was meant, so that only the one problem is reported.
    """

    problem_id: str
    message: str
    stand_in: int | float | None


@lru_cache(maxsize=8192)
def number(written: str) -> int | float | str | Unkept:
    """The meaning of a plain scalar that begins like a number; what is no number after all is text."""
    if len(written) <= SIGNIFICANT_DIGITS and written.isascii() and written.isdigit():
        return int(written)
    match = _FLOAT.fullmatch(written)
    if match is not None:
        if _WHOLE.fullmatch(written):
            return _whole(written.lstrip("+-").lstrip("0") or "0", sign=-1 if written[0] == "-" else 1)
        return _decimal(written, match[1])
    if written[1:2] in _BASES and re.fullmatch(_OCTAL_OR_HEXADECIMAL, written):
        return _whole_of_value(int(written, 0))
    if written[-1:] in _ENDS_OF_INFINITE and re.fullmatch(_INFINITE, written):
        kind = "not a number" if written.endswith(("nan", "NaN", "NAN")) else "infinite"
        return Unkept("not-finite", f"{written} is {kind}: write the number, or leave the key out.", None)
    return written


def _whole(digits: str, *, sign: int) -> int | Unkept:
    if len(digits) <= SIGNIFICANT_DIGITS:
        return sign * int(digits)
    # No longer number is converted: the conversion of a very long one is slow, and refused by the language.
    if len(digits) > len(str(LARGEST_WHOLE_NUMBER)) or int(digits) > LARGEST_WHOLE_NUMBER:
        return Unkept(
            "too-many-digits",
            f"This whole number is larger than {LARGEST_WHOLE_NUMBER}, and cannot be kept exactly.",
            sign * LARGEST_WHOLE_NUMBER,
        )
    if len(digits.rstrip("0")) > SIGNIFICANT_DIGITS:
        return Unkept("too-many-digits", _too_many(len(digits.rstrip("0"))), sign * int(digits))
    return sign * int(digits)


def _whole_of_value(value: int) -> int | Unkept:
    return _whole(str(min(value, LARGEST_WHOLE_NUMBER + 1)), sign=1)


def _decimal(written: str, mantissa: str) -> float | Unkept:
    value = float(written)
    digits = mantissa.replace(".", "").strip("0")
    if value in (float("inf"), float("-inf")):
        return Unkept("not-finite", "This number is too large to be kept: it would become infinite.", None)
    if len(digits) > SIGNIFICANT_DIGITS:
        return Unkept("too-many-digits", _too_many(len(digits)), value)
    if digits and abs(value) < sys.float_info.min:
        return Unkept("too-many-digits", "This number is too close to zero to be kept exactly.", 0.0)
    return value


def _too_many(digits: int) -> str:
    return f"This number has {digits} significant digits: at most {SIGNIFICANT_DIGITS} are kept exactly."
