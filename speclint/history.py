"""A repository's files as they were: the only room that starts git, and never one that changes anything."""

import os
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from functools import cached_property
from typing import Final

from speclint.errors import UsageError
from speclint.plain import listed

_YAML: Final = (".yaml", ".yml")
_PLAIN_FILES: Final = ("100644", "100755")
_SUBMODULE: Final = "160000"
_PATHS_AT_ONCE: Final = 200
"""A command line holds no more than some thousands of bytes everywhere."""
_TIMEOUT_S: Final = 60.0
"""Longer than any of these commands takes on a repository that people keep by hand."""


INDEX: Final = "index"
"""Names what is staged, in place of a revision."""


class Revision(Mapping[str, bytes]):
    """The YAML files of one commit, or of the index, by their names from the repository's top.

    They are read together, when first asked for.

    Raises:
        UsageError: on reading, a file of the index is not merged, so that nobody can tell what it will hold.
    """

    def __init__(self, top: str, commit: str) -> None:
        self.commit = commit
        self._top = top

    def __getitem__(self, name: str) -> bytes:
        return self._contents[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._contents)

    def __len__(self) -> int:
        return len(self._contents)

    @property
    def submodules(self) -> tuple[str, ...]:
        """The folders that are repositories of their own, so that this one does not have their files."""
        return tuple(name for described, name in self._listed if described.startswith(_SUBMODULE))

    @cached_property
    def _listed(self) -> list[tuple[str, str]]:
        """What git says of each file, and its name."""
        command = ("ls-files", "-s") if self.commit == INDEX else ("ls-tree", "-r", "--full-tree", self.commit)
        lines = (line.partition(b"\t") for line in _run(self._top, *command, "-z").split(b"\0") if line)
        return [(described.decode(), os.fsdecode(name)) for described, _, name in lines]

    @cached_property
    def _contents(self) -> dict[str, bytes]:
        blobs: dict[str, str] = {}
        unmerged: dict[str, None] = {}
        for described, shown in self._listed:
            mode, *words = described.split(" ")
            if mode in _PLAIN_FILES and shown.lower().endswith(_YAML):
                # A commit says "mode blob id", the index "mode id stage"; stages 1 to 3 are the sides of a conflict.
                blobs[shown] = words[0] if self.commit == INDEX else words[1]
                if self.commit == INDEX and words[1] != "0":
                    unmerged[shown] = None
        if unmerged:
            raise UsageError(
                f"{listed(unmerged)} {'is' if len(unmerged) == 1 else 'are'} not merged yet: keep one of the versions"
                " between git's lines, and stage that"
            )
        request = "".join(f"{object_id}\n" for object_id in blobs.values()).encode()
        return dict(zip(blobs, _blobs(_run(self._top, "cat-file", "--batch", stdin=request)), strict=True))


def revision(name: str) -> Revision:
    """The files of a commit of the repository around the current folder.

    Args:
        name: a commit, a tag or a branch; a day: then the last commit before its end; or `index`: what is staged.

    Raises:
        UsageError: there is no git, no repository, no such revision, or it lies beyond the end of a shallow clone.
    """
    top = os.fsdecode(_run(".", "rev-parse", "--show-toplevel").rstrip(b"\r\n"))
    if name == INDEX:
        return Revision(top, INDEX)
    commit = _commit(top, name)
    if not commit and _run(top, "rev-parse", "--is-shallow-repository").strip() == b"true":
        raise UsageError(
            f"{name} is not among the commits that were fetched: this clone is shallow, and `git fetch --unshallow`"
            " brings the rest"
        )
    if not commit and _day(name) is not None:
        raise UsageError(f"the repository has no commit of {name} or before it")
    if not commit:
        raise UsageError(f"there is no revision {name}: name a commit, a tag or a branch, or a day as 2026-03-14")
    return Revision(top, commit)


def untracked(top: str, files: Mapping[str, str]) -> frozenset[str]:
    """Which files git does not have; none where it cannot be asked, as that is no failure of whoever asks.

    Args:
        top: the whole path of the repository's top.
        files: their whole paths, by the names that people are shown.
    """
    inside = {
        shown: full.removeprefix(f"{top}{os.sep}") for shown, full in files.items() if full.startswith(f"{top}{os.sep}")
    }
    names = {shown: name.replace(os.sep, "/") for shown, name in inside.items()}
    if _is_without_index(top):
        return frozenset(names)
    unsure = _not_in_index(top, set(names.values()))
    tracked: set[str] = set()
    try:
        for start in range(0, len(unsure), _PATHS_AT_ONCE):
            words = ("--literal-pathspecs", "ls-files", "-z", "--", *unsure[start : start + _PATHS_AT_ONCE])
            tracked.update(os.fsdecode(name) for name in _run(top, *words).split(b"\0"))
    except UsageError:
        return frozenset()
    missing = set(unsure) - tracked
    return frozenset(shown for shown, name in names.items() if name in missing)


