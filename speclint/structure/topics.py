"""What the schema says at one place of a document: the key's help, its unit, and the keys that it takes."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from speclint.places import Path
from speclint.plain import listed
from speclint.readings.digits import UNITS
from speclint.schema_nodes import unit_words
from speclint.structure.empty_keys import types_of

_UNITS_BY_LENGTH: Final = sorted((unit for unit in UNITS if unit not in ("", "in")), key=len, reverse=True)
"""Those that a key of a format can end in; `listed_in` carries no inches."""


@dataclass(frozen=True, slots=True)
class Topic:
    """One place of a document, as its schema knows it.

    `key` is the key's name, empty for the document, for an item of a list and for a name that the writer chose;
    `node` is the schema there, with what it refers to drawn in.
    """

    key: str
    node: dict[str, Any]

    @property
    def title(self) -> str:
        """What stands here, in a word or two."""
        return str(self.node.get("title", "value"))

    @property
    def example(self) -> Any:
        """How it is written, None where there is no example."""
        return next(iter(self.examples), None)

    @property
    def examples(self) -> tuple[Any, ...]:
        """All ways that its help writes it."""
        return tuple(self.node.get("examples", ()))

    @property
    def keys(self) -> dict[str, Any]:
        """The keys that it takes, with their schemas."""
        properties: dict[str, Any] = self.node.get("properties", {})
        return properties

    @property
    def types(self) -> tuple[str, ...]:
        """The JSON types of the values that it takes; a key with no value is as good as none."""
        return types_of(self.node)

    @property
    def choices(self) -> tuple[Any, ...]:
        """The words that it takes, where they are a closed set."""
        return tuple(word for word in self.node.get("enum", ()) if word is not None)

    def name(self, article: str = "") -> str:
        """It in a sentence: by its key, or by what it is."""
        if self.key:
            return f"`{self.key}`"
        return f"{article or ('an' if self.title[0] in 'aeiou' else 'a')} {self.title}"


class Topics:
    """The topics of one schema, by path."""

    def __init__(self, schema: dict[str, Any]) -> None:
        self._defs: dict[str, Any] = schema.get("$defs", {})
        self._root = schema

    def at(self, path: Path) -> Topic:
        """The topic at a path; a path that the schema does not know has an empty one."""
        node, key = self._drawn(self._root), ""
        for step in path:
            properties = node.get("properties", {})
            key = str(step) if step in properties else ""
            inner = properties.get(step) or node.get("items" if isinstance(step, int) else "additionalProperties")
            node = self._drawn(inner if isinstance(inner, dict) else {})
        return Topic(key, node)

    def everywhere(self) -> Iterator[tuple[Path, str]]:
        """Every key that has a fixed place, with the path of its section; an item of a list counts as index 0."""
        yield from self._below(self._drawn(self._root), ())

    def _below(self, node: dict[str, Any], path: Path) -> Iterator[tuple[Path, str]]:
        for key, inner in node.get("properties", {}).items():
            yield path, key
            drawn = self._drawn(inner)
            yield from self._below(drawn, (*path, key))
            items = drawn.get("items")
            if isinstance(items, dict):
                yield from self._below(self._drawn(items), (*path, key, 0))

    def _drawn(self, node: dict[str, Any]) -> dict[str, Any]:
        reference = node.get("$ref")
        if reference is None:
            return node
        return {**self._drawn(self._defs[reference.removeprefix("#/$defs/")]), **node}


def unit_of(path: Path) -> str:
    """The unit that the nearest key on a path ends in, as `readings.digits` codes it; "" where there is none."""
    key = next((step for step in reversed(path) if isinstance(step, str) and step not in _WITHIN_A_READING), "")
    return next((unit for unit in _UNITS_BY_LENGTH if key == unit or key.endswith(f"_{unit}")), "")


_WITHIN_A_READING: Final = frozenset({"value", "readings", "standard_uncertainty"})


def takes(topic: Topic, unit: str) -> str:
    """What may stand here, as the end of a sentence that begins with "it takes"."""
    if topic.choices:
        return listed(topic.choices, "or")
    words = {
        "integer": f"a whole number{_of(unit)}",
        "number": f"a number{_of(unit)}",
        "string": "text",
        "boolean": "true or false",
        "array": "a list",
        "object": "keys with values",
    }
    kinds = [kind for kind in topic.types if kind != "object" or "number" not in topic.types]
    return listed((words[kind] for kind in kinds if kind in words), "or")


def _of(unit: str) -> str:
    if not unit:
        return ""
    return f" of {unit}" if unit in ("teeth", "cells", "turns", "minutes") else f" in {unit_words(unit)}"


_NEEDS_QUOTES: Final = re.compile(r"^[0-9]+([./][0-9]+)?$|[ ,:#{}\[\]]")
"""Texts that would be read as a number, or that a sentence would run together with its own words."""


def flow_text(value: Any) -> str:
    """A value as one would write it in a file, on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {flow_text(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow_text(inner) for inner in value) + "]"
    if isinstance(value, str) and _NEEDS_QUOTES.search(value):
        return f'"{value}"'
    return str(value)
