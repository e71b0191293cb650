"""The splice that puts a record at the end of a list, in the style of the records that stand there."""

from typing import Any, Final

from speclint.documents.tree import Document
from speclint.edits.layout import column, is_flow, line_break, line_end, list_indent
from speclint.edits.members import flow_member, line_behind, quotes_all
from speclint.edits.spelled import flow, key, scalar
from speclint.edits.splice import Splice
from speclint.edits.values import set_value, with_value
from speclint.errors import WriteRefusedError
from speclint.places import Path, dotted

_WIDEST: Final = 100
"""A first record is put on one line up to this width, beyond it on one line a key."""


def append_item(document: Document, path: Path, item: dict[str, Any]) -> Splice:
    """The splice that adds a record to the list at a path; where there is no list or an empty one, it begins it.

    Raises:
        WriteRefusedError: Something else than a list stands there.
    """
    held = document.get(path)
    if held is not None and not isinstance(held, list):
        raise WriteRefusedError(f"{document.file}: {dotted(path)} is no list, so no record can be added to it")
    if held and not is_flow(document, path):
        return _behind_the_last(document, path, item)
    parent = path[:-1]
    if not held and isinstance(document.get(parent), dict) and not is_flow(document, parent):
        lines = _first_lines(document, path, item)
        if lines is not None:
            return lines
    if held is None:
        return set_value(document, path, [item])
    like_json = quotes_all(document, path if held else parent)
    return flow_member(document, path, flow(item, like_json=like_json))


def with_item(document: Document, path: Path, item: dict[str, Any]) -> Any:
    """A document's data with a record at the end of a list, and all else as before."""
    return with_value(document.get(()), path, [*(document.get(path) or []), item])


def _behind_the_last(document: Document, path: Path, item: dict[str, Any]) -> Splice:
    text = document.text
    indent = column(text, document.span(path).start)
    count = len(document.get(path))
    last = (*path, count - 1)
    if isinstance(document.get(last), dict) and document.get(last) and not is_flow(document, last):
        gap = max(column(text, document.span(last).start) - indent, 2)
        lines = _block(document, item, [(*path, i) for i in reversed(range(count))], gap)
    else:
        lines = ["- " + flow(item, like_json=quotes_all(document, last))]
    return line_behind(document, document.span(last).end, indent, lines, blank=_sets_apart(document, path))


def _sets_apart(document: Document, path: Path) -> bool:
    """Whether an empty line stands between the last record of a list and the one before it."""
    count = len(document.get(path))
    if count < 2:
        return False
    between = document.text[document.span((*path, count - 2)).end : document.span((*path, count - 1)).start]
    lines = between.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return any(not line.strip() for line in lines[1:-1])


def _first_lines(document: Document, path: Path, item: dict[str, Any]) -> Splice | None:
    """A list below its key, which may be there with nothing behind it but a comment, or with an empty value."""
    text, parent, name = document.text, path[:-1], str(path[-1])
    spaces = " " * list_indent(document)
    key_start = document.key_span((*parent, next(iter(document.get(parent))))).start
    indent = column(text, key_start)
    line = "- " + flow(item)
    lines = [line] if indent + len(spaces) + len(line) <= _WIDEST else _block(document, item, [], 2)
    if not document.has(path):
        new = [f"{key(name)}:", *(spaces + line for line in lines)]
        return line_behind(document, document.span(parent).end, indent, new)
    colon = text.index(":", document.key_span(path).end) + 1
    value = document.span(path)
    end = line_end(text, value.end)
    if "\n" in text[colon : value.end] or "\r" in text[colon : value.end] or "#" in text[colon : value.end]:
        return None
    ending = line_break(text, end)
    return Splice(
        colon, end, text[value.end : end].rstrip() + "".join(f"{ending}{' ' * indent}{spaces}{line}" for line in lines)
    )


def _block(document: Document, item: dict[str, Any], others: list[Path], gap: int) -> list[str]:
    """A record's lines, one a key, the first behind a dash; what lies below its keys is styled as in other records."""
    lines = []
    for name, value in item.items():
        like = next((path for sibling in others if document.has(path := (*sibling, name))), None)
        lines += _entry(document, name, value, like)
    return [("-" + " " * (gap - 1) if i == 0 else " " * gap) + line for i, line in enumerate(lines)]


def _entry(document: Document, name: str, value: Any, like: Path | None) -> list[str]:
    model = None if like is None else document.get(like)
    if not isinstance(value, dict | list):
        return [f"{key(name)}: {scalar(value, in_flow=False)}"]
    if like is None or not value or not model or type(model) is not type(value) or is_flow(document, like):
        return [f"{key(name)}: {flow(value)}"]
    text = document.text
    own_column = column(text, document.key_span(like).start)
    if isinstance(value, list):
        below = [f"- {flow(inner)}" for inner in value]
        step = column(text, document.span(like).start) - own_column
    else:
        below = [f"{key(inner)}: {flow(member)}" for inner, member in value.items()]
        step = column(text, document.key_span((*like, next(iter(model)))).start) - own_column
    return [f"{key(name)}:", *(" " * step + line for line in below)]
