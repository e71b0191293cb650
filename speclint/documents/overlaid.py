"""A document with another one's values laid over its own; each value keeps the place where it was written."""

from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from speclint.documents.tree import Document
from speclint.places import Path, Place

_OF_A_READING: Final = frozenset({"value", "readings"})
"""Keys of a mapping that is one value: it takes the place of another as a whole."""


class Layer(NamedTuple):
    """A value that was laid over: where it stands now, and where it was written."""

    path: Path
    written_at: Path


@dataclass(frozen=True, slots=True)
class OverlaidDocument(Document):
    """A document whose `layers` come from `upper`; all else is as in the document beneath."""

    upper: Document | None = None
    layers: tuple[Layer, ...] = ()

    def source(self, path: Path) -> tuple[Document, Path] | None:
        """The upper document and the path there of what stands at a path here; None for what is beneath it."""
        if self.upper is not None:
            for layer in self.layers:
                if path[: len(layer.path)] == layer.path:
                    return self.upper, (*layer.written_at, *path[len(layer.path) :])
        return None

    def place(self, path: Path, *, of_key: bool = False) -> Place:
        """Where a value was written, in the one document or the other."""
        source = self.source(path)
        if source is None:
            return Document.place(self, path, of_key=of_key)
        return source[0].place(source[1], of_key=of_key)


def overlaid(lower: Document, upper: Document, written_at: Path, at: Path = ()) -> OverlaidDocument:
    """A document with what stands at a path of another laid over it.

    Mappings are joined key by key, and a key without a value changes nothing. A list of records gets those of the other
    at its end; any other value, a reading with its instrument among them, takes the place of the one beneath.

    Args:
        lower: the document beneath.
        upper: the document that goes before it.
        written_at: where the values stand in that one.
        at: where they go in the one beneath.
    """
    layers: list[Layer] = []
    joined = _joined(lower.get(at), upper.get(written_at), at, written_at, layers)
    data = lower.with_value(at, joined).data
    return OverlaidDocument(lower.file, lower.text, data, lower.positions, lower.base, upper, tuple(layers))


def _joined(lower: Any, upper: Any, at: Path, written_at: Path, layers: list[Layer]) -> Any:
    if upper is None:
        return lower
    if isinstance(upper, dict) and not _OF_A_READING & upper.keys():
        kept = dict(lower) if isinstance(lower, dict) else {}
        for key, value in upper.items():
            joined = _joined(kept.get(key), value, (*at, key), (*written_at, key), layers)
            if joined is not None:
                kept[key] = joined
        return kept
    if _is_records(upper) and (lower is None or _is_records(lower)):
        kept_records = list(lower or ())
        stating = [i for i, record in enumerate(upper) if _states_something(record)]
        layers += (Layer((*at, len(kept_records) + i), (*written_at, upper_i)) for i, upper_i in enumerate(stating))
        return [*kept_records, *(upper[i] for i in stating)]
    layers.append(Layer(at, written_at))
    return upper


def _states_something(value: Any) -> bool:
    """Whether anything but a day has a value: a record that is still to be filled in is none."""
    if isinstance(value, dict):
        return any(_states_something(member) for key, member in value.items() if key != "date")
    return value is not None


def _is_records(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(member, dict) for member in value)
