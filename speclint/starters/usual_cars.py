"""What cars of a kind usually have, so that a template for a class speaks of its own cars (common practice)."""

from collections.abc import Mapping
from typing import Final

from speclint.forms.one_of import OneOf
from speclint.places import Path
from speclint.rulesets.model import FlatClass

_MASS: Final = ("car", "mass_g")
_TYRE: Final = ("car", "tyre_diameter_mm")
_INTERNAL: Final = ("car", "internal_ratio")

_KINDS: Final[Mapping[str, Mapping[Path, str]]] = {
    "pan": {
        _MASS: "On a pan car 700 to 1000.",
        _TYRE: "On a pan car 38 to 50.",
        _INTERNAL: "On a pan car 1: direct drive.",
    },
    "touring": {
        _MASS: "On a touring car 1250 to 1550.",
        _TYRE: "On a touring car 58 to 66.",
        _INTERNAL: "On a touring car 1.6 to 2.5.",
    },
    "buggy": {
        _MASS: "On a buggy 1400 to 1800.",
        _TYRE: "On a buggy, driven wheels, 80 to 92.",
        _INTERNAL: "On a buggy 2.3 to 2.8.",
    },
}


def usual_of(flat: FlatClass) -> Mapping[Path, str]:
    """What is usual for the kind of car of a class, by the path of the key; nothing where the kind is not known."""
    words = f"{flat.id} {flat.title} {' '.join(_car_types(flat))}".lower()
    return next((usual for kind, usual in _KINDS.items() if kind in words), {})


def _car_types(flat: FlatClass) -> list[str]:
    return [
        str(value)
        for rule in flat.rules
        for limit in rule.limits_on("car_type")
        if isinstance(limit, OneOf)
        for value in limit.values
    ]
