"""The sorts of input that are tried, each of which says what is wrong with the answer: "" for nothing."""

import contextlib
import io
import random
import sys
from collections.abc import Callable, Mapping
from datetime import date
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from click import Option

from speclint.check.compared_setups import SetupAt, compare_files
from speclint.cli import main as command
from speclint.comparison.of_motors import MotorComparison, compare_motors
from speclint.comparison.of_rulesets import compare_rulesets
from speclint.comparison.ruleset_changes import IndexedVersion
from speclint.documents.tree import Document
from speclint.errors import SpeclintError
from speclint.files import file_text
from speclint.models.garages import garage_of
from speclint.models.inspections import inspection_of
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.plain_files import MAX_BYTES
from speclint.reports.kinds import CHECK, COMPARE
from speclint.workspace.loaded import load
from speclint.workspace.overrides import Overrides
from speclint.workspace.ruleset_index import index_rulesets
from speclint.workspace.source import NamedFiles
from tests.check.world import RACE_DAY, find_in, project_files
from tests.fuzzing.mutations import WORDS, damaged, mixed, mutated
from tests.reports.report_text import kinds_of, report_text

if TYPE_CHECKING:
    from speclint.findings import Tally

CAR: Final = "cars/car.yaml"
MOTOR: Final = "motors/00417.yaml"
_BEGINNINGS: Final = {
    "check": (CAR, "cars", ".", "rulesets", f"{CAR} {MOTOR}"),
    "explain": ("final_drive_ratio", "rotor", "not-shown", "harbour-city", "mass_g", "close call"),
    "gearing": (CAR,),
    "compare": (MOTOR, CAR, f"{CAR} {MOTOR}", "harbour-city@2026.1 harbour-city@2026.2", f"{CAR} cars/two.yaml"),
    "pin": ("harbour-city", "pine-hall", "coastal-league"),
    "publish": ("harbour-city site", "pine-hall site", "rulesets/harbour-city-2026.1.yaml site"),
    "log": (f"{MOTOR} bench", f"{CAR} track", f"{MOTOR} rebuild", f"{CAR} car", f"{CAR} bench"),
    "schema": ("setup", "motor", "ruleset", ""),
    "start": (
        "setup new.yaml",
        "motor new.yaml",
        "ruleset new.yaml",
        "garage new.yaml",
        "inspection",
        "setup",
        "ruleset",
    ),
}
"""How a command line of each command may well begin; `editor` waits for an editor."""
_VALUES: Final = (
    "lines", "json", "text", "x.json", "x.html", "x.csv", "today", "tomorrow", "2026-03-14", "30", "HEAD", "index", "1", "2", "-", "yes",
    "stock-17", "harbour-city", "harbour-city@2026.1", "illegal", "new", "mass_g=1350", "can_c=60", "80", "21.4", CAR, MOTOR, "cars",
    "21.4,21.5,21.3", "61@infrared-thermometer", "rotor-swap,clean", "body=passed", "2", "3.7",
)  # fmt: skip
"""What an option may be given, whether or not it is meant for it."""
_MODELS: Final[Mapping[str | None, Callable[[Document], object]]] = {
    "setup/1": setup_of, "motor/1": motor_of, "garage/1": garage_of, "inspection/1": inspection_of,
}  # fmt: skip
_TODAY: Final = Overrides(today=date.fromisoformat(RACE_DAY))


@cache
def texts() -> tuple[dict[str, str], list[float]]:
    """Every document of the project by its name, and how often each is taken: long ones seldom."""
    files = project_files("examples", "rulesets", "tests/data")
    return files, [1 / (500 + len(text)) for text in files.values()]


@cache
def _demonstration() -> dict[str, str]:
    return project_files("examples/cars", "examples/motors", "rulesets")


@cache
def _meeting() -> dict[str, str]:
    """Cars, a motor, a ruleset and what officials read of the cars."""
    return {
        name.removeprefix("tests/data/misprints/"): text for name, text in project_files("tests/data/misprints").items()
    }


def text_fault(chance: random.Random) -> str:
    """Reads a text as far as it can be read: parsed, held to its shape, made a model or a ruleset."""
    files, weights = texts()
    (name, other_name) = chance.choices([*files], weights, k=2)
    text = mutated(files[name], chance)
    if chance.random() < 0.1:
        text = mixed(text, files[other_name], chance)
    data = text.encode("utf-8", "surrogatepass")
    return _reading_fault(name, damaged(data, chance) if chance.random() < 0.05 else data)


