"""The proof of an edit: the new text, read again, holds the old data with exactly the change that was meant."""

from collections.abc import Iterable
from typing import Any

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.edits.splice import Splice, apply
from speclint.errors import WriteRefusedError
from speclint.problems import Problem
from speclint.structure.formats import format_of
from speclint.structure.validate import validate


def spliced(document: Document, splices: Iterable[Splice], meant: Any) -> Document:
    """The document with the splices in it, which holds the data that was meant.

    Raises:
        WriteRefusedError: The new text does not read as the data that was meant, or not at all.
    """
    after, problems = parse(document.file, apply(document, splices))
    if problems:
        raise WriteRefusedError(f"{document.file}: the change cannot be written, nothing was: {problems[0].message}")
    if after is None or not same(after.data, meant):
        raise WriteRefusedError(
            f"{document.file}: the file is written in a way that this change does not fit into without touching more:"
            " nothing was written, make the change by hand"
        )
    return after


def shape_problems(document: Document) -> tuple[Problem, ...]:
    """What is wrong with a document by its format."""
    declared, unknown = format_of(document)
    return unknown if declared is None else validate(document, declared)


def same(first: Any, second: Any) -> bool:
    """Whether plain data is the same, types of numbers and the order of keys included."""
    if type(first) is not type(second):
        return False
    if isinstance(first, dict):
        return list(first) == list(second) and all(same(value, second[name]) for name, value in first.items())
    if isinstance(first, list):
        return len(first) == len(second) and all(map(same, first, second))
    return bool(first == second)
