"""The files of a folder as an editor has them: those that are open with the text that stands there, saved or not."""

from collections.abc import Iterable

from speclint.documents.declared import declared_kind
from speclint.files import FileText, Folder, Found, ListedFile, file_text


class UnsavedFiles:
    """A source of files that a check takes; every text of an open file goes before what lies on the disk."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self._texts: dict[str, bytes] = {}

    def put(self, shown: str, text: str) -> None:
        """Takes the text of an open file."""
        self._texts[shown] = text.encode("utf-8", "replace")

    def drop(self, shown: str) -> None:
        """Forgets a file that is closed."""
        self._texts.pop(shown, None)

    @property
    def open_files(self) -> tuple[str, ...]:
        """The names of the files that are open."""
        return tuple(sorted(self._texts))

    def read(self, shown: str) -> FileText:
        """The text of a file, or the problem that kept it from being read."""
        data = self._texts.get(shown)
        return self._folder.read(shown) if data is None else file_text(shown, data)

    def listed(self, shown: str) -> ListedFile:
        """A file with what it says it is."""
        data = self._texts.get(shown)
        return ListedFile(shown, self._folder.read(shown).declares if data is None else declared_kind(data))

    def find(self, paths: Iterable[str], *, pass_over: bool = False) -> Found:
        """The speclint files under the paths, as the editor has them."""
        listing = self._folder.find(paths, pass_over=pass_over)
        return listing._replace(
            files=tuple(self.listed(listed.file) if listed.file in self._texts else listed for listed in listing.files)
        )

    def beside(self, file: str, reference: str) -> str:
        """The name of a file that another one names."""
        return self._folder.beside(file, reference)

    def full(self, shown: str) -> str:
        """An identity of the file."""
        return self._folder.full(shown)

    def siblings(self, file: str) -> tuple[FileText, ...]:
        """The speclint files in the folder of a file, as the editor has them."""
        return tuple(self.read(text.file) for text in self._folder.siblings(file))

    def outside(self, file: str, reference: str) -> str:
        """Outside of what a file lies that another one names; "" where it may be read."""
        return self._folder.outside(file, reference)

    def rulesets_for(self, file: str) -> tuple[str, ...]:
        """The folders in which a setup's rulesets are looked for."""
        return self._folder.rulesets_for(file)

    def uncounted_rulesets(self, file: str) -> str:
        """A folder `rulesets` above a file that does not count for it."""
        return self._folder.uncounted_rulesets(file)

    def above(self, file: str) -> tuple[str, ...]:
        """The folder of a file and those above it."""
        return self._folder.above(file)
