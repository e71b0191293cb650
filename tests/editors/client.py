"""A small client of the Language Server Protocol 3.17, as an editor has one: requests, notifications, and what came back."""

import json
import subprocess
import threading
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from queue import Empty, Queue
from typing import Any, Final

_PATIENCE_S: Final = 20.0

Message = dict[str, Any]


class Client:
    """A server that runs, and everything that it has sent."""

    def __init__(self, command: Sequence[str | Path], folder: Path, settings: Message | None = None) -> None:
        self.folder = folder
        self.log: list[tuple[str, Message]] = []
        self._settings = settings or {}
        self._process = subprocess.Popen(
            [str(word) for word in command],
            cwd=folder,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        self._inbox: Queue[Message] = Queue()
        self._number = 0
        threading.Thread(target=self._read, daemon=True).start()

    def start(self) -> Message:
        """The handshake; gives what the server can do."""
        capabilities = {
            "workspace": {"configuration": True},
            "textDocument": {
                "hover": {"contentFormat": ["markdown"]},
                "publishDiagnostics": {"relatedInformation": True},
            },
        }
        answer = self.ask(
            "initialize",
            {
                "processId": None,
                "rootUri": self.folder.as_uri(),
                "capabilities": capabilities,
                "workspaceFolders": [{"uri": self.folder.as_uri(), "name": "team"}],
            },
        )
        self.tell("initialized", {})
        result: Message = answer["capabilities"]
        return result

    def ask(self, method: str, parameters: Any) -> Any:
        """A request, and its result."""
        self._number += 1
        number = self._number
        self._send({"id": number, "method": method, "params": parameters})
        reply = self._until(lambda message: message.get("id") == number and "method" not in message)
        assert "error" not in reply, reply
        return reply.get("result")

    def tell(self, method: str, parameters: Any) -> None:
        """A notification."""
        self._send({"method": method, "params": parameters})

    def open(self, file: str, text: str | None = None) -> list[Message]:
        """Opens a file, with a text of its own or as it lies there, and gives what is wrong with it."""
        held = (self.folder / file).read_text(encoding="utf-8") if text is None else text
        document = {"uri": self.uri(file), "languageId": "yaml", "version": 1, "text": held}
        self.tell("textDocument/didOpen", {"textDocument": document})
        return self.diagnostics(file)

    def change(self, file: str, text: str, version: int) -> list[Message]:
        """Puts another text in its place, unsaved, and gives what is wrong with that."""
        self.tell(
            "textDocument/didChange",
            {"textDocument": {"uri": self.uri(file), "version": version}, "contentChanges": [{"text": text}]},
        )
        return self.diagnostics(file)

    def at(self, method: str, file: str, line: int, character: int, **more: Any) -> Any:
        """A question about a position, counted from 0."""
        position = {"line": line, "character": character}
        return self.ask(
            f"textDocument/{method}", {"textDocument": {"uri": self.uri(file)}, "position": position, **more}
        )

    def diagnostics(self, file: str) -> list[Message]:
        """What the server says next of a file."""
        uri = self.uri(file)
        message = self._until(
            lambda message: (
                message.get("method") == "textDocument/publishDiagnostics" and message["params"]["uri"] == uri
            )
        )
        of_file: list[Message] = message["params"]["diagnostics"]
        return of_file

    def uri(self, file: str) -> str:
        return (self.folder / file).as_uri()

    def stop(self) -> int:
        """Ends the server as an editor does; gives its status."""
        self.ask("shutdown", None)
        self.tell("exit", None)
        try:
            return self._process.wait(timeout=_PATIENCE_S)
        finally:
            self._process.kill()
            for stream in (self._process.stdin, self._process.stdout, self._process.stderr):
                if stream is not None:
                    stream.close()

    def _send(self, message: Message) -> None:
        self.log.append(("sent", message))
        data = json.dumps({"jsonrpc": "2.0", **message}).encode()
        assert self._process.stdin is not None
        self._process.stdin.write(b"Content-Length: %d\r\n\r\n" % len(data) + data)
        self._process.stdin.flush()

    def _until(self, is_wanted: Callable[[Message], bool]) -> Message:
        end = time.monotonic() + _PATIENCE_S
        while True:
            try:
                message = self._inbox.get(timeout=max(0.01, end - time.monotonic()))
            except Empty:
                raise AssertionError(f"no answer to {self.log[-1]}") from None
            self.log.append(("answered", message))
            if "method" in message and "id" in message:
                # What the server asks is answered as by an editor without settings of its own.
                asked = message.get("params", {}).get("items", [])
                result = [self._settings.get(item.get("section")) for item in asked] if asked else None
                self._send({"id": message["id"], "result": result})
            if is_wanted(message):
                return message

    def _read(self) -> None:
        stream = self._process.stdout
        assert stream is not None
        while header := stream.readline():
            length = 0
            while header.strip():
                name, _, value = header.partition(b":")
                length = int(value) if name.lower() == b"content-length" else length
                header = stream.readline()
            if length:
                self._inbox.put(json.loads(stream.read(length)))
