"""Reading: files found under paths, files that others name, and their text. Nothing here writes."""

import os
import stat
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import Final, NamedTuple

from speclint.documents.declared import declared_kind, holds_nothing, not_text, wide_encoding
from speclint.errors import reason_of
from speclint.places import Place
from speclint.plain_files import MAX_BYTES, bytes_of
from speclint.problems import NO_ACCESS, Problem

_MOST_WAITING: Final = 8 * 1024 * 1024
"""Characters of texts that are kept until their turn comes: those of some thousand cars."""

_YAML: Final = (".yaml", ".yml")
_MARK: Final = "\ufeff"


class FileText(NamedTuple):
    """One file as it was read: its text, without a byte order mark, or the problem that kept it from being text."""

    file: str
    text: str
    problem: Problem | None = None
    declares: str = ""
    is_ours: bool = False
    """It comes with speclint, or with the site that publishes it, and was held to its schema there."""
    has_mark: bool = False
    """A byte order mark stands before the text."""

    @property
    def sha256(self) -> str:
        """The SHA-256 of the file's bytes, in hexadecimal digits, as `sha256sum` prints it; of a text alone."""
        from hashlib import sha256  # slow to import, and few reports show it

        return sha256(f"{_MARK if self.has_mark else ''}{self.text}".encode()).hexdigest()


def file_text(shown: str, data: bytes) -> FileText:
    """The text that a file's bytes are, or the problem that keeps them from being text."""
    declares = declared_kind(data)
    if len(data) > MAX_BYTES:
        return FileText(shown, "", Problem("too-large", "the file is larger than 1 MiB", Place(shown)), declares)
    wide = wide_encoding(data)
    if wide:
        message = f"the file is {wide[:6].upper()}, not UTF-8: save it as UTF-8"
        return FileText(shown, "", Problem("not-text", message, Place(shown)), declares)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return FileText(shown, "", not_text(shown, data, error), declares)
    return FileText(shown, text, None, declares, has_mark=data.startswith(_MARK.encode()))


class ListedFile(NamedTuple):
    """A file that says it is one of speclint's, and which; its text is read when its turn comes."""

    file: str
    declares: str = ""


class Found(NamedTuple):
    """What lies under the paths that were asked for; `named` are all files that were asked for by name.

    `troubles` are paths that nobody could look at, and why; `passed_over` are no files of speclint's.
    """

    files: tuple[ListedFile, ...]
    troubles: tuple[str, ...]
    passed_over: tuple[str, ...] = ()
    named: frozenset[str] = frozenset()
    submodules: tuple[str, ...] = ()  # whose files another repository has


class _Candidate(NamedTuple):
    """A name of a file that was come across; one file may have several."""

    is_link: bool
    shown: str
    is_named: bool


Ignored = Callable[[str, Iterable[str]], frozenset[str]]
"""Says which of some whole paths in a repository, whose top it is given, git ignores."""


