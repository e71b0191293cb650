"""Documents against their schemas: a quick look says yes or no, and a slow validator explains a no."""

import json
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from speclint.documents.tree import Document
from speclint.problems import MOST_PROBLEMS, Problem
from speclint.resources import schema_text
from speclint.structure.dates import Route, date_routes, has_plain_dates_only, impossible_dates
from speclint.structure.gate import Gate, Test, in_python

if TYPE_CHECKING:
    from jsonschema.protocols import Validator


def validate(document: Document, declared: str) -> tuple[Problem, ...]:
    """Every problem of a document's shape, in the order of the text; the format is one of `formats.FORMATS`.

    A document without problems has the shape that its format asks for, and dates that exist; that its rules name
    quantities which do not exist is left to whoever reads the rules. Of very many problems
    the first twenty by weight are told, and how many more there are.
    """
    dates = () if has_plain_dates_only(document.text) else impossible_dates(document, _routes(declared))
    if not _look(declared).is_valid(document.data):
        return _explained(document, declared, dates)
    if len(dates) <= MOST_PROBLEMS:
        return dates
    from speclint.structure.schema_errors import told

    return told(document, (), dates)


@cache
def schema_of(declared: str) -> dict[str, Any]:
    """The schema of a format, read once; not to be changed."""
    schema: dict[str, Any] = json.loads(schema_text(declared.replace("/", "-")))
    return schema


@cache
def _routes(declared: str) -> tuple[Route, ...]:
    return date_routes(schema_of(declared))


class _Look:
    """A quick look at documents of one format, with what is quickest for so many of them."""

    def __init__(self, declared: str) -> None:
        self.gate = Gate(schema_of(declared))
        self._declared = declared
        self._is_valid: Test = self.gate.is_valid
        self._until_compiled = _FEW_DOCUMENTS

    def is_valid(self, data: Any) -> bool:
        """Whether the data of a document is as its schema asks."""
        if self._until_compiled:
            self._until_compiled -= 1
            if not self._until_compiled:
                self._is_valid = self._compiled()
        return self._is_valid(data)

    def _compiled(self) -> Test:
        try:
            from jsonschema_rs import Draft202012Validator
        except ImportError:  # an interpreter that it has no build for
            return self._is_valid
        return Draft202012Validator(schema_of(self._declared)).is_valid


_look = cache(_Look)

_FEW_DOCUMENTS: Final = 200
"""So many are looked at before the compiled validator is loaded, which takes as long to begin as 300 looks, and a quarter of one for each."""


@cache
def explainer(declared: str) -> "Validator":
    """The validator that can say what is wrong: pure Python, slow to import, and closed to the network."""
    import re

    from jsonschema import Draft202012Validator, ValidationError, validators
    from referencing import Registry

    def whole_pattern(_: Any, pattern: str, instance: Any, __: Any) -> Any:
        if isinstance(instance, str) and not re.search(in_python(pattern), instance):
            yield ValidationError(f"{instance!r} does not match {pattern!r}")

    usual: Any = Draft202012Validator.VALIDATORS
    gate = _look(declared).gate

    def items_one_by_one(validator: Any, items: Any, instance: Any, schema: Any) -> Any:
        if not isinstance(instance, list) or len(instance) <= _FEW or "prefixItems" in schema:
            yield from usual["items"](validator, items, instance, schema)
            return
        tests = gate.tests(items)
        for i, item in enumerate(instance):
            if not tests[type(item)](item):
                yield from validator.descend(item, items, path=i)

    def values_one_by_one(validator: Any, values: Any, instance: Any, schema: Any) -> Any:
        if not isinstance(values, dict) or not isinstance(instance, dict) or len(instance) <= _FEW:
            yield from usual["additionalProperties"](validator, values, instance, schema)
            return
        tests, named = gate.tests(values), schema.get("properties", {})
        for key, value in instance.items():
            if key not in named and not tests[type(value)](value):
                yield from validator.descend(value, values, path=key)

    keywords = {"pattern": whole_pattern, "items": items_one_by_one, "additionalProperties": values_one_by_one}
    extend: Any = validators.extend
    made: Validator = extend(Draft202012Validator, keywords)(schema_of(declared), registry=Registry())
    return made


_FEW: Final = 50
"""Members of a list or a mapping that the slow validator looks at itself, sound or not."""


def _explained(document: Document, declared: str, dates: tuple[Problem, ...]) -> tuple[Problem, ...]:
    from speclint.structure.wording import problems_of

    validator = explainer(declared)
    problems = problems_of(document, schema_of(declared), validator.iter_errors(document.data), dates)
    if problems or not validator.is_valid(document.data):
        return problems  # none, where all that is refused is the names of quantities, which the rules' reader tells
    # Whatever the one refuses is a problem, had the other nothing to say of it.
    return (Problem("wrong-form", f"this file is not as {declared} asks", document.place(())),)
