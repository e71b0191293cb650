"""Whether the tests notice small changes of the code: `python -m tests.mutants limits rules`.

Of each room as many changes are drawn as `--changes` says, the same ones for one seed. Each is made in a copy of the
project, and the tests run that came past its line in the unchanged code: those of the room first, the quickest first,
and as many as take eight seconds of the processor's time. What none of them notices is printed, and then how many of
each room were noticed.
"""

import argparse
import importlib.util
import json
import math
import os
import random
import sys
import tempfile
from contextlib import suppress
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Final, NamedTuple

import pytest

from tests.mutants.changes import Change, changes
from tests.packaging.tree import copy_project

_LONGEST_S: Final = 8.0
"""How long the tests of one change take at most in all, of the processor's time and in the unchanged code."""

_NO_TESTS: Final = 5
"""The status with which pytest says that it had none to run."""


class Record(NamedTuple):
    """What was noted of the tests in the unchanged code.

    Attributes:
        seconds: the processor's time that each takes.
        tests: which of them come past each line of a file.
        modules: those of other projects that they import, so that it is done once for all changes.
    """

    seconds: dict[str, float]
    tests: dict[str, dict[str, list[str]]]
    modules: list[str]

    def tests_of(self, file: str, change: Change) -> tuple[list[str], list[str]]:
        """The tests that may notice a change: those of its room that came past it, and others worth trying after them.

        No test comes past what is done once, on import, so that every test of the room may rest on it.
        """
        room = f"tests/{file.split('/')[1]}/"
        lines = self.tests.get(file, {})
        numbers = map(str, range(change.line, change.end_line + 1))
        near = {test for number in numbers for test in lines.get(number, ()) if test in self.seconds}  # "" on import
        past_file = {test for tests in lines.values() for test in tests}
        all_tests = past_file if near else {*past_file, *(test for test in self.seconds if test.startswith(room))}
        ranks = {
            test: (test not in near, not test.startswith(room), seconds, test)
            for test in all_tests
            if (seconds := self.seconds.get(test, math.inf)) < _LONGEST_S
        }
        left_s = _LONGEST_S
        tests = [test for test in sorted(ranks, key=ranks.__getitem__) if (left_s := left_s - self.seconds[test]) > 0]
        own = [test for test in tests if ranks[test][:2] == (False, False)]
        return own, tests[len(own) :]


def run_tests(copy: Path, arguments: list[str], timeout_s: float | None = None, **environment: str) -> int:
    """The status with which pytest ends in a copy of the project; 1 where it takes too long."""
    process = get_context("fork").Process(target=_pytest_in, args=(copy, arguments, environment))
    process.start()
    process.join(timeout_s)
    if process.is_alive():
        process.kill()
        return 1
    return process.exitcode or 0


def _pytest_in(copy: Path, arguments: list[str], environment: dict[str, str]) -> None:
    os.environ.update(environment, PYTHONPATH=str(copy))
    os.chdir(copy)
    sys.path[0] = str(copy)
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in range(3):
        os.dup2(nowhere, stream)
    options = ["-q", "-x", "-p", "no:cacheprovider", "-p", "tests.mutants.plugin"]
    sys.exit(pytest.main([*options, "-W", "ignore::pytest.PytestAssertRewriteWarning", *arguments]))


def is_noticed(copy: Path, file: str, change: Change, tests: list[str]) -> bool:
    """Whether a test fails, or nothing can be run any more, once the change is made."""
    if not tests:
        return False
    path = copy / file
    source = path.read_text(encoding="utf-8")
    compiled = Path(importlib.util.cache_from_source(str(path)))
    chosen = copy / "chosen-tests.json"
    chosen.write_text(json.dumps(tests), encoding="utf-8")
    modules = sorted({test.partition("::")[0] for test in tests})
    try:
        path.write_text(change.made_in(source), encoding="utf-8")
        compiled.unlink(missing_ok=True)  # two changes within a second look the same to the interpreter
        return run_tests(copy, modules, 20 * _LONGEST_S, SPECLINT_TESTS=str(chosen)) not in (0, _NO_TESTS)
    finally:
        path.write_text(source, encoding="utf-8")
        compiled.unlink(missing_ok=True)


def main() -> int:
    """Tries changes and prints those that no test notices; 1 where a room has more than one of ten."""
    arguments = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    arguments.add_argument("rooms", nargs="+", metavar="ROOM", help="a folder of speclint/")
    arguments.add_argument("--changes", type=int, default=60, help="how many to try in each room (60)")
    arguments.add_argument("--seed", type=int, default=1, help="by which they are drawn (1)")
    arguments.add_argument("--record", type=Path, help="where it is kept which test runs which line, for another time")
    asked = arguments.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        copy = copy_project(Path(folder) / "project")
        kept = (asked.record or copy / "record.json").resolve()
        if not kept.exists() and run_tests(
            copy, ["tests", "--maxfail=1000"], SPECLINT_RECORD=str(kept), SPECLINT_ROOMS=" ".join(asked.rooms)
        ) not in (0, 1):
            print("the tests cannot be run as they are: see `python -m pytest --collect-only`")
            return 2
        record = Record(**json.loads(kept.read_text(encoding="utf-8")))
        for name in record.modules:
            with suppress(Exception):
                import_module(name)
        shares = {room: noticed_share(copy, room, record, asked.changes, asked.seed) for room in asked.rooms}
    return int(any(share < 0.9 for share in shares.values()))


def noticed_share(copy: Path, room: str, record: Record, count: int, seed: int) -> float:
    """Tries so many changes of a room and prints what came of them; the share that was noticed."""
    files = sorted(path.relative_to(copy).as_posix() for path in (copy / "speclint" / room).rglob("*.py"))
    drawn = [(file, change) for file in files for change in changes((copy / file).read_text(encoding="utf-8"))]
    drawn = sorted(random.Random(f"{seed}/{room}").sample(drawn, min(count, len(drawn))))
    noticed = 0
    for file, change in drawn:
        if any(is_noticed(copy, file, change, tests) for tests in record.tests_of(file, change)):
            noticed += 1
        else:
            line = (copy / file).read_text(encoding="utf-8").splitlines()[change.line - 1]
            print(f"{file}:{change.line}:{change.column + 1}\n- {line.strip()}\n+ {change.text}", flush=True)
    print(f"{room}: {noticed} of {len(drawn)} noticed", flush=True)
    return noticed / len(drawn)


if __name__ == "__main__":
    sys.exit(main())
