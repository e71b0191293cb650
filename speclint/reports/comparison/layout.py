"""How a comparison is set: headings with lists, and tables that fall apart into lines where they do not fit."""

from collections.abc import Sequence
from typing import Final

from speclint.plain import columns as width_in_columns
from speclint.reports.layout import Column, Layout, Line, Span, Style

_MARGIN: Final = "  "

_WIDE: Final = 80
"""Columns of paper from which on the columns of a table give way to each other."""

_LEAST: Final = 12
"""Columns of a table's column below which it is not narrowed."""


def heading(text: str, layout: Layout) -> list[Line]:
    """What stands above a part."""
    return layout.wrapped(Span(text, Style.HEAD), "", _MARGIN)


def columns(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], layout: Layout) -> list[Line]:
    """Rows as a table where it fits, else each as a few lines of its own."""
    cells = [[Span(cell) for cell in row] for row in rows]
    specs = [Column(head, *_narrowing(head, i, layout)) for i, head in enumerate(heads)]
    widths = layout.widths(specs, cells, len(_MARGIN))
    if widths is not None:
        above = [Span(head, Style.SOFT) for head in heads]
        return [line for row in (above, *cells) for line in layout.row(row, widths, (Span(_MARGIN),))]
    lines: list[Line] = []
    for row in rows:
        parts = [f"{head} {cell}".strip() for head, cell in zip(heads[1:], row[1:], strict=True) if cell]
        lines += layout.wrapped(f"{row[0]}: {'; '.join(parts)}", _MARGIN, _MARGIN * 2)
    return lines


def _narrowing(head: str, place: int, layout: Layout) -> tuple[int, int]:
    """How far a column may be narrowed and when: the last one first, the names of the rows never.

    On narrow paper none is: a list of short lines reads better there than columns of a word each.
    """
    longest_word = max(map(width_in_columns, head.split()), default=0)
    return max(_LEAST, longest_word), 0 if layout.width < _WIDE else -place


def section(title: str, items: Sequence[str], layout: Layout) -> list[Line]:
    """A heading with a list under it."""
    return [*heading(title, layout), *(line for item in items for line in layout.wrapped(item, "  - ", "    "))]
