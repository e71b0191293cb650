"""A line on the terminal that says how far a long run has come; short runs never show it."""

from collections.abc import Callable
from typing import Final, TextIO

_PATIENCE_S: Final = 1.0
"""After how long a person begins to wonder, in seconds."""

_EVERY_S: Final = 0.1

_THINGS: Final = {"read": "files", "checked": "cars", "fitted": "sets of constants", "worked out": "ratios"}
"""What is counted, by what is done with it."""


class Counter:
    """Counts files and cars on one line, which is wiped at the end; it knows no terminal, only how to write to one.

    Args:
        write: takes text for the terminal, at once.
        now: a clock in seconds that never goes back.
        width: columns of the terminal.
    """

    def __init__(self, write: Callable[[str], object], now: Callable[[], float], width: int) -> None:
        self._write = write
        self._now = now
        self._width = width
        self._next = now() + _PATIENCE_S
        self._shown = ""

    def __call__(self, doing: str, done: int, of: int) -> None:
        """Tells what is being done, how many are done, and how many there are: `checked 310 of 1000 cars`."""
        now = self._now()
        if now < self._next:
            return
        self._next = now + _EVERY_S
        what = _THINGS[doing]
        text = f"{doing} {done} of {of} {what}"[: self._width - 1]
        self._write(f"\r{text.ljust(len(self._shown))}")
        self._shown = text

    def wipe(self) -> None:
        """Leaves the terminal as it was."""
        if self._shown:
            self._write(f"\r{' ' * len(self._shown)}\r")
            self._shown = ""


def on_terminal(stream: TextIO | None) -> Counter:
    """A counter on a stream that is a terminal; on any other one it shows nothing."""
    import time

    if stream is None or not stream.isatty():
        return Counter(lambda _: None, time.monotonic, 0)
    import shutil  # slow to import, and no pipe needs it

    def tell(text: str) -> None:
        stream.write(text)
        stream.flush()

    return Counter(tell, time.monotonic, shutil.get_terminal_size().columns)
