"""A field of a report, written once: its key, its schema with its help, and how its value is got."""

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum
from operator import attrgetter
from typing import Any, Final, Generic, NamedTuple, TypeVar

from speclint.schema_nodes import ID, Schema, node
from speclint.structure.shapes.days import DEFS
from speclint.structure.topics import unit_of

T = TypeVar("T")
S = TypeVar("S")

_KINDS: Final[dict[str, Schema]] = {
    "text": {"type": "string", "minLength": 1},
    "string": {"type": "string"},
    "id": {"type": "string", "pattern": ID},
    "number": {"type": "number"},
    "integer": {"type": "integer"},
    "boolean": {"type": "boolean"},
    "scalar": {"type": ["number", "string", "boolean", "array"]},
    "object": {"type": "object"},
    "strings": {"type": "array", "items": {"type": "string"}},
    "texts": {"type": "array", "items": {"type": "string", "minLength": 1}},
    "integers": {"type": "array", "items": {"type": "integer"}},
    "numbers": {"type": "array", "items": {"type": "number"}},
    "scalars": {"type": "array", "items": {"type": ["number", "string", "boolean"]}},
    "day": {"$ref": "#/$defs/day"},
}
"""What a field can hold, as JSON Schema."""

_AS_JSON: Final[dict[str, Callable[[Any], Any]]] = {
    "day": date.isoformat,
    **dict.fromkeys(("strings", "texts", "integers", "numbers", "scalars"), list),
}
"""How a value of a kind becomes what JSON can hold, where it is not that already."""

_SHAPE: Final = ("type", "pattern", "format")
"""What of the definition of a day says how it is written."""

_NULL: Final = " Null where there is none."


class Field(NamedTuple, Generic[T]):
    """One key of a mapping in a report; `value` gets it, as JSON can hold it, from what the mapping describes."""

    key: str
    schema: Schema
    value: Callable[[T], Any]
    record: "Record[Any] | None" = None


class Repeats(Generic[T]):
    """Mappings that are alike for many things: what repeats is worked out once, and the last few hundred are kept.

    Args:
        kind: what all of a mapping follows from but `apart`: an object by its identity, and values. None of a thing that is
            like no other.
        apart: the keys of the other fields.
    """

    def __init__(self, kind: Callable[[T], tuple[object, Hashable] | None], *apart: str) -> None:
        self._kind = kind
        self._apart = apart
        self._kept: dict[tuple[int, Hashable], tuple[object, dict[str, Any], list[Field[T]]]] = {}

    def json(self, thing: T, fields: tuple[Field[T], ...]) -> dict[str, Any]:
        """The mapping for one thing; what is in it stands in others as well."""
        kind = self._kind(thing)
        if kind is None:
            return {field.key: field.value(thing) for field in fields}
        key = (id(kind[0]), kind[1])
        kept = self._kept.get(key)
        if kept is not None:
            return kept[1] | {field.key: field.value(thing) for field in kept[2]}
        if len(self._kept) >= _MOST_KEPT:
            self._kept.clear()
        mapping = {field.key: field.value(thing) for field in fields}
        # With the object, so that no other one gets its identity.
        self._kept[key] = (kind[0], mapping, [field for field in fields if field.key in self._apart])
        return mapping


_MOST_KEPT: Final = 1024


@dataclass(frozen=True, slots=True)
class Record(Generic[T]):
    """A mapping in a report that has all of its fields; `name` is that of its definition in the schema."""

    name: str
    about: str
    fields: tuple[Field[T], ...]
    repeats: Repeats[T] | None = None

    def json(self, thing: T) -> dict[str, Any]:
        """The mapping for one thing."""
        if self.repeats is not None:
            return self.repeats.json(thing, self.fields)
        return {field.key: field.value(thing) for field in self.fields}

    @property
    def example(self) -> dict[str, Any]:
        """A mapping of the fields' own examples."""
        return {field.key: field.schema["examples"][0] for field in self.fields}

    def schema(self, *, null: bool = False) -> Schema:
        """The JSON Schema of the mapping; the records in it are `$ref`s to their definitions."""
        return node(
            self.name.replace("_", " "),
            self.about,
            (self.example, None) if null else (self.example,),
            type=["object", "null"] if null else "object",
            properties={field.key: field.schema for field in self.fields},
            additionalProperties=False,
            required=[field.key for field in self.fields],
        )

    def definitions(self) -> dict[str, Schema]:
        """Every definition that its schema refers to, by name."""
        definitions: dict[str, Schema] = {}
        for field in self.fields:
            if field.record is not None:
                definitions |= field.record.definitions()
                definitions[field.record.name] = field.record.schema()
                definitions[_or_null(field.record)] = field.record.schema(null=True)
        return definitions


