"""The fields of a record, one for each key that its schema knows."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum
from functools import cache
from typing import Any, Final

from speclint.logbook.kinds import RecordKind
from speclint.places import Path
from speclint.structure.empty_keys import types_of
from speclint.structure.validate import schema_of


class Shape(Enum):
    """What a field takes."""

    TEXT = "text"
    NUMBER = "a number"
    RATIO = "a number, or two tooth counts"
    LABEL = "a number, or a word"
    READING = "a number, with its instrument behind an @"
    SEVERAL = "one number or several, with their instrument behind an @"
    WORDS = "words from a list"
    NAMED = "a name and its value, or several"
    ANSWER = "yes or no"


@dataclass(frozen=True, slots=True)
class RecordField:
    """One key of a record: its path in there, the option that fills it, and what the schema says of it."""

    path: Path
    option: str
    shape: Shape
    title: str
    about: str
    example: str

    @property
    def key(self) -> str:
        """The key itself."""
        return str(self.path[-1])


_NOT_READ: Final = frozenset({"factory_sheet", "rebuilds", "instruments", "shims_mm", "notes"})
"""Keys of a motor that no official fills in at the table."""


@cache
def fields_of(kind: RecordKind) -> tuple[RecordField, ...]:
    """Every field of a kind of record, in the order of its schema; the keys of mappings in it are fields, too."""
    schema = schema_of(kind.schema)
    fields = tuple(_fields(schema["$defs"][kind.definition], schema, ()))
    keys = [field.path[-1] for field in fields]
    return tuple(
        field if keys.count(field.path[-1]) == 1 else replace(field, option=_option("-".join(_told(field.path))))
        for field in fields
    )


def _fields(node: dict[str, Any], schema: dict[str, Any], path: Path) -> Iterator[RecordField]:
    for key, described in node["properties"].items():
        inner = dict(described)
        if "$ref" in inner:
            inner = {**schema["$defs"][inner["$ref"].removeprefix("#/$defs/")], **inner}
        if path[:1] == ("readings",) and key in _NOT_READ:
            continue
        if types_of(inner) == ("object",) and inner.get("properties"):
            yield from _fields(inner, schema, (*path, key))
        elif "$ref" in inner.get("items", {}):
            definition = inner["items"]["$ref"].removeprefix("#/$defs/")
            yield from _fields(schema["$defs"][definition], schema, (*path, key, 0))
        else:
            texts = (inner["title"], inner["description"], _example(inner))
            yield RecordField((*path, key), _option(key), _shape(inner), *texts)


def _told(path: Path) -> tuple[str, ...]:
    """The steps that tell a key from others of its name."""
    return tuple(str(step) for step in path if step not in ("readings", 0))


def _option(name: str) -> str:
    return "--" + name.replace("_", "-")


def _shape(node: dict[str, Any]) -> Shape:
    types = types_of(node)
    if types == ("array",):
        return Shape.WORDS
    if types == ("object",):
        return Shape.NAMED
    if types == ("boolean",):
        return Shape.ANSWER
    if types == ("string",):
        return Shape.TEXT
    if len(types) == 1:
        return Shape.NUMBER
    if "object" in types:
        return Shape.SEVERAL if "array" in types else Shape.READING
    return Shape.RATIO if "pattern" in node else Shape.LABEL


def _example(node: dict[str, Any]) -> str:
    example = node["examples"][0]
    if isinstance(example, dict):
        return ",".join(f"{name}={value}" for name, value in example.items())
    if isinstance(example, bool):
        return "yes" if example else "no"
    return ",".join(map(str, example)) if isinstance(example, list) else str(example)
