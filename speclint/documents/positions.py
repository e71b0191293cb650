"""Where every key and value of a document stands, in numbers alone.

A large document has a hundred thousand nodes. Kept as objects, each would be looked at again in every round of the
garbage collector, which then takes longer than the parsing; numbers in lists cost it nothing.
"""

import re
from bisect import bisect_right
from typing import Final, TypeAlias

from speclint.places import Path

Below: TypeAlias = list[int] | dict[str, int]
"""The nodes of a list in order, or those of a mapping by key."""

_LINE_BREAK: Final = re.compile(r"\r\n|\r|\n")
_FEW_SIGNS: Final = 64 * 1024
"""How much of a text is counted through for its places before a list of its lines is worth the making."""


class Positions:
    """The nodes of a text, numbered as they begin: the top is 0, and a key's number is one less than its value's.

    Attributes:
        text: The text.
        starts: For each node, the offset where it begins.
        ends: For each node, the offset where it ends.
        below: What lies below each node that is a list or a mapping.
    """

    __slots__ = ("_counted", "_line_starts", "below", "ends", "starts", "text")

    def __init__(self, text: str) -> None:
        self.text = text
        self.starts: list[int] = []
        self.ends: list[int] = []
        self.below: dict[int, Below] = {}
        self._line_starts: list[int] = []
        self._counted = 0

    def line_and_column(self, offset: int) -> tuple[int, int]:
        """Line and column of an offset, counted from 1, in code points."""
        text = self.text
        if not self._line_starts and self._counted <= _FEW_SIGNS and "\r" not in text:
            # A few places, as in most files: counting is faster than a list of all lines.
            self._counted += offset
            return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)
        if not self._line_starts:
            self._line_starts = [0, *(line_break.end() for line_break in _LINE_BREAK.finditer(self.text))]
        line = bisect_right(self._line_starts, offset)
        return line, offset - self._line_starts[line - 1] + 1

    def offset(self, line: int, column: int) -> int:
        """The offset of a line and a column."""
        starts = [0, *(line_break.end() for line_break in _LINE_BREAK.finditer(self.text))]
        return min(starts[min(line, len(starts)) - 1] + column - 1, len(self.text))

    def find(self, path: Path) -> tuple[int, int, bool]:
        """How many steps of a path are there, the node of the last of them, and whether it has a key."""
        node, has_key = 0, False
        for taken, step in enumerate(path):
            below = self.below.get(node)
            if isinstance(below, dict) and step in below:
                node, has_key = below[step], True  # its keys are texts: no number is one of them
            elif isinstance(below, list) and isinstance(step, int) and 0 <= step < len(below):
                node, has_key = below[step], False
            else:
                return taken, node, has_key
        return len(path), node, has_key


def length_of_block_text(text: str) -> int:
    """How much of a literal or folded text, from its `|` or `>` on, other text may take the place of.

    It ends before its last line break, which the next line needs. The empty lines at its end are part of it only if
    it keeps them (`|+`).
    """
    first_line = _LINE_BREAK.split(text, maxsplit=1)[0]
    header = first_line.split("#", 1)[0]
    content = text.rstrip(" \r\n")
    at_end = text[len(content) :].lstrip(" ")
    if not at_end:
        return len(text)
    empty_lines = _LINE_BREAK.split(at_end)
    if "+" not in header and not any(sign.isdigit() for sign in header):
        indent = _indent_of_content(text[len(first_line) :])
        if all(len(line) <= indent for line in empty_lines):
            return len(text) - len(at_end)
    return len(text) if empty_lines[-1] else len(text) - (2 if text.endswith("\r\n") else 1)


def _indent_of_content(lines: str) -> int:
    """By how many spaces the first line that is not empty is indented; 0 where all are."""
    content = lines.lstrip(" \r\n")
    before = lines[: len(lines) - len(content)]
    return len(before) - len(before.rstrip(" ")) if content else 0
