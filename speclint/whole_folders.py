"""Writing whole folders: all files go beside the place and take it at once, so that nobody ever finds half of one."""

import glob
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from speclint.errors import WriteRefusedError, reason_of
from speclint.whole_files import is_locked_by_us

_NEW: Final = ".speclint-new"
_OLD: Final = ".speclint-old"


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
    with _failure_told(shown):
        _clear_leftovers(target.parent, target.name, _OLD)
        _clear_leftovers(target.parent, target.name, _NEW)
    _refuse_foreign(shown, target, why_not_own)
    with _failure_told(shown):
        target.parent.mkdir(parents=True, exist_ok=True)
        with _beside(target, target.parent, _NEW) as made:
            _fill(made, files)
            _swap(made, target)


def fill_folder(shown: str, path: str, files: Mapping[str, bytes]) -> None:
    """Put files into a folder that is not there, or has nothing in it but git's own; `shown` is its name for people.

    Raises:
        WriteRefusedError: something else is there, or they cannot be written. None was then.
    """
    target = Path(path)
    is_there = os.path.lexists(target)
    parent = target if is_there else target.parent
    with _failure_told(shown):
        _clear_leftovers(parent, target.name, _NEW)
        if is_there and not (target.is_dir() and {file.name for file in target.iterdir()} <= {".git"}):
            raise WriteRefusedError(f"{shown} is there already, and is left as it is: choose another name")
        parent.mkdir(parents=True, exist_ok=True)
        with _beside(target, parent, _NEW) as made:
            _fill(made, files)
            for part in made.iterdir() if is_there else ():
                part.rename(target / part.name)
            if not is_there:
                made.rename(target)


@contextmanager
def _failure_told(shown: str) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise WriteRefusedError(f"{shown} cannot be written, nothing was: {reason_of(error)}") from error


@contextmanager
def _beside(target: Path, parent: Path, ending: str) -> Iterator[Path]:
    """A new folder that is named after another one, gone at the end; it is locked, so that nobody takes it for a leftover."""
    made = Path(tempfile.mkdtemp(prefix=f".{target.name}.", suffix=ending, dir=parent))
    try:
        with _locked(made):
            yield made
    finally:
        shutil.rmtree(made, ignore_errors=True)


@contextmanager
def _locked(folder: Path) -> Iterator[bool]:
    """Whether a folder could be locked, where the system has locks for folders."""
    try:
        descriptor = os.open(folder, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0))
    except OSError:
        yield False
        return
    try:
        yield is_locked_by_us(descriptor)
    finally:
        os.close(descriptor)


def _clear_leftovers(parent: Path, name: str, ending: str) -> None:
    """Removes what a program left for a folder that was killed, and puts back what it had just taken out of its place."""
    for leftover in parent.glob(f".{glob.escape(name)}.????????{ending}"):
        with _locked(leftover) as is_abandoned:
            if is_abandoned:
                kept = leftover / name
                if ending == _OLD and kept.exists() and not os.path.lexists(parent / name):
                    kept.rename(parent / name)
                # Where something else has its place, what was taken out of it may be all there is.
                if ending == _NEW or not kept.exists() or (parent / name).exists():
                    shutil.rmtree(leftover, ignore_errors=True)


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.chmod(0o777 & ~_umask())
    for name, data in files.items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(data)


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
    """The new folder into the place of the old one, which comes back where that fails or is interrupted."""
    if not target.exists():
        made.rename(target)
        return
    with _beside(target, target.parent, _OLD) as old:
        try:
            target.rename(old / target.name)
            made.rename(target)
        finally:
            if not target.exists():
                (old / target.name).rename(target)


def _umask() -> int:
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
