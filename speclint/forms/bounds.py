"""`at_least`, `above`, `at_most`, `below`: one bound a side."""

from collections.abc import Mapping
from typing import Any, Final

from speclint.forms.compared import compared
from speclint.forms.limit import Form, FormExample, Limit, Places
from speclint.forms.size import Size
from speclint.limits.decisions import Limits
from speclint.readings.exact import exact
from speclint.schema_nodes import Schema, number, use

_KEYS: Final = ("at_least", "above", "at_most", "below")


def _shapes() -> dict[str, Schema]:
    return {
        key: use(
            "value", shape["title"], shape["description"], *shape["examples"], {"of": "extra.ambient_c", "plus": 5}
        )
        for key, shape in plain_shapes().items()
    }


def plain_shapes() -> dict[str, Schema]:
    """The bounds as plain numbers."""
    return {
        "at_least": number("at least", "The value must be this or more, in the unit of the quantity.", 4.2),
        "at_most": number("at most", "The value must be this or less, in the unit of the quantity.", 200),
        "above": number("above", "The value must be more than this, in the unit of the quantity.", 0),
        "below": number("below", "The value must be less than this, in the unit of the quantity.", 40),
    }


def _read(keys: Mapping[str, Any], places: Places) -> Limit:
    if any(isinstance(keys.get(key), dict) for key in _KEYS):
        return compared({key: keys[key] for key in _KEYS if key in keys}, places)
    return read_plain(keys, places)


def read_plain(keys: Mapping[str, Any], places: Places) -> Size:
    """Bounds that are plain numbers."""
    low = keys.get("at_least", keys.get("above"))
    high = keys.get("at_most", keys.get("below"))
    bounds = Limits(
        low=None if low is None else exact(low),
        high=None if high is None else exact(high),
        low_strict="above" in keys,
        high_strict="below" in keys,
    )
    return Size(bounds, max(places(key) for key in _KEYS if key in keys))


BOUNDS: Final = Form(
    _KEYS,
    _shapes,
    _read,
    FormExample("quantity: mass_g, at_least: 1350", "car: {mass_g: 1350}", "car: {mass_g: 1349.9}"),
)
