"""Cars judged in several processes at once; what comes of them is told in the order of their files, as from one process.

Each process has a copy of the workspace, gets a few files at a time and sends back what is kept of their cars. Where one
dies, another judges the files that it had, each by itself: one that kills again is named, and the rest is told.
"""

import io
import os
import pickle
import signal
import sys
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from speclint.check.cars import CarJudge, JudgedCar, Progress, one_after_another, without_verdict
from speclint.files import FileText
from speclint.findings import EntryResult
from speclint.places import Place
from speclint.reports import Kept
from speclint.workspace.workspace import Traces

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import BaseContext
    from multiprocessing.process import BaseProcess

_LEAST_SPAWNED: Final = 2000
"""Setups from which on processes that begin from nothing, and load all modules first, are quicker than this one alone."""

_MOST_DEATHS: Final = 16
"""Processes that may die before no further one is begun: then it is not the files that kill them."""

_DYING_S: Final = 1.0
"""How long a process that answers no more is given to say how it ended."""

_MOST: Final = 8
"""Processes that are used unasked: each takes some tens of megabytes."""

_FILES_AT_ONCE: Final = 8
_BATCHES_AHEAD: Final = 12
"""What a process has before it: while it judges one batch the next are waiting, however long this one is busy."""

_LEAST_AHEAD: Final = 2
"""The same towards the end, when no process is to have work left that the others could do."""

_WINDOW: Final = 16
"""How many batches for each process may be judged before the one whose turn it is: what waits is kept in memory."""


