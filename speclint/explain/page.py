"""Pages: what is said of one name, as labelled sections, and how they are set on paper."""

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from speclint.plain import in_ascii, one_line
from speclint.reports import Paper

_WIDEST: Final = 100
"""Prose wider than this is hard to follow, however wide the paper."""

_NARROWEST: Final = 40
_GAP: Final = "  "


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


def prose_section(label: str, *paragraphs: str) -> Section:
    """A section of paragraphs; empty ones are left out."""
    return Section(label, tuple(paragraph for paragraph in paragraphs if paragraph))


def written(pages: tuple[Page, ...], paper: Paper) -> str:
    """The pages as text, one under the other."""
    text = "\n".join("".join(f"{line}\n" for line in _page(page, min(paper.width, _WIDEST))) for page in pages)
    return in_ascii(text) if paper.ascii_only else text


def _page(page: Page, width: int) -> Iterator[str]:
    width = max(width, _NARROWEST)
    sections = [section for section in page.sections if section.says_something]
    label_width = max((len(section.label) for section in sections), default=0)
    heading = f"{page.name}: {page.title}" if page.title and page.title != page.name else page.name
    yield from _wrapped(heading, width, "")
    for section in sections:
        indent = " " * (2 + label_width + len(_GAP))
        body = list(_body(section, width, indent))
        label = f"  {section.label.ljust(label_width)}{_GAP}"
        yield ""
        yield f"{label}{body[0].removeprefix(indent)}"
        yield from body[1:]


def _body(section: Section, width: int, indent: str) -> Iterator[str]:
    for paragraph in section.paragraphs:
        yield from _wrapped(paragraph, width, indent)
    digits = len(str(len(section.steps)))
    for number, step in enumerate(section.steps, start=1):
        yield from _wrapped(step, width, f"{indent}{number:>{digits}}. ", f"{indent}{' ' * (digits + 2)}")
    if len(section.table) > 1:
        yield from _table(section.table, width, indent)
    for line in section.lines:
        yield f"{indent}{one_line(line)}".rstrip()


def _table(rows: tuple[tuple[str, ...], ...], width: int, indent: str) -> Iterator[str]:
    """Columns where they fit; otherwise a paragraph for each row, without the headings."""
    cells = [tuple(one_line(cell) for cell in row) for row in rows]
    widths = [max(len(row[i]) for row in cells) for i in range(len(cells[0]))]
    if len(indent) + sum(widths) + len(_GAP) * (len(widths) - 1) <= width:
        for row in cells:
            padded = (cell.ljust(column) for cell, column in zip(row, widths, strict=True))
            yield f"{indent}{_GAP.join(padded)}".rstrip()
    else:
        for first, *rest in cells[1:]:
            yield from _wrapped(f"{first}: {', '.join(cell for cell in rest if cell)}", width, indent, f"{indent}  ")


def _wrapped(text: str, width: int, indent: str, hanging: str | None = None) -> list[str]:
    return textwrap.wrap(
        one_line(text),
        width,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_long_words=False,
        break_on_hyphens=False,
    )
