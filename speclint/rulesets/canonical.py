"""Canonical JSON (RFC 8785) and digests: equal rulesets have equal digests, however they are written down."""

import json
import math
from typing import Any, Final


def digest(data: Any) -> str:
    """The SHA-256 of the canonical JSON of plain data, as `sha256:` and 64 hexadecimal digits."""
    from hashlib import sha256  # slow to import, and whoever compares rules needs their words alone

    return "sha256:" + sha256(canonical_json(data).encode()).hexdigest()


def canonical_json(data: Any) -> str:
    """Plain data as RFC 8785 writes it: keys in the order of their UTF-16 code units, numbers as ECMAScript prints them.

    Raises:
        ValueError: a number is not finite, or an integer is too large to be exact (RFC 8785 3.2.2.3).
        TypeError: the data is not plain.
    """
    if data is None or isinstance(data, bool | str):
        return _word(data)
    if isinstance(data, int):
        if abs(data) >= 2**53:
            raise ValueError(f"{data} is too large to be exact in JSON")
        return str(data)
    if isinstance(data, float):
        return _number(data)
    if isinstance(data, list | tuple):
        return f"[{','.join(canonical_json(item) for item in data)}]"
    if isinstance(data, dict):
        keys = sorted(data, key=lambda key: key.encode("utf-16-be", "surrogatepass"))
        pairs = (f"{_word(key)}:{canonical_json(data[key])}" for key in keys)
        return "{" + ",".join(pairs) + "}"
    raise TypeError(f"{type(data).__name__} is not plain data")


_word: Final = json.JSONEncoder(ensure_ascii=False).encode


def _number(value: float) -> str:
    """ECMAScript's Number::toString, from the shortest digits that Python's repr finds as well."""
    if not math.isfinite(value):
        raise ValueError(f"{value} has no place in JSON")
    if value == 0:
        return "0"
    sign = "-" if value < 0 else ""
    mantissa, _, exponent = repr(abs(value)).partition("e")
    whole, _, part = mantissa.partition(".")
    digits = (whole + part).lstrip("0")
    point = len(whole) + int(exponent or 0) - (len(whole + part) - len(digits))
    digits = digits.rstrip("0")
    count = len(digits)
    if count <= point <= 21:
        return sign + digits + "0" * (point - count)
    if 0 < point <= 21:
        return f"{sign}{digits[:point]}.{digits[point:]}"
    if -6 < point <= 0:
        return f"{sign}0.{'0' * -point}{digits}"
    power = f"e{point - 1:+d}"
    return sign + (digits if count == 1 else f"{digits[0]}.{digits[1:]}") + power