class Workers:
    """The processes of one run, which are gone when it ends, whatever ends it.

    Args:
        jobs: how many processes judge; None leaves it to the number of files and processors.
        method: how they are begun, as Python calls it; None for the way that suits the system.
    """

    def __init__(self, jobs: int | None, method: str | None = None) -> None:
        self._jobs = jobs
        self._method = method or _start_method()
        self._workers: list[_Worker] = []

    def __enter__(self) -> "Workers":
        return self

    def __exit__(self, *_: object) -> None:
        for worker in self._workers:
            worker.end()

    def cars(self, judge: CarJudge[Any], files: Sequence[str], progress: Progress) -> Iterator[JudgedCar[Any]]:
        """What came of the sound setups among these, in their order; judged here where more processes are of no use."""
        count = self._count(len(files))
        begin = partial(self._begin, judge)
        if count > 1:
            while len(self._workers) < count and begin() is not None:
                pass
        if not self._workers:
            yield from one_after_another(judge, files, progress)
            return
        at_once = max(1, min(_FILES_AT_ONCE, len(files) // (4 * count)))
        batches = [files[start : start + at_once] for start in range(0, len(files), at_once)]
        run = _Run(judge, batches, self._workers, begin)
        for number in range(len(batches)):
            progress("checked", number * at_once, len(files))
            yield from run.cars(number)

    def _count(self, files: int) -> int:
        if self._jobs is not None:
            return min(self._jobs, files)
        is_worth_it = self._method == "fork" or files >= _LEAST_SPAWNED
        return min(_processors(), _MOST, files) if is_worth_it else 1

    def _begin(self, judge: CarJudge[Any]) -> "_Worker | None":
        """Begins a process; None where the system has none, or no more to give."""
        with suppress(ImportError, OSError, NotImplementedError, pickle.PicklingError, TypeError, AttributeError):
            from multiprocessing import get_context

            self._workers.append(worker := _begun(get_context(self._method), judge, self._workers))
            return worker
        return None


class _Worker:
    """A process, and the numbers of the batches that it has before it, the one that it is at first."""

    def __init__(self, process: "BaseProcess", connection: "Connection[Any, Any]") -> None:
        self.process = process
        self.connection = connection
        self.batches: deque[int] = deque()
        self.is_ready = False

    def answer(self) -> bytes | None:
        """What it has sent; None where that is only that it is ready."""
        data = self.connection.recv_bytes()
        if self.is_ready:
            return data
        self.is_ready = True
        return None

    def end(self) -> None:
        """Ends it, at work or not."""
        self.process.kill()
        self.process.join()
        self.connection.close()


class _Judged(NamedTuple):
    """What a process sends back of a batch."""

    cars: tuple[JudgedCar[Any], ...]
    traces: Traces


class _Run:
    """Batches handed out and taken back."""

    def __init__(
        self,
        judge: CarJudge[Any],
        batches: Sequence[Sequence[str]],
        workers: list[_Worker],
        begin: Callable[[], _Worker | None],
    ) -> None:
        self._judge = judge
        self._batches = batches
        self._workers = workers
        self._begin = begin
        self._waiting = deque(range(len(batches)))
        self._there: dict[int, tuple[JudgedCar[Any], ...]] = {}
        self._window = _WINDOW * len(workers)
        self._deaths = 0

    def cars(self, number: int) -> tuple[JudgedCar[Any], ...]:
        """What came of a batch, once it is there; judged here where no process is left."""
        while number not in self._there:
            self._hand_out(number)
            if not self._workers:
                self._waiting.remove(number)
                return tuple(one_after_another(self._judge, self._batches[number], lambda *_: None))
            self._receive()
        cars = self._there.pop(number)
        self._hand_out(number)
        return cars

    def _hand_out(self, number: int) -> None:
        """Gives each process enough before it, but nothing that is far from the batch whose turn it is."""
        for worker in tuple(self._workers):
            share = len(self._waiting) // (2 * len(self._workers))
            ahead = max(_LEAST_AHEAD, min(_BATCHES_AHEAD, share))
            try:
                while len(worker.batches) < ahead and self._waiting and self._waiting[0] <= number + self._window:
                    worker.connection.send(self._batches[self._waiting[0]])
                    worker.batches.append(self._waiting.popleft())
            except OSError:
                self._lose(worker)

    def _receive(self) -> None:
        """Takes in what has come, and waits until something has."""
        from multiprocessing.connection import wait

        by_connection = {worker.connection: worker for worker in self._workers}
        for connection in wait(list(by_connection)):
            worker = by_connection[connection]  # type: ignore[index]
            try:
                cars = self._cars_from(worker)
            except (EOFError, OSError):
                self._lose(worker)
                continue
            if cars is not None:
                self._there[worker.batches.popleft()] = cars

    def _cars_from(self, worker: _Worker) -> tuple[JudgedCar[Any], ...] | None:
        """What a process sends of a batch; None where it is only that it is ready."""
        data = worker.answer()
        if data is None:
            return None
        judged: _Judged = _Unpickler(io.BytesIO(data), self._judge).load()
        self._judge.workspace.take_over(judged.traces)
        return judged.cars

    def _lose(self, worker: _Worker) -> None:
        """Has others judge what a process had before it that is dead, and what it was at file by file."""
        ending = self._buried(worker)
        if worker.is_ready and worker.batches:
            number = worker.batches.popleft()
            self._there[number] = tuple(self._each_alone(self._batches[number], ending))
        self._waiting = deque(sorted((*worker.batches, *self._waiting)))
        if not self._workers:
            self._another()

    def _another(self) -> _Worker | None:
        """A further process; None where too many have died, or none can be had."""
        return self._begin() if self._deaths < _MOST_DEATHS else None

    def _buried(self, worker: _Worker) -> str:
        """Takes a dead process from the others; how it ended."""
        self._deaths += 1
        self._workers.remove(worker)
        worker.process.join(_DYING_S)
        worker.end()
        return _end_of(worker.process.exitcode)

    def _each_alone(self, files: Sequence[str], ending: str) -> Iterator[JudgedCar[Any]]:
        """What came of the files of a dead process, each judged by itself, so that one that kills is named alone."""
        worker: _Worker | None = None
        for file in files:
            worker = worker or (self._another() if len(files) > 1 else None)
            cars = None
            if worker is not None:
                try:
                    worker.connection.send((file,))
                    while (cars := self._cars_from(worker)) is None:
                        pass
                except (EOFError, OSError):
                    ending, worker = self._buried(worker), None
            if cars is None:
                cars = (without_verdict(file, f"The process that judged {file} {ending}."),)
            yield from cars


def _end_of(exit_code: int | None) -> str:
    if exit_code is None or exit_code >= 0:
        return "ended by itself"
    killed = ", perhaps for want of memory" if exit_code == -getattr(signal, "SIGKILL", 0) else ""
    return f"was ended by signal {-exit_code}{killed}"


def _start_method() -> str:
    """How Python begins processes here: a copy of this one where that is safe, else one from nothing.

    A copy has no threads but the one that made it, and what the others held stays locked; the libraries of macOS start
    some unseen.
    """
    import threading

    return "fork" if sys.platform.startswith("linux") and threading.active_count() == 1 else "spawn"


def _processors() -> int:
    """How many processors this process may use."""
    if sys.platform.startswith("linux"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


_ENDING: Final = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))


@contextmanager
def _no_signals() -> Iterator[None]:
    """Has what asks the process to end wait, so that a new process is not ended before it knows how."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, _ENDING)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begun(context: "BaseContext", judge: CarJudge[Any], workers: Iterable[_Worker]) -> _Worker:
    ours, theirs = context.Pipe()
    # A copy of this process has the other ends of the others' pipes as well, which would never tell of our end.
    inherited = (ours, *(worker.connection for worker in workers)) if context.get_start_method() == "fork" else ()
    process = context.Process(target=_work, args=(judge, theirs, inherited), daemon=True)  # type: ignore[attr-defined]
    try:
        with _no_signals():
            process.start()
    except BaseException:
        ours.close()
        raise
    finally:
        theirs.close()
    return _Worker(process, ours)


def _work(
    judge: CarJudge[Any], connection: "Connection[Any, Any]", inherited: "Iterable[Connection[Any, Any]]"
) -> None:
    """What a process does: judges the files that it is sent until nobody is there to send any."""
    import gc

    gc.disable()
    for other_end in inherited:
        other_end.close()
    # An interrupt goes to all processes of a terminal: the first one ends the others.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for number in _ENDING[1:]:
        signal.signal(number, signal.SIG_DFL)
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, _ENDING)
    with suppress(EOFError, OSError):
        connection.send_bytes(b"ready")
        while True:
            connection.send_bytes(_judged(judge, connection.recv()))


def _judged(judge: CarJudge[Any], files: Sequence[str]) -> bytes:
    """What comes of a batch, as it is sent back."""
    files_before = judge.workspace.files.count
    texts = {file: judge.workspace.files.source.read(file) for file in files}
    cars = tuple(car for car in map(judge.car, texts.values()) if car is not None)
    stream = io.BytesIO()
    _Pickler(stream, texts).dump(_Judged(cars, judge.workspace.traces(files_before)))
    return stream.getvalue()


class _Pickler(pickle.Pickler):
    """Sends an entry that may have to be looked at again as the text of its setup, by which it can be judged again."""

    def __init__(self, stream: io.BytesIO, texts: Mapping[str, FileText]) -> None:
        super().__init__(stream, pickle.HIGHEST_PROTOCOL)
        self._texts = texts

    def persistent_id(self, value: Any) -> tuple[FileText, Place] | None:
        """The text and the place of an entry."""
        return (self._texts[value.result.file], value.result.place) if isinstance(value, Kept) else None


class _Unpickler(pickle.Unpickler):
    """Receives it."""

    def __init__(self, stream: io.BytesIO, judge: CarJudge[Any]) -> None:
        super().__init__(stream)
        self._judge = judge

    def persistent_load(self, text_and_place: tuple[FileText, Place]) -> "_JudgedAgain":
        """The entry, once it is asked for."""
        return _JudgedAgain(self._judge, *text_and_place)


class _JudgedAgain(Kept[EntryResult]):
    """An entry that another process judged."""

    def __init__(self, judge: CarJudge[Any], text: FileText, place: Place) -> None:
        self._judge = judge
        self._text = text
        self._place = place

    @cached_property
    def result(self) -> EntryResult:
        """The entry, judged again here."""
        return self._judge.entry(self._text, self._place)
