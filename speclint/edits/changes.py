"""Changes of values in several files: all are prepared and proved before any is written."""

from collections.abc import Iterable
from typing import Protocol

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.edits.proof import shape_problems, spliced
from speclint.edits.values import set_value, with_value
from speclint.edits.write import Rewrite, TextAsRead, write_all
from speclint.errors import WriteRefusedError
from speclint.files import FileText, Folder
from speclint.places import Path


class ValueChange(Protocol):
    """A value to set in a file: `path` starts at the file's top."""

    @property
    def file(self) -> str: ...  # noqa: D102
    @property
    def path(self) -> Path: ...  # noqa: D102
    @property
    def value(self) -> int | float | str: ...  # noqa: D102


def apply_changes(folder: Folder, changes: Iterable[ValueChange], judged: Iterable[FileText] = ()) -> None:
    """Set values in files.

    Args:
        folder: the folder from which files are named.
        changes: what to set.
        judged: the files that the changes rest on, as they were when it was decided to make them.

    Raises:
        WriteRefusedError: A change cannot be made, or what it rests on is not as it was. No file was written.
    """
    before: dict[str, Document] = {}
    after: dict[str, Document] = {}
    for change in changes:
        path = folder.full(change.file)
        if path not in before:
            before[path] = after[path] = _sound(folder, change.file)
        document = after[path]
        meant = with_value(document.data, change.path, change.value)
        after[path] = spliced(document, [set_value(document, change.path, change.value)], meant)
    for document in after.values():
        wrong = shape_problems(document)
        if wrong:
            raise WriteRefusedError(
                f"{document.file}: the change does not fit, nothing was written: {wrong[0].message}"
            )
    rewrites = [
        Rewrite(document.file, path, document.text, after[path].text)
        for path, document in before.items()
        if document.text != after[path].text
    ]
    write_all(rewrites, [TextAsRead(text.file, folder.full(text.file), text.text) for text in judged])


def _sound(folder: Folder, file: str) -> Document:
    source = folder.read(file)
    if source.problem is not None:
        raise WriteRefusedError(f"{file}: nothing was written: {source.problem.message}")
    document, problems = parse(file, source.text)
    wrong = problems or (() if document is None else shape_problems(document))
    if wrong or document is None:
        raise WriteRefusedError(f"{file}: mend the file first, nothing was written: {wrong[0].message}")
    return document
