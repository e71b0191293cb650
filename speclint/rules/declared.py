"""What a ruleset declares a quantity to be, in a plain sentence."""

from collections.abc import Iterable
from typing import Final

from speclint.forms.words import shown
from speclint.plain import capitalised, listed
from speclint.quantities.declared import QuantityName
from speclint.quantities.model import Quantity, Sort
from speclint.quantities.registry import quantity
from speclint.readings.digits import UNITS, plain_text, with_unit


def declared_text(described: Quantity) -> str:
    """The sentence: `Driver and ballast is the sum of driver and ballast, in kg.` and the like."""
    title = capitalised(described.title)
    unit = UNITS[described.unit].sign.strip()
    in_unit = f", in {unit}" if unit and unit != described.title else ""
    if described.counts:
        return f"{title} is how many things {_titles(described.inputs)} states."
    if described.inputs:
        return f"{title} is the sum of {_titles(described.inputs)}{in_unit}."
    if described.choices:
        return f"{title} can be {listed(map(shown, described.choices), 'or')}{in_unit}."
    return f"{title} is {_KINDS[described.sort]}{in_unit}."


def declared_help(described: Quantity) -> str:
    """The same with how it is measured and what is usual, for whoever fills in its key."""
    usual = ""
    if described.typical is not None:
        low, high = map(plain_text, described.typical)
        usual = f"Usually {low} to {with_unit(high, described.unit)}."
    return " ".join(filter(None, (declared_text(described), described.measure, usual)))


def derived_text(name: str) -> str:
    """The same of a sum, a count or what has choices, where a rule names it; "" of what its limit says enough of."""
    if isinstance(name, QuantityName) and (name.quantity.inputs or name.quantity.choices):
        return declared_text(name.quantity)
    return ""


def declared_among(names: Iterable[str]) -> tuple[QuantityName, ...]:
    """Those of some names that a ruleset declares, in order."""
    return tuple(sorted(name for name in set(names) if isinstance(name, QuantityName)))


_KINDS: Final = {
    Sort.MEASURED: "measured",
    Sort.SETTING: "a number that is set",
    Sort.COUNT: "a whole number",
    Sort.FLAG: "true or false",
    Sort.TEXT: "a text",
}


def _titles(inputs: Iterable[object]) -> str:
    named = [(name, quantity(name)) for name in inputs if isinstance(name, str)]
    return listed(name if of is None else of.title for name, of in named)
