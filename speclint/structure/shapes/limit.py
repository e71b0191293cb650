"""The keys of all limits together, and what holds a rule to one of them."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from speclint.forms.conditions import condition_shape
from speclint.forms.looked_up import value_shape
from speclint.forms.quantity_key import QUANTITY_NAMES
from speclint.forms.registry import FORMS
from speclint.schema_nodes import Schema, needs_one

DEFS: Final[dict[str, Schema]] = {
    **QUANTITY_NAMES,
    "value": value_shape("A number, or where to look it up."),
    "condition": condition_shape(),
}


def limit_keys() -> dict[str, Schema]:
    """Every key that says a limit, with its shape."""
    return {key: shape for form in FORMS for key, shape in form.shapes().items()}


def one_of_each(keys: Mapping[str, Schema], *others: tuple[Sequence[str], Iterable[str]]) -> Schema:
    """What holds the keys of a mapping to one form, and `nominal` and `tolerance` to each other.

    Args:
        keys: the keys of the mapping.
        others: what else excludes the limits, in the same way: of each its keys, and what cannot stand beside them.
    """
    dependent: dict[str, Any] = {}
    leading = [key for others_keys, _ in others for key in others_keys]
    families = [*((*form.keys, *form.beside) for form in FORMS)]
    for place, family in enumerate(families):
        later = [key for others_keys in families[place + 1 :] for key in others_keys if key in keys]
        for key in family:
            dependent[key] = {"properties": dict.fromkeys([*later, *leading], False)}
    dependent["at_least"]["properties"] = {"above": False, **dependent["at_least"]["properties"]}
    dependent["at_most"]["properties"] = {"below": False, **dependent["at_most"]["properties"]}
    for place, (others_keys, excluded) in enumerate(others):
        later = [key for further, _ in others[place + 1 :] for key in further]
        for key in others_keys:
            dependent[key] = {"properties": dict.fromkeys([*excluded, *later], False)}
    together = {
        key: [*(form_key for form_key in (*form.keys, *form.beside) if form_key != key)]
        for form in FORMS
        if form.beside
        for key in (*form.keys, *form.beside)
    }
    return {"dependentRequired": together, "dependentSchemas": dependent}


def some_limit(*others: str) -> Schema:
    """What asks for at least one of the limits, or of the other keys."""
    return needs_one("a limit", [*(key for form in FORMS for key in form.keys), *others])
