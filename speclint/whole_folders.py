"""Writing whole folders: all files go beside the place and take it at once, so that nobody ever finds half of one."""

import os
import shutil
import tempfile
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path

from speclint.errors import WriteRefusedError, reason_of


def write_folder(
    shown: str, path: str, files: Mapping[str, bytes], why_not_own: Callable[[Mapping[str, bytes]], str]
) -> None:
    """Put a folder of files in its place, and what was there before out of it.

    Args:
        shown: the folder's name for people.
        path: the folder; the one that it stands in is made where it is missing.
        files: what it is to hold, by paths with "/" between their parts.
        why_not_own: why the files that are there must not be replaced, in words; "" where they may.

    Raises:
        WriteRefusedError: what stands there is not to be replaced, or it cannot be written. Nothing has changed then.
    """
    target = Path(path)
    _refuse_foreign(shown, target, why_not_own)
    parent = target.parent
    made: Path | None = None
    try:
        parent.mkdir(parents=True, exist_ok=True)
        made = Path(tempfile.mkdtemp(prefix=f".{target.name}.", suffix=".new", dir=parent))
        made.chmod(0o777 & ~_umask())
        for name, data in files.items():
            file = made / name
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(data)
        _swap(made, target)
    except OSError as error:
        raise WriteRefusedError(f"{shown} cannot be written, nothing was: {reason_of(error)}") from error
    finally:
        if made is not None:
            shutil.rmtree(made, ignore_errors=True)


def _refuse_foreign(shown: str, target: Path, why_not_own: Callable[[Mapping[str, bytes]], str]) -> None:
    try:
        is_foreign = target.is_symlink() or (target.exists() and not target.is_dir())
        present = _files_of(target) if target.is_dir() and not is_foreign else {}
    except OSError as error:
        raise WriteRefusedError(f"{shown} cannot be read: {reason_of(error)}") from error
    if is_foreign:
        raise WriteRefusedError(f"{shown} is no folder, and is left as it is: choose another name")
    reason = why_not_own(present) if present else ""
    if reason:
        raise WriteRefusedError(
            f"{shown} is left as it is: {reason}; choose another folder, or empty this one yourself"
        )


def _files_of(folder: Path) -> dict[str, bytes]:
    """Everything in a folder that is no folder; a link counts as what it is, and has nothing in it."""
    return {
        file.relative_to(folder).as_posix(): b"" if file.is_symlink() else file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.is_symlink() or not file.is_dir()
    }


def _swap(made: Path, target: Path) -> None:
    """The new folder into the place of the old one, which comes back where that fails."""
    if not target.exists():
        made.rename(target)
        return
    old = Path(tempfile.mkdtemp(prefix=f".{target.name}.", suffix=".old", dir=target.parent))
    try:
        target.rename(old / target.name)
        try:
            made.rename(target)
        except OSError:
            (old / target.name).rename(target)
            raise
    finally:
        with suppress(OSError):
            shutil.rmtree(old)


def _umask() -> int:
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
