"""Whoever reads the output may stop reading: no command's status changes, and nothing is said of it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.console import ROOT

CAR = "examples/cars/car-14-one-tooth-too-tall.yaml"
COMMANDS = {
    "check": ("check", "examples"),
    "check one car": ("check", CAR),
    "check a legal car": ("check", "examples/cars/car-12-carpet.yaml"),
    "check, lines": ("check", "examples", "--report", "lines"),
    "check, json": ("check", "examples", "--report", "json"),
    "explain": ("explain",),
    "explain a quantity": ("explain", "rollout_mm"),
    "explain a rule": ("explain", "harbour-city/stock-17/final-drive"),
    "gearing": ("gearing", "examples/cars/car-12-carpet.yaml"),
    "compare": ("compare", "examples/motors/00463.yaml"),
    "start": ("start", "setup", "--no-questions"),
    "log": ("log", "examples/motors/00463.yaml", "rebuild", "--date", "2026-05-02", "--did", "clean", "--dry-run"),
    "help": ("--help",),
    "help of a command": ("check", "--help"),
    "version": ("--version",),
    "a mistake": ("check", "no-such-file.yaml"),
    "an unknown option": ("check", "--no-such-option"),
}
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}


def status(words: tuple[str, ...], redirection: str) -> int:
    command = f'"$0" -m speclint "$@" {redirection}'
    done = subprocess.run(
        ["bash", "-c", command, sys.executable, *words], cwd=ROOT, env=ENVIRONMENT, capture_output=True, check=False
    )
    assert b"Traceback" not in done.stderr
    assert b"Exception ignored" not in done.stderr
    return done.returncode


@pytest.mark.parametrize("name", COMMANDS)
def test_a_reader_who_stops_changes_no_status(name: str) -> None:
    words = COMMANDS[name]
    expected = status(words, ">/dev/null 2>&1")
    # The reader is gone before the first byte comes.
    gone = "exec {{to}}> >(exec true); sleep 0.1; "
    for streams in (">&$to", "2>&$to", ">&$to 2>&1"):
        command = gone.format() + f'"$0" -m speclint "$@" {streams}'
        done = subprocess.run(
            ["bash", "-c", command, sys.executable, *words], cwd=ROOT, env=ENVIRONMENT, capture_output=True, check=False
        )
        assert done.returncode == expected, (streams, done.stderr)
        assert b"Traceback" not in done.stderr
        assert b"Exception ignored" not in done.stderr


@pytest.mark.parametrize("name", COMMANDS)
def test_a_process_without_standard_output_ends_as_ever(name: str) -> None:
    expected = status(COMMANDS[name], ">/dev/null 2>&1")
    assert status(COMMANDS[name], ">&-") == expected
    assert status(COMMANDS[name], ">&- 2>&-") == expected


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
@pytest.mark.parametrize("name", [name for name in COMMANDS if not name.startswith(("a ", "an "))])
def test_a_full_disk_is_told_and_is_status_2(name: str) -> None:
    done = subprocess.run(
        ["bash", "-c", '"$0" -m speclint "$@" >/dev/full', sys.executable, *COMMANDS[name]],
        cwd=ROOT,
        env=ENVIRONMENT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.endswith("speclint: standard output cannot be written: no space left on device\n")
