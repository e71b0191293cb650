"""Remedies as changes of text: what is to be deleted from a file, and what put there, for programs that offer it."""

from collections.abc import Callable
from typing import Any

from speclint.documents.tree import Document
from speclint.edits.splice import Splice
from speclint.edits.values import set_value
from speclint.errors import WriteRefusedError
from speclint.rules.checks import Remedy


def splices(
    remedy: Remedy, document_of: Callable[[str], Document | None]
) -> dict[str, tuple[Document, list[Splice]]] | None:
    """The splices that make a remedy, by file; None for what is done by hand, or does not fit into the text."""
    if remedy.by_hand or not remedy.changes:
        return None
    by_file: dict[str, tuple[Document, list[Splice]]] = {}
    for change in remedy.changes:
        document = document_of(change.file)
        if document is None:
            return None
        try:
            splice = set_value(document, change.path, change.value)
        except WriteRefusedError:
            return None
        by_file.setdefault(change.file, (document, []))[1].append(splice)
    return by_file


def fix(
    remedy: Remedy, document_of: Callable[[str], Document | None], uri: Callable[[str], str]
) -> dict[str, Any] | None:
    """A remedy as a `fix` of SARIF 2.1.0 (3.55); None where it is none that a program can make."""
    made = splices(remedy, document_of)
    if made is None:
        return None
    changes = [
        {
            "artifactLocation": {"uri": uri(file)},
            "replacements": [_replacement(document, splice) for splice in sorted(file_splices)],
        }
        for file, (document, file_splices) in made.items()
    ]
    return {"description": {"text": f"{remedy.message}."}, "artifactChanges": changes}


def _replacement(document: Document, splice: Splice) -> dict[str, Any]:
    start_line, start_column = document.positions.line_and_column(splice.start)
    end_line, end_column = document.positions.line_and_column(splice.end)
    region = {"startLine": start_line, "startColumn": start_column, "endLine": end_line, "endColumn": end_column}
    return {"deletedRegion": region, "insertedContent": {"text": splice.text}}
