"""How a file is laid out: its columns, line ends and indentation, and where in it a new line belongs."""

import re
from typing import Final

from speclint.documents.tree import Document
from speclint.places import Path

BREAK: Final = re.compile(r"\r\n|\r|\n")
"""A line break."""

_REST_OF_LINE: Final = re.compile(r"[^\r\n]*")
_COMMENT_LINE: Final = re.compile(r"(?:\r\n|\r|\n)( *)#[^\r\n]*")

_USUAL_INDENT: Final = 2


def column(text: str, offset: int) -> int:
    """How many code points stand before an offset on its line."""
    return offset - max(text.rfind("\n", 0, offset), text.rfind("\r", 0, offset)) - 1


def first_on_its_line(text: str, offset: int) -> bool:
    """Whether nothing but spaces stands before an offset on its line."""
    return not text[offset - column(text, offset) : offset].strip(" ")


def line_end(text: str, offset: int) -> int:
    """Where the line of an offset ends, before its line break."""
    rest = _REST_OF_LINE.match(text, offset)
    return rest.end() if rest else offset


def line_break(text: str, offset: int) -> str:
    """How lines end near an offset: as its own line does, else the one before it."""
    line_break = BREAK.search(text, offset)
    if line_break is None:
        before = BREAK.findall(text, 0, offset)
        return str(before[-1]) if before else "\n"
    return line_break[0]


def new_line_after(text: str, end: int, indent: int) -> int:
    """Where a line with this indent is to be inserted that follows a block value which ends at `end`.

    That is behind its comment, and behind whole lines of comment that are indented deeper, as these belong to it.
    """
    at = line_end(text, end)
    while (comment := _COMMENT_LINE.match(text, at)) is not None and len(comment[1]) > indent:
        at = comment.end()
    return at


def is_flow(document: Document, path: Path) -> bool:
    """Whether a list or mapping stands in brackets or braces."""
    return document.text[document.span(path).start] in "[{"


def list_indent(document: Document) -> int:
    """By how many spaces the file indents a list below its key; two where it has none that shows it."""
    stack: list[Path] = [()]
    while stack:
        path = stack.pop()
        value = document.get(path)
        if not isinstance(value, dict) or not value or is_flow(document, path):
            continue
        for name, inner in value.items():
            below = (*path, name)
            if isinstance(inner, list) and inner and not is_flow(document, below):
                text = document.text
                return column(text, document.span(below).start) - column(text, document.key_span(below).start)
            stack.append(below)
    return _USUAL_INDENT
