"""A session: what is to be said of the open files, at which place, and what can be done about it there."""

import posixpath
import re
from collections.abc import Iterator
from datetime import date
from typing import Final, NamedTuple

from speclint.check.pipeline import check, gathered
from speclint.documents.tree import Document
from speclint.editor.unsaved import UnsavedFiles
from speclint.edits.splice import Splice
from speclint.findings import EntryResult, Tally
from speclint.places import Place
from speclint.quantities.registry import QUANTITIES, open_key_path
from speclint.reports.check.fixes import splices
from speclint.reports.check.remarks import Remark, remarks_of
from speclint.rules.checks import Check
from speclint.rules.declared import declared_help
from speclint.rules.wording import message, title
from speclint.workspace.loaded import Files
from speclint.workspace.overrides import Overrides
from speclint.workspace.workspace import Workspace


class Marked(NamedTuple):
    """A remark, with where what it is about ends: line and column from 1, in code points."""

    remark: Remark
    end: tuple[int, int]


class Mend(NamedTuple):
    """A remedy as the editor makes it: in words, and by file the document with its splices."""

    title: str
    changes: dict[str, tuple[Document, list[Splice]]]


_COMPLETED: Final = re.compile(r"""\b(ruleset|class|motor|instrument|quantity|by|of|item):\s*["']?([^\s,"'}]*)$""")
"""A value that is being written, which other files have the words for."""

_NAMED_FILE: Final = re.compile(r"""^\s*(?:motor|garage|setup):\s*["']?([^\s"'#]+)""")


class Session:
    """The files of a repository as an editor has them; every change is checked anew."""

    def __init__(self, files: UnsavedFiles, today: date) -> None:
        self.files = files
        self._today = today
        self._findings: Tally | None = None

    def check(self) -> dict[str, tuple[Marked, ...]]:
        """What is to be said of each open file."""
        listed = [self.files.listed(file) for file in self.files.open_files]
        self._findings = gathered(
            check([file for file in listed if file.declares], self.files, Overrides(today=self._today))
        )
        marked: dict[str, list[Marked]] = {file: [] for file in self.files.open_files}
        for remark in remarks_of(self._findings):
            if remark.place.file in marked:
                document = self._findings.document_of(remark.place.file)
                end = (
                    (remark.place.line, remark.place.column + 1) if document is None else document.end_of(remark.place)
                )
                marked[remark.place.file].append(Marked(remark, end))
        return {file: tuple(of_file) for file, of_file in marked.items()}

    def mends(self, remark: Remark) -> Iterator[Mend]:
        """What can be put into the files to mend it."""
        if self._findings is None:
            return
        for remedy in remark.remedies:
            changes = splices(remedy, self._findings.document_of)
            if changes is not None:
                yield Mend(remedy.message, changes)

    def hover(self, file: str, line: int, column: int) -> str:
        """What the rules say of the value at a place, a line for each; "" where they say nothing."""
        lines = []
        for entry, check_here in self._checks_at(file, line, column):
            rule = check_here.rule
            because = f" {rule.because}" if rule.because else ""
            lines.append(
                f"{title(check_here)}, {check_here.verdict.value}: {message(check_here)}{rule.cite_behind}.{because} [{entry.flat.id}, {entry.on}]"
            )
        lines += self._declared_at(file, line, column)
        return "\n\n".join(dict.fromkeys(lines))

    def definition(self, file: str, line: int, column: int) -> Place | None:
        """Where the rule stands that limits the value at a place, the ruleset of an entry, or a file that is named."""
        text = self.line(file, line)
        named = _NAMED_FILE.match(text)
        if named is not None:
            return Place(self.files.beside(file, named[1]))
        for _, check_here in self._checks_at(file, line, column):
            return check_here.rule.place
        entries = self._findings.entries if self._findings is not None else ()
        for entry in entries:
            if entry.file == file and entry.place.line == line:
                return entry.flat.ruleset.place
        return None

    def completions(self, file: str, line: int, column: int) -> tuple[str, ...]:
        """The words that may stand where one is being written."""
        being_written = _COMPLETED.search(self.line(file, line)[: column - 1])
        if being_written is None:
            return ()
        kind = being_written[1]
        files = Files(self.files)
        listed = self.files.find((self.files.above(file)[-1],)).files
        if kind == "motor":
            motors = (candidate.file for candidate in listed if candidate.declares == "motor")
            return tuple(posixpath.relpath(motor, posixpath.dirname(file) or ".") for motor in motors)
        workspace = Workspace(files, Overrides(today=self._today), near=(file,))
        if kind == "ruleset":
            return tuple(workspace.index.library.ids)
        if kind == "class":
            return workspace.index.class_ids()
        if kind != "instrument":
            return (*(listed.name for listed in QUANTITIES), *workspace.index.declared_names)
        described = set(workspace.index.instruments)
        for candidate in listed:
            document = files.named(candidate.file).document
            instruments = None if document is None else document.get(("instruments",))
            described |= instruments.keys() if isinstance(instruments, dict) else set()
        return tuple(sorted(described))

    def line(self, file: str, line: int) -> str:
        """A line of a file as the editor has it, counted from 1."""
        lines = re.split(r"\r\n|\r|\n", self.files.read(file).text)
        return lines[line - 1] if 0 < line <= len(lines) else ""

    def _checks_at(self, file: str, line: int, column: int) -> Iterator[tuple[EntryResult, Check]]:
        if self._findings is None:
            return
        document = self._findings.document_of(file)
        for entry in self._findings.entries:
            for check_here in entry.checks:
                place = check_here.place
                if place.file == file and place.line == line and document is not None:
                    key_start = len(self.line(file, line)) - len(self.line(file, line).lstrip()) + 1
                    starts = key_start if self._is_only_key(file, line) else place.column
                    if starts <= column <= document.end_of(place)[1]:
                        yield entry, check_here

    def _declared_at(self, file: str, line: int, column: int) -> Iterator[str]:
        """What rulesets declare the key to be that stands at a place, under `extra:` or in an entry."""
        document = None if self._findings is None else self._findings.document_of(file)
        if self._findings is None or document is None:
            return
        for entry in self._findings.entries:
            for name in entry.flat.quantities.values() if entry.file == file else ():
                path = open_key_path(name, ("extra",), entry.facts.entry_path)
                if document.has(path):
                    key, end = document.place(path, of_key=True), document.end_of(document.place(path))
                    if (key.line, key.column) <= (line, column) <= end:
                        yield f"{declared_help(name.quantity)} [{name.quantity.source}]"

    def _is_only_key(self, file: str, line: int) -> bool:
        """Whether a line has one key and its value, so that the key stands for the value."""
        return re.match(r"\s*[\w.-]+:\s*[^{\[]*$", self.line(file, line)) is not None
