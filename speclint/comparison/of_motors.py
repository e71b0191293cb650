"""Motors and their runs held against each other, and what follows from that for car and rules."""

from collections.abc import Iterable
from dataclasses import dataclass

from speclint.comparison.answer import answer_of
from speclint.comparison.compared_motors import ComparedMotor, MotorReader, setups_naming
from speclint.comparison.differences import Comparison, compare
from speclint.comparison.drift import crossings_of
from speclint.comparison.entry_rules import RulesOfMotors, bounds_of
from speclint.comparison.equivalent import EntryRules, Equivalent, equivalent_of
from speclint.comparison.findings import ComparisonFindings, MotorFindings
from speclint.comparison.interpretation import interpretations_of
from speclint.comparison.ranking import MotorToRank, rank
from speclint.comparison.runs import ComparedRun, RunPair, around_last_rebuild, chosen, runs_of
from speclint.comparison.trend import trends_of
from speclint.errors import UsageError
from speclint.models.motors import Motor
from speclint.workspace.loaded import Files
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import Source
from speclint.workspace.workspace import Workspace


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorComparison:
    """What is to be compared: files of motors or setups, two runs or none, a car and a garage that are named."""

    files: tuple[str, ...]
    runs: tuple[str, ...] = ()
    setup: str | None = None
    garage: str | None = None
    trend: bool = False


def compare_motors(asked: MotorComparison, source: Source, overrides: Overrides) -> ComparisonFindings:
    """Everything that there is to say of the motors in the files.

    Raises:
        UnreadableError: a file that was named is not there, or cannot be read.
        UsageError: what was asked for does not fit together, or nothing can be compared.
    """
    files = Files(source)
    workspace = Workspace(files, overrides, near=_near(asked, files))
    reader = MotorReader(workspace, setup=asked.setup, garage=asked.garage)
    motors = [motor for file in asked.files if (motor := reader.motor(file)) is not None]
    rules = RulesOfMotors(workspace)
    over_time = ranking = None
    notes = [*_other_motors(motors, asked)]
    if len(asked.files) == 1:
        over_time = _over_time(motors[0], asked, rules, overrides) if motors else None
    elif len(motors) > 1:
        judged_by = rules.of_motors(motors)
        entrants = [
            MotorToRank(motor.name, motor.motor, motor.instruments, of_motor)
            for motor, of_motor in zip(motors, judged_by, strict=True)
        ]
        ranking = rank(entrants, overrides.on or overrides.today)
    elif motors:
        notes.append("the other files have problems, so there is nothing to put beside this motor")
    problems = dict.fromkeys((*reader.problems, *workspace.refusal, *rules.problems))
    return ComparisonFindings(
        motor=over_time,
        ranking=ranking,
        notes=tuple(dict.fromkeys([*notes, *rules.notes])),
        problems=tuple(sorted(problems, key=lambda problem: (problem.place, problem.id))),
    )


def _near(asked: MotorComparison, files: Files) -> list[str]:
    """The files whose rulesets may judge the motors: those that are named, and the setups that name these."""
    named = [*asked.files, *([asked.setup] if asked.setup is not None else [])]
    motors = [file for file in asked.files if asked.setup is None and files.named(file).format == "motor/1"]
    return [*named, *(setup.document.file for file in motors for setup in setups_naming(files, file))]


def _other_motors(motors: Iterable[ComparedMotor], asked: MotorComparison) -> Iterable[str]:
    """Says where the car that is named has another motor in it than the one that is looked at."""
    for compared in motors:
        fitted = compared.cars[0].car.motor if asked.setup is not None and compared.cars else None
        file = compared.motor.document.file
        if fitted is not None and fitted.document.file != file:
            yield f"{asked.setup} names another motor, {fitted.document.file}: {file} is put in its place"


def _over_time(
    compared: ComparedMotor, asked: MotorComparison, rules: RulesOfMotors, overrides: Overrides
) -> MotorFindings:
    """One motor over its runs."""
    motor = compared.motor
    runs = runs_of(motor, compared.instruments)
    pair = _pair(runs, motor, asked.runs)
    comparison = compare(pair) if isinstance(pair, RunPair) else None
    trends = trends_of(motor, runs)
    if not asked.trend:
        trends = tuple(trend for trend in trends if trend.line is not None)
    if comparison is None and not trends:
        raise UsageError(f"{motor.document.file}: {pair}")
    of_cars = tuple(rules.of_car(compared, assembled.car) for assembled in compared.cars)
    if not compared.cars and overrides.ruleset is not None and overrides.class_id is not None:
        of_cars = rules.of_motors((compared,))
    equivalent = "" if comparison is None else _equivalent(comparison, compared, of_cars, asked)
    return MotorFindings(
        answer="" if comparison is None else answer_of(comparison, equivalent),
        name=compared.name,
        file=motor.document.file,
        comparison=comparison,
        trouble=pair if isinstance(pair, str) else "",
        interpretations=interpretations_of(comparison) if comparison is not None else (),
        equivalent=equivalent,
        trends=trends,
        crossings=crossings_of(trends, bounds_of(entry for of_car in of_cars for entry in of_car)),
        instruments_from=compared.instruments_from,
    )


def _pair(runs: tuple[ComparedRun, ...], motor: Motor, asked: tuple[str, ...]) -> RunPair | str:
    if not asked:
        return around_last_rebuild(runs, motor)
    pair: list[ComparedRun] = []
    for text in asked:
        run = chosen(runs, text)
        if isinstance(run, str):
            raise UsageError(f"{motor.document.file}: {run}")
        pair.append(run)
    if pair[0].number == pair[1].number:
        raise UsageError(f"{motor.document.file}: {' and '.join(asked)} are one run: name two")
    older, newer = sorted(pair, key=lambda run: run.number)
    return RunPair(older, newer, "the runs that were asked for")


def _equivalent(
    comparison: Comparison,
    compared: ComparedMotor,
    of_cars: tuple[tuple[EntryRules, ...], ...],
    asked: MotorComparison,
) -> Equivalent | str:
    cars = compared.cars
    if not cars and asked.setup is not None:
        return f"{asked.setup} has problems: mend them first"
    if not cars:
        return "no setup of the repository names this motor: --setup FILE names the car whose gearing is to follow"
    if len(cars) > 1:
        files = ", ".join(sorted(car.car.setup.document.file for car in cars))
        return f"the motor is in {len(cars)} setups ({files}): --setup FILE names the car whose gearing is to follow"
    return equivalent_of(comparison, cars[0].car, of_cars[0], cars[0].parts)
