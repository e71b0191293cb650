"""Measured values: an exact value with the independent influences that blur it, carried through plain arithmetic.

The propagation is that of JCGM 100 (GUM), section 5, to first order. Every influence has an identity, so two readings
of one meter share its error: contributions of one influence add before the sum of squares is taken (JCGM 100 F.1.2.3).
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.readings.distributions import student_factor
from speclint.readings.exact import exact, float_ratio, round_to, to_float

K: Final = 2.0
"""The coverage factor of an expanded uncertainty, for about 95 % (JCGM 100 6.3.3)."""


class Influence(NamedTuple):
    """One cause of uncertainty, independent of all others; the same id stands for the same one, in the same words.

    Attributes:
        id: the identity, the same wherever the same error comes in again.
        what: the influence in words, for people.
        degrees_of_freedom: n - 1 where n repeats made the estimate, infinite where it was stated.
        is_common: it moves all readings of an instrument together, so that it says nothing of how they differ.
    """

    id: str
    what: str
    degrees_of_freedom: float = math.inf
    is_common: bool = False


@dataclass(frozen=True, slots=True)
class Measured:
    """A value and, for each influence, how far it moves the value for one standard uncertainty, with its sign.

    It has no order on purpose: `decide` compares it with a limit, and knows about its uncertainty.

    Attributes:
        value: the best estimate, exact as computed from what was read.
        contributions: signed standard contributions by influence, in the value's unit.
    """

    value: Fraction
    contributions: Mapping[Influence, float] = field(hash=False)

    @property
    def standard_uncertainty(self) -> float:
        """The root of the sum of squares of the contributions, in the value's unit (JCGM 100, equation 10)."""
        return math.hypot(*self.contributions.values())

    @property
    def effective_degrees_of_freedom(self) -> float:
        """The Welch-Satterthwaite formula (JCGM 100, equation G.2b); infinite where no repeats count."""
        uncertainty = self.standard_uncertainty
        if not uncertainty:
            return math.inf
        share = math.fsum(
            (part / uncertainty) ** 4 / influence.degrees_of_freedom
            for influence, part in self.contributions.items()
            if influence.degrees_of_freedom != math.inf
        )
        return 1.0 / share if share else math.inf

    def coverage_factor(self, k: float = K) -> float:
        """U over u: k where no repeats count, Student's factor of the same coverage where nothing else does.

        Where both do, the two parts are expanded each for itself and joined as a root of squares. One factor for the
        Welch-Satterthwaite degrees of freedom of both together (JCGM 100 G.4) covers too little after two or three
        repeats: by trial 6.2 % and 3.7 % of readings at a limit would be shown legal, where 2.3 % are meant.
        """
        if all(cause.degrees_of_freedom == math.inf for cause in self.contributions):
            return k
        repeated = {cause: part for cause, part in self.contributions.items() if cause.degrees_of_freedom != math.inf}
        if not any(repeated.values()):
            return k
        scatter = Measured(self.value, repeated)
        factor = student_factor(math.erfc(k / math.sqrt(2.0)), max(scatter.effective_degrees_of_freedom, 1.0))
        rest = math.hypot(*(part for cause, part in self.contributions.items() if cause not in repeated))
        expanded = math.hypot(max(k, factor) * scatter.standard_uncertainty, k * rest)
        return expanded / self.standard_uncertainty

    def expanded(self, k: float = K) -> float:
        """The expanded uncertainty U, in the value's unit: two standard uncertainties, or more after few repeats."""
        return self.coverage_factor(k) * self.standard_uncertainty

    def budget(self) -> tuple[tuple[Influence, float], ...]:
        """The influences that count, the largest first, with their signed contributions."""
        parts = [(influence, part) for influence, part in self.contributions.items() if part]
        return tuple(sorted(parts, key=lambda entry: (-abs(entry[1]), entry[0].id)))

    def apply(self, function: Callable[[float], float], derivative: Callable[[float], float]) -> "Measured":
        """A function of this one value, to first order; the result is the decimal of the function's float."""
        at = to_float(self.value)
        return self._scaled(exact(function(at)), derivative(at))

    def _scaled(self, value: Fraction, factor: float) -> "Measured":
        return Measured(value, {influence: part * factor for influence, part in self.contributions.items()})

    def _joined(self, value: Fraction, weight: float, other: "Measured", others: float) -> "Measured":
        parts = {influence: part * weight for influence, part in self.contributions.items()}
        for influence, part in other.contributions.items():
            existing_part = parts.get(influence)
            parts[influence] = part * others if existing_part is None else _cancelled(existing_part, part * others)
        return Measured(value, parts)

    def __add__(self, other: "Number | int") -> "Measured":
        if isinstance(other, Measured):
            return self._joined(self.value + other.value, 1.0, other, 1.0)
        if isinstance(other, Fraction | int):
            return Measured(self.value + other, self.contributions)
        return NotImplemented

    __radd__ = __add__

    def __neg__(self) -> "Measured":
        return self._scaled(-self.value, -1.0)

    def __abs__(self) -> "Measured":
        return -self if self.value < 0 else self

    def __sub__(self, other: "Number | int") -> "Measured":
        if isinstance(other, Measured):
            return self._joined(self.value - other.value, 1.0, other, -1.0)
        if isinstance(other, Fraction | int):
            return Measured(self.value - other, self.contributions)
        return NotImplemented

    def __rsub__(self, other: "Fraction | int") -> "Measured":
        if isinstance(other, Fraction | int):
            return self._scaled(other - self.value, -1.0)
        return NotImplemented

    def __mul__(self, other: "Number | int") -> "Measured":
        if isinstance(other, Measured):
            return self._joined(self.value * other.value, to_float(other.value), other, to_float(self.value))
        if isinstance(other, Fraction | int):
            return self._scaled(self.value * other, to_float(other))
        return NotImplemented

    __rmul__ = __mul__

    def __truediv__(self, other: "Number | int") -> "Measured":
        if isinstance(other, Measured):
            quotient = self.value / other.value
            return self._joined(quotient, float_ratio(_ONE, other.value), other, float_ratio(-quotient, other.value))
        if isinstance(other, Fraction | int):
            return self._scaled(self.value / other, float_ratio(_ONE, Fraction(other)))
        return NotImplemented

    def __rtruediv__(self, other: "Fraction | int") -> "Measured":
        if isinstance(other, Fraction | int):
            quotient = other / self.value
            return self._scaled(quotient, float_ratio(-quotient, self.value))
        return NotImplemented


