"""Generates the schema files from the shapes."""

import json
from collections.abc import Callable, Iterator
from typing import Any, Final

from speclint.schema_nodes import Schema
from speclint.structure.empty_keys import MAY_HAVE_EMPTY_KEYS, with_empty_keys
from speclint.structure.shapes import (
    comparison,
    days,
    equipment,
    garage,
    gearing,
    motor,
    readings,
    report,
    ruleset,
    setup,
)

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
HOME: Final = "https://speclint.invalid/schemas/"

DOCUMENTS: Final[dict[str, Callable[[], Schema]]] = {
    "setup-1": setup.setup_document,
    "motor-1": motor.motor_document,
    "ruleset-1": ruleset.ruleset_document,
    "garage-1": garage.garage_document,
    "report-1": report.report_document,
    "gearing-1": gearing.gearing_document,
    "comparison-1": comparison.comparison_document,
}
"""Every schema by name, with the builder of its root."""

_DEFS: Final[dict[str, Schema]] = {
    **days.DEFS, **readings.DEFS, **equipment.DEFS, **motor.DEFS, **setup.DEFS, **garage.DEFS, **ruleset.DEFS,
    **report.DEFS, **gearing.DEFS, **comparison.DEFS,
}  # fmt: skip


def file_name(name: str) -> str:
    """The file that a schema is shipped in."""
    return f"{name}.schema.json"


def schema(name: str) -> Schema:
    """One schema, complete in itself: `$defs` holds what its root reaches and no more."""
    root = DOCUMENTS[name]()
    needed: dict[str, Schema] = {}
    open_names = list(_references(root))
    while open_names:
        wanted = open_names.pop()
        if wanted not in needed:
            needed[wanted] = _DEFS[wanted]
            open_names.extend(_references(_DEFS[wanted]))
    whole = {"$schema": DIALECT, "$id": HOME + file_name(name), **root, "$defs": dict(sorted(needed.items()))}
    return with_empty_keys(whole) if name in MAY_HAVE_EMPTY_KEYS else whole


def schema_text(name: str) -> str:
    """The schema as its file holds it."""
    return json.dumps(schema(name), ensure_ascii=False, indent=1) + "\n"


def _references(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        reference = value.get("$ref")
        if isinstance(reference, str):
            yield reference.removeprefix("#/$defs/")
        for inner in value.values():
            yield from _references(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _references(inner)
