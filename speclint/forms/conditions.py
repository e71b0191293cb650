"""Conditions: for which cars and races a rule, a class or a waiver holds."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from speclint.forms.between import BETWEEN, read_window
from speclint.forms.bounds import plain_shapes as bound_shapes
from speclint.forms.bounds import read_plain as read_bounds
from speclint.forms.limit import Misfit, Places
from speclint.forms.matching import misspelling, not_a_number, slip_of
from speclint.forms.none_of import NoneOf
from speclint.forms.none_of import plain_shape as barred_shape
from speclint.forms.none_of import read_plain as read_barred
from speclint.forms.one_of import OneOf
from speclint.forms.size import Size
from speclint.forms.words import matches, same, scalars, values_of, words
from speclint.limits.decisions import Decision, decide
from speclint.quantities.facts import Fact
from speclint.quantities.model import Quantity
from speclint.quantities.registry import quantity
from speclint.readings.measured import Measured, Number, value_of
from speclint.schema_nodes import WORD, Schema, needs_one, node


class Condition(NamedTuple):
    """One quantity, and what it has to be, as read."""

    quantity: str
    limit: OneOf | NoneOf | Size

    @property
    def words(self) -> str:
        """`round is 5`, `venue is indoor or outdoor`, `cells is at most 2`, `driver is not novice`."""
        named = quantity(self.quantity)
        return f"{named.title if named is not None else self.quantity} is {self.asked}"

    @property
    def asked(self) -> str:
        """What the quantity has to be."""
        if isinstance(self.limit, OneOf):
            return words(self.limit.values)
        named = quantity(self.quantity)
        return self.limit.asked(named.unit if named is not None and named.unit != named.title else "")

    @property
    def example(self) -> Any:
        """A value with which it holds; None where none is named."""
        if isinstance(self.limit, OneOf):
            return self.limit.values[0]
        if isinstance(self.limit, Size):
            return self.limit.bounds.low if self.limit.bounds.low is not None else self.limit.bounds.high
        return None

    def holds(self, fact: Fact) -> bool | str:
        """Whether it holds for every value of a fact that has one, or why that cannot be said."""
        if isinstance(self.limit, Size):
            values = values_of(fact)
            numbers = [value_of(value) for value in values if isinstance(value, Number)]
            if len(numbers) < len(values):
                return next(not_a_number(value) for value in values if not isinstance(value, Number))
            return all(self.limit.bounds.met_by(number) for number in numbers)
        if isinstance(self.limit, NoneOf):
            is_met = not any(same(value, barred) for value in values_of(fact) for barred in self.limit.values)
        else:
            is_met = matches(fact, self.limit.values)
        if is_met is isinstance(self.limit, NoneOf):
            looks = (misspelling(value, choice) for value in values_of(fact) for choice in self.limit.values)
            return next(filter(None, looks), "") or is_met
        return is_met

    def nearness(self, fact: Fact) -> str:
        """Why a fact may be on the other side of the condition, for all that is stated; "" where it is well clear of it.

        A bound may lie inside the uncertainty of a reading, and a word may be a slip of the pen for one that is asked for.
        """
        if not isinstance(self.limit, Size):
            slip = next(filter(None, (slip_of(value, self.limit.values) for value in values_of(fact))), "")
            return f"{self.words}; {slip}" if slip else ""
        if fact.quantity.exact:
            return ""
        bounds = self.limit.bounds
        is_close = any(
            decide(value, bounds, Decision.AS_READ, complete=fact.complete).close_call
            for value in values_of(fact)
            if isinstance(value, Measured)
        )
        return f"{self.words}, which is within the uncertainty of the reading" if is_close else ""

    def misfits(self, of: Quantity) -> Iterator[Misfit]:
        """Why no value of the quantity can ever be this."""
        return self.limit.misfits(of, of.name)


When = tuple[Condition, ...]
"""Conditions, all of which have to hold."""


def when_text(when: When) -> str:
    """All conditions in words."""
    return " and ".join(condition.words for condition in when)


def read_when(keys: Mapping[str, Any] | None, places: Callable[[str], Places]) -> When:
    """The conditions of a mapping from quantities, in order; `places` gives the decimals written below each."""
    return tuple(Condition(name, _limit(value, places(name))) for name, value in sorted((keys or {}).items()))


def _limit(value: Any, places: Places) -> OneOf | NoneOf | Size:
    if not isinstance(value, dict):
        return OneOf(scalars(value))
    if "none_of" in value:
        return read_barred(value["none_of"])
    return read_window(value, places) if "between" in value else read_bounds(value, places)


def condition_shape() -> Schema:
    """The shape of what a quantity has to be."""
    keys = {**bound_shapes(), **BETWEEN.shapes(), "none_of": barred_shape()}
    beside: dict[str, list[str]] = {
        "at_least": ["above", "between", "none_of"],
        "above": ["between", "none_of"],
        "at_most": ["below", "between", "none_of"],
        "below": ["between", "none_of"],
        "between": ["none_of"],
    }
    return {
        **node(
            "condition",
            "What the quantity has to be: a value, a list of which any will do, or a mapping with at_least"
            " or above, at_most or below, between, or none_of.",
            ["indoor", [17.5, 21.5], {"at_most": 2}, {"none_of": ["novice"]}],
            type=["string", "number", "boolean", "array", "object"],
            items=WORD,
            minItems=1,
            minLength=1,
            properties=keys,
            additionalProperties=False,
            dependentSchemas={key: {"properties": dict.fromkeys(others, False)} for key, others in beside.items()},
        ),
        "if": {"type": "object"},
        "then": needs_one("a bound", [*keys]),
    }
