"""Where reports go: to standard output or into files, and never over a file that somebody wrote by hand."""

import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from speclint.errors import UnreadableError, UsageError, WriteRefusedError
from speclint.files import Folder
from speclint.reports import Paper


@dataclass(frozen=True, slots=True)
class Delivered:
    """What could not be written, and whether whoever reads standard output has closed it, which is no error."""

    troubles: tuple[str, ...]
    seen_enough: bool


def refuse_clashes(reports: Sequence[tuple[str, str]], folder: Folder) -> None:
    """Looks at the places of all reports before any work is done.

    Args:
        reports: the kind and the path of each; an empty path is standard output.
        folder: the current folder.

    Raises:
        UsageError: two reports would go to one place.
        WriteRefusedError: a report would be written over a speclint file.
    """
    taken: set[str] = set()
    for _, path in reports:
        place = folder.full(path) if path else ""
        if place in taken:
            raise UsageError(
                f"two reports cannot both go to {path or 'standard output'}: give one of them another path"
            )
        taken.add(place)
        if path and folder.read(path).declares:
            raise WriteRefusedError(f"{path} is a speclint file, which no report is written over: give another path")


def deliver(reports: Sequence[tuple[str, str]], written: Callable[[str, Paper], str], paper: Paper) -> Delivered:
    """Writes every report to its place; one that cannot be written costs no other one.

    Args:
        reports: the kind and the path of each; an empty path is standard output. None at all: the sheet goes there.
        written: makes a report of a kind, for the paper that it goes on.
        paper: what standard output is.
    """
    troubles: list[str] = []
    seen_enough = False
    for kind, path in reports or (("text", ""),):
        try:
            if path:
                save(path, written(kind, Paper()))
            else:
                seen_enough = not put_out(written(kind, paper))
        except UnreadableError as error:
            troubles.append(str(error))
    return Delivered(tuple(troubles), seen_enough)


def save(path: str, text: str) -> None:
    """Writes a report into a file.

    Raises:
        UnreadableError: the file cannot be written.
    """
    try:
        # A name of a file that is no text has no other way into UTF-8, and in JSON this is one that can be read back.
        with open(path, "wb") as file:
            file.write(text.encode("utf-8", "backslashreplace"))
    except (OSError, ValueError) as error:
        raise UnreadableError(f"{path}: the report cannot be written: {_reason(error)}") from error


def put_out(text: str) -> bool:
    """Writes to standard output, colours and all, and sees to it that it has arrived.

    Returns:
        Whether somebody took all of it; who has seen enough closes the pipe, which is no error.

    Raises:
        UnreadableError: it cannot be written.
    """
    import click

    try:
        click.echo(text, nl=False, color=True)
        if sys.stdout is not None:
            sys.stdout.flush()
    except OSError as error:
        # What could not be written must not be tried again when Python ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if isinstance(error, BrokenPipeError):
            return False
        raise UnreadableError(f"standard output cannot be written: {_reason(error)}") from error
    return True


def _reason(error: Exception) -> str:
    return (getattr(error, "strerror", None) or str(error)).lower()
