"""The pages of keys: what a file or a JSON report has under a name, as its schema says it."""

import json
from collections.abc import Iterator
from functools import cache
from typing import Any, Final

from speclint.explain.page import Page, Section, page_of, prose_section
from speclint.resources import schema_text
from speclint.structure.topics import flow_text

_SCHEMAS: Final = {
    "setup-1": "a setup",
    "motor-1": "a motor",
    "garage-1": "a garage",
    "ruleset-1": "a ruleset",
    "inspection-1": "an inspection",
    "report-1": "the JSON report of check",
    "gearing-1": "the JSON report of gearing",
    "comparison-1": "the JSON report of compare",
}
"""Every schema, by what it describes."""

_MOST_MEANINGS: Final = 4


@cache
def keys() -> dict[str, dict[str, list[str]]]:
    """Every key of every schema: what it means, and in what it means that."""
    pages: dict[str, dict[str, list[str]]] = {}
    for name, home in _SCHEMAS.items():
        for key, node in _nodes(json.loads(schema_text(name))):
            homes = pages.setdefault(key, {}).setdefault(str(node.get("description", "")), [])
            if home not in homes:
                homes.append(home)
    return pages


@cache
def _examples() -> dict[str, Any]:
    examples: dict[str, Any] = {}
    for name in _SCHEMAS:
        for key, node in _nodes(json.loads(schema_text(name))):
            for example in node.get("examples", ()):
                if example is not None:
                    examples.setdefault(key, example)
    return examples


def key_page(key: str) -> Page:
    """What a key means in each kind of file and report that has it."""
    meanings = keys()[key]
    example = _examples().get(key)
    paragraphs = [f"in {' and '.join(homes)}: {meaning}" for meaning, homes in meanings.items() if meaning]
    return page_of(
        key,
        "a key",
        prose_section("meaning", *paragraphs[:_MOST_MEANINGS]),
        Section("example", lines=() if example is None else (f"{key}: {flow_text(example)}",)),
        prose_section("source", "the schemas that come with speclint"),
    )


def _nodes(schema: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every key of a schema with its node, wherever it stands."""
    if isinstance(schema, dict):
        properties = schema.get("properties")
        if isinstance(properties, dict):
            yield from ((key, node) for key, node in properties.items() if isinstance(node, dict))
        for inner in schema.values():
            yield from _nodes(inner)
    elif isinstance(schema, list):
        for inner in schema:
            yield from _nodes(inner)