def record(name: str, about: str, *fields: Field[T], repeats: Repeats[T] | None = None) -> Record[T]:
    """A mapping with these fields."""
    return Record(name, about, fields, repeats)


def field(
    key: str,
    kind: str | Iterable[Enum],
    about: str,
    example: Any,
    value: Callable[[T], Any],
    *,
    null: bool = False,
    **keywords: Any,
) -> Field[T]:
    """A field of a plain value.

    Args:
        key: its key; a key that carries a unit ends in it.
        kind: what it holds: a key of `_KINDS`, or members of an Enum, of which it holds one by its value.
        about: what it is, a sentence.
        example: a value.
        value: gets it; None, and of a text that may be null the empty one, is there being none.
        null: whether it may be null, for there being none.
        keywords: more of JSON Schema.
    """
    if isinstance(kind, str):
        shape, as_json = {**_KINDS[kind], **keywords}, _AS_JSON.get(kind)
    else:
        shape, as_json = {**_KINDS["text"], "enum": [member.value for member in kind], **keywords}, attrgetter("value")

    def converted(thing: T) -> Any:
        plain = value(thing)
        return None if plain is None or (null and plain == "") else plain if as_json is None else as_json(plain)

    in_json = value if as_json is None and not null else converted
    if null:
        shape = {key: value for key, value in DEFS["day"].items() if key in _SHAPE} if "$ref" in shape else shape
        types = shape["type"] if isinstance(shape["type"], list) else [shape["type"]]
        shape["type"] = [*types, "null"]
        shape.update({"enum": [*shape["enum"], None]} if "enum" in shape else {})
    examples = (example, None) if null and example is not None else (example,)
    return Field(key, _helped(key, f"{about}{_NULL if null else ''}", examples, shape), in_json)


def part(key: str, record: Record[S], about: str, value: Callable[[T], S | None], *, null: bool = False) -> Field[T]:
    """A field that holds one record, or null where there may be none."""
    shape: Schema = {"$ref": f"#/$defs/{_or_null(record) if null else record.name}"}

    def mapping(thing: T) -> Any:
        inner = value(thing)
        return None if inner is None else record.json(inner)

    examples = (record.example, None) if null else (record.example,)
    about = f"{about}{_NULL if null else ''}"
    return Field(key, _helped(key, about, examples, shape), mapping, record)


def rows(key: str, record: Record[S], about: str, value: Callable[[T], Iterable[S]]) -> Field[T]:
    """A field that holds a list of records."""
    shape: Schema = {"type": "array", "items": {"$ref": f"#/$defs/{record.name}"}}

    def mappings(thing: T) -> list[Any]:
        return [record.json(inner) for inner in value(thing)]

    return Field(key, _helped(key, about, ([],), shape), mappings, record)


def groups(key: str, record: Record[S], about: str, value: Callable[[T], Iterable[Iterable[S]]]) -> Field[T]:
    """A field that holds a list of lists of records."""
    shape: Schema = {"type": "array", "items": {"type": "array", "items": {"$ref": f"#/$defs/{record.name}"}}}

    def mappings(thing: T) -> list[Any]:
        return [[record.json(inner) for inner in group] for group in value(thing)]

    return Field(key, _helped(key, about, ([],), shape), mappings, record)


def constant(key: str, value: str, about: str) -> Field[Any]:
    """A field that always says the same."""
    return field(key, "string", about, value, lambda _: value, const=value)


def _helped(key: str, about: str, examples: tuple[Any, ...], shape: Schema) -> Schema:
    return node(key.replace("_", " "), about, examples, unit_of((key,)), **shape)


def _or_null(record: Record[Any]) -> str:
    return f"{record.name}_or_null"
