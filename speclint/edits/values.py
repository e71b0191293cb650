"""The splice that sets one value of a document: another one in its place, or a key that was not there."""

from typing import Any

from speclint.documents.tree import Document
from speclint.edits.layout import column, is_flow
from speclint.edits.members import flow_member, line_behind, quotes_all
from speclint.edits.spelled import flow, scalar, spelled_member
from speclint.edits.splice import Splice
from speclint.errors import WriteRefusedError
from speclint.places import Path, dotted


def set_value(document: Document, path: Path, value: Any) -> Splice:
    """The splice that makes a document hold a value at a path, and all else as before.

    A single value takes the place of another one; text keeps the kind of quotes that it had. A list or mapping takes
    the place of an empty value, or of another one that is in brackets and without comments. A key that is missing is
    put behind the last one of its mapping, and so are mappings above it that are missing.

    Raises:
        WriteRefusedError: There is something at the path, or above it, that cannot be replaced without a loss.
    """
    existing = next(path[:length] for length in range(len(path), -1, -1) if document.has(path[:length]))
    missing = path[len(existing) :]
    for step in reversed(missing[1:] if isinstance(document.get(existing), dict) else missing):
        value = {step: value}
    if not missing or document.get(existing) is None:
        return _replaced(document, existing, value)
    if not isinstance(document.get(existing), dict) or not all(isinstance(step, str) for step in missing):
        raise WriteRefusedError(
            f"{document.file}: {dotted(existing)} is no mapping, so nothing can be put at {dotted(path)}"
        )
    return _added(document, existing, str(missing[0]), value)


def with_value(data: Any, path: Path, value: Any) -> Any:
    """Plain data with a value at a path, and all else as before; the data itself is left alone."""
    if not path:
        return value
    step = path[0]
    if isinstance(data, list):
        return [with_value(inner, path[1:], value) if i == step else inner for i, inner in enumerate(data)]
    held = data or {}
    return {**held, step: with_value(held.get(step), path[1:], value)}


def _replaced(document: Document, path: Path, value: Any) -> Splice:
    text, span, held = document.text, document.span(path), document.get(path)
    written = document.written(path)
    if isinstance(held, dict | list) and (
        not isinstance(value, dict | list) or not is_flow(document, path) or "#" in written
    ):
        kind = "list" if isinstance(held, list) else "mapping"
        raise WriteRefusedError(
            f"{document.file}: {dotted(path)} holds a {kind} that would be lost, comments and all: change it by hand"
        )
    in_flow = any(is_flow(document, path[:length]) for length in range(len(path)))
    if isinstance(value, dict | list):
        new = flow(value, like_json=quotes_all(document, path[:-1]))
    else:
        kept = written[:1] if written[:1] in ("'", '"') and isinstance(held, str) else ""
        like_json = in_flow and quotes_all(document, path[:-1])
        new = scalar(value, in_flow=in_flow, quote=kept or ('"' if like_json else ""))
    if span.start == span.end:
        new = _promise(document, path) + new
    elif text[span.start] in "|>" and not isinstance(held, dict | list):
        new = new.strip()
    return Splice(span.start, span.end, new)


def _promise(document: Document, path: Path) -> str:
    """What has to stand between the text before an empty value and the value."""
    text, start = document.text, document.span(path).start
    if isinstance(path[-1], str) and ":" not in text[document.key_span(path).end : start]:
        return ": "
    return "" if text[start - 1] in " \t" else " "


def _added(document: Document, path: Path, name: str, value: Any) -> Splice:
    like_json = quotes_all(document, path) or (not document.get(path) and quotes_all(document, path[:-1]))
    if is_flow(document, path):
        return flow_member(document, path, spelled_member(name, value, like_json=like_json))
    first = next(iter(document.get(path)))
    indent = column(document.text, document.key_span((*path, first)).start)
    if isinstance(value, dict | list):
        line = spelled_member(name, value, like_json=False)
    else:
        line = f"{spelled_member(name, None, like_json=False).removesuffix('null')}{scalar(value, in_flow=False)}"
    return line_behind(document, document.span(path).end, indent, [line])