_ONE: Final = Fraction(1)


def _cancelled(first: float, second: float) -> float:
    """The sum of what one influence does in two ways; what is left of a full cancellation is no uncertainty."""
    total = first + second
    return total if abs(total) > _ROUNDING * max(abs(first), abs(second)) else 0.0


_ROUNDING: Final = 1e-12
"""What floats leave over, as a share, where two equal contributions are taken off each other."""

Number = Fraction | Measured
"""A value with no uncertainty known, or one with it; the same formula takes both."""


def value_of(number: Number) -> Fraction:
    """The value alone."""
    return number.value if isinstance(number, Measured) else number


def uncertainty_of(number: Number) -> float | None:
    """The standard uncertainty, in the number's unit; None where none is known."""
    return number.standard_uncertainty if isinstance(number, Measured) else None


def expanded_of(number: Number) -> float | None:
    """The expanded uncertainty U, in the number's unit; None where none is known."""
    return number.expanded() if isinstance(number, Measured) else None


def read_to(number: Number, step: Fraction) -> Number:
    """The number with its value read to a step; its uncertainty stays whole, as rounding makes nothing surer."""
    if isinstance(number, Measured):
        return Measured(round_to(number.value, step), number.contributions)
    return round_to(number, step)


def mean_of(numbers: Sequence[Number]) -> Number:
    """The arithmetic mean.

    Raises:
        ValueError: there are no numbers.
    """
    if not numbers:
        raise ValueError("no numbers have no mean")
    # In one pass, as every winding asks for it: a sum of three would copy the contributions twice.
    count = len(numbers)
    mean = sum(map(value_of, numbers[1:]), value_of(numbers[0])) / count
    parts: dict[Influence, float] = {}
    for number in numbers:
        if isinstance(number, Measured):
            for influence, part in number.contributions.items():
                parts[influence] = parts.get(influence, 0.0) + part / count
    return Measured(mean, parts) if parts else mean


def least_of(numbers: Sequence[Number]) -> Number:
    """The smallest, with its own contributions; of equal ones the least certain.

    Raises:
        ValueError: there are no numbers.
    """
    return min(numbers, key=lambda number: (value_of(number), -(uncertainty_of(number) or 0.0)))


def spread_of(numbers: Sequence[Number]) -> Number:
    """Largest minus smallest, of two different readings even where all are equal: their blur does not cancel.

    Raises:
        ValueError: there are no numbers.
    """
    if not numbers:
        raise ValueError("no numbers have no spread")
    ordered = sorted(numbers, key=lambda number: (value_of(number), uncertainty_of(number) or 0.0))
    return ordered[-1] - ordered[0]
