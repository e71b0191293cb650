"""Keys of stated quantities: each node follows from the quantity's entry in the registry."""

from collections.abc import Callable
from fractions import Fraction
from typing import Final

from speclint.quantities.model import Home, Quantity, Sort
from speclint.quantities.registry import QUANTITIES
from speclint.schema_nodes import Schema, node
from speclint.structure.shapes.readings import bounds, of_reading

TEETH_RATIO: Final = "^[1-9][0-9]{0,3}/[1-9][0-9]{0,3}$"
"""A ratio by its tooth counts, such as 40/21: exact."""

_INSTRUMENTS: Final = {"g": "pit-scale", "mm": "caliper", "v": "pit-meter", "a": "bench-meter"}


def _about(quantity: Quantity) -> str:
    if quantity.typical is None:
        return quantity.about
    low, high = (_plain(end) for end in quantity.typical)
    return f"{quantity.about} Usually {low} to {high}."


def _plain(value: Fraction) -> str:
    return f"{float(value):.12g}"


def _measured(quantity: Quantity) -> Schema:
    instrument = _INSTRUMENTS.get(quantity.unit, "")
    return of_reading(
        bounds(quantity),
        quantity.title,
        _about(quantity),
        quantity.example,
        unit=quantity.unit,
        instrument=instrument,
        of_record=quantity.key is not None and quantity.key.home is Home.BENCH,
    )


def _setting(quantity: Quantity) -> Schema:
    return node(quantity.title, _about(quantity), [quantity.example], quantity.unit, type="number", **bounds(quantity))


def _count(quantity: Quantity) -> Schema:
    return node(quantity.title, _about(quantity), [quantity.example], quantity.unit, type="integer", **bounds(quantity))


def _ratio(quantity: Quantity) -> Schema:
    return node(
        quantity.title,
        _about(quantity),
        [quantity.example, "40/21"],
        quantity.unit,
        type=["number", "string"],
        **bounds(quantity),
        pattern=TEETH_RATIO,
    )


def _text(quantity: Quantity) -> Schema:
    return node(quantity.title, quantity.about, [quantity.example], type="string", minLength=1)


def _flag(quantity: Quantity) -> Schema:
    return node(quantity.title, quantity.about, [quantity.example], type="boolean")


def _sum(quantity: Quantity) -> Schema:
    return node(
        quantity.title,
        quantity.about,
        [quantity.example],
        quantity.unit,
        type="array",
        items={"type": "number", "exclusiveMinimum": 0},
    )


_BY_SORT: Final[dict[Sort, Callable[[Quantity], Schema]]] = {
    Sort.MEASURED: _measured,
    Sort.SETTING: _setting,
    Sort.COUNT: _count,
    Sort.RATIO: _ratio,
    Sort.TEXT: _text,
    Sort.FLAG: _flag,
    Sort.SUM: _sum,
}


def of_quantity(quantity: Quantity) -> Schema:
    """The node of the key that states a quantity."""
    return _BY_SORT[quantity.sort](quantity)


def stated_keys(home: Home, *section: str) -> dict[str, Schema]:
    """The keys that the registry's quantities are stated under, directly in one section of a document."""
    return {
        str(quantity.key.path[-1]): of_quantity(quantity)
        for quantity in QUANTITIES
        if quantity.key is not None and quantity.key.home is home and quantity.key.path[:-1] == section
    }
