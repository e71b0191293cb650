"""A motor, a car and a rulebook are read from the disk: no command asks anything of a network."""

import io
import shutil
import socket
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest

from speclint.cli import COMMANDS
from tests.console import ROOT, Console, lay_out_rulesets

RULESET: Final = "coastal-league@2026.1"
CAR: Final = "cars/car-12-carpet.yaml"
MOTOR: Final = "motors/00417.yaml"

LINES: Final[dict[str, tuple[str, ...]]] = {
    "check": ("check", "cars", "--report", "json"),
    "explain": ("explain", "rollout_mm"),
    "gearing": ("gearing", CAR),
    "compare": ("compare", MOTOR),
    "pin": ("pin", RULESET),
    "publish": ("publish", "rulesets/harbour-city-2026.2.yaml", "site"),
    "log": ("log", MOTOR, "bench", "--supply-v", "3.7", "--current-a", "3.9", "--kv-rpm-per-v", "2450"),
    "editor": ("editor",),
    "schema": ("schema", "setup"),
    "start": ("start", "setup", "new.yaml", "--no-questions"),
}
"""One run of each command."""

_ON_THIS_MACHINE: Final = frozenset({getattr(socket, "AF_UNIX", None)})
asked: Final[list[str]] = []
"""What was refused, were it that nobody heard of it."""

_watching = False


class NetworkError(Exception):
    """What a command asked of the network."""


def _refuse(event: str, arguments: tuple[Any, ...]) -> None:
    """Refuses every socket that could leave the machine, and every question after an address (PEP 578)."""
    if not _watching or not event.startswith("socket."):
        return
    if event == "socket.__new__" and arguments[1] in _ON_THIS_MACHINE:
        return
    if event.startswith("socket.get") or event in ("socket.__new__", "socket.connect", "socket.bind", "socket.sendto"):
        asked.append(event)
        raise NetworkError(event)


@pytest.fixture(scope="module")
def audit() -> None:
    """A hook stays for good once it is there, and is at rest but for the tests of this module."""
    sys.addaudithook(_refuse)


@pytest.fixture
def no_network(audit: None, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:  # noqa: ARG001
    monkeypatch.setattr(sys.modules[__name__], "_watching", True)
    asked.clear()
    yield
    monkeypatch.undo()


@pytest.fixture
def team(tmp_path: Path) -> Path:
    """The example cars with their rules."""
    shutil.copytree(ROOT / "examples", tmp_path / "team", ignore=shutil.ignore_patterns("*-repo"))
    lay_out_rulesets(tmp_path / "team")
    return tmp_path / "team"


def test_the_block_refuses_a_connection_and_a_look_up(no_network: None) -> None:  # noqa: ARG001
    with pytest.raises(NetworkError):
        socket.socket()
    with pytest.raises(NetworkError):
        socket.getaddrinfo("speclint.example.org", 443)
    assert asked == ["socket.__new__", "socket.getaddrinfo"]


def test_every_command_has_a_run_without_a_network() -> None:
    assert LINES.keys() == COMMANDS.keys()


@pytest.mark.parametrize("command", LINES)
def test_a_command_asks_nothing_of_a_network(
    command: str,
    team: Path,
    no_network: None,  # noqa: ARG001
    console: Console,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO()))
    with (team / "output.txt").open("w", encoding="utf-8") as output:  # a language server asks for a real one
        monkeypatch.setattr(sys, "stdout", output)
        done = console(team, *LINES[command])
    assert asked == []
    assert (done.status, "Traceback" in done.err) == (1 if command == "check" else 0, False), done.err
