"""A line on the terminal that says how far a long run has come; short runs never show it."""

from collections.abc import Callable
from time import monotonic
from typing import TYPE_CHECKING, Final, TextIO

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

_PATIENCE_S: Final = 1.0
"""After how long a person begins to wonder, in seconds."""

_EVERY_S: Final = 0.1

_THINGS: Final = {"checked": "cars", "fitted": "sets of constants", "worked out": "ratios"}
"""What is counted, by what is done with it."""


class Counter:
    """Counts files and cars on one line, which is wiped at the end.

    Args:
        stream: where it is shown, if that is a terminal; anywhere else nothing is.
        now: a clock in seconds that never goes back.
    """

    def __init__(self, stream: TextIO | None, now: Callable[[], float] = monotonic) -> None:
        self._stream = stream if stream is not None and stream.isatty() else None
        self._now = now
        self._next = now() + _PATIENCE_S
        self._line: tuple[Progress, TaskID] | None = None

    def __call__(self, doing: str, done: int, of: int) -> None:
        """Tells what is being done, how many are done, and how many there are: `checked 310 of 1000 cars`."""
        if self._stream is None or self._now() < self._next:
            return
        self._next = self._now() + _EVERY_S
        line, task = self._line = self._line or _begun(self._stream)
        line.update(task, description=f"{doing} {done} of {of} {_THINGS[doing]}")
        line.refresh()

    def wipe(self) -> None:
        """Leaves the terminal as it was."""
        if self._line is not None:
            self._line[0].stop()
            self._line = None


def _begun(stream: TextIO) -> "tuple[Progress, TaskID]":
    from rich.console import Console  # slow to import: only for who has waited a second already
    from rich.progress import Progress, TextColumn

    words = TextColumn("{task.description}", markup=False)
    line = Progress(words, console=Console(file=stream), transient=True, auto_refresh=False)
    line.start()
    return line, line.add_task("")
