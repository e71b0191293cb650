"""The layout of text: styled words on lines no wider than the paper, wrapped, in columns that never cut a word off."""

import re
from collections.abc import Iterable, Sequence
from enum import Enum
from typing import Final, NamedTuple

from speclint.plain import clipped, columns, in_ascii, one_line
from speclint.reports import Paper

_NARROWEST: Final = 30
"""The fewest columns that are written for; a narrower terminal folds lines by itself."""

_LONGEST: Final = 1000
"""Signs of one text that are shown; a longer one is somebody's mistake, which its beginning shows."""

_GLUE: Final = "\x00"
"""Stands for a space at which no line ends; no text that is shown has one of its own."""

_NUMBER_AND_UNIT: Final = re.compile(
    r"(?<=\d) (?=(?:%|°C|mm|mΩ|mOhm|mAh|rpm/V|rpm|km/h|min|g|V|A|deg|dp)(?![\w/]))|(?<=[±÷×/x]) (?=\d)|(?<=[\d)]) (?=[±÷×] )"
    r"|(?<=\+/-) (?=\d)|(?<=\d) (?=\+/- )"
)

GAP: Final = 2
"""Columns between two columns of a table."""


class Style(Enum):
    """What a word is, for whoever colours it; the words say the same without."""

    PLAIN = "plain"
    HEAD = "head"
    FAIL = "fail"
    ASK = "ask"
    DO = "do"
    SOFT = "soft"


class Span(NamedTuple):
    """Text of one style."""

    text: str
    style: Style = Style.PLAIN


Line = tuple[Span, ...]
"""One line; its spans stand one behind the other as they are."""

Text = str | Span | Sequence[Span]
"""What is to be wrapped: plain text, or text of several styles."""


class Column(NamedTuple):
    """A column of a table.

    Attributes:
        heading: what stands above it.
        least: columns of the terminal below which it is not narrowed.
        yields: the order in which columns give way where the paper is narrow, the first one first; 0 for never.
    """

    heading: str = ""
    least: int = 8
    yields: int = 0


class Layout:
    """Writes for one paper; every text that comes from a file is cleaned before it is measured."""

    def __init__(self, paper: Paper) -> None:
        self._paper = paper
        self.width = max(paper.width, _NARROWEST)

    def clean(self, text: str, most: int = _LONGEST) -> str:
        """The text on one line, as this paper can show it."""
        text = one_line(clipped(text, most))
        return in_ascii(text) if self._paper.ascii_only else text

    def text(self, lines: Iterable[Line]) -> str:
        """Lines as text, in colours where the paper takes them."""
        paint = self._paper.paint
        if paint is None:
            return "".join(f"{''.join(span.text for span in line).rstrip()}\n" for line in lines)
        return "".join(
            "".join(
                span.text if span.style is Style.PLAIN else paint(span.text, span.style.value) for span in line
            ).rstrip()
            + "\n"
            for line in lines
        )

    def parts(self, parts: Iterable[Sequence[Line]]) -> str:
        """Parts as text, an empty line before each but the first; what has no lines is left out."""
        lines: list[Line] = []
        for part in parts:
            lines += [(), *part] if lines and part else part
        return self.text(lines)

    def wrapped(
        self, text: Text, first: str | Span = "", rest: str | None = None, style: Style = Style.PLAIN
    ) -> list[Line]:
        """A text as lines no wider than the paper.

        Args:
            text: any text; it is cleaned here.
            first: what the first line begins with.
            rest: what the others begin with, the same if left out.
            style: of what the lines begin with.
        """
        start = first if isinstance(first, Span) else Span(first, style)
        others = start if rest is None else Span(rest, style)
        body = self.fitted(text, self.width - columns(start.text), self.width - columns(others.text))
        return [(others if i else start, *line) for i, line in enumerate(body)]

    def fitted(self, text: Text, first: int, rest: int | None = None) -> list[Line]:
        """A text as lines of so many columns: of `first` for the first line, of `rest` for the others."""
        rest = first if rest is None else rest
        room, lines, used = first, [list[Span]()], 0
        for span in _spans(text):
            for word in _NUMBER_AND_UNIT.sub(_GLUE, self.clean(span.text)).split():
                for piece in _pieces(word, max(1, min(first, rest))):
                    wide = columns(piece)
                    gap = 1 if used else 0
                    if used + gap + wide > room and used:
                        lines.append([])
                        room, used, gap = rest, 0, 0
                    _add(lines[-1], Span(f"{' ' * gap}{piece}".replace(_GLUE, " "), span.style))
                    used += gap + wide
        return [tuple(line) for line in lines]

    def widths(self, specs: Sequence[Column], rows: Sequence[Sequence[Span]], indent: int = 0) -> list[int] | None:
        """How wide each column is; None where the columns do not fit beside each other."""
        widths = [
            max([columns(self.clean(spec.heading)), *(columns(self.clean(row[i].text)) for row in rows)])
            for i, spec in enumerate(specs)
        ]
        widths = [width if any((spec.heading, width)) else 0 for spec, width in zip(specs, widths, strict=True)]
        gaps = GAP * (sum(1 for width in widths if width) - 1)
        over = indent + sum(widths) + gaps - self.width
        for place in sorted((spec.yields, i) for i, spec in enumerate(specs) if spec.yields):
            if over > 0:
                i = place[1]
                least = max(specs[i].least, self._longest_word(row[i].text for row in rows))
                taken = min(over, max(0, widths[i] - least))
                widths[i] -= taken
                over -= taken
        return widths if over <= 0 else None

    def headings(self, specs: Sequence[Column], widths: Sequence[int], indent: int) -> list[Line]:
        """The row above a table."""
        return self.row([Span(spec.heading, Style.SOFT) for spec in specs], widths, (Span(" " * indent),))

    def row(self, cells: Sequence[Span], widths: Sequence[int], before: Line = ()) -> list[Line]:
        """A row of a table: each cell wrapped within its column."""
        shown = [(self.fitted(cell, width), width) for cell, width in zip(cells, widths, strict=True) if width]
        indent = sum(columns(span.text) for span in before)
        lines: list[Line] = []
        for i in range(max(len(cell) for cell, _ in shown)):
            line = list(before if i == 0 else (Span(" " * indent),))
            for place, (cell, width) in enumerate(shown):
                part = cell[i] if i < len(cell) else ()
                line.extend(part)
                if place < len(shown) - 1:
                    used = sum(columns(span.text) for span in part)
                    line.append(Span(" " * (width - used + GAP)))
            lines.append(tuple(line))
        return lines

    def _longest_word(self, texts: Iterable[str]) -> int:
        return max(
            (columns(word) for text in texts for word in _NUMBER_AND_UNIT.sub(_GLUE, self.clean(text)).split()),
            default=0,
        )


def _spans(text: Text) -> Sequence[Span]:
    if isinstance(text, str):
        return (Span(text),)
    return (text,) if isinstance(text, Span) else text


def _add(line: list[Span], span: Span) -> None:
    """Puts a span behind the others, into the last one where it is of the same style."""
    if line and line[-1].style is span.style:
        line[-1] = Span(line[-1].text + span.text, span.style)
    else:
        line.append(span)


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
