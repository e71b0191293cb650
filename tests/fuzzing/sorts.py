"""The sorts of input that are tried, each of which says what is wrong with the answer: "" for nothing."""

import contextlib
import random
from collections.abc import Callable, Mapping
from datetime import date
from functools import cache
from typing import TYPE_CHECKING, Final, NamedTuple

from speclint.check.compared_setups import SetupAt, compare_files
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
from tests.check.world import RACE_DAY, find_in
from tests.fuzzing.commands import command_line_fault, editor_fault, order_fault
from tests.fuzzing.mutations import damaged, mixed, mutated
from tests.fuzzing.page import page_fault
from tests.fuzzing.worlds import demonstration, meeting, texts
from tests.reports.report_text import kinds_of, report_text

if TYPE_CHECKING:
    from speclint.findings import Tally

_MODELS: Final[Mapping[str | None, Callable[[Document], object]]] = {
    "setup/1": setup_of, "motor/1": motor_of, "garage/1": garage_of, "inspection/1": inspection_of,
}  # fmt: skip
_TODAY: Final = Overrides(today=date.fromisoformat(RACE_DAY))


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
    world = demonstration()
    name = chance.choice([*world])
    rulesets = {file: text for file, text in world.items() if file.startswith("rulesets/")}
    cars = chance.sample([file for file in world if file not in rulesets], 2)
    files = {**rulesets, **{file: world[file] for file in cars}, name: mutated(world[name], chance)}
    return _check_fault(files, [*cars, name], chance)


def inspection_fault(chance: random.Random) -> str:
    """Checks what officials read of cars, where one file is not as it was."""
    files = dict(meeting())
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
    world = demonstration()
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
    return report_text(kind, find_in(meeting()))


def stored_report_fault(chance: random.Random) -> str:
    """Gives a report that was saved, and is not as it was, to a check and a comparison."""
    kind = chance.choice(("json", "sarif", "csv", "lines", "text"))
    text = mutated(_stored_report(kind), chance)
    if chance.random() < 0.5:
        text = f"format: {chance.choice(['setup/1', 'motor/1', 'ruleset/1', 'inspection/1'])}\n{text}"
    fault = _check_fault({"report.yaml": text, **meeting()}, ["report.yaml"], chance, named=["report.yaml"])
    with contextlib.suppress(SpeclintError):
        source = NamedFiles({"report.yaml": text.encode("utf-8", "surrogatepass")})
        compare_motors(MotorComparison(files=("report.yaml",)), source, _TODAY)
        compare_files([SetupAt("report.yaml", source, "report")], _TODAY)
    return fault


class Sort(NamedTuple):
    """A sort of input: what is tried, and how often of ten thousand times."""

    fault: Callable[[random.Random], str]
    share: int


SORTS: Final[dict[str, Sort]] = {
    "texts": Sort(text_fault, 9629),
    "large texts": Sort(large_text_fault, 6),
    "cars": Sort(car_fault, 70),
    "inspections": Sort(inspection_fault, 70),
    "comparisons": Sort(comparison_fault, 50),
    "stored reports": Sort(stored_report_fault, 50),
    "command lines": Sort(command_line_fault, 70),
    "orders of arguments": Sort(order_fault, 20),
    "messages of an editor": Sort(editor_fault, 5),
    "questions of a page": Sort(page_fault, 30),
}
