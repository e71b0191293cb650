"""The schema files, generated: those of documents from their shapes, those of reports from the fields that write them."""

import json
from collections.abc import Callable, Iterator
from typing import Any, Final

from speclint.reports.check.fields import REPORT as CHECK_REPORT
from speclint.reports.comparison.fields import REPORT as COMPARISON_REPORT
from speclint.reports.fields import Record
from speclint.reports.gearing.fields import REPORT as GEARING_REPORT
from speclint.schema_nodes import Schema
from speclint.structure.empty_keys import MAY_HAVE_EMPTY_KEYS, with_empty_keys
from speclint.structure.shapes import days, equipment, garage, inspection, limit, motor, readings, ruleset, setup

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
HOME: Final = "https://speclint.invalid/schemas/"

_SHAPES: Final[dict[str, Callable[[], Schema]]] = {
    "setup-1": setup.setup_document,
    "motor-1": motor.motor_document,
    "ruleset-1": ruleset.ruleset_document,
    "garage-1": garage.garage_document,
    "inspection-1": inspection.inspection_document,
}

_REPORTS: Final[dict[str, Record[Any]]] = {
    "report-1": CHECK_REPORT,
    "gearing-1": GEARING_REPORT,
    "comparison-1": COMPARISON_REPORT,
}

DOCUMENTS: Final = (*_SHAPES, *_REPORTS)
"""Every schema by name: documents that people write, and reports."""

_DEFS: Final[dict[str, Schema]] = {
    **days.DEFS, **readings.DEFS, **equipment.DEFS, **motor.DEFS, **setup.DEFS, **garage.DEFS, **ruleset.DEFS,
    **inspection.DEFS, **limit.DEFS,
}  # fmt: skip


def file_name(name: str) -> str:
    """The file that a schema is shipped in."""
    return f"{name}.schema.json"


def schema(name: str) -> Schema:
    """One schema, complete in itself: `$defs` holds what its root reaches and no more."""
    report = _REPORTS.get(name)
    root = _SHAPES[name]() if report is None else report.schema()
    definitions = _DEFS if report is None else {**days.DEFS, **limit.DEFS, **report.definitions()}
    needed: dict[str, Schema] = {}
    open_names = list(_references(root))
    while open_names:
        wanted = open_names.pop()
        if wanted not in needed:
            needed[wanted] = definitions[wanted]
            open_names.extend(_references(definitions[wanted]))
    whole = {"$schema": DIALECT, "$id": HOME + file_name(name), **root, "$defs": dict(sorted(needed.items()))}
    return _with_help_at_keys(with_empty_keys(whole)) if name in MAY_HAVE_EMPTY_KEYS else whole


def schema_text(name: str) -> str:
    """The schema as its file holds it."""
    return json.dumps(schema(name), ensure_ascii=False, indent=1) + "\n"


_AT_KEYS: Final = ("title", "description", "if", "then")


def _with_help_at_keys(whole: Schema) -> Schema:
    """The schema with what several keys share of a conditional definition written at each of them.

    An editor's server takes the heading of a key from the first one that shares a title or a condition with it.
    """
    shared = {name: node for name, node in whole["$defs"].items() if "if" in node}
    taken = {
        f"#/$defs/{name}": {part: node[part] for part in _AT_KEYS if part in node} for name, node in shared.items()
    }

    def spread(value: Any) -> Any:
        if isinstance(value, list):
            return [spread(inner) for inner in value]
        if not isinstance(value, dict):
            return value
        reference = value.get("$ref")
        inner = {key: spread(part) for key, part in value.items()}
        return {**taken[reference], **inner} if isinstance(reference, str) and reference in taken else inner

    spread_whole: Schema = spread(whole)
    for name in shared:
        spread_whole["$defs"][name] = {
            key: part for key, part in spread_whole["$defs"][name].items() if key not in _AT_KEYS
        }
    return spread_whole


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
