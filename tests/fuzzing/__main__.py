"""Texts and command lines that nobody meant, by the thousand, in one process: `python -m tests.fuzzing --inputs 2000`.

Whatever comes in, only problems come out: no exception, no report that changes with the order of the files, no answer
later than a second and a half for a file of some kilobytes.
"""

import argparse
import contextlib
import io
import os
import random
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

from speclint.cli import main as command
from tests.check.world import find_in, project_files
from tests.console import lay_out_rulesets

_SLOWEST_S: Final = 1.5

_WORDS: Final = (
    "", "-1", "0", "1e999", ".nan", "1e-400", "9999-12-31", "0001-01-01", "null", "[]", "{}", "&a", "*a", "!!str x", "\x85",
    "\u202e", "\U000e0041", "\ufeff", "\x00", "'", '"', "|", ">", "? x", "<<: {}", "- - - -", "true", "no", "3/0", "40/21",
    "motor/1", "ruleset/1", "a" * 300, "1" * 40, "harbour-city@2026.2", "../../x.yaml", "\r", "\t", "  ", "---\n", "%YAML 1.2\n",
)  # fmt: skip
_OPTIONS: Final = (
    "--report", "lines", "json", "text", "--full", "--only", "--on", "--class", "--ruleset", "--save", "x.json", "--strict",
    "--no-advice", "--known-on", "--from", "today", "--coming", "30",
    "--as-of", "HEAD", "--help", "--apply", "1", "--", "-", "--no-questions",
    "setup", "motor", "garage", "ruleset", "bench", "track", "rebuild", "car.yaml", "rulesets", ".", "stock-17", "harbour-city",
    "final_drive_ratio", "--dry-run", "--since", "--runs", "--track", "--minutes", "--ambient-c",
)  # fmt: skip
_COMMANDS: Final = ("check", "explain", "gearing", "compare", "log", "start", "pin")


def mutated(text: str, chance: random.Random) -> str:
    """The text with some of its lines, signs or values changed, doubled, moved or gone."""
    lines = text.split("\n")
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(lines))
        match chance.randrange(7):
            case 0:
                del lines[at : at + chance.randint(1, 3)]
            case 1:
                lines.insert(chance.randrange(len(lines) + 1), lines[at])
            case 2:
                lines[at] = f"{' ' * chance.randint(0, 6)}{lines[at].strip()}"
            case 3:
                key, colon, _ = lines[at].partition(":")
                lines[at] = f"{key}{colon} {chance.choice(_WORDS)}"
            case 4:
                place = chance.randint(0, len(lines[at]))
                lines[at] = f"{lines[at][:place]}{chance.choice(_WORDS)}{lines[at][place + chance.randint(0, 3) :]}"
            case 5:
                lines[at] = lines[at].replace(
                    *chance.choice((("{", "["), ("}", ""), (": ", ":"), ("0", "00"), ("-", ".")))
                )
            case _:
                source = chance.randrange(len(lines))
                lines[at] = lines[at].partition(":")[0] + ":" + lines[source].partition(":")[2]
        lines = lines or [""]
    return "\n".join(lines)


def document_fault(chance: random.Random, world: dict[str, str]) -> str:
    """Checks a few cars of which one file is not as it was; what is wrong with the answer, "" for nothing."""
    name = chance.choice([*world])
    rulesets = {file: text for file, text in world.items() if file.startswith("rulesets/")}
    cars = chance.sample([file for file in world if file not in rulesets], 2)
    files = {**rulesets, **{file: world[file] for file in cars}, name: mutated(world[name], chance)}
    start = time.process_time()
    findings = find_in(files)
    took = time.process_time() - start
    if findings.defects:
        return f"{name}: a defect\n{findings.defects[0].traceback}\n{files[name]}"
    if took > _SLOWEST_S:
        return f"{name}: {took:.1f} s\n{files[name]}"
    if chance.random() < 0.1:
        again = find_in(files, order=sorted(files, reverse=True))
        if [str(problem) for problem in again.problems] != [str(problem) for problem in findings.problems]:
            return f"{name}: the order of the files changes the report\n{files[name]}"
    return ""


def command_line_fault(chance: random.Random, world: dict[str, str]) -> str:
    """Runs a command line in the current folder; what is wrong with how it ends, "" for nothing."""
    if chance.random() < 0.2:
        source = chance.choice([file for file in world if not file.startswith("rulesets/")])
        Path("car.yaml").write_text(mutated(world[source], chance), encoding="utf-8", errors="surrogatepass")
    words = [chance.choice(_COMMANDS), *(chance.choice((*_OPTIONS, *_WORDS)) for _ in range(chance.randint(0, 5)))]
    words = [word.replace("\x00", "") for word in words]
    errors = io.StringIO()
    argv, sys.argv = sys.argv, ["speclint", *words]
    status: object = 0
    try:
        output = io.TextIOWrapper(io.BytesIO(), "utf-8")
        with contextlib.redirect_stdout(output), contextlib.redirect_stderr(errors):
            command()
    except SystemExit as end:
        status = end.code
    finally:
        sys.argv = argv
    if status not in (0, 1, 2, None) or "Traceback" in errors.getvalue():
        return f"{words} ended with {status}\n{errors.getvalue()}"
    return ""


SORTS: Final[dict[str, tuple[Callable[[random.Random, dict[str, str]], str], int]]] = {
    "documents": (document_fault, 9),
    "command lines": (command_line_fault, 1),
}
"""What is tried, and how often of ten times."""


def faults(inputs: int, seed: int, tried: Counter[str]) -> Iterator[str]:
    """What is wrong with the answers to so many inputs, each of which follows from its number and the seed."""
    world = project_files("examples/cars", "examples/motors", "rulesets")
    names = [name for name, (_, share) in SORTS.items() for _ in range(share)]
    for number in range(inputs):
        chance = random.Random(f"{seed}/{number}")
        sort = chance.choice(names)
        tried[sort] += 1
        try:
            fault = SORTS[sort][0](chance, world)
        except Exception:
            fault = traceback.format_exc()
        if fault:
            yield f"input {seed}/{number}, {sort}: {fault}"


@contextlib.contextmanager
def _folder_to_spoil() -> Iterator[None]:
    """A current folder with rulesets and a car that commands may do anything to."""
    before = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        lay_out_rulesets(Path(folder))
        os.chdir(folder)
        sys.stdin = io.StringIO("")
        try:
            yield
        finally:
            os.chdir(before)
            sys.stdin = sys.__stdin__


def main() -> int:
    """Tries inputs and prints what is wrong with the answers; 1 where anything is."""
    arguments = argparse.ArgumentParser(prog="python -m tests.fuzzing", description=__doc__)
    arguments.add_argument("--inputs", type=int, default=2000, help="how many inputs to try (2000)")
    arguments.add_argument("--seed", type=int, default=1, help="by which they are drawn (1)")
    asked = arguments.parse_args()
    tried: Counter[str] = Counter()
    count = 0
    start = time.monotonic()
    with _folder_to_spoil():
        for fault in faults(asked.inputs, asked.seed, tried):
            count += 1
            print(fault, flush=True)
    words = ", ".join(f"{number:,} {sort}" for sort, number in sorted(tried.items()))
    print(f"{words} tried in {time.monotonic() - start:.0f} s; {count} faults")
    return 1 if count else 0


if __name__ == "__main__":
    sys.exit(main())
