"""A headless Chromium, driven over a pipe by its DevTools protocol: for looking at pages that speclint writes."""

import base64
import json
import os
import re
import select
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Self

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
PATIENCE_S = 30.0


def found() -> str | None:
    """Where the browser is; None where there is none."""
    return next((path for name in NAMES if (path := shutil.which(name)) is not None), None)


class Chromium:
    """The browser as a process of its own: file descriptor 3 takes messages, 4 gives them, each ended by a zero byte."""

    def __init__(self, program: str, profile: Path) -> None:
        their_in, self._to = os.pipe()
        self._from, their_out = os.pipe()
        words = [
            program, "--headless", "--no-sandbox", "--disable-gpu", "--remote-debugging-pipe", "--no-first-run",
            "--disable-background-networking", "--hide-scrollbars", f"--user-data-dir={profile}",
        ]  # fmt: skip
        nowhere = os.open(os.devnull, os.O_RDWR)
        # Moved out of the way first, so that no pipe's own end is closed by what takes its number.
        spare_in, spare_out = os.dup(their_in), os.dup(their_out)
        self._process = os.posix_spawn(
            program,
            words,
            os.environ,
            file_actions=[
                (os.POSIX_SPAWN_DUP2, nowhere, 0),
                (os.POSIX_SPAWN_DUP2, nowhere, 1),
                (os.POSIX_SPAWN_DUP2, nowhere, 2),
                (os.POSIX_SPAWN_DUP2, spare_in, 13),
                (os.POSIX_SPAWN_DUP2, spare_out, 14),
                (os.POSIX_SPAWN_DUP2, 13, 3),
                (os.POSIX_SPAWN_DUP2, 14, 4),
            ],
        )
        for descriptor in (their_in, their_out, spare_in, spare_out, nowhere):
            os.close(descriptor)
        self._buffer = b""
        self._last = 0
        self.events: list[dict[str, Any]] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        try:
            self.send("Browser.close")
        except (OSError, TimeoutError):
            os.kill(self._process, 9)
        os.waitpid(self._process, 0)
        os.close(self._to)
        os.close(self._from)

    def send(self, method: str, session: str | None = None, **parameters: Any) -> dict[str, Any]:
        """Sends a message and waits for its answer; events that come meanwhile are kept."""
        self._last += 1
        message: dict[str, Any] = {"id": self._last, "method": method, "params": parameters}
        if session is not None:
            message["sessionId"] = session
        os.write(self._to, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            for answer in self._messages(until):
                if answer.get("id") == self._last:
                    assert "error" not in answer, (method, answer["error"])
                    result: dict[str, Any] = answer["result"]
                    return result
                self.events.append(answer)
        raise TimeoutError(method)

    def wait(self, method: str) -> None:
        """Waits for an event."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            if any(event.get("method") == method for event in self.events):
                return
            self.events.extend(self._messages(until))
        raise TimeoutError(method)

    def renderers(self) -> list[int]:
        """The processes that run pages, of this browser alone."""
        below, processes = {self._process}, []
        for stat in sorted(Path("/proc").glob("[0-9]*/stat"), key=lambda path: int(path.parent.name)):
            try:
                parent = int(stat.read_text(encoding="utf-8").rpartition(")")[2].split()[1])
                command = (stat.parent / "cmdline").read_text(encoding="utf-8")
            except OSError:
                continue
            if parent in below:
                below.add(int(stat.parent.name))
                if "--type=renderer" in command:
                    processes.append(int(stat.parent.name))
        return processes

    def _messages(self, until: float) -> Iterator[dict[str, Any]]:
        while b"\0" not in self._buffer:
            ready, _, _ = select.select([self._from], [], [], max(0.0, until - time.monotonic()))
            if not ready:
                return
            part = os.read(self._from, 1 << 20)
            if not part:
                raise OSError("the browser has gone")
            self._buffer += part
        whole, _, self._buffer = self._buffer.partition(b"\0")
        yield json.loads(whole)


class Tab:
    """One page in the browser."""

    def __init__(self, browser: Chromium, *, width: int, scheme: str, media: str = "screen") -> None:
        self._browser = browser
        target = browser.send("Target.createTarget", url="about:blank")["targetId"]
        self._session = browser.send("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Network", "Log", "Runtime"):
            self.send(f"{domain}.enable")
        self.send(
            "Emulation.setDeviceMetricsOverride", width=width, height=900, deviceScaleFactor=1, mobile=width < 500
        )
        self.send(
            "Emulation.setEmulatedMedia", media=media, features=[{"name": "prefers-color-scheme", "value": scheme}]
        )

    def send(self, method: str, **parameters: Any) -> dict[str, Any]:
        return self._browser.send(method, self._session, **parameters)

    def go(self, page: Path | str) -> None:
        """Opens a file, or an address, and waits until it has loaded."""
        self._browser.events.clear()
        self.send("Page.navigate", url=page if isinstance(page, str) else page.as_uri())
        self._browser.wait("Page.loadEventFired")

    def until(self, expression: str, patience_s: float = 120.0) -> None:
        """Waits until a JavaScript expression is true."""
        end = time.monotonic() + patience_s
        while not self.ask(expression):
            assert time.monotonic() < end, (
                expression,
                self.ask("document.body.innerText.slice(0, 2000)"),
                self.complaints(),
            )
            time.sleep(0.1)

    def ask(self, expression: str) -> Any:
        """The value of a JavaScript expression; a promise is waited for."""
        answer = self.send("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in answer, answer
        return answer["result"].get("value")

    def requests(self) -> list[str]:
        """Addresses that the page asked for."""
        return [
            event["params"]["request"]["url"]
            for event in self._browser.events
            if event.get("method") == "Network.requestWillBeSent"
        ]

    def complaints(self) -> list[Any]:
        """What the browser's console says of the page."""
        wanted = ("Log.entryAdded", "Runtime.consoleAPICalled", "Runtime.exceptionThrown")
        return [event for event in self._browser.events if event.get("method") in wanted]

    def paper_pages(self) -> int:
        """How many sheets it takes on paper, by the page's own size."""
        answer = self.send("Page.printToPDF", preferCSSPageSize=True, printBackground=True)
        return len(re.findall(rb"/Type\s*/Page\b", base64.b64decode(answer["data"])))

    def picture(self, path: Path) -> bytes:
        """The whole page as a picture, kept at a path."""
        answer = self.send("Page.captureScreenshot", format="png", captureBeyondViewport=True)
        data = base64.b64decode(answer["data"])
        path.write_bytes(data)
        return data


@contextmanager
def browsing(profile: Path) -> Iterator[Chromium]:
    """A browser for as long as it is needed."""
    program = found()
    assert program is not None
    with Chromium(program, profile) as browser:
        yield browser
