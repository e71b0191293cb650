"""The values that a quantity can have under some limits: a set of them, or an interval, with what is barred."""

import math
from collections.abc import Iterable
from fractions import Fraction
from typing import NamedTuple

from speclint.forms.parts_lists import Scalar
from speclint.limits.decisions import Limits
from speclint.quantities.model import Quantity, Sort

_Value = tuple[bool, Scalar]
"""A value, and whether it is a flag: true is 1 to Python, and to a rulebook it is not."""


def _told_apart(values: Iterable[Scalar]) -> frozenset[_Value]:
    return frozenset((isinstance(value, bool), value) for value in values)


class Domain(NamedTuple):
    """The values that are left.

    Attributes:
        values: all that can be, where they can be counted; None for any.
        barred: those that cannot be.
        is_number: a text is none of them.
        is_whole: nor is a fraction.
        low: the least number; None where there is none.
        low_strict: the numbers lie above `low`.
        high: the greatest number; None where there is none.
        high_strict: the numbers lie below `high`.
    """

    values: frozenset[_Value] | None = None
    barred: frozenset[_Value] = frozenset()
    is_number: bool = False
    is_whole: bool = False
    low: Fraction | None = None
    low_strict: bool = False
    high: Fraction | None = None
    high_strict: bool = False

    def within(self, limit: "Domain") -> "Domain":
        """What is left under both."""
        values = self.values if limit.values is None else limit.values
        if self.values is not None and limit.values is not None:
            values = self.values & limit.values
        low, low_strict = _inner(self.end(is_low=True), limit.end(is_low=True), 1)
        high, high_strict = _inner(self.end(is_low=False), limit.end(is_low=False), -1)
        return Domain(
            values, self.barred | limit.barred, self.is_number or limit.is_number, self.is_whole or limit.is_whole,
            low, low_strict, high, high_strict,
        )  # fmt: skip

    @property
    def is_empty(self) -> bool:
        """Whether nothing is left."""
        if self.values is not None:
            return not any(self._has(value) for value in self.values)
        if not self.is_number or self.low is None or self.high is None:
            return False
        if self.is_whole:
            first = math.floor(self.low) + 1 if self.low_strict else math.ceil(self.low)
            last = math.ceil(self.high) - 1 if self.high_strict else math.floor(self.high)
            count = last - first + 1
            barred = sum(self._has((flag, value), is_barred=True) for flag, value in self.barred)
            return count - barred <= 0
        if self.low == self.high:
            return self.low_strict or self.high_strict or (False, self.low) in self.barred
        return self.low > self.high

    def _has(self, value: _Value, *, is_barred: bool = False) -> bool:
        """Whether a value is left; where it `is_barred`, whether it would be."""
        is_flag, number = value
        if not is_barred and value in self.barred:
            return False
        if is_flag or not isinstance(number, Fraction):
            return not self.is_number
        if self.is_whole and number.denominator != 1:
            return False
        above = self.low is None or number > self.low or (number == self.low and not self.low_strict)
        below = self.high is None or number < self.high or (number == self.high and not self.high_strict)
        return above and below

    def end(self, *, is_low: bool) -> tuple[Fraction | None, bool]:
        """The least number or the greatest, None where there is none, and whether the numbers only come near it."""
        return (self.low, self.low_strict) if is_low else (self.high, self.high_strict)

    @property
    def hull(self) -> "Domain":
        """The interval around all numbers that are left."""
        if self.values is None:
            return Domain(None, frozenset(), True, False, self.low, self.low_strict, self.high, self.high_strict)
        numbers = [value[1] for value in self.values if self._has(value) and isinstance(value[1], Fraction)]
        return Domain(is_number=True, low=min(numbers, default=Fraction(1)), high=max(numbers, default=Fraction(0)))

    @property
    def limits(self) -> Limits | None:
        """The interval as limits; None where it has no end."""
        hull = self.hull
        if hull.low is None and hull.high is None:
            return None
        return Limits(hull.low, hull.low_strict, hull.high, hull.high_strict)


ANYTHING = Domain()
"""Nothing is asked."""


def _inner(
    first: tuple[Fraction | None, bool], second: tuple[Fraction | None, bool], way: int
) -> tuple[Fraction | None, bool]:
    """The end that lies farther in: upwards where `way` is 1, downwards where it is -1."""
    if first[0] is None or second[0] is None:
        return second if first[0] is None else first
    if first[0] == second[0]:
        return first[0], first[1] or second[1]
    return first if (first[0] - second[0]) * way > 0 else second


def half_line(end: Fraction, *, is_low: bool, is_strict: bool = False) -> Domain:
    """All numbers above an end, or below it."""
    return Domain(low=end, low_strict=is_strict) if is_low else Domain(high=end, high_strict=is_strict)


def among(values: Iterable[Scalar]) -> Domain:
    """One of some values."""
    return Domain(values=_told_apart(values))


def apart_from(values: Iterable[Scalar]) -> Domain:
    """None of some values."""
    return Domain(barred=_told_apart(values))


def between(limits: Limits) -> Domain:
    """A number within limits."""
    return Domain(
        is_number=True, low=limits.low, low_strict=limits.low_strict, high=limits.high, high_strict=limits.high_strict
    )


def outside(limits: Limits) -> tuple[Domain, ...]:
    """Numbers beyond limits, on the one side or the other."""
    below = () if limits.low is None else (Limits(high=limits.low, high_strict=not limits.low_strict),)
    above = () if limits.high is None else (Limits(low=limits.high, low_strict=not limits.high_strict),)
    return tuple(between(part) for part in (*below, *above))


def possible(described: Quantity | None) -> Domain:
    """What a quantity can be at all."""
    if described is None or described.is_open:
        return ANYTHING
    if described.sort is Sort.FLAG:
        return among((True, False))
    if described.choices:
        return among(described.choices)
    if not described.numeric:
        return ANYTHING
    # What is computed may be less than nothing, whatever its key could hold.
    is_stated = described.key is not None
    return Domain(
        is_number=True,
        is_whole=described.sort is Sort.COUNT,
        low=Fraction(described.lowest) if is_stated and described.lowest is not None else None,
        low_strict=described.above_lowest,
        high=Fraction(described.highest) if is_stated and described.highest is not None else None,
    )
