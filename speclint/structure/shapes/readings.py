"""Readings: a measured value as a plain number, or with its instrument and repeats."""

from typing import Any, Final

from speclint.quantities.model import Home, Quantity, Sort
from speclint.quantities.registry import QUANTITIES
from speclint.quantities.taken import TAKEN_KEY, TAKEN_KEYS, TakenKey
from speclint.schema_nodes import Schema, day, mapping, node, number, several, text, use

TEMPERATURES: Final = {"minimum": -60, "maximum": 300}
"""In °C: no motor, battery or room is outside, and the copper formula is far from its pole at -235 °C."""

ABOVE_ZERO: Final = {"exclusiveMinimum": 0}
FROM_ZERO: Final = {"minimum": 0}


def bounds(quantity: Quantity) -> dict[str, int]:
    """What the key of a quantity can hold at all, as JSON Schema keywords."""
    nodes_by_key = {}
    if quantity.lowest is not None:
        nodes_by_key["exclusiveMinimum" if quantity.above_lowest else "minimum"] = quantity.lowest
    if quantity.highest is not None:
        nodes_by_key["maximum"] = quantity.highest
    return nodes_by_key


def definition(limits: dict[str, int], *, of_record: bool) -> str:
    """The name in `$defs` of a reading within these bounds, in a record whose own keys say how it was taken or not."""
    words = {"exclusiveMinimum": "above", "minimum": "from", "maximum": "to"}
    first = "recorded_reading" if of_record else "reading"
    return "_".join([first, *(f"{words[key]}_{value}".replace("-", "minus_") for key, value in limits.items())])


def taken() -> Schema:
    """How a reading was taken, as it says itself."""
    keys = {key.name: _taken_key(key) for key in TAKEN_KEYS if not key.is_derived}
    return mapping("taken", "How it was taken, where a rule asks.", keys, {"at": "after-run", "on": "2026-03-14"})


def _taken_key(key: TakenKey) -> Schema:
    described = key.quantity
    if key.name == "on":
        return day(described.title, described.about)
    if described.sort is Sort.TEXT:
        return text(described.title, described.about, described.example)
    return number(described.title, described.about, described.example, unit=described.unit, **bounds(described))


def _inner_keys(limits: dict[str, int], *, of_record: bool) -> Schema:
    plain: Schema = {"type": "number", **limits}
    of_itself = {} if of_record else {TAKEN_KEY: use_of_taken()}
    return {
        "value": node("value", "The value that was read, in the unit of the key.", (20.5,), **plain),
        "readings": several("readings", "Repeated readings of the same thing, in the unit of the key; their mean"
                            " counts.", plain, [20.5, 20.6, 20.5], minItems=2),
        "instrument": text("instrument", "The instrument that was read, by its name under `instruments:`.",
                           "pit-scale"),
        "standard_uncertainty": node("standard uncertainty", "Standard uncertainty of the value (k = 1), in the unit"
                                     " of the key, where it is known better than from the instrument.", (0.2,),
                                     type="number", minimum=0),
        **of_itself,
    }  # fmt: skip


def use_of_taken() -> Schema:
    """The key of a reading that says how it was taken."""
    return use("taken", "taken", "How it was taken, where a rule asks.", {"at": "after-run"})


VALUE_OR_READINGS: Final[Schema] = {
    "additionalProperties": False,
    "dependentSchemas": {"readings": {"properties": {"value": False}}},
    "if": {"type": "object", "properties": {"readings": False}},
    "then": {"required": ["value"]},
}
"""Of a mapping that is a reading: it has these keys and no others, and one of the two."""


def reading(limits: dict[str, int], *, listed: bool = False, of_record: bool = True) -> Schema:
    """A number within the bounds, or a mapping with its instrument; where `listed`, also a bare list of numbers."""
    more: Schema = {"items": {"type": "number", **limits}} if listed else {}
    return {
        "title": "reading",
        "description": "A number, or a mapping of a value or repeated readings with their instrument.",
        "type": ["number", "array", "object"] if listed else ["number", "object"],
        **limits,
        **more,
        "properties": _inner_keys(limits, of_record=of_record),
        **VALUE_OR_READINGS,
    }


def of_reading(
    limits: dict[str, int], title: str, about: str, example: float, *, unit: str, instrument: str = "",
    of_record: bool = True,
) -> Schema:  # fmt: skip
    """The node of a measured key; its shape stands once in `$defs`."""
    examples: list[Any] = [example]
    if instrument:
        examples.append({"value": example, "instrument": instrument})
    return node(title, about, examples, unit, **{"$ref": f"#/$defs/{definition(limits, of_record=of_record)}"})


def temperature(title: str, about: str, example: float) -> Schema:
    """A measured temperature in °C."""
    return of_reading(TEMPERATURES, title, about, example, unit="c")


_STATED: Final = [
    (bounds(quantity), quantity.key.home is Home.BENCH)
    for quantity in QUANTITIES
    if quantity.sort is Sort.MEASURED and quantity.key
]

DEFS: Final[dict[str, Schema]] = {
    **{
        definition(limits, of_record=of_record): reading(limits, of_record=of_record)
        for limits, of_record in (*_STATED, (ABOVE_ZERO, True), (FROM_ZERO, True), (TEMPERATURES, True))
    },
    "taken": taken(),
    "phase": {**reading(ABOVE_ZERO, listed=True), "minItems": 2},
    "sensors": {**reading({"minimum": -90, "maximum": 90}, listed=True), "minItems": 1},
}
