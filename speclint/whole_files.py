"""Writing whole files: all bytes go beside the file and take its place at once, or nothing changes."""

import os
import re
import stat
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO, Final

from speclint.errors import WriteRefusedError, reason_of

if sys.platform != "win32":
    import fcntl

PUT_IN_PLACE: Final[list[str]] = []
"""The files that this process has written so far, for whoever has to say so after an interruption."""

_WRITING: Final = 0o222
_NEW_FILE: Final = 0o666
_OWN_FILE: Final = 0o600
_ENDING: Final = ".new"


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
        PUT_IN_PLACE.append(self.file)
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
        PUT_IN_PLACE.append(self.file)
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
    target, stream = Path(path), None
    beginning = f".{target.name[:100]}."
    # Its name is known before it is there, so that an interrupt at any step leaves nothing behind.
    temporary = target.with_name(f"{beginning}{os.urandom(8).hex()}{_ENDING}")
    try:
        try:
            # Before it is looked at: one that was killed between two steps left the file a second name.
            _clear_leftovers(target.parent, beginning)
            before = _state(target, must_exist=must_exist)
            if before is not None:
                _refuse_unwritable(file, path, before)
            stream = _opened(temporary)
            _take_over(temporary, before)
        except OSError as error:
            raise WriteRefusedError(f"{file} cannot be written, nothing was: {reason_of(error)}") from error
        yield StagedFile(file, target, temporary, stream)
    finally:
        if stream is not None:
            with suppress(OSError):
                stream.close()
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


def _opened(temporary: Path) -> BinaryIO:
    """A new file, which is locked for as long as it is made, so that nobody takes it for a leftover."""
    while True:
        descriptor = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), _OWN_FILE)
        if not is_locked_by_us(descriptor) or temporary.exists():
            return os.fdopen(descriptor, "wb")
        os.close(descriptor)  # somebody has cleared it away before it was locked


def _clear_leftovers(folder: Path, beginning: str) -> None:
    """Remove what a program left beside a file that was killed before it could put it in place."""
    if sys.platform == "win32":
        return
    with suppress(OSError), os.scandir(folder) as entries:
        pattern = re.compile(f"{re.escape(beginning)}[0-9a-f]{{16}}{re.escape(_ENDING)}")
        names = [entry.name for entry in entries if pattern.fullmatch(entry.name)]
        for name in names:
            with suppress(OSError):
                descriptor = os.open(folder / name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
                try:
                    if stat.S_ISREG(os.fstat(descriptor).st_mode) and is_locked_by_us(descriptor):
                        (folder / name).unlink()
                finally:
                    os.close(descriptor)


def is_locked_by_us(descriptor: int) -> bool:
    """Whether a file could be locked, which its maker does for as long as it lives; not where there are no locks."""
    if sys.platform == "win32":
        return False
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


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
