"""What files hold that are checked without a car: rulesets, motors, garages and inspections, a line each."""

from collections.abc import Iterable, Iterator

from speclint.findings import Holding
from speclint.models.garages import Garage, garage_of
from speclint.models.motors import Motor, motor_of
from speclint.moments import day_text
from speclint.plain import counted, listed
from speclint.rules.examples import run_examples
from speclint.workspace.loaded import Loaded
from speclint.workspace.workspace import Workspace


def holdings(workspace: Workspace, loaded_files: Iterable[Loaded]) -> Iterator[Holding]:
    """What each sound file among these holds."""
    for loaded in loaded_files:
        document = loaded.sound
        if document is None:
            continue
        match loaded.format:
            case "ruleset/1":
                yield from _of_ruleset(workspace, loaded.file)
            case "motor/1":
                motor = motor_of(document)
                yield Holding(loaded.file, motor.name or loaded.file, _of_motor(motor))
            case "garage/1":
                garage = garage_of(document)
                yield Holding(loaded.file, garage.name, _of_garage(garage))
            case "inspection/1":
                count = len(document.get(("cars",)) or ())
                yield Holding(loaded.file, document.get(("event",)) or loaded.file, _counted(count, "car"))
            case _:
                continue


def _of_ruleset(workspace: Workspace, file: str) -> Iterator[Holding]:
    index = workspace.index
    if file not in index.documents:
        return
    ruleset, document = index.documents[file]
    rules = sum(len(class_rules.rules) for class_rules in ruleset.classes.values())
    if not index.is_whole(ruleset):
        return
    examples: dict[int, bool] = {}
    for result in run_examples(ruleset, document, index.library):
        examples[result.example.number] = examples.get(result.example.number, True) and result.holds
    total, held = len(examples), sum(examples.values())
    outcome = (
        "no example tries them"
        if not total
        else counted(total, "example holds", "examples hold")
        if held == total
        else f"{held} of {counted(total, 'example')} {'holds' if held == 1 else 'hold'}"
    )
    parts = [_counted(len(ruleset.classes), "class", "classes"), _counted(rules, "rule"), outcome]
    base = "" if ruleset.based_on is None else f"; it builds on {'@'.join(ruleset.based_on)}"
    yield Holding(file, ruleset.name, f"{', '.join(parts)}{base}")


def _of_motor(motor: Motor) -> str:
    runs, rebuilds = motor.bench_runs, motor.rebuilds
    newest = f", the newest of {day_text(runs[0].when.day)}" if runs else ""
    return f"{_counted(len(runs), 'bench run')}{newest}, {_counted(len(rebuilds), 'rebuild')}"


def _of_garage(garage: Garage) -> str:
    pins = sum(len(versions) for versions in garage.pins.values())
    counts = ((len(garage.instruments), "instrument"), (len(garage.tracks), "track"), (pins, "pin"))
    return listed(_counted(count, noun) for count, noun in counts if count) or "nothing yet"


def _counted(count: int, noun: str, plural: str = "") -> str:
    return counted(count, noun, plural) if count else f"no {plural or f'{noun}s'}"
