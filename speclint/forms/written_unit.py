"""The unit in which a rulebook writes a limit, where it is not that of the quantity."""

import math
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.limits.decisions import Limits, Outcome
from speclint.quantities.facts import Fact, Value
from speclint.readings.measured import Number, value_of
from speclint.readings.units import in_unit
from speclint.schema_nodes import Schema, choice

UNIT_KEY: Final = "unit"
"""The key of a rule that says it."""

_UNITS: Final = {
    "g": "grams: a thousandth of a kilogram",
    "kg": "kilograms: 1000 g",
    "oz": "ounces: 28.349523125 g",
    "lb": "pounds: 453.59237 g",
    "mm": "millimetres: a thousandth of a metre",
    "cm": "centimetres: 10 mm",
    "m": "metres: 1000 mm",
    "in": "inches: 25.4 mm",
    "ft": "feet: 304.8 mm",
    "c": "degrees Celsius",
    "f": "degrees Fahrenheit: a difference of one is five ninths of a degree Celsius",
}
"""What may stand there, and what it means."""

UNIT_CODES: Final = tuple(_UNITS)
"""The words that may stand there."""


class WrittenUnit(NamedTuple):
    """From the unit of a quantity to that of the rulebook, exactly; both by their codes."""

    code: str
    quantity_code: str

    @property
    def reversed(self) -> "WrittenUnit":
        """From the unit of the rulebook to that of the quantity."""
        return WrittenUnit(self.quantity_code, self.code)

    @property
    def shifts_zero(self) -> bool:
        """Whether nothing of one is something of the other, as 0 °C is 32 °F."""
        return self.value(Fraction(0)) != 0

    def number(self, number: Number) -> Number:
        """A value, with its uncertainty."""
        return in_unit(number, self.quantity_code, self.code)

    def value(self, value: Fraction) -> Fraction:
        """A value that is exact."""
        return value_of(self.number(value))

    def difference(self, size: Fraction) -> Fraction:
        """How far two values lie apart."""
        return self.value(size) - self.value(Fraction(0))

    def places_of(self, size: Fraction) -> int:
        """How many decimals show a difference."""
        return max(0, math.ceil(-math.log10(self.difference(size))))

    def limits(self, limits: Limits) -> Limits:
        """The same limits in the other unit."""
        low = None if limits.low is None else self.value(limits.low)
        high = None if limits.high is None else self.value(limits.high)
        return Limits(low=low, high=high, low_strict=limits.low_strict, high_strict=limits.high_strict)

    def outcome(self, outcome: Outcome) -> Outcome:
        """The same outcome in the other unit."""
        expanded = outcome.expanded_uncertainty
        return outcome._replace(
            limit=self.value(outcome.limit),
            margin=self.difference(outcome.margin),
            expanded_uncertainty=None if expanded is None else expanded * float(self.difference(Fraction(1))),
            value=self.number(outcome.value),
            limits=self.limits(outcome.limits),
        )

    def of_fact(self, value: Value) -> Value:
        """What a fact holds, in the other unit where it is a number."""
        return self.number(value) if isinstance(value, Number) else value

    def fact(self, fact: Fact) -> Fact:
        """A fact with the step that its value was read to in the other unit; its value is left as it is."""
        step = None if fact.step is None else self.difference(fact.step)
        return fact._replace(step=step)


def unit_shape() -> Schema:
    """The shape of that key."""
    return choice(
        UNIT_KEY,
        "The unit that the rule is written in, where it is not that of the quantity: the limit, its tolerance, `plus`,"
        " `minus`, `leeway` and `read_to` are in it. Values are converted exactly.",
        _UNITS,
    )
