"""Pages: what is said of one name, as labelled sections, and how they are set on paper."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from speclint.reports import Paper
from speclint.reports.layout import GAP, Column, Layout, Line, Span, Style

_WIDEST: Final = 100
"""Prose wider than this is hard to follow, however wide the paper."""


@dataclass(frozen=True, slots=True)
class Section:
    """What is said under one label: paragraphs, numbered steps, a table, and lines that keep their spaces.

    The first row of a table is its headings. A section that says nothing is left out.
    """

    label: str
    paragraphs: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    lines: tuple[str, ...] = ()

    @property
    def says_something(self) -> bool:
        """Whether there is anything to set."""
        return any((*self.paragraphs, *self.steps, *self.lines)) or len(self.table) > 1


@dataclass(frozen=True, slots=True)
class Page:
    """What is said of one name."""

    name: str
    title: str
    sections: tuple[Section, ...]


def page_of(name: str, title: str, *sections: Section) -> Page:
    """A page of these sections."""
    return Page(name, title, sections)


def prose_section(label: str, *paragraphs: str) -> Section:
    """A section of paragraphs; empty ones are left out."""
    return Section(label, tuple(paragraph for paragraph in paragraphs if paragraph))


def written(pages: tuple[Page, ...], paper: Paper) -> str:
    """The pages as text, one under the other."""
    layout = Layout(paper._replace(width=min(paper.width, _WIDEST)))
    return layout.parts(_page(page, layout) for page in pages)


def _page(page: Page, layout: Layout) -> list[Line]:
    sections = [section for section in page.sections if section.says_something]
    label_width = max((len(section.label) for section in sections), default=0)
    heading = f"{page.name}: {page.title}" if page.title and page.title != page.name else page.name
    lines = layout.wrapped(Span(heading, Style.HEAD))
    for section in sections:
        indent = " " * (2 + label_width + GAP)
        label = f"  {section.label.ljust(label_width)}{' ' * GAP}"
        first, *rest = _body(section, layout, indent)
        lines += [(), (Span(label, Style.SOFT), *_without(indent, first)), *rest]
    return lines


def _without(indent: str, line: Line) -> Line:
    """A line without the spaces that it begins with, in whose place something else stands."""
    return (line[0]._replace(text=line[0].text.removeprefix(indent)), *line[1:])


def _body(section: Section, layout: Layout, indent: str) -> Iterator[Line]:
    for paragraph in section.paragraphs:
        yield from layout.wrapped(paragraph, indent)
    digits = len(str(len(section.steps)))
    for number, step in enumerate(section.steps, start=1):
        yield from layout.wrapped(step, f"{indent}{number:>{digits}}. ", f"{indent}{' ' * (digits + 2)}")
    if len(section.table) > 1:
        yield from _table(section.table, layout, indent)
    for line in section.lines:
        yield (Span(f"{indent}{layout.clean(line, len(line))}"),)


def _table(rows: tuple[tuple[str, ...], ...], layout: Layout, indent: str) -> Iterator[Line]:
    """Columns where they fit; otherwise a paragraph for each row, without the headings."""
    heads, *cells = [[Span(cell) for cell in row] for row in rows]
    widths = layout.widths([Column(head.text) for head in heads], cells, len(indent))
    if widths is not None:
        for row in ([head._replace(style=Style.SOFT) for head in heads], *cells):
            yield from layout.row(row, widths, (Span(indent),))
    else:
        for first, *others in rows[1:]:
            text = f"{first}: {', '.join(cell for cell in others if cell)}"
            yield from layout.wrapped(text, indent, f"{indent}  ")
