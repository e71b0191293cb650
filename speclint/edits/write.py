"""Writing: the one module that puts text into a user's files, all of it or none."""

import os
import stat
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from speclint.errors import WriteRefusedError

if sys.platform != "win32":
    import fcntl

__all__ = ["ChangedMeanwhileError", "Rewrite", "write_all", "write_new"]

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


def write_all(rewrites: Sequence[Rewrite]) -> None:
    """Write files, each at once and whole; not one of them before all are known to be as they were read.

    Whoever else writes with this function waits meanwhile. The mode of a file is kept.

    Raises:
        ChangedMeanwhileError: A file is not as it was read. None was written.
        WriteRefusedError: A file cannot be written. None was, unless the message says which.
    """
    with ExitStack() as stack:
        for folder in sorted({Path(rewrite.path).parent for rewrite in rewrites}):
            stack.enter_context(_alone_in(folder))
        staged = [(rewrite, stack.enter_context(_staged(rewrite))) for rewrite in rewrites]
        for rewrite, _ in staged:
            _mark_of(rewrite)
        for done, (rewrite, temporary) in enumerate(staged):
            try:
                temporary.replace(rewrite.path)
            except OSError as error:
                written = ", ".join(one.file for one in rewrites[:done])
                but = f" (written already: {written})" if written else ""
                raise WriteRefusedError(f"{rewrite.file} cannot be written: {_reason(error)}{but}") from error
            _settle(temporary.parent)


def write_new(file: str, path: str, text: str) -> None:
    """Write a file that is not there yet; `file` is its name for people.

    Raises:
        WriteRefusedError: Something of that name is there already, or it cannot be written.
    """
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    except FileExistsError as error:
        raise WriteRefusedError(f"{file} is there already, and is left as it is: choose another name") from error
    except FileNotFoundError as error:
        raise WriteRefusedError(f"{file} cannot be written: its folder does not exist") from error
    except OSError as error:
        raise WriteRefusedError(f"{file} cannot be written: {_reason(error)}") from error
    try:
        _fill(descriptor, text.encode())
    except (OSError, UnicodeEncodeError) as error:
        with suppress(OSError):
            Path(path).unlink()
        raise WriteRefusedError(f"{file} cannot be written: {_reason(error)}") from error


@contextmanager
def _staged(rewrite: Rewrite) -> Iterator[Path]:
    """A temporary file beside the one to be written, with the new text in it."""
    import tempfile

    target = Path(rewrite.path)
    temporary = None
    try:
        try:
            kind = target.stat()
            _refuse_unwritable(rewrite, kind)
            text = _mark_of(rewrite) + rewrite.after
            descriptor, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".new", dir=target.parent)
            temporary = Path(name)
            _fill(descriptor, text.encode())
            # A file of another user's stays that user's, where the system lets it be given away.
            with suppress(OSError, AttributeError):
                os.chown(temporary, kind.st_uid, kind.st_gid)
            temporary.chmod(stat.S_IMODE(kind.st_mode))
        except (OSError, UnicodeError) as error:
            raise WriteRefusedError(f"{rewrite.file} cannot be written, nothing was: {_reason(error)}") from error
        yield temporary
    finally:
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink(missing_ok=True)


def _refuse_unwritable(rewrite: Rewrite, kind: os.stat_result) -> None:
    if not stat.S_ISREG(kind.st_mode):
        raise WriteRefusedError(f"{rewrite.file} is no ordinary file, so nothing was written")
    # The mode counts for a superuser, too, whom the system would let through.
    if not kind.st_mode & 0o222 or not os.access(rewrite.path, os.W_OK):
        raise WriteRefusedError(f"{rewrite.file} is read-only, so nothing was written")


def _mark_of(rewrite: Rewrite) -> str:
    """The byte order mark of a file that is still as it was read."""
    try:
        data = Path(rewrite.path).read_bytes()
    except OSError as error:
        raise WriteRefusedError(
            f"{rewrite.file} cannot be read again, nothing was written: {_reason(error)}"
        ) from error
    for mark in ("", _MARK, _MARK * 2):
        if data == (mark + rewrite.before).encode():
            return mark
    raise ChangedMeanwhileError(
        f"{rewrite.file} was changed by someone else meanwhile, so nothing was written: look at it and try again"
    )


def _fill(descriptor: int, data: bytes) -> None:
    with os.fdopen(descriptor, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


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


def _settle(folder: Path) -> None:
    """Have the file's new name on the disk, too, where the system can be asked for it."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _reason(error: Exception) -> str:
    return ((error.strerror if isinstance(error, OSError) else None) or str(error)).lower()
