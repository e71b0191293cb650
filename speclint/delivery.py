"""Where reports go: to standard output or into files, and never over a file that is not such a report already."""

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING, Any, Final, NamedTuple, Protocol

from speclint.errors import UsageError, WriteRefusedError, reason_of
from speclint.files import Folder
from speclint.reports import MemorySpool, Order, Paper, Report
from speclint.reports.kinds import Kind, begin, is_such_a_report

if TYPE_CHECKING:
    from speclint.whole_files import StagedFile

_ENDS: Final = 4096
"""Bytes at either end of a file that are looked at to know what it is."""


class Asked(NamedTuple):
    """The reports that were asked for: the kind for standard output, and the others with the path of each."""

    printed: Kind
    saved: tuple[tuple[Kind, str], ...] = ()


class _Place(Protocol):
    """Where the text of one report goes; both ways raise OSError where it cannot."""

    def write(self, text: str) -> None: ...

    def settle(self) -> None: ...


class Extraction:
    """Takes what each of some reports needs of a result, here or in a process of its own.

    Args:
        command: the command whose results are reported.
        orders: the kinds of the reports, and what each is made for.
    """

    def __init__(self, command: str, orders: Sequence[tuple[Kind, Order]]) -> None:
        self._command = command
        self._orders = tuple((kind, order._replace(spool=MemorySpool)) for kind, order in orders)
        self._reports = [begin(kind, command, order) for kind, order in self._orders]

    def __call__(self, result: Any) -> tuple[Any, ...]:
        """What is needed of a result, report by report."""
        return tuple(report.extract(result) for report in self._reports)

    def __reduce__(self) -> tuple[Any, ...]:
        return Extraction, (self._command, self._orders)


class _Outlet(NamedTuple):
    """A report, where its text goes, and the name of the file, "" for standard output."""

    report: Report[Any, Any, Any]
    place: _Place
    name: str


class Delivery:
    """Hands what is extracted from results to every report, and their text to its place."""

    def __init__(self, outlets: Sequence[_Outlet], extract: Extraction) -> None:
        self._outlets: list[_Outlet | None] = list(outlets)
        self.extract = extract
        """Takes of a result what the reports need."""
        self.written: list[str] = []
        """The files that are written, once the end has come."""
        self.troubles: list[str] = []
        """What could not be written, and why."""

    def add(self, extracts: Sequence[Any]) -> None:
        """Takes in what was extracted from one result."""
        for number, outlet in enumerate(self._outlets):
            if outlet is not None:
                self._hand(number, outlet, outlet.report.add(extracts[number]))

    def end(self, tally: Any) -> None:
        """Takes in the end of the run, and has every report in its place."""
        for number, outlet in enumerate(self._outlets):
            if outlet is not None:
                self._hand(number, outlet, outlet.report.end(tally), is_last=True)

    def _hand(self, number: int, outlet: _Outlet, text: str | Iterator[str], *, is_last: bool = False) -> None:
        """Text to its place; a report that cannot be written costs no other one."""
        try:
            for part in (text,) if isinstance(text, str) else text:
                if part:
                    outlet.place.write(part)
            if is_last:
                outlet.place.settle()
        except OSError as error:
            self.troubles.append(f"{outlet.name or 'standard output'} cannot be written: {reason_of(error)}")
            self._outlets[number] = None
        else:
            if is_last and outlet.name:
                self.written.append(outlet.name)


def _nothing() -> None:
    """Where there is nothing to do before writing."""


@contextmanager
def delivery(
    command: str, asked: Asked, order: Order, folder: Folder, before_writing: Callable[[], None] = _nothing
) -> Iterator[Delivery]:
    """The reports of a run; files that are not finished are gone again at the end.

    Args:
        command: the command whose results are reported.
        asked: which reports, and where to.
        order: what standard output is, what was asked of the command, and how much is to be told.
        folder: the current folder.
        before_writing: is called before anything goes to standard output.

    Raises:
        UsageError: two reports would go into one file.
        WriteRefusedError: a report would take the place of what is no such report.
    """
    _refuse_clashes(asked, folder)
    with ExitStack() as stack:
        order = order._replace(spool=lambda: stack.enter_context(_TemporarySpool()))
        orders = [(asked.printed, order)]
        places: list[tuple[str, _Place]] = [("", _StandardOutput(before_writing))]
        troubles: list[str] = []
        for kind, path in asked.saved:
            from speclint.whole_files import staged  # most runs save nothing

            try:
                new_file = stack.enter_context(staged(path, folder.full(path)))
            except WriteRefusedError as error:
                troubles.append(str(error))
            else:
                orders.append((kind, order._replace(paper=Paper())))
                places.append((path, _SavedFile(new_file)))
        outlets = [
            _Outlet(begin(kind, command, report_order), place, name)
            for (kind, report_order), (name, place) in zip(orders, places, strict=True)
        ]
        reports = Delivery(outlets, Extraction(command, orders))
        reports.troubles += troubles
        yield reports


class _TemporarySpool:
    """Values in a temporary file, gone at the end."""

    def __init__(self) -> None:
        from tempfile import TemporaryFile  # slow to import, and few reports put anything aside

        self._file = TemporaryFile()  # noqa: SIM115 - closed with the spool
        self._offsets: list[int] = []

    def __enter__(self) -> "_TemporarySpool":
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()

    def put(self, value: Any) -> int:
        """Puts a value aside; its number."""
        import pickle

        self._offsets.append(self._file.tell())
        pickle.dump(value, self._file, pickle.HIGHEST_PROTOCOL)
        return len(self._offsets) - 1

    def get(self, number: int) -> Any:
        """The value that was put aside as that one."""
        import pickle

        self._file.seek(self._offsets[number])
        return pickle.load(self._file)  # noqa: S301 - written by this process, into a file that no other one can name


class _StandardOutput:
    """Standard output, colours and all."""

    def __init__(self, before_writing: Callable[[], None]) -> None:
        self._before_writing = before_writing

    def write(self, text: str) -> None:
        """Writes text."""
        import click

        self._before_writing()
        click.echo(text, nl=False, color=True)

    def settle(self) -> None:
        """Sees to it that all has arrived."""
        if sys.stdout is not None:
            sys.stdout.flush()


class _SavedFile:
    """A file that takes its place when all of the report is there."""

    def __init__(self, new_file: "StagedFile") -> None:
        self._new_file = new_file

    def write(self, text: str) -> None:
        """Writes text; a name of a file that is no text has no other way into UTF-8, and in JSON it can be read back."""
        self._new_file.write(text.encode("utf-8", "backslashreplace"))

    def settle(self) -> None:
        """Puts the file in its place."""
        self._new_file.replace()


def _refuse_clashes(asked: Asked, folder: Folder) -> None:
    """Looks at the places of all reports before any work is done."""
    taken: set[str] = set()
    for kind, path in asked.saved:
        full = folder.full(path)
        if full in taken:
            raise UsageError(f"two reports cannot both go into {path}: give one of them another name")
        taken.add(full)
        if os.path.isfile(full) and not _is_replaceable(kind, full):
            raise WriteRefusedError(
                f"{path} is not a {kind.name} report of speclint, and is left as it is: give another name"
            )


def _is_replaceable(kind: Kind, full: str) -> bool:
    """Whether a file is empty, or a report of the kind; what cannot be read is neither."""
    try:
        with open(full, "rb") as file:
            first = file.read(_ENDS)
            file.seek(max(0, os.fstat(file.fileno()).st_size - _ENDS))
            last = file.read()
    except OSError:
        return False
    return not first or is_such_a_report(kind, (first + last).decode("utf-8", "replace"))
