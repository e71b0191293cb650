"""How a bench sheet is set: headings with lists, tables that fit or fall apart into lines."""

import textwrap
from collections.abc import Sequence
from typing import Final

from speclint.plain import one_line
from speclint.reports import Paper

_NARROWEST: Final = 40


def columns(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], paper: Paper) -> list[str]:
    """Rows as a table where it fits, else each as a few lines of its own."""
    table = [heads, *rows]
    widths = [max(len(one_line(row[i])) for row in table) for i in range(len(heads))]
    if 2 + sum(widths) + 2 * (len(widths) - 1) <= paper.width:
        return [
            ("  " + "  ".join(one_line(cell).ljust(width) for cell, width in zip(row, widths, strict=True))).rstrip()
            for row in table
        ]
    lines = []
    for row in rows:
        cells = [f"{head} {cell}".strip() for head, cell in zip(heads[1:], row[1:], strict=True) if cell]
        lines += wrapped(f"{row[0]}: {'; '.join(cells)}", "  ", paper, hanging="    ")
    return lines


def section(heading: str, items: Sequence[str], paper: Paper) -> list[str]:
    """A heading with a list under it."""
    return [heading, *(line for item in items for line in wrapped(item, "  - ", paper, hanging="    "))]


def wrapped(text: str, indent: str, paper: Paper, hanging: str | None = None) -> list[str]:
    """Text on lines of the paper's width; what comes from a file is made harmless."""
    return textwrap.wrap(
        one_line(text),
        max(paper.width, _NARROWEST),
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_long_words=False,
        break_on_hyphens=False,
    )
