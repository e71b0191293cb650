"""The programs that read the same files, and what each of them takes: CPU time, time on the clock, and memory."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from typing import Final, NamedTuple

from speclint.reports.kinds import CHECK, printed, saved
from speclint.resources import schemas_folder


def report_of(kind: str) -> str:
    """What a check with a report of this kind is called."""
    return f"speclint check, {kind}"


LINES: Final = report_of("lines")
SHARED_OUT: Final = f"{LINES}, all processors"
TEXT: Final = report_of("text")
JSON: Final = report_of("json")
SCHEMA_ONLY: Final = "check-jsonschema, shape only"
STYLE_ONLY: Final = "yamllint, style only"
BARE_LOOP: Final = "the C parser's events, nothing done with them"

_BARE_LOOP: Final = """
import sys
from pathlib import Path
from _ruamel_yaml import CParser
from ruamel.yaml.events import StreamEndEvent
for name in sys.argv[2:] or sorted(Path(sys.argv[1]).glob("team-*/*.yaml")):
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


class Spent(NamedTuple):
    """What a run took: seconds of CPU, user and system, seconds on the clock, and the most memory at once in MB."""

    cpu_s: float
    wall_s: float
    peak_mb: float


@dataclass(frozen=True, slots=True)
class Target:
    """The most that one program may take of another's CPU time."""

    ours: str
    theirs: str
    at_most: float


COLD_START: Final = Target(LINES, SCHEMA_ONLY, 0.55)
"""On one file."""
MOST_MEMORY_MB: Final = 400
"""For a check of any number of setups."""
SAME_TIME_A_FILE: Final = 1.1
"""The time for one of very many files, as a multiple of that for one of a thousand."""
AGAINST_SHAPE_ONLY: Final = Target(LINES, SCHEMA_ONLY, 0.4)
"""On a thousand files."""
AGAINST_BARE_LOOP: Final = Target(LINES, BARE_LOOP, 5.0)
"""On a thousand files."""


class Contest:
    """Programs on the files of a folder; `seconds` runs them one after the other and never two at once."""

    def __init__(self, folder: Path, files: Sequence[Path]) -> None:
        self._folder = folder
        self._files = files
        self._saved = folder.parent

    def on_one_file(self) -> Mapping[str, Sequence[str]]:
        """The commands, by name, that read the first file alone."""
        return self._programs([str(self._files[0])], self._files[:1])

    def on_all_files(self) -> Mapping[str, Sequence[str]]:
        """The commands, by name, that read every file."""
        return self._programs([str(self._folder)], self._files)

    def _programs(self, given: Sequence[str], files: Sequence[Path]) -> Mapping[str, Sequence[str]]:
        python = sys.executable
        names = [str(file) for file in files]
        all_processes = [python, "-m", "speclint", "check", *given, "--report"]
        check = [*all_processes[:-1], "--jobs", "1", "--report"]
        of_kinds = {report_of(name): [*check, name] for name in printed(CHECK)}
        of_kinds |= {
            report_of(kind.name): [*check, "lines", "--save", str(self._saved / f"report{ending}")]
            for ending, kind in saved(CHECK).items()
            if not kind.is_printed
        }
        return {
            LINES: of_kinds.pop(LINES),
            SHARED_OUT: [*all_processes, "lines"],
            **of_kinds,
            SCHEMA_ONLY: [
                python,
                "-m",
                "check_jsonschema",
                "--schemafile",
                str(schemas_folder() / "setup-1.schema.json"),
                *names,
            ],
            STYLE_ONLY: [python, "-m", "yamllint", "-d", "relaxed", *names],
            BARE_LOOP: [python, "-c", _BARE_LOOP, str(self._folder), *names],
        }

    def spent(self, programs: Mapping[str, Sequence[str]], repeats: int) -> dict[str, Spent]:
        """The least that each program took; they take turns, so that a busy spell hits all alike."""
        least: dict[str, Spent] = {}
        for _ in range(repeats):
            for name, command in programs.items():
                spent = _spent(command)
                least[name] = Spent(*map(min, spent, least.get(name, spent)))
        return least


def _spent(command: Sequence[str]) -> Spent:
    """What a child took, with its own children.

    Raises:
        RuntimeError: it did not end as a program does that has read its files and found nothing wrong.
    """
    with tempfile.TemporaryFile() as output:
        start = monotonic()
        child = subprocess.Popen(command, stdout=output, stderr=subprocess.STDOUT, env=_ENVIRONMENT)
        _, status, usage = os.wait4(child.pid, 0)
        wall_s = monotonic() - start
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode:
            output.seek(0)
            raise RuntimeError(f"{' '.join(command[:4])} ended with {child.returncode}: {output.read(2000)!r}")
    kilobytes = usage.ru_maxrss / (1024 if sys.platform == "darwin" else 1)
    return Spent(usage.ru_utime + usage.ru_stime, wall_s, kilobytes / 1000)
