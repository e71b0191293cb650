"""Mappings of the JSON report made into the frozen values that stand for them."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from functools import cache
from types import MappingProxyType
from typing import Any, TypeVar, get_args, get_type_hints

T = TypeVar("T")

_NAMES = {"class": "class_id"}
"""Keys that cannot be the name of an attribute, with the attribute that stands for them."""


def frozen(value_type: type[T], keys: Mapping[str, Any]) -> T:
    """The value of a dataclass that a mapping of a report describes; its attributes are the mapping's keys."""
    members = {_NAMES.get(key, key): value for key, value in keys.items()}
    holder: Any = value_type
    parts = _parts(holder)
    return value_type(**{name: _part(parts.get(name), value) for name, value in members.items()})


@cache
def _parts(value_type: Any) -> dict[str, Any]:
    """The attributes that hold dates or other dataclasses, one or several of them, with their type."""
    parts: dict[str, Any] = {}
    hints = get_type_hints(value_type)
    for field in fields(value_type):
        for hint in _within(hints[field.name]):
            if hint is date or is_dataclass(hint):
                parts[field.name] = hint
    return parts


def _within(hint: Any) -> Iterator[Any]:
    yield hint
    for inner in get_args(hint):
        yield from _within(inner)


def _part(part_type: Any, value: Any) -> Any:
    if isinstance(value, list):
        return tuple(_part(part_type, member) for member in value)
    if part_type is None or value is None:
        return MappingProxyType(value) if isinstance(value, dict) else value
    return date.fromisoformat(value) if part_type is date else frozen(part_type, value)
