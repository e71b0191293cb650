"""Files read as far as they can be: the document of each, its format, and every problem on the way."""

from functools import lru_cache
from itertools import islice
from typing import NamedTuple

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.files import FileText, ListedFile
from speclint.places import Place
from speclint.problems import NO_ACCESS, Problem
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
        return not self.problems or self.problems[0].id not in NO_ACCESS


def load(text: FileText) -> Loaded:
    """Text to document, document to its format, and its shape held against the schema of that."""
    return _loaded_once(text) if text.is_ours else _loaded(text)


@lru_cache(maxsize=64)
def _loaded_once(text: FileText) -> Loaded:
    """The same for what stays the same from one run to the next in a process that has several, such as a page's."""
    return _loaded(text)


def _loaded(text: FileText) -> Loaded:
    declared = f"{text.declares}/1" if text.declares else None
    if text.problem is not None:
        return Loaded(text.file, declared, None, (text.problem,))
    document, problems = parse(text.file, text.text)
    if document is None:
        return Loaded(text.file, declared, None, problems)
    stated_format, unknown = format_of(document)
    if stated_format is None:
        return Loaded(text.file, None, document, (*problems, *unknown))
    shape = () if text.is_ours and not problems else validate(document, stated_format)
    if problems:
        # Where the text is refused a stand-in value is left, whose shape is nobody's fault.
        refused = {problem.place.pointer for problem in problems}
        shape = tuple(problem for problem in shape if problem.place.pointer not in refused)
    return Loaded(text.file, stated_format, document, (*problems, *shape) if problems or shape else ())


class Files:
    """Every file of a run, read once each, however many others name it, and kept but for those that pass through."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self._by_name: dict[str, Loaded] = {}
        self._texts: dict[str, FileText] = {}
        self._digests: dict[str, str] = {}
        self._under: dict[str, tuple[ListedFile, ...]] = {}
        self._read_again: tuple[str, Document | None] = ("", None)
        self.troubles: list[Problem] = []

    def take(self, text: FileText) -> Loaded:
        """A file whose text is at hand already."""
        loaded = self._by_name.get(text.file)
        if loaded is None:
            loaded = self._by_name[text.file] = load(text)
            self._texts[text.file] = text
        return loaded

    def glance(self, text: FileText) -> Loaded:
        """A file that may turn out to be nobody's business: it is not counted as read, and its problems are its own."""
        return self._by_name.get(text.file) or load(text)

    def named(self, file: str) -> Loaded:
        """A file that another one names, or that is listed."""
        return self._by_name.get(file) or self.take(self.source.read(file))

    def listed(self, listed_file: ListedFile) -> Loaded:
        """A file that is listed; where it is of another kind by now, that is its problem."""
        loaded = self._by_name[listed_file.file] = _as_listed(self.named(listed_file.file), listed_file.declares)
        return loaded

    def passing_setup(self, text: FileText) -> Loaded:
        """A setup that is looked at once and not kept; what is wrong with it is."""
        loaded = _as_listed(self._by_name.get(text.file) or load(text), "setup")
        if loaded.problems:
            self._by_name[text.file] = loaded._replace(document=None)
        return loaded

    def document(self, file: str) -> Document | None:
        """The document of a file, None where it is none; that of one that passed through is read again."""
        kept = self._by_name.get(file)
        if kept is not None and kept.document is not None:
            return kept.document
        if self._read_again[0] != file:
            self._read_again = (file, load(self.source.read(file)).document)
        return self._read_again[1]

    def sha256(self, file: str) -> str:
        """The SHA-256 of a file that was read; one that passed through is read again."""
        text = self._texts.get(file)
        if text is None:
            return self.source.read(file).sha256
        if file not in self._digests:
            self._digests[file] = text.sha256
        return self._digests[file]

    def under(self, folder: str) -> list[Loaded]:
        """The speclint files under a folder."""
        return [self.named(listed.file) for listed in self.listed_under(folder)]

    def listed_under(self, folder: str) -> tuple[ListedFile, ...]:
        """The speclint files under a folder; what cannot be looked at is kept among the troubles."""
        files = self._under.get(folder)
        if files is None:
            listing = self.source.find((folder,))
            self.troubles += [Problem("file-unreadable", trouble, Place(folder)) for trouble in listing.troubles]
            files = self._under[folder] = listing.files
        return files

    @property
    def count(self) -> int:
        """How many are kept."""
        return len(self._by_name)

    def since(self, count: int) -> tuple[Loaded, ...]:
        """Those that are kept since there were so many."""
        return tuple(islice(self._by_name.values(), count, None))

    def keep(self, loaded: Loaded) -> None:
        """Takes over what was read elsewhere."""
        self._by_name.setdefault(loaded.file, loaded)

    @property
    def all(self) -> tuple[Loaded, ...]:
        """All that were read, in the order of their names."""
        return tuple(self._by_name[name] for name in sorted(self._by_name))


def _as_listed(loaded: Loaded, declared: str) -> Loaded:
    """A file as it was read, with its problem where it is no longer what it declared when it was listed."""
    if loaded.document is None or loaded.problems or not declared or loaded.format == f"{declared}/1":
        return loaded
    message = (
        f"it was taken for a {declared} and says {loaded.format}: check again if somebody has changed it meanwhile, and"
        " make `format` its first key if nobody has"
    )
    return loaded._replace(problems=(Problem("file-of-other-kind", message, loaded.document.place(("format",))),))
