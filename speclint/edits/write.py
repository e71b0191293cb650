"""Changing a user's files: all of them or none, and never over a change that somebody else made meanwhile."""

import os
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from speclint.errors import WriteRefusedError, reason_of
from speclint.whole_files import StagedFile, staged

if sys.platform != "win32":
    import fcntl

_PATIENCE_S: Final = 5.0
_PAUSE_S: Final = 0.02
_MARK: Final = "\ufeff"


class ChangedMeanwhileError(WriteRefusedError):
    """Somebody else changed the file between its reading and its writing."""


@dataclass(frozen=True, slots=True)
class Rewrite:
    """New text for a file: `file` is its name for people, `path` leads to it with all links followed.

    The texts come without a byte order mark; one that the file has is kept.
    """

    file: str
    path: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class TextAsRead:
    """The text of a file as it was read, without a byte order mark; `file` and `path` are as in `Rewrite`."""

    file: str
    path: str
    text: str


def write_all(rewrites: Sequence[Rewrite], resting_on: Sequence[TextAsRead] = ()) -> None:
    """Write files, each at once and whole; not one of them before all are known to be as they were read.

    Whoever else writes with this function waits meanwhile. The mode of a file is kept.

    Args:
        rewrites: what to write.
        resting_on: files, those that are written among them or not, as they were when it was decided what to write.

    Raises:
        ChangedMeanwhileError: A file is not as it was read. None was written.
        WriteRefusedError: A file cannot be written. None was, unless the message says which.
    """
    with ExitStack() as stack:
        to_write = [TextAsRead(rewrite.file, rewrite.path, rewrite.before) for rewrite in rewrites]
        for folder in sorted({Path(text.path).parent for text in (*to_write, *resting_on)}):
            stack.enter_context(_alone_in(folder))
        new_files = [stack.enter_context(staged(rewrite.file, rewrite.path, must_exist=True)) for rewrite in rewrites]
        for rewrite, text, new_file in zip(rewrites, to_write, new_files, strict=True):
            _fill(new_file, _mark_of(text) + rewrite.after)
        for text in (*to_write, *resting_on):
            _mark_of(text)
        for done, new_file in enumerate(new_files):
            try:
                new_file.replace()
            except OSError as error:
                written = ", ".join(rewrite.file for rewrite in rewrites[:done])
                but = f" (written already: {written})" if written else ""
                raise WriteRefusedError(f"{new_file.file} cannot be written: {reason_of(error)}{but}") from error


def write_new(file: str, path: str, text: str) -> None:
    """Write a file that is not there yet, and the folders that it is to lie in; `file` is its name for people.

    Raises:
        WriteRefusedError: Something of that name is there already, or it cannot be written.
    """
    if os.path.lexists(path):
        raise WriteRefusedError(f"{file} is there already, and is left as it is: choose another name")
    try:
        Path(path).parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise WriteRefusedError(f"{file} cannot be written: {reason_of(error)}") from error
    with staged(file, path) as new_file:
        _fill(new_file, text)
        try:
            new_file.put_new()
        except FileExistsError as error:
            raise WriteRefusedError(f"{file} is there already, and is left as it is: choose another name") from error
        except OSError as error:
            raise WriteRefusedError(f"{file} cannot be written: {reason_of(error)}") from error


def _fill(new_file: StagedFile, text: str) -> None:
    try:
        new_file.write(text.encode())
        new_file.close()
    except (OSError, UnicodeError) as error:
        raise WriteRefusedError(f"{new_file.file} cannot be written, nothing was: {reason_of(error)}") from error


def _mark_of(read: TextAsRead) -> str:
    """The byte order mark of a file that is still as it was read."""
    try:
        data = Path(read.path).read_bytes()
    except OSError as error:
        raise WriteRefusedError(f"{read.file} cannot be read again, nothing was written: {reason_of(error)}") from error
    for mark in ("", _MARK, _MARK * 2):
        if data == (mark + read.text).encode():
            return mark
    raise ChangedMeanwhileError(
        f"{read.file} was changed by someone else meanwhile, so nothing was written: look at it and try again"
    )


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Keep others who write with this module out of a folder, where the system has locks for that."""
    if sys.platform == "win32":
        yield
        return
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except OSError:
        yield  # Writing into it will say what is wrong.
        return
    try:
        deadline = time.monotonic() + _PATIENCE_S
        while not _locked(descriptor):
            if time.monotonic() > deadline:
                raise WriteRefusedError("another program is writing in the same folder: nothing was written, try again")
            time.sleep(_PAUSE_S)
        yield
    finally:
        os.close(descriptor)


if sys.platform != "win32":

    def _locked(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:
            return True  # A file system without locks: the comparison right before writing has to do.
        return True
