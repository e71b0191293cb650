"""The difference between two texts of a file, in the unified format of diffs (POSIX diff -u)."""

from typing import Final

from speclint.edits.layout import BREAK

_NO_BREAK: Final = "\\ No newline at end of file"


def unified(file: str, before: str, after: str) -> tuple[str, ...]:
    """The lines of the difference, without line ends; none where the texts are alike.

    They hold what the file holds: whoever prints them to a terminal takes care of its control characters.
    """
    from difflib import unified_diff

    lines: list[str] = []
    for line in unified_diff(_lines(before), _lines(after), f"a/{file}", f"b/{file}", lineterm="", n=3):
        lines += [line[:-1], _NO_BREAK] if line.endswith("\0") else [line]
    return tuple(lines)


def _lines(text: str) -> list[str]:
    lines = BREAK.split(text)
    # A last line without a line break differs from the same line with one; no text that is read holds a NUL.
    return lines[:-1] if not lines[-1] else [*lines[:-1], lines[-1] + "\0"]
