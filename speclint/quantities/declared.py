"""Quantities that a ruleset declares, and names that carry what they are to wherever they are asked for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from speclint.quantities.model import Quantity
from speclint.readings.measured import Number
from speclint.readings.units import in_unit


class QuantityName(str):
    """A quantity's name as the text of a ruleset has it that declares what it is.

    Two rulesets may declare one key each in its own way, so that a bare name does not say which is meant.
    """

    __slots__ = ("quantity",)

    quantity: Quantity

    def __new__(cls, quantity: Quantity) -> "QuantityName":
        """The name of a quantity that a ruleset declares; that of the quantity that it carries is this one."""
        name = super().__new__(cls, quantity.name)
        name.quantity = quantity._replace(name=name)
        return name

    def __reduce__(self) -> tuple[type["QuantityName"], tuple[Quantity]]:
        """How another process makes it anew."""
        return QuantityName, (self.quantity._replace(name=str(self)),)


Declared = Mapping[str, QuantityName]
"""The quantities that a ruleset declares, by their names."""

NOTHING_DECLARED: Final[Declared] = {}


def with_names(data: Any, declared: Declared) -> Any:
    """Plain data of a ruleset, in which every text that is the name of a declared quantity knows what it is."""
    if isinstance(data, str):
        return declared.get(data, data)
    if isinstance(data, dict):
        return {declared.get(key, key): with_names(value, declared) for key, value in data.items()}
    return [with_names(item, declared) for item in data] if isinstance(data, list) else data


def readings_of(names: Iterable[str]) -> frozenset[tuple[str, tuple[object, ...]]]:
    """What makes each of some names that are declared give its key the value that it does, whatever it is called."""
    return frozenset((str(name), _reading(name)) for name in names if isinstance(name, QuantityName))


def _reading(name: str) -> tuple[object, ...]:
    if not isinstance(name, QuantityName):
        return ()
    described = name.quantity
    parts = frozenset((str(part), _reading(part)) for part in described.inputs if isinstance(part, str))
    return described.sort, described.unit, frozenset(described.choices), described.counts, parts


@dataclass(frozen=True, slots=True)
class Sum:
    """The sum of several quantities of one dimension: the unit of each, and that of the sum."""

    units: tuple[str, ...]
    unit: str

    def converted(self, values: Iterable[Number]) -> tuple[Number, ...]:
        """The parts in the unit of the sum."""
        return tuple(in_unit(value, unit, self.unit) for value, unit in zip(values, self.units, strict=True))

    def __call__(self, *values: Number) -> Number:
        """The sum; its uncertainty is that of the parts, and what they were read on moves them together."""
        return sum(self.converted(values), Fraction(0))
