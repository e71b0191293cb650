"""What a document says it is."""

import re
from typing import Any, Final

from speclint.documents.declared import KEYS_OF_KINDS, KINDS, is_near_format
from speclint.documents.tree import Document
from speclint.plain import listed
from speclint.problems import Problem
from speclint.spelling import nearest

FORMATS: Final = tuple(f"{kind}/1" for kind in KINDS)
"""What people write; the version grows when old files would no longer be read alike."""

_READ: Final = listed(FORMATS, "or")

_DECLARATION: Final = r"([A-Za-z_-]+)\s*/\s*v?([0-9.]+)"


def format_of(document: Document) -> tuple[str | None, tuple[Problem, ...]]:
    """The format of a document, one of `FORMATS`; None where it says none that is read, with the problem."""
    data = document.data
    if isinstance(data, dict) and isinstance(data.get("format"), str) and data["format"] in FORMATS:
        return data["format"], ()
    return None, (_problem(document),)


def _problem(document: Document) -> Problem:
    data = document.data
    if isinstance(data, list) and data and isinstance(data[0], dict) and "format" in data[0]:
        message = (
            "the dash before `format` makes a list of the file; remove it, and indent what follows by as much less"
        )
        return Problem("format", message, document.place((0, "format"), of_key=True))
    if not isinstance(data, dict):
        held = "a list" if isinstance(data, list) else "a single value" if data is not None else "nothing"
        message = f"the file holds {held} where keys and values are expected; begin it with, say, `format: setup/1`"
        return Problem("format", message, document.place(()))
    if "format" in data:
        return Problem("format", _wording(data["format"]), document.place(("format",), of_key=True))
    misspelt = next((key for key in data if is_near_format(key)), None)
    if misspelt is not None:
        from speclint.structure.hints import clipped

        message = f"`{clipped(misspelt)}` is not a key of any file; did you mean `format`?"
        return Problem("format", message, document.place((misspelt,), of_key=True))
    kind = next((kind for kind, keys in KEYS_OF_KINDS.items() if len(keys & {key.encode() for key in data}) > 1), "")
    if kind:
        article_and_kind = f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"
        message = f"`format` is missing; this looks like {article_and_kind}: begin it with `format: {kind}/1`"
    else:
        message = f"`format` is missing, so that nobody knows what this file is; add one of {_READ}"
    return Problem("format", message, document.place(()))


def _wording(declared: Any) -> str:
    if not isinstance(declared, str):
        return f"`format` must be one of {_READ}"
    from speclint.structure.hints import clipped

    shown = clipped(declared)
    match = re.fullmatch(_DECLARATION, declared.strip())
    kind, version = (match[1], match[2]) if match else (declared.strip(), None)
    near = nearest(kind, KINDS, cutoff=0.7)
    if not near:
        return f'`format` is "{shown}", which speclint does not read; it reads {_READ}'
    if version is not None and version != "1" and near == kind:
        return f'`format` is "{shown}"; this speclint reads {near}/1: a newer one may read the file'
    return f'`format` is "{shown}"; did you mean {near}/1?'