class Folder:
    """The current folder, from which every file is named; it remembers what it has looked up.

    Args:
        cwd: its path.
        keeps_texts: whether it keeps what it reads, each file as it was the first time.
        reads_once: whether it keeps, as far as there is room, what it has found until somebody reads it, who then gets the
            text by which it was found; for one run, since others may write the file meanwhile.
        ignored: says which whole paths git is told to ignore; asked only where a file says so.
    """

    def __init__(
        self, cwd: str, *, keeps_texts: bool = False, reads_once: bool = False, ignored: Ignored | None = None
    ) -> None:
        self._ignored = ignored
        self._ignoring: set[str] = set()
        self._keeps_texts = keeps_texts
        self._kept_texts: dict[str, FileText] = {}
        self._room = _MOST_WAITING if reads_once else 0
        self._cwd = os.path.realpath(cwd)
        self._inside = self._cwd.rstrip(os.sep) + os.sep
        self._roots: dict[str, str | None] = {}
        self._full: dict[str, str] = {}
        self._rulesets: dict[str, tuple[str, ...]] = {}

    def shown(self, path: str) -> str:
        """A path as people are shown it: from the current folder, with "/" between its parts."""
        full = os.path.normpath(os.path.join(self._cwd, path))
        inside = full[len(self._inside) :] if full.startswith(self._inside) else os.path.relpath(full, self._cwd)
        return inside.replace(os.sep, "/")

    def full(self, shown: str) -> str:
        """The whole path of a file, links followed: two names of one file have the same."""
        full_path = self._full.get(shown)
        if full_path is None:
            try:
                full_path = os.path.realpath(os.path.join(self._cwd, shown))
            except ValueError:  # a character that no file's name can have
                full_path = os.path.join(self._cwd, shown)
            self._full[shown] = full_path
        return full_path

    def beside(self, file: str, reference: str) -> str:
        """A path that a file names, which starts at the file's own folder."""
        return self.shown(os.path.join(os.path.dirname(file), reference))

    def find(self, paths: Iterable[str], *, pass_over: bool = False, most_folders: int | None = None) -> Found:
        """The speclint files under the paths, each once and in order, whatever the order of the paths.

        In folders, YAML that declares no speclint format is passed over in silence, and so is whatever begins with a
        dot or git ignores, an environment of Python's, and `node_modules`. A file that was asked for by name is looked at all the same: what is no text, or empty, is among the
        files for its problem to be told; what is sound YAML of somebody else's is `passed_over`.

        Args:
            paths: files and folders.
            pass_over: treat files that are named like those in folders: nothing is said of what is not speclint's.
            most_folders: how many folders to look into below each path, the upper ones first; all where it is None.
        """
        paths = tuple(paths)
        candidates: dict[str, _Candidate] = {}
        troubles: list[str] = []
        for path in paths:
            self._look(path, candidates, troubles, most_folders)
        self._drop_ignored(paths, candidates)
        files: list[ListedFile] = []
        passed_over: list[str] = []
        for candidate in sorted(candidates.values(), key=lambda candidate: candidate.shown):
            text = self._kept_texts.get(candidate.shown) or self.read(candidate.shown)
            trouble = text.problem if text.problem is not None and text.problem.id in NO_ACCESS else None
            if trouble is not None:
                # A file of a folder that has gone, or that is no plain file, was nothing to check; a link that leads
                # nowhere and a file that must not be read may well have been.
                if candidate.is_named or candidate.is_link or _CANNOT in trouble.message:
                    troubles.append(f"{candidate.shown}: {trouble.message}")
            elif text.declares:
                files.append(ListedFile(candidate.shown, text.declares))
                if len(text.text) < self._room and text.file not in self._kept_texts:
                    self._room -= len(text.text)
                    self._kept_texts[text.file] = text
            elif candidate.is_named and not pass_over:
                if text.problem is not None or holds_nothing(text.text):
                    files.append(ListedFile(candidate.shown))
                else:
                    passed_over.append(candidate.shown)
        asked = frozenset(candidate.shown for candidate in candidates.values() if candidate.is_named)
        return Found(tuple(files), tuple(sorted(troubles)), tuple(passed_over), frozenset() if pass_over else asked)

    def read(self, shown: str) -> FileText:
        """The text of a file; what cannot be read has a problem in its place, never an exception."""
        text = self._kept_texts.get(shown) if self._keeps_texts else self._kept_texts.pop(shown, None)
        if text is None:
            text = self._read(shown)
            if self._keeps_texts:
                self._kept_texts[shown] = text
        return text

    @property
    def kept_texts(self) -> tuple[FileText, ...]:
        """What was read and could be, each file as it was the first time."""
        return tuple(text for text in self._kept_texts.values() if text.problem is None)

    def _read(self, shown: str) -> FileText:
        try:
            data = bytes_of(os.path.join(self._cwd, shown))
        except (FileNotFoundError, NotADirectoryError, ValueError):
            return FileText(shown, "", Problem("file-missing", "there is no such file", Place(shown)))
        except IsADirectoryError:
            return FileText(shown, "", Problem("file-unreadable", "it is a folder, not a file", Place(shown)))
        except OSError as error:
            return FileText(shown, "", Problem("file-unreadable", f"{_CANNOT}: {reason_of(error)}", Place(shown)))
        if data is None:
            return FileText(shown, "", Problem("file-unreadable", "it is not a plain file", Place(shown)))
        return file_text(shown, data)

    def rulesets_for(self, file: str) -> tuple[str, ...]:
        """The folders named `rulesets` beside a file and above it, up to the top of its repository, nearest first.

        Where there is no repository the way goes up to the current folder: what lies about in those above may be
        anybody's. The own folder of a file that does not lie in the current one is the only one for it.
        """
        start = os.path.dirname(file)
        folders = self._rulesets.get(start)
        if folders is None:
            folders = self._rulesets[start] = tuple(
                self.shown(candidate)
                for folder in self._upwards(self.full(start))
                if os.path.isdir(candidate := os.path.join(folder, "rulesets"))
            )
        return folders

    def uncounted_rulesets(self, file: str) -> str:
        """The nearest folder `rulesets` above a file that does not count for it, since there is no repository; or ""."""
        *_, top = self._upwards(folder := self.full(os.path.dirname(file)))
        above = os.path.dirname(top)
        while self._root(folder) is None and above != top:
            if os.path.isdir(candidate := os.path.join(above, "rulesets")):
                return self.shown(candidate)
            top, above = above, os.path.dirname(above)
        return ""

    @property
    def repository(self) -> str | None:
        """The whole path of the top of the git repository that the current folder lies in."""
        return self._root(self._cwd)

    def above(self, file: str) -> tuple[str, ...]:
        """The folder of a file and those above it, up to the top of its repository; its own alone where it has none."""
        folder = self.full(os.path.dirname(file))
        return tuple(map(self.shown, (folder,) if self._root(folder) is None else self._upwards(folder)))

    def siblings(self, file: str) -> tuple[FileText, ...]:
        """The speclint files in the folder of a file, itself among them; none where it cannot be looked at."""
        folder = os.path.dirname(file)
        try:
            with os.scandir(os.path.join(self._cwd, folder)) as entries:
                names = sorted(entry.name for entry in entries if entry.name.lower().endswith(_YAML))
        except OSError:
            return ()
        texts = (self.read(os.path.join(folder, name)) for name in names if not name.startswith("."))
        return tuple(text for text in texts if text.declares)

    def outside(self, file: str, reference: str) -> str:
        """Outside of what a file lies that another names: its repository, or the folders over its own and the current one."""
        own_folder, target = self.full(os.path.dirname(file)), f"{self.full(reference)}{os.sep}"
        root = self._root(own_folder)
        tops = (_over(own_folder), _over(self._cwd)) if root is None else (root,)
        if not target.startswith(tuple(top.rstrip(os.sep) + os.sep for top in tops)):
            return _FAR_OFF if root is None else "the repository of this file"
        return ""

    def _look(
        self, path: str, candidates: dict[str, _Candidate], troubles: list[str], most_folders: int | None
    ) -> None:
        """Adds the files under one path, by what they are with all links followed."""
        full = os.path.normpath(os.path.join(self._cwd, path))
        try:
            is_folder = stat.S_ISDIR(os.stat(full).st_mode)
        except FileNotFoundError:
            is_link = os.path.islink(full)
            troubles.append(f"{path}: {'the link leads nowhere' if is_link else 'there is no such file or folder'}")
            return
        except OSError as error:
            troubles.append(f"{path}: {_CANNOT}: {reason_of(error)}")
            return
        real = os.path.realpath(full)
        for rest, is_link in self._walk(full, troubles, most_folders) if is_folder else (("", False),):
            name = os.path.join(full, rest) if rest else full
            identity = os.path.realpath(name) if is_link else os.path.join(real, rest) if rest else real
            new = _Candidate(name != identity, self.shown(name), not is_folder)
            self._full[new.shown] = identity
            old = candidates.get(identity)
            if old is None:
                candidates[identity] = new
            else:
                best = min(old, new, key=lambda listed: (listed.is_link, listed.shown))
                candidates[identity] = _Candidate(best.is_link, best.shown, old.is_named or new.is_named)

    def _drop_ignored(self, paths: Iterable[str], candidates: dict[str, _Candidate]) -> None:
        """Takes out what git ignores, but for what was asked for by name, or lies in a folder that was."""
        top = self.repository
        if self._ignored is None or top is None:
            return
        if not self._ignoring and not any(
            os.path.exists(os.path.join(folder, _IGNORES))
            for path in paths
            for folder in self._upwards(self.full(path))
        ):
            return
        asked = [self.full(path) for path in paths]
        ignored = self._ignored(top, (*asked, *(name for name, listed in candidates.items() if not listed.is_named)))
        beneath = tuple(f"{path}{os.sep}" for path in asked if path in ignored)
        for name in ignored & candidates.keys():
            if not name.startswith(beneath) and not candidates[name].is_named:
                del candidates[name]

    def _walk(self, top: str, troubles: list[str], most_folders: int | None) -> Iterator[tuple[str, bool]]:
        """The YAML files of a folder and of those below it, from its top, and whether each is a link."""
        waiting = [""]
        # A list grows while it is gone through: so the upper folders come first.
        for below in islice(waiting, most_folders):
            try:
                with os.scandir(os.path.join(top, below)) as scanned:
                    entries = list(scanned)
                    names = {entry.name for entry in entries}
                    if _ENVIRONMENT in names and below:
                        continue
                    if _IGNORES in names:
                        self._ignoring.add(below)
                    for entry in entries:
                        if entry.name.startswith(".") or entry.name == _MODULES:
                            continue
                        if entry.is_dir(follow_symlinks=False):
                            waiting.append(os.path.join(below, entry.name))
                        elif entry.name.lower().endswith(_YAML) and not _is_folder(entry):
                            yield os.path.join(below, entry.name), entry.is_symlink()
            except OSError as error:
                troubles.append(f"{self.shown(os.path.join(top, below))}: {_CANNOT}: {reason_of(error)}")

    def _root(self, folder: str) -> str | None:
        """The top of the git repository that a folder lies in."""
        below: list[str] = []
        top: str | None = folder
        while top is not None and top not in self._roots and not os.path.exists(os.path.join(top, ".git")):
            below.append(top)
            parent = os.path.dirname(top)
            top = parent if parent != top else None
        root = self._roots.get(top, top) if top is not None else None
        self._roots.update(dict.fromkeys([*below, *([] if top is None else [top])], root))
        return root

    def _upwards(self, folder: str) -> Iterator[str]:
        top = self._root(folder)
        if top is None:
            top = self._cwd if folder.startswith(self._inside) else folder
        while folder != top:
            yield folder
            folder = os.path.dirname(folder)
        yield top


_IGNORES: Final = ".gitignore"
_ENVIRONMENT: Final = "pyvenv.cfg"
_MODULES: Final = "node_modules"
"""Says what git ignores; marks an environment (PEP 405); holds other people's packages."""

_CANNOT: Final = "it cannot be read"
_FAR_OFF: Final = "the folder over that of this file, and no git repository says that it belongs here"


def _over(folder: str) -> str:
    return folder if (parent := os.path.dirname(folder)) == os.path.dirname(parent) else parent


def _is_folder(entry: os.DirEntry[str]) -> bool:
    """Whether a link leads to a folder; links that lead in a circle lead to none."""
    try:
        return entry.is_dir()
    except OSError:
        return False
