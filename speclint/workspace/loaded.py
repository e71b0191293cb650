"""Files read as far as they can be: the document of each, its format, and every problem on the way."""

from typing import NamedTuple

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.files import FileText
from speclint.places import Place
from speclint.problems import Problem
from speclint.structure.formats import format_of
from speclint.structure.validate import validate
from speclint.workspace.source import Source


class Loaded(NamedTuple):
    """A file after reading. `document` is there wherever its text could be read; it is sound without problems."""

    file: str
    format: str | None
    document: Document | None
    problems: tuple[Problem, ...]

    @property
    def sound(self) -> Document | None:
        """The document, where nothing is wrong with it."""
        return None if self.problems else self.document

    @property
    def is_there(self) -> bool:
        """Whether there is a file that could be opened at all."""
        return not self.problems or self.problems[0].id not in ("file-missing", "file-unreadable")


def load(source: FileText) -> Loaded:
    """Text to document, document to its format, and its shape held against the schema of that."""
    declared = f"{source.declares}/1" if source.declares else None
    if source.problem is not None:
        return Loaded(source.file, declared, None, (source.problem,))
    document, problems = parse(source.file, source.text)
    if document is None:
        return Loaded(source.file, declared, None, problems)
    found, unknown = format_of(document)
    if found is None:
        return Loaded(source.file, None, document, (*problems, *unknown))
    shape = () if source.is_ours and not problems else validate(document, found)
    if problems:
        # Where the text is refused a stand-in value is left, whose shape is nobody's fault.
        refused = {problem.place.pointer for problem in problems}
        shape = tuple(problem for problem in shape if problem.place.pointer not in refused)
    return Loaded(source.file, found, document, (*problems, *shape) if problems or shape else ())


class Files:
    """Every file of a run, read once each, however many others name it."""

    def __init__(self, reader: Source) -> None:
        self._reader = reader
        self._by_name: dict[str, Loaded] = {}
        self.troubles: list[Problem] = []

    def take(self, source: FileText) -> Loaded:
        """A file whose text is at hand already."""
        found = self._by_name.get(source.file)
        if found is None:
            found = self._by_name[source.file] = load(source)
        return found

    def named(self, file: str) -> Loaded:
        """A file that another one names."""
        return self._by_name.get(file) or self.take(self._reader.read(file))

    def under(self, folder: str) -> list[Loaded]:
        """The speclint files under a folder."""
        found = self._reader.find((folder,))
        self.troubles += [Problem("file-unreadable", trouble, Place(folder)) for trouble in found.troubles]
        return [self.take(source) for source in found.texts]

    @property
    def all(self) -> tuple[Loaded, ...]:
        """All that were read, in the order of their names."""
        return tuple(self._by_name[name] for name in sorted(self._by_name))
