"""Standard output and standard error as every command writes to them: whoever reads may stop, and no status changes."""

import io
import sys
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from typing_extensions import Buffer

_MOST_BYTES: Final = 1 << 16


class Outlet(io.RawIOBase):
    """What bytes are written to. A closed pipe takes the rest in silence; what else goes wrong is kept in `trouble`."""

    def __init__(self, raw: io.RawIOBase) -> None:
        self._raw = raw
        self._is_open = True
        self.trouble: OSError | None = None

    def writable(self) -> bool:
        """It is."""
        return True

    def isatty(self) -> bool:
        """Whether it is a terminal."""
        return self._raw.isatty()

    def fileno(self) -> int:
        """The descriptor beneath it."""
        return self._raw.fileno()

    def write(self, data: "Buffer", /) -> int | None:
        """Writes bytes, or passes them over once they can go nowhere; the number of those that are done with."""
        if self._is_open:
            try:
                return self._raw.write(data)
            except BrokenPipeError:
                self._is_open = False
            except OSError as error:
                self._is_open = False
                self.trouble = error
        return memoryview(data).nbytes


def guarded(name: str) -> Outlet | None:
    """Puts an outlet beneath a standard stream, by its name in `sys`; None where there is no such stream of a process."""
    stream = getattr(sys, name)
    if not isinstance(stream, io.TextIOWrapper):
        return None
    # Python's own option -u leaves the buffer out.
    raw = getattr(stream.buffer, "raw", stream.buffer)
    if not isinstance(raw, io.RawIOBase):
        return None
    outlet = Outlet(raw)
    new_stream = io.TextIOWrapper(
        io.BufferedWriter(outlet, _MOST_BYTES),
        encoding=stream.encoding,
        # What the encoding cannot say is shown as a question mark, and stops no report.
        errors="replace",
        line_buffering=stream.line_buffering or name == "stderr",
    )
    setattr(sys, name, new_stream)
    return outlet
