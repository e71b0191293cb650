"""Runs `speclint log` as a user does, in a folder of the test's own."""

import os
import subprocess
import sys
from dataclasses import dataclass
from inspect import signature
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from speclint.commands.log import log
from speclint.errors import SpeclintError

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Told:
    """What the command said, line by line, and its exit status."""

    status: int
    out: tuple[str, ...]
    err: tuple[str, ...]

    @property
    def all(self) -> str:
        return "\n".join((*self.out, *self.err))


def run(*words: str) -> Told:
    """Run it in this process, with no terminal."""
    # Before 8.2 the library's runner mixes the two streams unless it is told not to.
    apart: dict[str, Any] = {"mix_stderr": False} if "mix_stderr" in signature(CliRunner).parameters else {}
    result = CliRunner(**apart).invoke(log, list(words))
    err = result.stderr.splitlines()
    status = result.exit_code
    if isinstance(result.exception, SpeclintError):
        err.append(f"speclint: {result.exception}")
        status = 2
    elif result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Told(status, tuple(result.stdout.splitlines()), tuple(err))


def command(*words: str) -> list[str]:
    """The words that start it as a process of its own."""
    return [sys.executable, "-m", "speclint", "log", *words]


def start(folder: Path, *words: str) -> "subprocess.Popen[str]":
    """Start it as a process of its own, with no terminal."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONWARNINGS": "ignore"}
    return subprocess.Popen(
        command(*words),
        cwd=folder,
        env=environment,
        text=True,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
