"""Values as sentences say them, and when two of them are the same to a rulebook."""

from collections.abc import Sequence
from typing import Any

from speclint.forms.parts_lists import Scalar
from speclint.quantities.facts import Fact, Value
from speclint.readings.digits import plain_text, reading_text
from speclint.readings.exact import exact
from speclint.readings.measured import Measured, Number, value_of


def words(values: Sequence[Scalar], joined: str = " or ") -> str:
    """Allowed values in a sentence."""
    return joined.join(map(shown, values))


def shown(value: object) -> str:
    """One value in a sentence; a flag reads as an answer."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(map(shown, value))
    return plain_text(value_of(value)) if isinstance(value, Number) else str(value)


def written(value: object) -> str:
    """One value as a file writes it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return f'"{value}"' if isinstance(value, str) else shown(value)


def value_text(value: Value, unit: str) -> str:
    """What the car has, with its unit and the digits that its uncertainty supports."""
    if isinstance(value, Number):
        return reading_text(value, unit)
    return (", ".join(value_text(item, unit) for item in value) or "none") if isinstance(value, tuple) else shown(value)


def values_of(fact: Fact) -> tuple[object, ...]:
    """The values of a fact; most have one."""
    return fact.value if isinstance(fact.value, tuple) else (fact.value,)


def same(value: object, allowed: Scalar) -> bool:
    """Whether a value that was stated is one that a rule names."""
    if isinstance(value, str):
        return value == allowed
    number = value_of(value) if isinstance(value, Measured) else value
    # True is 1 to Python; to a rulebook it is not.
    return isinstance(number, bool) is isinstance(allowed, bool) and number == allowed


def matches(fact: Fact, allowed: Sequence[Scalar]) -> bool:
    """Whether every value of the fact is one of those allowed."""
    return all(any(same(value, choice) for choice in allowed) for value in values_of(fact))


def scalar(value: Any) -> Scalar:
    """A value of a document as a rule compares it."""
    return value if isinstance(value, str | bool) else exact(value)


def scalars(value: Any) -> tuple[Scalar, ...]:
    """A value, or the values of a list."""
    return tuple(map(scalar, value)) if isinstance(value, list) else (scalar(value),)