def large_text_fault(chance: random.Random) -> str:
    """Reads a text of which some lines stand there again and again, up to the largest size that is read."""
    files, weights = texts()
    (name,) = chance.choices([*files], weights)
    lines = mutated(files[name], chance).split("\n")
    at = chance.randrange(len(lines))
    block = "\n".join(lines[at : at + chance.randint(1, 8)]) + chance.choice(("\n", " ", ", ", ""))
    count = chance.randrange(MAX_BYTES) // len(block.encode("utf-8", "surrogatepass") or b" ")
    text = "\n".join([*lines[:at], block * count, *lines[at:]])
    return _reading_fault(name, text.encode("utf-8", "surrogatepass"))


def _reading_fault(name: str, data: bytes) -> str:
    loaded = load(file_text(name, data))
    problems = loaded.problems
    if loaded.format == "ruleset/1":
        problems = (*problems, *index_rulesets([loaded]).problems)
    elif loaded.sound is not None:
        _MODELS[loaded.format](loaded.sound)
    lines = data.count(b"\n") + data.count(b"\r") + 2
    for problem in problems:
        if not problem.message.strip() or not 1 <= problem.place.line <= lines or not problem.kind:
            return f"a problem that tells nothing, or points nowhere: {problem}\n{data!r}"
    return ""


def car_fault(chance: random.Random) -> str:
    """Checks two cars under the rulesets of the demonstration, where one file is not as it was."""
    world = _demonstration()
    name = chance.choice([*world])
    rulesets = {file: text for file, text in world.items() if file.startswith("rulesets/")}
    cars = chance.sample([file for file in world if file not in rulesets], 2)
    files = {**rulesets, **{file: world[file] for file in cars}, name: mutated(world[name], chance)}
    return _check_fault(files, [*cars, name], chance)


def inspection_fault(chance: random.Random) -> str:
    """Checks what officials read of cars, where one file is not as it was."""
    files = dict(_meeting())
    name = chance.choice(["inspected.yaml", *files])
    files[name] = mutated(files[name], chance)
    return _check_fault(files, [*{name, "inspected.yaml"}], chance, named=["inspected.yaml"])


def _check_fault(files: dict[str, str], order: list[str], chance: random.Random, named: list[str] | None = None) -> str:
    order = sorted(dict.fromkeys(order))
    kind = chance.choice(kinds_of(CHECK))
    reports = []
    for names in (order, order[::-1]) if chance.random() < 0.2 else (order,):
        try:
            findings: Tally | None = find_in(files, order=names, named=named or [])
        except SpeclintError as error:
            findings, report = None, str(error)
        if findings is not None and findings.defects:
            return f"a defect\n{findings.defects[0].traceback}"
        reports.append(report if findings is None else report_text(kind, findings))
    return "the order of the files changes the report" if len(set(reports)) > 1 else ""


def comparison_fault(chance: random.Random) -> str:
    """Compares two files of a kind, of which one is not as it was: motors, setups, or two versions of a ruleset."""
    world = _demonstration()
    kind = chance.choice(("examples/cars/", "examples/motors/", "rulesets/harbour"))
    names = [file for file in world if file.startswith(kind)]
    first, second = chance.sample(names, 2)
    source = NamedFiles(
        {file: text.encode() for file, text in world.items()}
        | {first: mutated(world[first], chance).encode("utf-8", "surrogatepass")}
    )
    with contextlib.suppress(SpeclintError):
        if kind == "rulesets/harbour":
            index = index_rulesets([load(source.read(file)) for file in world if file.startswith("rulesets/")])
            rulesets = [index.documents[file][0] for file in (first, second) if file in index.documents]
            if len(rulesets) == 2 and all(map(index.is_whole, rulesets)):
                old, new = (IndexedVersion(ruleset, index.library) for ruleset in rulesets)
                compare_rulesets(old, new)
        elif kind == "examples/cars/":
            report_text(
                "text",
                compare_files([SetupAt(file, source, file) for file in (first, second)], _TODAY),
                command=COMPARE,
            )
        else:
            files = (first, second) if chance.random() < 0.5 else (first,)
            report_text("text", compare_motors(MotorComparison(files=files), source, _TODAY), command=COMPARE)
    return ""


@cache
def _stored_report(kind: str) -> str:
    return report_text(kind, find_in(_meeting()))


