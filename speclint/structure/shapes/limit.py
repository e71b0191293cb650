"""The limits that a rule can put on a quantity."""

from collections.abc import Mapping
from typing import Any, Final

from speclint.schema_nodes import WORD, Schema, mapping, name, node, number, only_true, several, text

LIMIT_FORMS: Final[tuple[tuple[str, ...], ...]] = (
    ("at_least", "above", "at_most", "below"),
    ("between",),
    ("nominal", "tolerance"),
    ("equals",),
    ("one_of",),
    ("none_of",),
    ("stated",),
    ("listed_in",),
    ("listed_for",),
    ("inspect",),
)
"""The keys of each form; one form may stand in a rule, and of the first one key for each side."""

LIMIT_KEYS: Final = tuple(key for form in LIMIT_FORMS for key in form)
"""Every key that says a limit."""

_LEADING: Final = tuple(key for key in LIMIT_KEYS if key not in ("above", "below", "tolerance"))

QUANTITY_PATTERN: Final = "^([a-z][a-z0-9_]*|(extra|entry)\\.[^\\x00-\\x1f]+)$"
QUANTITY_HELP: Final = (
    "a name that `speclint explain` knows, extra.KEY for a key under a setup's `extra:`, or entry.KEY"
)


def _tolerance() -> Schema:
    return {
        **mapping(
            "tolerance", "How far the value may lie from the nominal one: percent of it, or plus and minus in the unit"
            " of the quantity.",
            {
                "percent": number("percent", "To both sides, in percent of the nominal value.", 4, unit="percent",
                                  minimum=0, maximum=100),
                "plus": number("plus", "Upwards, in the unit of the quantity.", 0.5, minimum=0),
                "minus": number("minus", "Downwards, in the unit of the quantity, without a sign.", 0.3, minimum=0),
            },
            {"percent": 4}, {"plus": 0.5, "minus": 0.3},
        ),
        "dependentSchemas": {"percent": {"properties": {"plus": False, "minus": False}}},
        "if": {"properties": {"percent": False}},
        "then": {"required": ["plus", "minus"]},
    }  # fmt: skip


def _listed_for() -> Schema:
    return mapping(
        "listed for", "The value must stand in one key of the list's item for this car, such as a rotor that is"
        " approved for this motor.",
        {
            "list": name("list", "Id of the list.", "motors"),
            "item": node("item", f"The quantity that names the item: {QUANTITY_HELP}.", ["motor_part"], type="string",
                         pattern=QUANTITY_PATTERN),
            "under": text("under", "The key of the item that must hold the value.", "rotors"),
        },
        {"list": "motors", "item": "motor_part", "under": "rotors"},
        required=["list", "item", "under"],
    )  # fmt: skip


def limit_keys() -> dict[str, Schema]:
    """Every key that says a limit, with its shape."""
    return {
        "at_least": number("at least", "The value must be this or more, in the unit of the quantity.", 4.2),
        "at_most": number("at most", "The value must be this or less, in the unit of the quantity.", 200),
        "above": number("above", "The value must be more than this, in the unit of the quantity.", 0),
        "below": number("below", "The value must be less than this, in the unit of the quantity.", 40),
        "between": several("between", "Lowest and highest value, both allowed, in the unit of the quantity.",
                           {"type": "number"}, [36, 40], minItems=2, maxItems=2),
        "nominal": number("nominal", "The value that is meant, in the unit of the quantity; goes with `tolerance:`.",
                          21.4),
        "tolerance": _tolerance(),
        "equals": node("equals", "The value must be exactly this.", ["LiPo", 2, True], **WORD),
        "one_of": several("one of", "The value must be one of these.", WORD, ["standard", "torque"], minItems=1),
        "none_of": several("none of", "The value must be none of these.", WORD, ["sintered"], minItems=1),
        "stated": only_true("stated", "The value must be stated, whatever it is."),
        "listed_in": name("listed in", "The value must be an item of this list that is in force.", "motors"),
        "listed_for": _listed_for(),
        "inspect": text("inspect", "What a person has to look at; no quantity is needed.", "the seal is whole"),
    }  # fmt: skip


def one_limit(keys: Mapping[str, Schema]) -> Schema:
    """What holds the keys of a mapping to one form of limit, and `nominal` and `tolerance` to each other."""
    dependent: dict[str, Any] = {}
    for place, form in enumerate(LIMIT_FORMS[:-1]):
        later = [key for other in LIMIT_FORMS[place + 1 :] for key in other if key in keys]
        for key in form:
            dependent[key] = {"properties": dict.fromkeys(later, False)}
    dependent["at_least"]["properties"] = {"above": False, **dependent["at_least"]["properties"]}
    dependent["at_most"]["properties"] = {"below": False, **dependent["at_most"]["properties"]}
    return {
        "dependentRequired": {"nominal": ["tolerance"], "tolerance": ["nominal"]},
        "dependentSchemas": dependent,
    }


def some_limit() -> Schema:
    """What asks for at least one of the limits: a chain of conditions, so that a failure has one plain cause."""
    chain: Schema = {
        "title": "a limit",
        "description": f"one of {', '.join(_LEADING[:-1])} or {_LEADING[-1]}",
        "required": [LIMIT_KEYS[0]],
    }
    for key in reversed(LIMIT_KEYS[1:]):
        chain = {"if": {"required": [key]}, "else": chain}
    return chain
