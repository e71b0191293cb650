"""A pen: puts text on paper of some width, clean of whatever would steer a terminal, with words wrapped and cells padded."""

import re
from typing import Final

from speclint.plain import clipped, columns, in_ascii, one_line
from speclint.reports import Paper
from speclint.rules.checks import Verdict

_NARROWEST: Final = 30
"""The fewest columns that are written for; a narrower terminal folds lines by itself."""

_LONGEST: Final = 1000
"""Signs of one text that are shown; a longer one is somebody's mistake, which its beginning shows."""

_GLUE: Final = "\x00"
"""Stands for a space at which no line ends; no text that is shown has one of its own."""

_NUMBER_AND_UNIT: Final = re.compile(
    r"(?<=\d) (?=(?:%|°C|mm|mΩ|mOhm|mAh|g|V|A|deg|dp)(?![\w/]))|(?<=±) (?=\d)|(?<=\d) (?=± )|(?<=\+/-) (?=\d)|(?<=\d) (?=\+/- )"
)

# Chosen to be told apart by everyone, and never needed: the words say the same.
_COLOURS: Final = {
    Verdict.LEGAL.value: "36",
    Verdict.ILLEGAL.value: "1;35",
    Verdict.NOT_SHOWN.value: "33",
    Verdict.TO_INSPECT.value: "34",
}


class TextLayout:
    """Writes for one paper; every text that comes from a file goes through `clean` before it is measured."""

    def __init__(self, paper: Paper) -> None:
        self._paper = paper
        self.width = max(paper.width, _NARROWEST)

    def clean(self, text: str, most: int = _LONGEST) -> str:
        """The text on one line, as this paper can show it."""
        text = one_line(clipped(text, most))
        return in_ascii(text) if self._paper.ascii_only else text

    def padded(self, text: str, width: int) -> str:
        """A clean text, filled up with spaces to so many columns."""
        return text + " " * max(0, width - columns(text))

    def verdict(self, word: str) -> str:
        """A verdict word in its colour, where there are colours."""
        colour = _COLOURS.get(word)
        return f"\x1b[{colour}m{word}\x1b[0m" if self._paper.colour and colour else word

    def wrapped(self, text: str, first: str = "", rest: str | None = None) -> list[str]:
        """A text as lines no wider than the paper.

        Args:
            text: any text; it is cleaned here.
            first: what the first line begins with.
            rest: what the others begin with, the same if left out.
        """
        rest = first if rest is None else rest
        least = self.width - max(columns(first), columns(rest))
        lines = [""]
        for word in _NUMBER_AND_UNIT.sub(_GLUE, self.clean(text)).split():
            for piece in _pieces(word, least):
                longer = f"{lines[-1]} {piece}" if lines[-1] else piece
                if columns(longer) <= self.width - columns(rest if len(lines) > 1 else first):
                    lines[-1] = longer
                else:
                    lines.append(piece)
        return [f"{rest if i else first}{line}".replace(_GLUE, " ").rstrip() for i, line in enumerate(lines)]


def _pieces(word: str, room: int) -> list[str]:
    """A word, or what it is broken into where it has no room on a line of its own: a file's address, a long number."""
    if columns(word) <= room:
        return [word]
    if _GLUE in word:
        return [piece for part in word.split(_GLUE) for piece in _pieces(part, room)]
    end = min(len(word), room)
    while end > 1 and columns(word[:end]) > room:
        end -= 1
    return [word[:end], *_pieces(word[end:], room)]
