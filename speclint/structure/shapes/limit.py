"""The keys of all limits together, and what holds a rule to one of them."""

from collections.abc import Mapping
from typing import Any

from speclint.forms.bodies import LOOK_KEY, look_shape
from speclint.forms.registry import FORMS
from speclint.schema_nodes import Schema, needs_one


def limit_keys() -> dict[str, Schema]:
    """Every key that says a limit, with its shape."""
    return {key: shape for form in FORMS for key, shape in form.shapes().items()} | {LOOK_KEY: look_shape()}


def one_limit(keys: Mapping[str, Schema]) -> Schema:
    """What holds the keys of a mapping to one form of limit, and `nominal` and `tolerance` to each other."""
    dependent: dict[str, Any] = {}
    families = [*((*form.keys, *form.beside) for form in FORMS), (LOOK_KEY,)]
    for place, family in enumerate(families[:-1]):
        later = [key for others in families[place + 1 :] for key in others if key in keys]
        for key in family:
            dependent[key] = {"properties": dict.fromkeys(later, False)}
    dependent["at_least"]["properties"] = {"above": False, **dependent["at_least"]["properties"]}
    dependent["at_most"]["properties"] = {"below": False, **dependent["at_most"]["properties"]}
    together = {
        key: [*(form_key for form_key in (*form.keys, *form.beside) if form_key != key)]
        for form in FORMS
        if form.beside
        for key in (*form.keys, *form.beside)
    }
    return {"dependentRequired": together, "dependentSchemas": dependent}


def some_limit() -> Schema:
    """What asks for at least one of the limits."""
    leading = [*(key for form in FORMS for key in form.keys), LOOK_KEY]
    return needs_one("a limit", leading)
