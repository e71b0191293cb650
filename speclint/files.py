"""Reading: files found under paths, files that others name, and their text. Nothing here writes."""

import os
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from speclint.places import Place
from speclint.problems import Problem

MAX_BYTES: Final = 1024 * 1024
"""The largest file that is read, in bytes."""

_DECLARES: Final = re.compile(
    rb"""^(?:\xef\xbb\xbf)?[ \t]*\{?[ \t]*["']?format["']?[ \t]*:[ \t]*["']?([a-z]+)/\w+""", re.MULTILINE
)
_KINDS: Final = (b"setup", b"motor", b"ruleset", b"garage")
_YAML: Final = (".yaml", ".yml")


@dataclass(frozen=True, slots=True)
class Source:
    """One file as it was read: its text, without a byte order mark, or the problem that kept it from being text."""

    file: str
    text: str
    problem: Problem | None = None
    declares: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """What lies under the paths that were asked for, and the paths that could not be looked at, with the reason."""

    sources: tuple[Source, ...]
    troubles: tuple[str, ...]


class Folder:
    """The current folder, from which every file is named; it remembers what it has looked up."""

    def __init__(self, cwd: str) -> None:
        self._cwd = os.path.realpath(cwd)
        self._roots: dict[str, str | None] = {}

    def shown(self, path: str) -> str:
        """A path as people are shown it: from the current folder, with "/" between its parts."""
        full = os.path.normpath(os.path.join(self._cwd, path))
        if full.startswith(self._cwd + os.sep):
            return full[len(self._cwd) + 1 :].replace(os.sep, "/")
        return os.path.relpath(full, self._cwd).replace(os.sep, "/")

    def full(self, shown: str) -> str:
        """The whole path of a file, links followed."""
        return os.path.realpath(os.path.join(self._cwd, shown))

    def beside(self, file: str, reference: str) -> str:
        """A path that a file names, which starts at the file's own folder."""
        return self.shown(os.path.join(os.path.dirname(file), reference))

    def find(self, paths: Iterable[str]) -> Found:
        """The speclint files under the paths, each once and in order; other YAML in folders is passed over."""
        sources: dict[str, Source] = {}
        troubles: list[str] = []
        for path in paths:
            full = os.path.join(self._cwd, path)
            if os.path.isdir(full):
                for file in self._walk(full, troubles):
                    shown = self.shown(file)
                    if shown not in sources:
                        source = self.read(shown)
                        if source.declares:
                            sources[shown] = source
            elif os.path.exists(full):
                shown = self.shown(full)
                if shown not in sources or not sources[shown].declares:
                    sources[shown] = self.read(shown)
            else:
                troubles.append(f"{path}: there is no such file or folder")
        return Found(tuple(sources[name] for name in sorted(sources)), tuple(troubles))

    def read(self, shown: str) -> Source:
        """The text of a file; what cannot be read is a source with a problem, never an exception."""
        try:
            with open(os.path.join(self._cwd, shown), "rb") as file:
                data = file.read(MAX_BYTES + 1)
        except FileNotFoundError:
            return Source(shown, "", Problem("file-missing", "there is no such file", Place(shown)))
        except OSError as error:
            reason = (error.strerror or "it cannot be read").lower()
            return Source(shown, "", Problem("file-unreadable", f"the file cannot be read: {reason}", Place(shown)))
        declares = _declared(data)
        if len(data) > MAX_BYTES:
            return Source(shown, "", Problem("too-large", "the file is larger than 1 MiB", Place(shown)), declares)
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            return Source(shown, "", _not_text(shown, data, error), declares)
        return Source(shown, text, None, declares)

    def rulesets_for(self, file: str) -> tuple[str, ...]:
        """The folders named `rulesets` beside a file and above it, up to the top of its repository, nearest first."""
        return tuple(
            self.shown(candidate)
            for folder in self._upwards(os.path.dirname(self.full(file)))
            if os.path.isdir(candidate := os.path.join(folder, "rulesets"))
        )

    def outside_repository(self, file: str, reference: str) -> bool:
        """Whether a file that another names lies outside that one's repository; never, where there is no repository."""
        root = self._root(os.path.dirname(self.full(file)))
        target = self.full(reference)
        return root is not None and target != root and not target.startswith(root + os.sep)

    def _walk(self, top: str, troubles: list[str]) -> Iterator[str]:
        def refused(error: OSError) -> None:
            troubles.append(f"{self.shown(error.filename)}: {(error.strerror or 'cannot be read').lower()}")

        for folder, folders, files in os.walk(top, onerror=refused):
            folders[:] = sorted(name for name in folders if not name.startswith("."))
            for name in sorted(files):
                if name.endswith(_YAML) and not name.startswith("."):
                    yield os.path.join(folder, name)

    def _root(self, folder: str) -> str | None:
        """The top of the git repository that a folder lies in."""
        if folder not in self._roots:
            parent = os.path.dirname(folder)
            if os.path.exists(os.path.join(folder, ".git")):
                self._roots[folder] = folder
            else:
                self._roots[folder] = self._root(parent) if parent != folder else None
        return self._roots[folder]

    def _upwards(self, folder: str) -> Iterator[str]:
        root = self._root(folder)
        while True:
            yield folder
            parent = os.path.dirname(folder)
            if folder == root or parent == folder:
                return
            folder = parent


def _declared(data: bytes) -> str:
    """The kind of speclint file that the bytes say they are, "" for none; a near miss counts as what it is near to."""
    if b"\x00" in data[:64]:
        for encoding in ("utf-16", "utf-32"):
            try:
                data = data.decode(encoding).encode()
                break
            except UnicodeDecodeError:
                continue
    found = _DECLARES.search(data)
    if found is None:
        return ""
    word = found.group(1)
    if word in _KINDS:
        return word.decode()
    from speclint.spelling import nearest

    return nearest(word.decode(), [kind.decode() for kind in _KINDS], cutoff=0.75)


def _not_text(shown: str, data: bytes, error: UnicodeDecodeError) -> Problem:
    before = data[: error.start]
    line = before.count(b"\n") + 1
    column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        message = "the file is UTF-16, not UTF-8: save it as UTF-8"
    else:
        message = f"the byte 0x{data[error.start]:02x} is not UTF-8 text: save the file as UTF-8"
    return Problem("not-text", message, Place(shown, line, column))
