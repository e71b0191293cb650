"""Writing whole files: all bytes go beside the file and take its place at once, or nothing changes."""

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO, Final

from speclint.errors import WriteRefusedError, reason_of

__all__ = ["StagedFile", "staged"]

_WRITING: Final = 0o222
_NEW_FILE: Final = 0o666


class StagedFile:
    """A file in the making, beside the one whose place it will take; `file` is that one's name for people."""

    def __init__(self, file: str, target: Path, temporary: Path, stream: BinaryIO) -> None:
        self.file = file
        self._target = target
        self._temporary = temporary
        self._stream = stream

    def write(self, data: bytes) -> None:
        """Adds to it.

        Raises:
            OSError: it cannot be written.
        """
        self._stream.write(data)

    def close(self) -> None:
        """Has all of it on the disk.

        Raises:
            OSError: it cannot be written.
        """
        if not self._stream.closed:
            self._stream.flush()
            os.fsync(self._stream.fileno())
            self._stream.close()

    def replace(self) -> None:
        """Puts it in the place of the file, or where none is yet.

        Raises:
            OSError: it cannot be put there.
        """
        self.close()
        self._temporary.replace(self._target)
        self._settle()

    def put_new(self) -> None:
        """Puts it where nothing is yet.

        Raises:
            FileExistsError: something is.
            OSError: it cannot be put there.
        """
        self.close()
        try:
            os.link(self._temporary, self._target)
        except FileExistsError:
            raise
        except (OSError, AttributeError):
            # A file system without links. Between the look and the renaming somebody else may still be quicker.
            if os.path.lexists(self._target):
                raise FileExistsError(self._target) from None
            self._temporary.rename(self._target)
        else:
            self._temporary.unlink()
        self._settle()

    def _settle(self) -> None:
        """Has the file's new name on the disk, too, where the system can be asked for it."""
        with suppress(OSError):
            descriptor = os.open(self._target.parent, os.O_RDONLY)
            try:
                os.fsync(descriptor)
            finally:
                os.close(descriptor)


@contextmanager
def staged(file: str, path: str, *, must_exist: bool = False) -> Iterator[StagedFile]:
    """A file to fill, which is gone again at the end unless it was put in its place.

    The mode and the owner of a file whose place it takes are kept.

    Args:
        file: the file's name for people.
        path: leads to it, with all links followed.
        must_exist: refuse to make a file that is not there yet.

    Raises:
        WriteRefusedError: what is there must not be written, or the folder cannot be written in.
    """
    target, temporary, stream = Path(path), None, None
    try:
        try:
            before = _state(target, must_exist=must_exist)
            if before is not None:
                _refuse_unwritable(file, path, before)
            temporary, stream = _beside(target)
            _take_over(temporary, before)
        except OSError as error:
            raise WriteRefusedError(f"{file} cannot be written, nothing was: {reason_of(error)}") from error
        yield StagedFile(file, target, temporary, stream)
    finally:
        if stream is not None:
            with suppress(OSError):
                stream.close()
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink(missing_ok=True)


def _state(target: Path, *, must_exist: bool) -> os.stat_result | None:
    try:
        return target.stat()
    except FileNotFoundError:
        if must_exist:
            raise
        return None


def _refuse_unwritable(file: str, path: str, state: os.stat_result) -> None:
    if not stat.S_ISREG(state.st_mode):
        raise WriteRefusedError(f"{file} is no ordinary file, so nothing was written")
    # The mode counts for a superuser, too, whom the system would let through.
    if not state.st_mode & _WRITING or not os.access(path, os.W_OK):
        raise WriteRefusedError(f"{file} is read-only, so nothing was written")
    if state.st_nlink > 1:
        raise WriteRefusedError(
            f"{file} has another name (a hard link), which would keep the old text: nothing was written; copy the file"
            " to make it one of its own"
        )


def _beside(target: Path) -> tuple[Path, BinaryIO]:
    import tempfile

    descriptor, name = tempfile.mkstemp(prefix=f".{target.name[:100]}.", suffix=".new", dir=target.parent)
    return Path(name), os.fdopen(descriptor, "wb")


def _take_over(temporary: Path, before: os.stat_result | None) -> None:
    """Gives the file the mode and the owner of the one whose place it takes, or those of any new file."""
    if before is None:
        mask = os.umask(0)
        os.umask(mask)
        temporary.chmod(_NEW_FILE & ~mask)
        return
    # A file of another user's stays that user's, where the system lets it be given away.
    with suppress(OSError, AttributeError):
        os.chown(temporary, before.st_uid, before.st_gid)
    temporary.chmod(stat.S_IMODE(before.st_mode))
