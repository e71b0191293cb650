"""Documents generated from a schema: valid ones, and ones with a fault put in."""

from collections.abc import Iterable
from typing import Any

import jsonschema
from hypothesis import strategies as st
from referencing import Registry

from tests.structure.schema_walk import drawn

Draw = st.DrawFn
Schema = dict[str, Any]

WORDS = st.sampled_from(["a", "R-12", "harbour-hall", "x_mm", "4.2", "été", "00417"])
SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**6), 10**6),
    st.floats(-1e6, 1e6),
    st.text(max_size=6),
    WORDS,
    st.sampled_from(["2026-03-14", "2026-03-14\n", "2026-02-30", "٢٠٢٦-03-14", "40/21", "a@1", "mass_g", 0, 1.0, -0.0]),
)
ANYTHING = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3), max_leaves=6
)


@st.composite
def valid_documents(draw: Draw, schema: Schema) -> Any:
    """A document that the schema takes, with every kind of key now and then."""
    return _mended(draw, _value(draw, schema, schema, 0), schema)


@st.composite
def faulty_documents(draw: Draw, schema: Schema) -> Any:
    """A valid document with up to three random changes; it may by chance still be valid."""
    document = draw(valid_documents(schema))
    for _ in range(draw(st.integers(1, 3))):
        document = _changed(draw, document)
    return document


def _value(draw: Draw, node: Schema, schema: Schema, depth: int) -> Any:
    node = drawn(node, schema)
    if "const" in node:
        return node["const"]
    if "enum" in node:
        return draw(st.sampled_from(node["enum"]))
    if "enum" in node.get("else", ()):
        return draw(st.sampled_from([*node["else"]["enum"], "extra.body", "entry.venue"]))
    types = node["type"]
    kind = types if isinstance(types, str) else draw(st.sampled_from(types))
    if kind == "object":
        return _mapping(draw, node, schema, depth)
    if kind == "array":
        size = st.integers(node.get("minItems", 0), node.get("maxItems", node.get("minItems", 0) + 2))
        return [_value(draw, node["items"], schema, depth + 1) for _ in range(draw(size))]
    return draw(_scalars(kind, node))


def _scalars(kind: str, node: Schema) -> st.SearchStrategy[Any]:
    low = node.get("minimum", node.get("exclusiveMinimum"))
    above = "exclusiveMinimum" in node
    if kind == "integer":
        return st.integers(-(10**6) if low is None else low + above, node.get("maximum", 10**6))
    if kind == "number":
        least = -1e6 if low is None else float(low)
        most = float(node.get("maximum", 1e6))
        floats = st.floats(least, most, exclude_min=above and low is not None)
        return floats | st.integers(int(least) + 1, int(most))
    if kind == "string":
        if "pattern" in node:
            return st.from_regex(node["pattern"].replace("$", r"\Z"), fullmatch=True)
        return st.text(min_size=node.get("minLength", 0), max_size=8)
    return {"boolean": st.booleans(), "null": st.none()}[kind]


def _mapping(draw: Draw, node: Schema, schema: Schema, depth: int) -> dict[str, Any]:
    properties = {key: inner for key, inner in node.get("properties", {}).items() if isinstance(inner, dict)}
    required = node.get("required", ())
    most = 6 if depth < 3 else 2
    optional = draw(st.lists(st.sampled_from(sorted(properties)), max_size=most, unique=True)) if properties else []
    made = {key: _value(draw, properties[key], schema, depth + 1) for key in dict.fromkeys([*required, *optional])}
    other = node.get("additionalProperties")
    if isinstance(other, dict):
        names = _scalars("string", node["propertyNames"]) if "propertyNames" in node else WORDS
        for name in draw(st.lists(names, max_size=2)):
            if name not in properties:
                made[name] = _value(draw, other, schema, depth + 1)
    return made


def _mended(draw: Draw, document: Any, schema: Schema) -> Any:
    """The conditions of a schema (keys that need or forbid each other) are met by car_remedy what breaks them."""
    validator = jsonschema.Draft202012Validator(schema, registry=Registry())
    for _ in range(40):
        errors = list(validator.iter_errors(document))
        if not errors:
            return document
        error = errors[0]
        owner = _at(document, error.absolute_path)
        node = _node_at(schema, error.absolute_path)
        if error.validator in ("required", "dependentRequired"):
            needed = error.validator_value
            names = (
                needed if isinstance(needed, list) else [name for key in needed if key in owner for name in needed[key]]
            )
            for name in names:
                if name not in owner:
                    owner[name] = _value(draw, node["properties"][name], schema, 3)
        else:
            assert error.validator is None, error
            for key, later in node["dependentSchemas"].items():
                if key in owner:
                    for name in later["properties"]:
                        owner.pop(name, None)
    raise AssertionError(f"could not be mended: {document}")


def _node_at(schema: Schema, path: Iterable[str | int]) -> Schema:
    node = schema
    for step in path:
        node = drawn(node, schema)
        node = (
            node.get("properties", {}).get(step) or node["items" if isinstance(step, int) else "additionalProperties"]
        )
    return drawn(node, schema)


def _at(document: Any, path: Iterable[str | int]) -> Any:
    for step in path:
        document = document[step]
    return document


def _changed(draw: Draw, document: Any) -> Any:
    """The document with one value replaced, one key removed or renamed, or one added."""
    if not isinstance(document, dict | list) or not document or draw(st.integers(0, 3)) == 0:
        if isinstance(document, dict) and draw(st.booleans()):
            return {
                **document,
                draw(WORDS | st.sampled_from(["note", "value", "readings", "above", "withdrawn"])): draw(ANYTHING),
            }
        return draw(ANYTHING)
    if isinstance(document, list):
        place = draw(st.integers(0, len(document) - 1))
        return [_changed(draw, item) if index == place else item for index, item in enumerate(document)]
    key = draw(st.sampled_from(sorted(document)))
    rest = {name: value for name, value in document.items() if name != key}
    what = draw(st.sampled_from(["deeper", "deeper", "deeper", "remove", "rename"]))
    if what == "remove":
        return rest
    return {**rest, key + "s": document[key]} if what == "rename" else {**document, key: _changed(draw, document[key])}