def ignored(top: str, paths: Iterable[str]) -> frozenset[str]:
    """Which whole paths git is told to ignore and does not have; none where it cannot be asked.

    Args:
        top: the whole path of the repository's top.
        paths: any whole paths; of those outside the repository nothing is said.
    """
    inside = [path for path in paths if path.startswith(f"{top}{os.sep}")]
    if not inside:
        return frozenset()
    request = b"".join(os.fsencode(path) + b"\0" for path in inside)
    try:
        answer = _run(top, "check-ignore", "-z", "--stdin", stdin=request, may_fail=True)
    except UsageError:
        return frozenset()
    return frozenset(os.fsdecode(path) for path in answer.split(b"\0") if path)


def _is_without_index(top: str) -> bool:
    """Whether nothing was ever added to a repository, so that git need not be asked."""
    folder = os.path.join(top, ".git")
    is_usual = os.path.isdir(folder) and "GIT_INDEX_FILE" not in os.environ
    return is_usual and not os.path.exists(os.path.join(folder, "index"))


def _not_in_index(top: str, names: set[str]) -> list[str]:
    """The names that git's list of its files does not plainly hold; to look there costs a hundredth of asking git.

    Source: gitformat-index. In versions 2 and 3 an entry ends in 16 bits, the last 12 of which are the length of its
    name, the name and a zero; where it is written otherwise git is asked.
    """
    try:
        with open(f"{top}{os.sep}.git{os.sep}index", "rb") as file:
            index = file.read()
    except OSError:
        return sorted(names)
    spelled = {name: os.fsencode(name) for name in names}
    return sorted(
        name for name, data in spelled.items() if min(len(data), 0xFFF).to_bytes(2, "big") + data + b"\0" not in index
    )


def place_in_repository() -> str:
    """The name of the current folder from its repository's top, with "/" behind it; "" at the top itself.

    Raises:
        UsageError: there is no git, or no repository.
    """
    return os.fsdecode(_run(".", "rev-parse", "--show-prefix").rstrip(b"\r\n"))


def _commit(top: str, name: str) -> str:
    day = _day(name)
    if day is not None:
        before = f"--before={day.isoformat()}T23:59:59"
        return _run(top, "rev-list", "--max-count=1", before, "HEAD", may_fail=True).decode().strip()
    words = ("rev-parse", "--verify", "--quiet", "--end-of-options", f"{name}^{{commit}}")
    return _run(top, *words, may_fail=True).decode().strip()


def _day(name: str) -> date | None:
    try:
        return date.fromisoformat(name) if len(name) == len("2026-03-14") else None
    except ValueError:
        return None


def _blobs(answer: bytes) -> Iterator[bytes]:
    """The contents in an answer of `git cat-file --batch`: a line with the size, so many bytes, and a line's end."""
    start = 0
    while start < len(answer):
        end = answer.index(b"\n", start)
        size = int(answer[start:end].rpartition(b" ")[2])
        yield answer[end + 1 : end + 1 + size]
        start = end + 1 + size + 1


def _run(folder: str, *words: str, stdin: bytes = b"", may_fail: bool = False) -> bytes:
    """What a git command writes; "" where it fails and may."""
    import subprocess  # slow to import, and most runs start nothing

    # Nothing is written, fetched or asked for, and no program that a repository's settings name is started.
    environment = {
        **os.environ,
        "GIT_OPTIONAL_LOCKS": "0",
        "GIT_NO_LAZY_FETCH": "1",
        "GIT_TERMINAL_PROMPT": "0",
        "LC_ALL": "C",
    }
    try:
        done = subprocess.run(  # noqa: S603 - the words are ours; a revision's name stands behind --end-of-options
            ["git", "-c", "core.fsmonitor=false", *words],  # noqa: S607 - the git that the user works with
            cwd=folder,
            input=stdin,
            capture_output=True,
            env=environment,
            timeout=_TIMEOUT_S,
            check=False,
        )
    except FileNotFoundError as error:
        raise UsageError("git was not found: install it to look at an earlier state of the files") from error
    except subprocess.TimeoutExpired as error:
        raise UsageError(f"git did not answer within {_TIMEOUT_S:.0f} s") from error
    if done.returncode == 0:
        return done.stdout
    if may_fail:
        return b""
    complaint = done.stderr.decode("utf-8", "replace").strip().splitlines()
    if complaint and "not a git repository" in complaint[0]:
        raise UsageError("this folder lies in no git repository, so there is no earlier state of the files to look at")
    raise UsageError(f"git says: {complaint[0] if complaint else f'status {done.returncode}'}")
