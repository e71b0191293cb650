"""A record made of answers, and entered: proved in the text of its file before anything is written."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.edits.append import append_item, with_item
from speclint.edits.proof import same, shape_problems, spliced
from speclint.edits.spelled import flow
from speclint.edits.values import set_value, with_value
from speclint.errors import UsageError
from speclint.logbook.fields import RecordField, fields_of
from speclint.logbook.kinds import RecordKind
from speclint.logbook.target import Target
from speclint.places import Path, pointer
from speclint.problems import Problem
from speclint.structure.validate import schema_of


@dataclass(frozen=True, slots=True)
class EnteredRecord:
    """A file with a record more: its text before and after, where the record stands, and what else was changed."""

    before: Document
    after: Document
    path: Path
    kind: RecordKind
    changes: tuple[tuple[Path, Any], ...] = ()

    @property
    def changed(self) -> frozenset[str]:
        """The first keys of what was changed beside the record."""
        return frozenset(str(path[0]) for path, _ in self.changes)

    @property
    def record(self) -> dict[str, Any]:
        """The record."""
        record: dict[str, Any] = self.after.get(self.path)
        return record

    @property
    def line(self) -> str:
        """What was added, in a line."""
        place = self.after.place(self.path)
        return f"{place.file}, line {place.line}: {self.kind.title} added, {flow(self.record)}"


def record_of(kind: RecordKind, values: dict[RecordField, Any]) -> dict[str, Any]:
    """The record that holds the values, its keys in the order of the schema."""
    record: dict[str, Any] = {}
    for field in fields_of(kind):
        if field in values:
            inner: Any = record
            for step, following in pairwise(field.path):
                if isinstance(step, int):
                    # Of a list inside, a record fills in the first member alone.
                    inner[:] = inner or [{}]
                    inner = inner[step]
                else:
                    inner = inner.setdefault(step, [] if isinstance(following, int) else {})
            inner[field.key] = values[field]
    return record


def entered(
    target: Target, kind: RecordKind, record: dict[str, Any], changes: tuple[tuple[Path, Any], ...] = ()
) -> EnteredRecord | tuple[str, ...]:
    """The target's file with the record at the end of its list, or what is wrong with the record, for its writer.

    Args:
        target: where the record goes.
        kind: what kind of record it is.
        record: the record.
        changes: keys beside the list that the record makes untrue, each with its new value.

    Raises:
        UsageError: The very same record stands there already.
        WriteRefusedError: The file is written in a way that the record does not fit into.
    """
    document = target.document
    held = document.get(target.path) or []
    for i, held_record in enumerate(held):
        if same(held_record, record):
            line = document.place((*target.path, i)).line
            raise UsageError(
                f"{document.file} holds this very {kind.title} already, on line {line}, so nothing was written: if it"
                f" is another one, give {kind.apart}"
            )
    after = spliced(document, [append_item(document, target.path, record)], with_item(document, target.path, record))
    for key, value in changes:
        place = (*target.path[:-1], *key)
        after = spliced(after, [set_value(after, place, value)], with_value(after.get(()), place, value))
    path = (*target.path, len(held))
    wrong = shape_problems(after)
    return _complaints(kind, path, wrong) if wrong else EnteredRecord(document, after, path, kind, tuple(changes))


def complaint_about(kind: RecordKind, field: RecordField, value: Any) -> str:
    """What is wrong with the value of one field, in the words of `check`; "" if nothing is."""
    schema = schema_of(kind.schema)
    needed = schema["$defs"][kind.definition]["required"]
    examples: dict[RecordField, Any] = {
        candidate: candidate.example
        for candidate in fields_of(kind)
        if candidate.path == tuple(needed) or (candidate.path[:-1] == field.path[:-1] != () and candidate.key == "date")
    }
    record = record_of(kind, {**examples, field: value})
    top = {name: schema["properties"][name]["examples"][0] for name in schema["required"]}
    document, problems = parse("", flow({**top, kind.key: [record]}))
    if problems or document is None:
        return problems[0].message if problems else ""
    field_pointer = pointer((kind.key, 0, *field.path))
    return next(
        (problem.message for problem in shape_problems(document) if problem.place.pointer.startswith(field_pointer)), ""
    )


def _complaints(kind: RecordKind, path: Path, problems: Iterable[Problem]) -> tuple[str, ...]:
    options = {pointer((*path, *field.path)): field.option for field in fields_of(kind)}

    def option(problem: Problem) -> str:
        place = problem.place.pointer
        option_name = next((option for start, option in options.items() if f"{place}/".startswith(f"{start}/")), "")
        return f"{option_name}: " if option_name else ""

    return tuple(f"{option(problem)}{problem.message}" for problem in problems)
