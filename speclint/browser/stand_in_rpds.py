"""Stands in for the compiled `rpds` in a browser's Python, which no registry has a build for: what its users here need.

The values are the same. A change copies all, where the compiled part copies next to nothing: the registries of
schemas, for which it is asked here, have a handful of keys.
"""

from collections.abc import Hashable, Iterable, Mapping
from typing import Any


class HashTrieMap(dict[Hashable, Any]):
    """A mapping of which every change is a new one."""

    @classmethod
    def convert(cls, value: Mapping[Hashable, Any]) -> "HashTrieMap":
        """The mapping itself where it is one already."""
        return value if isinstance(value, cls) else cls(value)

    def insert(self, key: Hashable, value: Any) -> "HashTrieMap":
        """With a key more."""
        return HashTrieMap({**self, key: value})

    def remove(self, key: Hashable) -> "HashTrieMap":
        """Without a key; KeyError where it is not there."""
        changed = HashTrieMap(self)
        del changed[key]
        return changed

    def update(self, mapping: Mapping[Hashable, Any]) -> "HashTrieMap":  # type: ignore[override]
        """With all keys of another."""
        return HashTrieMap({**self, **mapping})


class HashTrieSet(frozenset[Hashable]):
    """A set of which every change is a new one."""

    def insert(self, value: Hashable) -> "HashTrieSet":
        """With a value more."""
        return HashTrieSet(self | {value})

    def discard(self, value: Hashable) -> "HashTrieSet":
        """Without a value, whether or not it is there."""
        return HashTrieSet(self - {value})

    def update(self, values: Iterable[Hashable]) -> "HashTrieSet":
        """With all values of another."""
        return HashTrieSet(self | set(values))


class List(tuple[Any, ...]):
    """A list of which every change is a new one."""

    def push_front(self, value: Any) -> "List":
        """With a value before all others."""
        return List((value, *self))
