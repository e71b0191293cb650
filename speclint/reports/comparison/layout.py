"""How a comparison is set: headings with lists, and tables that fall apart into lines where they do not fit."""

from collections.abc import Sequence
from typing import Final

from speclint.reports.layout import Column, Layout, Line, Span, Style

_MARGIN: Final = "  "


def heading(text: str, layout: Layout) -> list[Line]:
    """What stands above a part."""
    return layout.wrapped(Span(text, Style.HEAD), "", _MARGIN)


def columns(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], layout: Layout) -> list[Line]:
    """Rows as a table where it fits, else each as a few lines of its own."""
    specs = [Column(head) for head in heads]
    cells = [[Span(cell) for cell in row] for row in rows]
    widths = layout.widths(specs, cells, len(_MARGIN))
    if widths is not None:
        above = [Span(head, Style.SOFT) for head in heads]
        return [line for row in (above, *cells) for line in layout.row(row, widths, (Span(_MARGIN),))]
    lines: list[Line] = []
    for row in rows:
        parts = [f"{head} {cell}".strip() for head, cell in zip(heads[1:], row[1:], strict=True) if cell]
        lines += layout.wrapped(f"{row[0]}: {'; '.join(parts)}", _MARGIN, _MARGIN * 2)
    return lines


def section(title: str, items: Sequence[str], layout: Layout) -> list[Line]:
    """A heading with a list under it."""
    return [*heading(title, layout), *(line for item in items for line in layout.wrapped(item, "  - ", "    "))]
