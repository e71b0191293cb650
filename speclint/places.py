"""Where something stands in a file: paths into a document, and places a person can go to."""

from functools import lru_cache
from typing import NamedTuple

Path = tuple[str | int, ...]
"""Keys and list indices from the top of a document to a value."""


class Place(NamedTuple):
    """A position in a file: line and column count from 1, columns in code points; pointer is RFC 6901."""

    file: str
    line: int = 1
    column: int = 1
    pointer: str = ""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


class Span(NamedTuple):
    """A stretch of a document's text, as offsets in code points, end exclusive."""

    start: int
    end: int


@lru_cache(maxsize=4096)
def pointer(path: Path) -> str:
    """The path as a JSON pointer (RFC 6901): `("car", "mass_g")` is `/car/mass_g`, the top is empty."""
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)


@lru_cache(maxsize=4096)
def dotted(path: Path) -> str:
    """The path as people write it in a sentence: `car.mass_g`, `entries[0].class`."""
    text = ""
    for step in path:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else str(step)
    return text
