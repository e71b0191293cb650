"""Where the files of a run come from: `speclint.files.Folder` is one such source, a mapping of names to bytes another."""

import posixpath
from collections.abc import Iterable, Mapping
from typing import Protocol

from speclint.files import FileText, Found, file_text
from speclint.places import Place
from speclint.problems import Problem


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

    def above(self, file: str) -> tuple[str, ...]:
        """The folder of a file and those above it, up to the top of its repository; its own alone where it has none."""
        ...


class NamedFiles:
    """Files by their names from the top of one repository, with "/" between the parts; what they hold is bytes."""

    def __init__(self, files: Mapping[str, bytes]) -> None:
        self._files = files

    def read(self, shown: str) -> FileText:
        """The text of a file, or the problem that kept it from being read."""
        if shown not in self._files:
            return FileText(shown, "", Problem("file-missing", "there is no such file", Place(shown)))
        return file_text(shown, self._files[shown])

    def find(self, paths: Iterable[str]) -> Found:
        """The YAML files under the paths that declare a format of speclint's."""
        wanted = [posixpath.normpath(path) for path in paths]
        names = sorted(name for name in self._files if name.lower().endswith((".yaml", ".yml")))
        texts = (self.read(name) for name in names if any(_is_under(name, path) for path in wanted))
        return Found(tuple(text for text in texts if text.declares), ())

    def beside(self, file: str, reference: str) -> str:
        """The name of a file that another one names by a path from its own folder."""
        return posixpath.normpath(posixpath.join(posixpath.dirname(file), reference))

    def full(self, shown: str) -> str:
        """The name itself, as no file has two."""
        return posixpath.normpath(shown)

    def outside_repository(self, file: str, reference: str) -> bool:  # noqa: ARG002 - all files are in one repository
        """Whether a name leads out of the repository."""
        return reference.startswith(("../", "/"))

    def rulesets_for(self, file: str) -> tuple[str, ...]:
        """The folders `rulesets` beside a file and above it, the nearest first."""
        candidates = (posixpath.normpath(posixpath.join(folder, "rulesets")) for folder in self.above(file))
        return tuple(folder for folder in candidates if any(name.startswith(f"{folder}/") for name in self._files))

    def above(self, file: str) -> tuple[str, ...]:
        """The folder of a file and those above it."""
        folders = [posixpath.dirname(file)]
        while folders[-1]:
            folders.append(posixpath.dirname(folders[-1]))
        return tuple(folder or "." for folder in folders)


def _is_under(name: str, path: str) -> bool:
    return path in (".", name) or name.startswith(f"{path}/")
