"""What a document says it is."""

import re
from typing import Any, Final

from speclint.documents.tree import Document
from speclint.problems import Problem
from speclint.spelling import nearest

FORMATS: Final = ("setup/1", "motor/1", "ruleset/1", "garage/1")
"""What people write; the version grows when old files would no longer be read alike."""

REPORT: Final = "report/1"

_DECLARATION: Final = r"([A-Za-z_-]+)\s*/\s*v?([0-9.]+)"


def declares_format(document: Document) -> bool:
    """Whether a document claims to be one of speclint's, be it mis-spelt; other YAML files may be passed over."""
    if not isinstance(document.data, dict):
        return False
    declared = document.data.get("format")
    if not isinstance(declared, str):
        return False
    match = re.fullmatch(_DECLARATION, declared.strip())
    return declared in FORMATS or (match is not None and bool(_nearest_kind(match[1]))) or bool(_nearest_kind(declared))


def format_of(document: Document) -> tuple[str | None, tuple[Problem, ...]]:
    """The format of a document, one of `FORMATS`; None where it says none that is read, with the problem."""
    data = document.data
    if isinstance(data, dict) and isinstance(data.get("format"), str) and data["format"] in FORMATS:
        return data["format"], ()
    return None, (_problem(document),)


def _problem(document: Document) -> Problem:
    data = document.data
    if not isinstance(data, dict):
        found = "a list" if isinstance(data, list) else "a single value" if data is not None else "nothing"
        message = f"the file holds {found} where keys and values are expected; begin it with, say, `format: setup/1`"
        return Problem("format", message, document.place(()))
    if "format" not in data:
        message = f"`format` is missing, so that nobody knows what this file is; add one of {_listed()}"
        return Problem("format", message, document.place(()))
    return Problem("format", _wording(data["format"]), document.place(("format",), of_key=True))


def _wording(declared: Any) -> str:
    if not isinstance(declared, str):
        return f"`format` must be one of {_listed()}"
    from speclint.structure.hints import clipped

    shown = clipped(declared)
    match = re.fullmatch(_DECLARATION, declared.strip())
    kind, version = (match[1], match[2]) if match else (declared.strip(), None)
    near = _nearest_kind(kind)
    if not near:
        return f'`format` is "{shown}", which speclint does not read; it reads {_listed()}'
    if version is not None and version != "1" and near == kind:
        return f'`format` is "{shown}"; this speclint reads {near}/1: a newer one may read the file'
    return f'`format` is "{shown}"; did you mean {near}/1?'


def _nearest_kind(word: str) -> str:
    return nearest(word, [known.partition("/")[0] for known in FORMATS], cutoff=0.7)


def _listed() -> str:
    return f"{', '.join(FORMATS[:-1])} or {FORMATS[-1]}"
