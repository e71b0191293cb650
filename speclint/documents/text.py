"""What a text must be before it is parsed: not too large, characters that are text, and no directives."""

import re
from typing import Final

from speclint.documents.positions import Positions
from speclint.places import Place
from speclint.plain import counted
from speclint.problems import Problem

LARGEST_BYTES: Final = 2**20
"""The size of a file, in bytes of UTF-8, past which it is not read."""

_TEXT: Final = "[\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]*"
"""The printable characters of YAML 1.2.2, section 5.1, less the byte order mark and the three (U+0085, U+2028, U+2029)
that end a line to YAML 1.1 parsers and to nobody else."""

_ASCII_TEXT: Final = b"\t\n\r" + bytes(range(0x20, 0x7F))
"""Those of them that are ASCII, as all signs of most files are."""

_ONE_SIDE: Final = "<" * 7
_OTHER_SIDE: Final = ">" * 7
"""How git marks where the one and the other version of lines in conflict begin and end (git-merge's default style)."""

_ODD_SPACE: Final = r"^[ \t]*(?:-[ \t])?(?:[\w.-]+:)?\xa0"
"""Before a key, or straight behind its colon; elsewhere it is part of a text."""

_BREAK: Final = r"(?:\r\n|\r|\n)"
_BEFORE_A_DOCUMENT: Final = (
    rf"(?:\A|^\.\.\.(?:[ \t][^\r\n]*)?{_BREAK})(?:[ \t]*(?:#[^\r\n]*)?{_BREAK}|%[^\r\n]*(?:{_BREAK}|\Z))+"
)
_DIRECTIVE: Final = r"(?:^|(?<=\r))%"


def unreadable(file: str, text: str) -> Problem | None:
    """Why a text is not to be parsed at all, if so."""
    size = len(text)
    if size > LARGEST_BYTES // 4 and (
        size > LARGEST_BYTES or len(text.encode("utf-8", "surrogatepass")) > LARGEST_BYTES
    ):
        return Problem("too-large", "This file is larger than 1 MiB, and is not read.", Place(file))
    # The pattern is slow to compile, and hardly a file holds what Python would not print as it is: all that it would, may stand.
    if text.isascii():
        if not text.encode().translate(None, _ASCII_TEXT):
            return None
    elif text.replace("\n", "").replace("\r", "").replace("\t", "").isprintable():
        return None
    readable = re.match(_TEXT, text)
    if readable is None or readable.end() == size:
        return None
    name = f"U+{ord(text[readable.end()]):04X}"
    message = f"The character {name} cannot stand in a text file: remove it, or write it as an escape in double quotes."
    return Problem("not-text", message, Place(file, *Positions(text).line_and_column(readable.end())))


def conflict(file: str, text: str) -> Problem | None:
    """What git has left of a merge that it could not finish, if so: its marks are no part of any text in YAML."""
    if _ONE_SIDE not in text or _OTHER_SIDE not in text:
        return None
    begins = [mark.start() for mark in re.finditer(rf"^{_ONE_SIDE}(?=\s|\Z)", text, re.MULTILINE)]
    ends = [mark.start() for mark in re.finditer(rf"^{_OTHER_SIDE}(?=\s|\Z)", text, re.MULTILINE)]
    if not begins or not ends or ends[-1] < begins[0]:
        return None
    positions = Positions(text)
    line, column = positions.line_and_column(begins[0])
    last = positions.line_and_column(next(end for end in ends if end > begins[0]))[0]
    elsewhere = f" (and in {counted(len(begins) - 1, 'more place')} of this file)"
    message = (
        f"Git could not merge two versions of the lines from here to line {last}"
        f"{elsewhere if len(begins) > 1 else ''}: keep one of the two, and remove the lines that begin with"
        f" {_ONE_SIDE}, ======= and {_OTHER_SIDE}."
    )
    return Problem("conflict-markers", message, Place(file, line, column))


def odd_space(file: str, text: str) -> Problem | None:
    """A no-break space where only a space counts, if so: it looks like one, and comes with a copy from a page."""
    space = re.search(_ODD_SPACE, text, re.MULTILINE) if "\xa0" in text else None
    if space is None:
        return None
    message = (
        "This is a no-break space, which looks like a space and is none: write a space (it comes with text copied from a"
        " page or typed with Alt held down)."
    )
    return Problem("syntax", message, Place(file, *Positions(text).line_and_column(space.end() - 1)))


def directives(text: str) -> tuple[int, ...]:
    """The offsets of the % of all directives: lines that begin with one, before the first line of a document."""
    return tuple(
        start.start() + sign.start()
        for start in re.finditer(_BEFORE_A_DOCUMENT, text, re.MULTILINE)
        for sign in re.finditer(_DIRECTIVE, start[0], re.MULTILINE)
    )


def without(text: str, directive_offsets: tuple[int, ...]) -> str:
    """The text with comments in the place of its directives, so that every offset stays what it was."""
    signs = list(text)
    for offset in directive_offsets:
        signs[offset] = "#"
    return "".join(signs)
