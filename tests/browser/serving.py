"""A folder served from the loopback interface, as a club's web space serves it: files, and nothing else."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: Any) -> None:
        """Nothing: the tests ask the browser what it asked for."""


class Served:
    """A folder and its address; it can be gone for a while, as a network is."""

    def __init__(self, folder: Path) -> None:
        self._handler = partial(_Quiet, directory=str(folder))
        self.port = 0
        self._server: ThreadingHTTPServer | None = None
        self.begin()

    @property
    def address(self) -> str:
        return f"http://localhost:{self.port}/"

    def begin(self) -> None:
        """Serves, from the same address as before."""
        self._server = ThreadingHTTPServer(("localhost", self.port), self._handler)
        self.port = self._server.server_port
        Thread(target=self._server.serve_forever, args=(0.05,), daemon=True).start()

    def end(self) -> None:
        """Refuses every connection from now on."""
        if self._server is not None:
            self._server.shutdown()
            self._server.server_close()
            self._server = None


@contextmanager
def served(folder: Path) -> Iterator[Served]:
    """The folder for as long as it is needed."""
    server = Served(folder)
    try:
        yield server
    finally:
        server.end()
