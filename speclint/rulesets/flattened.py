"""A ruleset with all that it builds on, as plain data in which no order is left that says nothing."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from speclint.rulesets.amendments import name_of
from speclint.rulesets.canonical import canonical_json
from speclint.rulesets.model import FlatClass, Ruleset

_CHOICES: Final = ("one_of", "none_of", "when")
"""Keys of a rule under which the order of a list says nothing."""


def flat_data(layers: Sequence[Ruleset], classes: Iterable[FlatClass]) -> dict[str, Any]:
    """The data that a ruleset's digest is taken over.

    Args:
        layers: the rulesets that it builds on, the first of all at the front, itself at the end.
        classes: its classes, flattened.
    """
    own = layers[-1]
    lists = {name: keys for layer in layers for name, keys in (layer.data.get("lists") or {}).items()}
    instruments = {name: keys for layer in layers for name, keys in (layer.data.get("instruments") or {}).items()}
    nearest = {
        key: next((layer.data[key] for layer in reversed(layers) if key in layer.data), None)
        for key in ("reference_temperature_c", "decision")
    }
    return {
        **{key: own.data[key] for key in ("format", "id", "version", "in_force")},
        **nearest,
        "classes": {
            flat.id: {name_of(rule): _in_order(rule.data, _CHOICES) for rule in flat.rules} for flat in classes
        },
        "lists": {
            name: {**keys, "items": _sorted(_in_order(item, item) for item in keys["items"])}
            for name, keys in lists.items()
        },
        "instruments": instruments,
        "waivers": _sorted(waiver for layer in layers for waiver in layer.data.get("waivers") or ()),
    }


def _in_order(keys: Mapping[str, Any], free: Iterable[str]) -> dict[str, Any]:
    """The keys, with the lists under some of them in one order."""
    ordered = dict(keys)
    for key in free:
        value = ordered.get(key)
        if isinstance(value, list):
            ordered[key] = _sorted(value)
        elif isinstance(value, dict):
            ordered[key] = _in_order(value, value)
    return ordered


def _sorted(values: Iterable[Any]) -> list[Any]:
    return sorted(values, key=canonical_json)
