"""A member put behind the last one of a mapping or list, in the style that this is written in."""

from speclint.documents.tree import Document
from speclint.edits.layout import column, first_on_its_line, line_break, line_end, new_line_after
from speclint.edits.splice import Splice
from speclint.places import Path


def quotes_all(document: Document, path: Path) -> bool:
    """Whether the keys of a mapping are written as JSON has them, in double quotes."""
    value = document.get(path)
    if isinstance(value, list):
        return any(quotes_all(document, (*path, i)) for i in range(len(value)))
    if not isinstance(value, dict) or not value:
        return False
    return all(document.text[document.key_span((*path, name)).start] == '"' for name in value)


def flow_member(document: Document, path: Path, member: str) -> Splice:
    """Put a member at the end of the list or mapping in brackets or braces at a path.

    It gets a line of its own where the last member has one.
    """
    text, held = document.text, document.get(path)
    if not held:
        start = document.span(path).start + 1
        return Splice(start, start, member)
    last = (*path, len(held) - 1) if isinstance(held, list) else (*path, next(reversed(held)))
    value = document.span(last)
    start = document.key_span(last).start if isinstance(held, dict) else value.start
    # A colon wants a space before the comma that follows.
    comma = " ," if value.start == value.end and text[value.end - 1] == ":" else ","
    end_of_line = line_end(text, value.end)
    rest = text[value.end : end_of_line]
    has_comma = rest.lstrip().startswith(",")
    is_alone = first_on_its_line(text, start) and end_of_line < document.span(path).end
    if is_alone and rest.lstrip().removeprefix(",").lstrip()[:1] in ("", "#"):
        new_line = line_break(text, value.end) + " " * column(text, start) + member
        if has_comma:
            return Splice(end_of_line, end_of_line, new_line + ",")
        return Splice(value.end, end_of_line, comma + rest + new_line)
    return Splice(value.end, value.end, f"{comma} {member}")


def line_behind(document: Document, end: int, indent: int, lines: list[str], *, blank: bool = False) -> Splice:
    """Put lines behind the block value that ends at `end`; they come without their common indent."""
    text = document.text
    at = new_line_after(text, end, indent)
    ending = line_break(text, at)
    inserted = "".join(f"{ending}{' ' * indent}{line}" for line in lines)
    return Splice(at, at, (ending if blank else "") + inserted)
