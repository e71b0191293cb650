"""Ways through a JSON Schema."""

from collections.abc import Iterator
from typing import Any

NAMED = ("properties", "$defs", "dependentSchemas")
NESTED = ("items", "additionalProperties", "propertyNames", "if", "then", "else")


def nodes(schema: Any, where: str = "#") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every subschema that is a mapping, with its place."""
    if not isinstance(schema, dict):
        return
    yield where, schema
    for keyword in NAMED:
        for name, inner in schema.get(keyword, {}).items():
            yield from nodes(inner, f"{where}/{keyword}/{name}")
    for keyword in NESTED:
        yield from nodes(schema.get(keyword), f"{where}/{keyword}")


def keywords(schema: dict[str, Any]) -> set[str]:
    """Every keyword that a schema uses."""
    return {keyword for _, node in nodes(schema) for keyword in node}


def keys(schema: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Every key that a person can write: place, name and subschema; what only forbids a key is left out."""
    for where, node in nodes(schema):
        if "dependentSchemas" in where.split("/"):
            continue
        for name, inner in node.get("properties", {}).items():
            if isinstance(inner, dict):
                yield f"{where}/properties/{name}", name, inner


def drawn(node: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    """A subschema with what it refers to drawn in."""
    reference = node.get("$ref")
    if reference is None:
        return node
    return {**drawn(schema["$defs"][reference.removeprefix("#/$defs/")], schema), **node}
