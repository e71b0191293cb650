"""Keys with no value (`mass_g:`): where a car, a motor, a garage or an inspection is described, they are still to be measured."""

from typing import Any, Final

from speclint.schema_nodes import Schema

MAY_HAVE_EMPTY_KEYS: Final = frozenset({"setup-1", "motor-1", "garage-1", "inspection-1"})
"""A ruleset is not among them: a limit that somebody forgot to write must not count as none."""


def with_empty_keys(schema: Schema) -> Schema:
    """The schema with null allowed wherever a key may be left out, which means the same; never in a list."""
    definitions: dict[str, Schema] = schema["$defs"]
    return {
        **_node(schema, definitions, may_be_empty=False),
        "$defs": {name: _node(node, definitions, may_be_empty=True) for name, node in definitions.items()},
    }


def _node(node: Schema, definitions: dict[str, Schema], *, may_be_empty: bool) -> Schema:
    changed: Schema = dict(node)
    reference = node.get("$ref")
    if may_be_empty and "type" in node:
        changed["type"] = [*types_of(node), "null"]
        if "enum" in node:
            changed["enum"] = [*node["enum"], None]
    elif reference is not None and not may_be_empty:
        # The definition itself allows null, for the keys that may be left out.
        changed["type"] = _as_written(types_of(definitions[reference.removeprefix("#/$defs/")]))
    if "properties" in node:
        required = node.get("required", ())
        changed["properties"] = {
            key: _node(inner, definitions, may_be_empty=key not in required)
            for key, inner in node["properties"].items()
        }
    if isinstance(node.get("additionalProperties"), dict):
        changed["additionalProperties"] = _node(node["additionalProperties"], definitions, may_be_empty=True)
    if isinstance(node.get("items"), dict):
        changed["items"] = _node(node["items"], definitions, may_be_empty=False)
    return changed


def types_of(node: Schema) -> tuple[str, ...]:
    """The JSON types of the values that a node takes; null, which is no value, is none of them."""
    types: Any = node.get("type", ())
    return tuple(name for name in ((types,) if isinstance(types, str) else types) if name != "null")


def _as_written(types: tuple[str, ...]) -> str | list[str]:
    return types[0] if len(types) == 1 else list(types)
