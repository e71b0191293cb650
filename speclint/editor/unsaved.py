"""The files of a folder as an editor has them: those that are open with the text that stands there, saved or not."""

from speclint.files import FileText, Folder, Ignored, ListedFile, file_text


class UnsavedFiles(Folder):
    """A folder in which the text of an open file goes before what lies on the disk.

    Args:
        cwd: its path.
        ignored: says which whole paths git is told to ignore.
    """

    def __init__(self, cwd: str, *, ignored: Ignored | None = None) -> None:
        super().__init__(cwd, ignored=ignored)
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
        return super().read(shown) if data is None else file_text(shown, data)

    def listed(self, shown: str) -> ListedFile:
        """A file with what it says it is."""
        return ListedFile(shown, self.read(shown).declares)
