"""Cars judged in several processes at once; what comes of them is told in the order of their files, as from one process.

Each process has a copy of the workspace, gets a few files at a time and sends back what is kept of their cars. One that
dies takes the files it had with it: these are named, and the rest is judged by those that are left, or here.
"""

import io
import os
import pickle
import signal
import sys
from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from speclint.check.cars import CarJudge, JudgedCar, Progress, one_after_another
from speclint.check.outcome import Outcome
from speclint.files import FileText
from speclint.findings import Counts, Defect, EntryResult, NotJudged
from speclint.places import Place
from speclint.plain import listed
from speclint.reports import Kept
from speclint.workspace.workspace import Traces

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import BaseContext
    from multiprocessing.process import BaseProcess

_LEAST_SPAWNED: Final = 2000
"""Setups from which on processes that begin from nothing, and load all modules first, are quicker than this one alone."""

_DYING_S: Final = 1.0
"""How long a process that answers no more is given to say how it ended."""

_MOST: Final = 8
"""Processes that are used unasked: each takes some tens of megabytes."""

_FILES_AT_ONCE: Final = 8
_BATCHES_AHEAD: Final = 2
"""What a process has before it: while it judges one batch the next is waiting."""

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
        at_once = max(1, min(_FILES_AT_ONCE, len(files) // (4 * count)))
        batches = [files[start : start + at_once] for start in range(0, len(files), at_once)]
        if count < 2 or not self._start(count, judge, batches):
            yield from one_after_another(judge, files, progress)
            return
        run = _Run(judge, batches, self._workers)
        for number in range(len(batches)):
            progress("checked", number * at_once, len(files))
            yield from run.cars(number)

    def _count(self, files: int) -> int:
        if self._jobs is not None:
            return min(self._jobs, files)
        is_worth_it = self._method == "fork" or files >= _LEAST_SPAWNED
        return min(_processors(), _MOST, files) if is_worth_it else 1

    def _start(self, count: int, judge: CarJudge[Any], batches: Sequence[Sequence[str]]) -> bool:
        """Begins the processes; whether there are any. Some systems have none, and some have no more to give."""
        with suppress(ImportError, OSError, NotImplementedError, pickle.PicklingError, TypeError, AttributeError):
            from multiprocessing import get_context

            context = get_context(self._method)
            for _ in range(count):
                self._workers.append(_begun(context, judge, batches, self._workers))
        return bool(self._workers)


class _Worker:
    """A process, and the numbers of the batches that it has before it, the one that it is at first."""

    def __init__(self, process: "BaseProcess", connection: "Connection[Any, Any]") -> None:
        self.process = process
        self.connection = connection
        self.batches: deque[int] = deque()
        self.is_ready = False

    def end(self) -> None:
        """Ends it, at work or not."""
        self.process.kill()
        self.process.join()
        self.connection.close()


class _Judged(NamedTuple):
    """What a process sends back of a batch; `defect` is the traceback of what kept it from being judged."""

    cars: tuple[JudgedCar[Any], ...]
    traces: Traces | None
    defect: str = ""


class _Run:
    """Batches handed out and taken back."""

    def __init__(self, judge: CarJudge[Any], batches: Sequence[Sequence[str]], workers: "list[_Worker]") -> None:
        self._judge = judge
        self._batches = batches
        self._workers = workers
        self._waiting = deque(range(len(batches)))
        self._there: dict[int, tuple[JudgedCar[Any], ...]] = {}
        self._window = _WINDOW * len(workers)

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
            try:
                while (
                    len(worker.batches) < _BATCHES_AHEAD and self._waiting and self._waiting[0] <= number + self._window
                ):
                    worker.connection.send(self._waiting[0])
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
                data = worker.connection.recv_bytes()
            except (EOFError, OSError):
                self._lose(worker)
                continue
            if not worker.is_ready:
                worker.is_ready = True
                continue
            judged: _Judged = _Unpickler(io.BytesIO(data), self._judge).load()
            number = worker.batches.popleft()
            if judged.traces is None:
                self._there[number] = tuple(_lost(self._batches[number], judged.defect))
            else:
                self._judge.workspace.take_over(judged.traces)
                self._there[number] = judged.cars

    def _lose(self, worker: _Worker) -> None:
        """Names the files that a process had that is dead, and has others judge what it had not begun."""
        self._workers.remove(worker)
        worker.process.join(_DYING_S)
        worker.end()
        if worker.is_ready and worker.batches:
            number = worker.batches.popleft()
            files = self._batches[number]
            why = f"The process that judged {listed(files)} {_end_of(worker.process.exitcode)}."
            self._there[number] = tuple(_lost(files, why))
        self._waiting = deque(sorted((*worker.batches, *self._waiting)))


def _lost(files: Sequence[str], why: str) -> Iterator[JudgedCar[Any]]:
    """What is told of cars that a process had when it died."""
    defects: tuple[Defect, ...] = (Defect(f"the verdict on {listed(files)}", why),)
    for file in files:
        refused = NotJudged(file, "a defect of speclint kept it from being judged", Place(file))
        yield JudgedCar((), Counts(), Outcome(not_judged=(refused,), defects=defects))
        defects = ()


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


def _begun(
    context: "BaseContext", judge: CarJudge[Any], batches: Sequence[Sequence[str]], workers: Iterable[_Worker]
) -> _Worker:
    ours, theirs = context.Pipe()
    # A copy of this process has the other ends of the others' pipes as well, which would never tell of our end.
    inherited = (ours, *(worker.connection for worker in workers)) if context.get_start_method() == "fork" else ()
    process = context.Process(target=_work, args=(judge, batches, theirs, inherited), daemon=True)  # type: ignore[attr-defined]
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
    judge: CarJudge[Any],
    batches: Sequence[Sequence[str]],
    connection: "Connection[Any, Any]",
    inherited: "Iterable[Connection[Any, Any]]",
) -> None:
    """What a process does: judges the batches whose numbers it is sent until nobody is there to send any."""
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
            connection.send_bytes(_judged(judge, batches[connection.recv()]))


def _judged(judge: CarJudge[Any], files: Sequence[str]) -> bytes:
    """What comes of a batch, as it is sent back; a defect costs no other batch."""
    files_before = judge.workspace.files.count
    texts: dict[str, FileText] = {}
    stream = io.BytesIO()
    try:
        cars = []
        for file in files:
            texts[file] = judge.workspace.files.source.read(file)
            car = judge.car(texts[file])
            cars += [] if car is None else [car]
        _Pickler(stream, texts).dump(_Judged(tuple(cars), judge.workspace.traces(files_before)))
    except Exception:
        import traceback

        return pickle.dumps(_Judged((), None, traceback.format_exc()), pickle.HIGHEST_PROTOCOL)
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
