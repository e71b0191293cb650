"""Documents against their schemas: one validator says yes or no, another one explains a no."""

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from speclint.documents.tree import Document
from speclint.problems import MOST_PROBLEMS, Problem
from speclint.resources import schema_text
from speclint.structure.dates import Route, date_routes, has_plain_dates_only, impossible_dates

if TYPE_CHECKING:
    from jsonschema.protocols import Validator


def validate(document: Document, declared: str) -> tuple[Problem, ...]:
    """Every problem of a document's shape, in the order of the text; the format is one of `formats.FORMATS`.

    A document without problems has the shape that its format asks for, and dates that exist; that its rules name
    quantities which do not exist is left to whoever reads the rules. Of very many problems
    the first twenty by weight are told, and how many more there are.
    """
    dates = () if has_plain_dates_only(document.text) else impossible_dates(document, _routes(declared))
    if not _gate(declared)(document.data):
        return _explained(document, declared, dates)
    if len(dates) <= MOST_PROBLEMS:
        return dates
    from speclint.structure.schema_errors import told

    return told(document, (), dates)


@cache
def schema_of(declared: str) -> dict[str, Any]:
    """The schema of a format, read once; not to be changed."""
    import json  # a sound file needs nothing of it

    schema: dict[str, Any] = json.loads(_text_of(declared))
    return schema


def _text_of(declared: str) -> str:
    return schema_text(declared.replace("/", "-"))


@cache
def _routes(declared: str) -> tuple[Route, ...]:
    return date_routes(schema_of(declared))


@cache
def _gate(declared: str) -> Callable[[Any], bool]:
    try:
        from jsonschema_rs import Draft202012Validator
    except ImportError:  # an interpreter that it has no build for
        return explainer(declared).is_valid
    # It reads the text itself, in a third of the time that it takes to be handed what Python has read.
    return Draft202012Validator(_text_of(declared)).is_valid


@cache
def explainer(declared: str) -> "Validator":
    """The validator that can say what is wrong: pure Python, slow to import, and closed to the network."""
    import json
    import re

    from jsonschema import Draft202012Validator, ValidationError, validators
    from referencing import Registry

    def whole_pattern(_: Any, pattern: str, instance: Any, __: Any) -> Any:
        # Python's `$` lets a line break through at the end of a text; that of JSON Schema's ECMA 262 does not.
        if isinstance(instance, str) and not re.search(pattern.removesuffix("$") + r"\Z", instance):
            yield ValidationError(f"{instance!r} does not match {pattern!r}")

    usual: Any = Draft202012Validator.VALIDATORS

    def items_one_by_one(validator: Any, items: Any, instance: Any, schema: Any) -> Any:
        if not isinstance(instance, list) or len(instance) <= _FEW or "prefixItems" in schema:
            yield from usual["items"](validator, items, instance, schema)
            return
        is_sound = _quick_gate(declared, json.dumps(items))
        for i, item in enumerate(instance):
            if not is_sound(item):
                yield from validator.descend(item, items, path=i)

    def values_one_by_one(validator: Any, values: Any, instance: Any, schema: Any) -> Any:
        if not isinstance(values, dict) or not isinstance(instance, dict) or len(instance) <= _FEW:
            yield from usual["additionalProperties"](validator, values, instance, schema)
            return
        is_sound, named = _quick_gate(declared, json.dumps(values)), schema.get("properties", {})
        for key, value in instance.items():
            if key not in named and not is_sound(value):
                yield from validator.descend(value, values, path=key)

    keywords = {"pattern": whole_pattern, "items": items_one_by_one, "additionalProperties": values_one_by_one}
    extend: Any = validators.extend
    made: Validator = extend(Draft202012Validator, keywords)(schema_of(declared), registry=Registry())
    return made


_FEW: Final = 50
"""Members of a list or a mapping that the slow validator looks at itself, sound or not."""


@cache
def _quick_gate(declared: str, part: str) -> Callable[[Any], bool]:
    """Whether a value is as a part of a schema asks, said quickly: of very many most may be sound."""
    try:
        from jsonschema_rs import Draft202012Validator
    except ImportError:
        return lambda _: False  # the slow one looks at all of them
    import json

    return Draft202012Validator({**json.loads(part), "$defs": schema_of(declared).get("$defs", {})}).is_valid


def _explained(document: Document, declared: str, dates: tuple[Problem, ...]) -> tuple[Problem, ...]:
    from speclint.structure.wording import problems_of

    validator = explainer(declared)
    problems = problems_of(document, schema_of(declared), validator.iter_errors(document.data), dates)
    if problems or not validator.is_valid(document.data):
        return problems  # none, where all that is refused is the names of quantities, which the rules' reader tells
    # Whatever the one refuses is a problem, had the other nothing to say of it.
    return (Problem("wrong-form", f"this file is not as {declared} asks", document.place(())),)
