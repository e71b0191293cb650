"""The programs that read the same files, and the CPU time that each of them takes."""

import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from speclint.resources import schema_path

LINES: Final = "speclint check, lines"
SHEET: Final = "speclint check, sheet"
JSON: Final = "speclint check, json"
SCHEMA_ONLY: Final = "check-jsonschema, shape only"
STYLE_ONLY: Final = "yamllint, style only"
BARE_LOOP: Final = "the C parser's events, nothing done with them"

_BARE_LOOP: Final = """
import sys
from _ruamel_yaml import CParser
from ruamel.yaml.events import StreamEndEvent
for name in sys.argv[1:]:
    with open(name, encoding="utf-8") as file:
        next_event = CParser(file.read()).get_event
    while type(next_event()) is not StreamEndEvent:
        pass
"""


_ENVIRONMENT: Final = {
    **{name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"},
    "PYTHONPYCACHEPREFIX": str(Path(tempfile.gettempdir()) / "speclint-benchmark-bytecode"),
}
"""An installed program has been compiled, whatever this test run is told: the first round compiles all of them."""


@dataclass(frozen=True, slots=True)
class Target:
    """The most that one program may take of another's CPU time."""

    ours: str
    theirs: str
    at_most: float


COLD_START: Final = Target(LINES, SCHEMA_ONLY, 0.5)
"""On one file."""
AGAINST_SHAPE_ONLY: Final = Target(LINES, SCHEMA_ONLY, 0.33)
"""On a thousand files."""
AGAINST_BARE_LOOP: Final = Target(LINES, BARE_LOOP, 4.0)
"""On a thousand files."""


class Contest:
    """Programs on the files of a folder; `seconds` runs them one after the other and never two at once."""

    def __init__(self, folder: Path, files: Sequence[Path]) -> None:
        self._folder = folder
        self._files = files

    def on_one_file(self) -> Mapping[str, Sequence[str]]:
        """The commands, by name, that read the first file alone."""
        return self._programs([str(self._files[0])], self._files[:1])

    def on_all_files(self) -> Mapping[str, Sequence[str]]:
        """The commands, by name, that read every file."""
        return self._programs([str(self._folder)], self._files)

    def _programs(self, given: Sequence[str], files: Sequence[Path]) -> Mapping[str, Sequence[str]]:
        python = sys.executable
        check = [python, "-m", "speclint", "check", *given, "--report"]
        return {
            LINES: [*check, "lines"],
            SHEET: [*check, "text"],
            JSON: [*check, "json"],
            SCHEMA_ONLY: [
                python,
                "-m",
                "check_jsonschema",
                "--schemafile",
                str(schema_path("setup-1")),
                *map(str, files),
            ],
            STYLE_ONLY: [python, "-m", "yamllint", "-d", "relaxed", *given],
            BARE_LOOP: [python, "-c", _BARE_LOOP, *map(str, files)],
        }

    def seconds(self, programs: Mapping[str, Sequence[str]], repeats: int) -> dict[str, float]:
        """The least CPU time of each program, in seconds; they take turns, so that a busy spell hits all alike."""
        least: dict[str, float] = {}
        for _ in range(repeats):
            for name, command in programs.items():
                spent = _cpu_seconds(command)
                least[name] = min(spent, least.get(name, spent))
        return least


def _cpu_seconds(command: Sequence[str]) -> float:
    """User and system time of a child and of its own children, in seconds.

    Raises:
        RuntimeError: it did not end as a program does that has read its files and found nothing wrong.
    """
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=_ENVIRONMENT)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode != 0:
        raise RuntimeError(
            f"{' '.join(command[:4])} ended with {done.returncode}: {(done.stdout + done.stderr)[:2000]}"
        )
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
