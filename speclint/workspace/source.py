"""Where the files of a run come from: `speclint.files.Folder` is one such source, a mapping of names to texts another."""

from typing import Protocol

from speclint.files import FileText, Found


class Source(Protocol):
    """Reads files by the names that people are shown."""

    def read(self, shown: str) -> FileText:
        """The text of a file, or the problem that kept it from being read."""
        ...

    def find(self, paths: tuple[str, ...]) -> Found:
        """The speclint files under the paths."""
        ...

    def beside(self, file: str, reference: str) -> str:
        """The name of a file that another one names by a path from its own folder."""
        ...

    def full(self, shown: str) -> str:
        """An identity of the file: two names of one file have the same."""
        ...

    def outside_repository(self, file: str, reference: str) -> bool:
        """Whether a file that another names lies outside that one's repository."""
        ...

    def rulesets_for(self, file: str) -> tuple[str, ...]:
        """The folders in which a setup's rulesets are looked for."""
        ...
