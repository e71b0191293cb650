"""What of a ruleset can turn a verdict, with all that it builds on, as plain data in which no order is left that says nothing."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from speclint.forms.bodies import BY_KEY, OPTIONS_KEY, TOGETHER_KEY
from speclint.quantities.kinds import QUANTITIES_KEY
from speclint.quantities.taken import TAKEN_KEY
from speclint.rulesets.canonical import canonical_json
from speclint.rulesets.model import FlatClass, Rule, Ruleset

_CHOICES: Final = frozenset({"all_of", "any_of", "none_of", "one_of", TAKEN_KEY, "when", "when_of_class"})
"""Keys of a rule under which the order of a list says nothing."""

_FREE: Final = frozenset({"choices", "sum_of"})
"""Keys of a declaration under which the order of a list says nothing."""

_EXPLAINING: Final = frozenset(
    {"about", "because", "checked_on", "cite", "measure", "penalty", "per", "title", "usual"}
)
"""Keys that explain a rule, a list or an instrument, and turn no verdict."""


def flat_data(
    layers: Sequence[Ruleset],
    classes: Iterable[FlatClass],
    lists: Mapping[str, Mapping[str, Any]],
    defaults: Mapping[str, Any],
) -> dict[str, Any]:
    """The data that a ruleset's digest is taken over; waivers and examples are not among them.

    Args:
        layers: the rulesets that it builds on, the first of all at the front, itself at the end.
        classes: its classes, flattened.
        lists: what is written of its lists, by id; of one that is based on another, that one's under `basis`.
        defaults: what counts where no ruleset says so, under its key.
    """
    top = layers[-1]
    instruments = {name: keys for layer in layers for name, keys in (layer.data.get("instruments") or {}).items()}
    nearest = {
        key: next((layer.data[key] for layer in reversed(layers) if key in layer.data), default)
        for key, default in defaults.items()
    }
    quantities = {
        name: _in_order(_bare(keys), _FREE)
        for layer in layers
        for name, keys in (layer.data.get(QUANTITIES_KEY) or {}).items()
    }
    return {
        **{key: top.data[key] for key in ("format", "id", "version")},
        **nearest,
        "in_force": [layer.data["in_force"] for layer in layers],
        "published": [layer.data.get("published") for layer in layers],
        "classes": {flat.id: _sorted(_rule(_bare(rule.data)) for rule in flat.rules) for flat in classes},
        "lists": {name: _list(keys) for name, keys in lists.items()},
        "instruments": {name: _bare(keys) for name, keys in instruments.items()},
        **({"quantities": quantities} if quantities else {}),
    }


def asked_by(rule: Rule) -> str:
    """What a rule asks of whom and when, without what explains it: the same for rules that ask alike."""
    return canonical_json(_rule(_bare(rule.data)))


def _bare(keys: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in keys.items() if key not in _EXPLAINING}


def _list(keys: Mapping[str, Any]) -> dict[str, Any]:
    items = _sorted(_in_order(item, item) for item in keys.get("items") or ())
    basis = {"basis": _list(keys["basis"])} if "basis" in keys else {}
    return {**_bare(keys), "items": items, **basis}


def _rule(keys: Mapping[str, Any]) -> dict[str, Any]:
    """The keys of a rule, or of a test in it, with what may stand in any order in one."""
    tests = {
        key: [_rule(test) for test in value] if key in (OPTIONS_KEY, TOGETHER_KEY) else value
        for key, value in keys.items()
    }
    if BY_KEY in keys:
        tests["rows"] = {key: _rule(row) for key, row in keys["rows"].items()}
    return _in_order(tests, _CHOICES)


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