def stored_report_fault(chance: random.Random) -> str:
    """Gives a report that was saved, and is not as it was, to a check and a comparison."""
    kind = chance.choice(("json", "sarif", "csv", "lines", "text"))
    text = mutated(_stored_report(kind), chance)
    if chance.random() < 0.5:
        text = f"format: {chance.choice(['setup/1', 'motor/1', 'ruleset/1', 'inspection/1'])}\n{text}"
    fault = _check_fault({"report.yaml": text, **_meeting()}, ["report.yaml"], chance, named=["report.yaml"])
    with contextlib.suppress(SpeclintError):
        source = NamedFiles({"report.yaml": text.encode("utf-8", "surrogatepass")})
        compare_motors(MotorComparison(files=("report.yaml",)), source, _TODAY)
        compare_files([SetupAt("report.yaml", source, "report")], _TODAY)
    return fault


class _Ended(NamedTuple):
    status: object
    output: str
    errors: str


def _run(words: list[str]) -> _Ended:
    """A command line in the current folder."""
    errors = io.StringIO()
    output = io.TextIOWrapper(io.BytesIO(), "utf-8", "surrogateescape")
    argv, sys.argv = sys.argv, ["speclint", *words]
    ended: object = 0
    try:
        with contextlib.redirect_stdout(output), contextlib.redirect_stderr(errors):
            command()
    except SystemExit as end:
        ended = end.code
    finally:
        sys.argv = argv
    output.flush()
    output.seek(0)
    return _Ended(ended, output.read(), errors.getvalue())


def _lay_out(file: str, chance: random.Random) -> None:
    """Puts a car or a motor of the demonstration into the current folder, half of the time not as it was."""
    sources = [name for name in _demonstration() if name.startswith(f"examples/{file.partition('/')[0]}/")]
    text = _demonstration()[chance.choice(sources)]
    text = mutated(text, chance) if chance.random() < 0.5 else text
    path = Path(file)
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8", errors="surrogatepass", newline="")


@cache
def _options(command_name: str) -> tuple[tuple[str, int], ...]:
    """The options of a command and of what stands under it, each with how many values it takes."""
    loaded = getattr(import_module(f"speclint.commands.{command_name}"), command_name)
    commands = [loaded, *getattr(loaded, "commands", {}).values()]
    options = [option for part in commands for option in part.params if isinstance(option, Option)]
    counts = [(name, 0 if option.is_flag else option.nargs) for option in options for name in option.opts]
    return (("--help", 0), ("--", 0), *counts)


def command_line_fault(chance: random.Random) -> str:
    """Runs a command with options of its own, seldom with another's, and values that were drawn, on files that were."""
    _lay_out(CAR if chance.random() < 0.5 else MOTOR, chance)
    name = chance.choice([*_BEGINNINGS])
    words = [name, *(chance.choice(_BEGINNINGS[name]).split() if chance.random() < 0.9 else ())]
    for _ in range(chance.choice((0, 1, 1, 2, 2, 3))):
        option, count = chance.choice(_options(name if chance.random() < 0.95 else chance.choice([*_BEGINNINGS])))
        values = _VALUES if chance.random() < 0.8 else WORDS
        words += [option, *(chance.choice(values) for _ in range(count))]
    words += [chance.choice(WORDS)] if chance.random() < 0.05 else []
    words = [word.replace("\x00", "") for word in words]
    ended = _run(words)
    if ended.status not in (0, 1, 2, None) or "Traceback" in ended.errors:
        return f"{words} ended with {ended.status}\n{ended.errors}"
    return ""


def order_fault(chance: random.Random) -> str:
    """Hands a check its files in another order."""
    files = [CAR, MOTOR, "cars/two.yaml"]
    for file in files:
        _lay_out(file, chance)
    options = ["check", "--report", chance.choice(("lines", "json", "text"))]
    ended = {_run([*options, *chance.sample(files, 3)]) for _ in range(2)}
    if len(ended) > 1:
        return f"the order of the files changes what the check says\n{ended}"
    return ""


class Sort(NamedTuple):
    """A sort of input: what is tried, and how often of ten thousand times."""

    fault: Callable[[random.Random], str]
    share: int


SORTS: Final[dict[str, Sort]] = {
    "texts": Sort(text_fault, 9664),
    "large texts": Sort(large_text_fault, 6),
    "cars": Sort(car_fault, 70),
    "inspections": Sort(inspection_fault, 70),
    "comparisons": Sort(comparison_fault, 50),
    "stored reports": Sort(stored_report_fault, 50),
    "command lines": Sort(command_line_fault, 70),
    "orders of arguments": Sort(order_fault, 20),
}
