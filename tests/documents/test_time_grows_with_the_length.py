"""No text takes longer than its length accounts for: each of these once took the square of it, or doubled with a line.

Measured is CPU time, at sizes where the square or the double would take minutes; what is linear takes milliseconds.
"""

import time
from collections.abc import Callable
from typing import Any, Final

import pytest

from speclint.documents.declared import declared_kind, holds_nothing
from speclint.documents.events import c_events, pure_events
from speclint.documents.parse import parse, parse_events
from speclint.documents.positions import length_of_block_text
from speclint.documents.text import directives

MIB: Final = 2**20


def filled(part: str, size: int = MIB) -> str:
    """A text of one part over and over."""
    return part * (size // len(part))


def declared(text: str) -> str:
    return declared_kind(text.encode())


def read(text: str) -> Any:
    return parse("f", text)


def refused_as_c_does(text: str) -> Any:
    return parse_events("f", text, pure_events)


CASES: Final[dict[str, tuple[Callable[[str], Any], str]]] = {
    "empty lines with CRLF in a literal text, then more": (read, "a: |\r\n" + "\r\n" * 60 + "    x\r\n   y\r\n"),
    "the same for the pure parser": (refused_as_c_does, "a: |\r\n" + "\r\n" * 60 + "    x\r\n   y\r\n"),
    "empty lines at the end of no literal text": (length_of_block_text, "|\r\n" + filled("\r\n") + "x"),
    "lines of spaces in a literal text": (length_of_block_text, "|\n" + filled(" \n") + "x"),
    "tabs and exclamation marks after format": (declared, "format: " + "!\t" * 60 + "!"),
    "a chain of tags that each say format": (declared, "{" + filled(",format:!")),
    "a chain of tags with blanks between them": (declared, "{" + filled(",format: !")),
    "blank lines before anything": (declared, "# format" + filled("\n \t")),
    "lines of dashes": (holds_nothing, filled("---\n")),
    "directives before every document": (directives, filled("%a\n...\n")),
    "spaces before a comment that never comes": (directives, "...\n" + filled(" ")),
    "a number that never ends": (read, "a: " + filled("1", MIB // 2)),
    "a decimal that never ends": (read, "a: 0." + filled("1", MIB // 2)),
    "a key that stands twice, over and over": (read, filled("a: 1\n", MIB // 2)),
    "aliases over and over": (read, filled("- *a\n", MIB // 2)),
    "directives over and over": (read, filled("%a\n", MIB // 2) + "---\na: 1\n"),
}


@pytest.mark.parametrize("name", CASES)
def test_what_used_to_take_minutes_takes_two_seconds_at_most(name: str) -> None:
    work, text = CASES[name]
    start = time.process_time()
    work(text)
    assert time.process_time() - start < 2.0


@pytest.mark.parametrize("events_of", [c_events, pure_events])
def test_a_literal_text_with_windows_line_ends_is_read_as_it_was(events_of: Any) -> None:
    document, problems = parse_events("f", "a: |\r\n\r\n\r\n  x\r\n    y\r\n\r\nb: 1\r\n", events_of)
    assert problems == ()
    assert document is not None
    assert document.data == {"a": "\n\nx\n  y\n", "b": 1}
    assert document.written(("a",)) == "|\r\n\r\n\r\n  x\r\n    y"
