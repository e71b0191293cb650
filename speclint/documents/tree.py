"""A document: plain data, and beside it the position of every key and value."""

from dataclasses import dataclass, field, replace
from typing import Any, Final

from speclint.documents.positions import Positions
from speclint.places import Path, Place, Span, dotted, pointer


@dataclass(frozen=True, slots=True)
class Document:
    """What a file holds.

    Attributes:
        file: The file as shown to people, with "/" between the parts of its path.
        text: The text without a byte order mark, line ends as in the file. All offsets count its code points.
        data: Plain data: dict, list, str, int, float, bool, None; every key is a str. Whoever changes it loses the
            agreement with the positions.
        positions: Where everything stands.
        base: Where the data stands in the file: the top, except for a part of a document.
    """

    file: str
    text: str
    data: Any
    positions: Positions = field(repr=False, compare=False)
    base: Path = ()

    def get(self, path: Path, default: Any = None) -> Any:
        """The value at a path, or the default where nothing stands."""
        data = self.data
        for step in path:
            if type(data) is dict:
                data = data.get(step, _NOTHING)
                if data is _NOTHING:
                    return default
            elif type(data) is list and isinstance(step, int) and 0 <= step < len(data):
                data = data[step]
            else:
                return default
        return data

    def has(self, path: Path) -> bool:
        """Whether something stands at a path, be it an empty value."""
        return self.get(path, _NOTHING) is not _NOTHING

    def place(self, path: Path, *, of_key: bool = False) -> Place:
        """Where a value stands, or its key if asked for.

        For a path that is missing it is the nearest ancestor that is there, at its key if it has one. The pointer is
        that of the path asked for, always.
        """
        taken, node, has_key = self.positions.find(self.base + path)
        if has_key and (of_key or taken < len(self.base) + len(path)):
            node -= 1
        line, column = self.positions.line_and_column(self.positions.starts[node])
        return Place(self.file, line, column, pointer(self.base + path))

    def part(self, path: Path) -> "Document":
        """What stands at a path, as a document of its own whose places are still those of the file."""
        return Document(self.file, self.text, self.get(path), self.positions, (*self.base, *path))

    def with_value(self, path: Path, value: Any) -> "Document":
        """The document as if another value stood at a path; its places are those of the file as it is."""
        return replace(self, data=_put(self.data, path, value))

    def span(self, path: Path) -> Span:
        """The stretch of text of a value, such that other text can be put in its stead.

        A block list or mapping ends after its last value; a literal or folded text ends before its last line break.
        An empty value has an empty span, after the colon or dash that promises it.

        Raises:
            KeyError: Nothing stands at the path.
        """
        taken, node, _ = self.positions.find(self.base + path)
        if taken < len(self.base) + len(path):
            raise KeyError(f"nothing stands at {dotted(path)}")
        return Span(self.positions.starts[node], self.positions.ends[node])

    def end_of(self, place: Place) -> tuple[int, int]:
        """Line and column behind the key or value that begins at a place, or behind the line where none does.

        What goes over several lines ends with its first one; an empty value ends where it begins.
        """
        lines = self.positions
        start = lines.offset(place.line, place.column)
        end_of_line = start + len(self.text[start:].splitlines()[0]) if self.text[start:] else start
        ends = [lines.ends[node] for node, begin in enumerate(lines.starts) if begin == start]
        return lines.line_and_column(min((*ends, end_of_line)))

    def key_span(self, path: Path) -> Span:
        """The stretch of text of a value's key, quotes included.

        Raises:
            KeyError: Nothing stands at the path, or it is not that of a mapping's value.
        """
        taken, node, has_key = self.positions.find(self.base + path)
        if taken < len(self.base) + len(path) or not has_key:
            raise KeyError(f"no key stands at {dotted(path) or 'the top'}")
        return Span(self.positions.starts[node - 1], self.positions.ends[node - 1])

    def written(self, path: Path) -> str:
        """A value as written in the file: digits, quotes and all.

        Raises:
            KeyError: Nothing stands at the path.
        """
        span = self.span(path)
        return self.text[span.start : span.end]


def _put(data: Any, path: Path, value: Any) -> Any:
    """A copy of the data with one value changed; what the change does not touch is shared."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(data, list) and isinstance(step, int):
        return [_put(item, rest, value) if i == step else item for i, item in enumerate(data)]
    kept = dict(data) if isinstance(data, dict) else {}
    kept[str(step)] = _put(kept.get(str(step)), rest, value)
    return kept


_NOTHING: Final = object()
