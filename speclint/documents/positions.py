"""Where every key and value of a document stands, in numbers alone.

A large document has a hundred thousand nodes. Kept as objects, each would be looked at again in every round of the
garbage collector, which then takes longer than the parsing; numbers in lists cost it nothing.
"""

import re
from bisect import bisect_right
from typing import Final, TypeAlias

from speclint.places import Path

__all__ = ["Below", "Positions", "length_of_block_text"]

Below: TypeAlias = list[int] | dict[str, int]
"""The nodes of a list in order, or those of a mapping by key."""

_LINE_BREAK: Final = re.compile(r"\r\n|\r|\n")
# Not compiled beforehand: few files hold a literal or folded text.
_EMPTY_LINES_AT_END: Final = r"(?:(?:\r\n|\r|\n)[ ]*)+\Z"
_LINE_BREAK_AT_END: Final = r"(?:\r\n|\r|\n)\Z"
_INDENTED_LINE: Final = r"(?m:^)([ ]*)[^ \r\n]"


class Positions:
    """The nodes of a text, numbered as they begin: the top is 0, and a key's number is one less than its value's.

    Attributes:
        text: The text.
        starts: For each node, the offset where it begins.
        ends: For each node, the offset where it ends.
        below: What lies below each node that is a list or a mapping.
    """

    __slots__ = ("_line_starts", "below", "ends", "starts", "text")

    def __init__(self, text: str) -> None:
        self.text = text
        self.starts: list[int] = []
        self.ends: list[int] = []
        self.below: dict[int, Below] = {}
        self._line_starts: list[int] = []

    def line_and_column(self, offset: int) -> tuple[int, int]:
        """Line and column of an offset, counted from 1, in code points."""
        text = self.text
        if not self._line_starts and "\r" not in text:
            # One place, as in most files: counting is faster than a list of all lines.
            return text.count("\n", 0, offset) + 1, offset - text.rfind("\n", 0, offset)
        if not self._line_starts:
            self._line_starts = [0, *(line_break.end() for line_break in _LINE_BREAK.finditer(self.text))]
        line = bisect_right(self._line_starts, offset)
        return line, offset - self._line_starts[line - 1] + 1

    def find(self, path: Path) -> tuple[int, int, bool]:
        """How many steps of a path are there, the node of the last of them, and whether it has a key."""
        node, has_key = 0, False
        for taken, step in enumerate(path):
            below = self.below.get(node)
            if isinstance(below, dict) and isinstance(step, str) and step in below:
                node, has_key = below[step], True
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
    header = _LINE_BREAK.split(text, maxsplit=1)[0].split("#", 1)[0]
    empty_lines = None
    if "+" not in header and not any(sign.isdigit() for sign in header):
        empty_lines = re.search(_EMPTY_LINES_AT_END, text)
    if empty_lines is not None:
        first = re.compile(_INDENTED_LINE).search(text, len(header) + 1)
        indent = len(first[1]) if first else 0
        if all(len(line) <= indent for line in empty_lines[0].splitlines()):
            return empty_lines.start()
    line_break = re.search(_LINE_BREAK_AT_END, text)
    return line_break.start() if line_break else len(text)
