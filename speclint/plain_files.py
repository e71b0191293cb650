"""What a plain file holds: all of its bytes, as they were at one moment."""

import errno
import os
import stat
from typing import Final

MAX_BYTES: Final = 1024 * 1024
"""The largest file that is read, in bytes."""

_UNSIZED_AT_ONCE: Final = 64 * 1024
"""How many bytes are asked for at once of a file that states no size, as the kernel's own do."""

_ATTEMPTS: Final = 3
"""How often a file is read anew that somebody writes at the same moment: half of the old text and half of the new is none."""

_OPENING: Final = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0)
"""A pipe that nobody writes to must not keep us waiting."""


def bytes_of(path: str) -> bytes | None:
    """What a file holds, a byte too many of one that is too large; None for what is no plain file.

    Raises:
        OSError: it cannot be read.
        ValueError: its name cannot be that of a file.
    """
    descriptor = os.open(path, _OPENING)
    try:
        state = os.fstat(descriptor)
        if stat.S_ISDIR(state.st_mode):
            raise IsADirectoryError
        if not stat.S_ISREG(state.st_mode):
            return None
        for _ in range(_ATTEMPTS):
            data = _all_of(descriptor, state.st_size)
            before, state = state, os.fstat(descriptor)
            is_as_before = (before.st_size, before.st_mtime_ns) == (state.st_size, state.st_mtime_ns)
            # The time of a change is set before its bytes are: half of them may have been there at both looks.
            if is_as_before and (not state.st_size or _all_of(descriptor, state.st_size) == data):
                return data
    finally:
        os.close(descriptor)
    raise OSError(errno.EBUSY, "somebody is writing it")


def _all_of(descriptor: int, size: int) -> bytes:
    """What an open file holds, a byte too many of one that is too large."""
    os.lseek(descriptor, 0, os.SEEK_SET)
    parts = []
    left = MAX_BYTES + 1
    at_once = size + 1 if size else _UNSIZED_AT_ONCE
    while left and (part := os.read(descriptor, min(left, at_once))):
        parts.append(part)
        left -= len(part)
    return b"".join(parts)
