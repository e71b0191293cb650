"""The story of `speclint compare`: motors and their runs, held against each other, and what follows for car and rules."""

from dataclasses import dataclass
from datetime import date

from speclint.commands.compared_motors import Subject, Subjects
from speclint.commands.compared_rules import Races, bounds_of
from speclint.comparison.differences import Comparison, compare
from speclint.comparison.drift import crossings_of
from speclint.comparison.equivalent import EntryRules, Equivalent, equivalent_of
from speclint.comparison.findings import ComparisonFindings, MotorFindings
from speclint.comparison.interpretation import interpretations_of
from speclint.comparison.ranking import MotorToRank, rank
from speclint.comparison.runs import ComparedRun, RunPair, around_last_rebuild, chosen, runs_of
from speclint.comparison.trend import trends_of
from speclint.errors import UsageError
from speclint.files import Folder
from speclint.models.motors import Motor
from speclint.workspace.entries import Overrides


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the command line says: files, two runs or none, what to judge by, and how things lie today."""

    files: tuple[str, ...]
    runs: tuple[str, ...] = ()
    setup: str | None = None
    garage: str | None = None
    ruleset: str | None = None
    class_id: str | None = None
    on: date | None = None
    today: date
    trend: bool = False


def findings_of(asked: Asked, folder: Folder) -> ComparisonFindings:
    """Everything that there is to say of the motors in the files.

    Raises:
        UnreadableError: a file that was named is not there, or cannot be read.
        UsageError: what was asked for does not fit together, or nothing can be compared.
    """
    known = Subjects(folder, setup=asked.setup, garage=asked.garage)
    subjects = [subject for file in asked.files if (subject := known.subject(file)) is not None]
    entries = Overrides(
        today=asked.on or asked.today,
        ruleset=None if asked.ruleset is None else folder.shown(asked.ruleset),
        class_id=asked.class_id,
        on=asked.on,
    )
    near = [
        file
        for one in subjects
        for file in (one.motor.document.file, *(car.car.setup.document.file for car in one.cars))
    ]
    races = Races(folder, known.files, entries, near)
    motor = ranking = None
    notes: list[str] = []
    for one in subjects:
        named = one.cars[0].car.motor if asked.setup is not None and one.cars else None
        if named is not None and named.document.file != one.motor.document.file:
            notes.append(
                f"{asked.setup} names another motor, {named.document.file}: {one.motor.document.file} is put in its place"
            )
    if len(asked.files) == 1:
        motor = _one(subjects[0], asked, races) if subjects else None
    elif len(subjects) > 1:
        entrants = [
            MotorToRank(one.name, one.motor, one.instruments, own)
            for one, own in zip(subjects, races.of_motors(subjects), strict=True)
        ]
        ranking = rank(entrants, asked.on or asked.today)
    elif subjects:
        notes.append("the other files have problems, so there is nothing to put beside this motor")
    problems = sorted(dict.fromkeys(known.problems), key=lambda problem: (problem.place, problem.id))
    return ComparisonFindings(
        motor=motor, ranking=ranking, notes=tuple(dict.fromkeys([*notes, *races.notes])), problems=tuple(problems)
    )


def _one(subject: Subject, asked: Asked, races: Races) -> MotorFindings:
    """One motor over its runs."""
    motor = subject.motor
    runs = runs_of(motor, subject.instruments)
    pair = _pair(runs, motor, asked.runs)
    comparison = compare(pair) if isinstance(pair, RunPair) else None
    trends = trends_of(motor, runs)
    if not asked.trend:
        trends = tuple(trend for trend in trends if trend.line is not None)
    if comparison is None and not trends:
        raise UsageError(f"{motor.document.file}: {pair}")
    of_cars = tuple(races.of_car(subject, car.car) for car in subject.cars)
    if not subject.cars and asked.ruleset is not None and asked.class_id is not None:
        of_cars = races.of_motors((subject,))
    return MotorFindings(
        name=subject.name,
        file=motor.document.file,
        comparison=comparison,
        trouble=pair if isinstance(pair, str) else "",
        interpretations=interpretations_of(comparison) if comparison is not None else (),
        equivalent="" if comparison is None else _equivalent(comparison, subject, of_cars),
        trends=trends,
        crossings=crossings_of(trends, bounds_of(race for own in of_cars for race in own)),
        instruments_from=subject.instruments_from,
    )


def _pair(runs: tuple[ComparedRun, ...], motor: Motor, asked: tuple[str, ...]) -> RunPair | str:
    if not asked:
        return around_last_rebuild(runs, motor)
    found: list[ComparedRun] = []
    for text in asked:
        one = chosen(runs, text)
        if isinstance(one, str):
            raise UsageError(f"{motor.document.file}: {one}")
        found.append(one)
    older, newer = sorted(found, key=lambda run: run.number)
    return RunPair(older, newer, "the runs that were asked for")


def _equivalent(
    comparison: Comparison, subject: Subject, of_cars: tuple[tuple[EntryRules, ...], ...]
) -> Equivalent | str:
    cars = subject.cars
    if not cars:
        return "no setup of the repository names this motor: say --setup FILE for the gearing of a car"
    if len(cars) > 1:
        files = ", ".join(sorted(car.car.setup.document.file for car in cars))
        return (
            f"the motor is in {len(cars)} setups ({files}): say with --setup FILE for which car to work out the gearing"
        )
    return equivalent_of(comparison, cars[0].car, of_cars[0], cars[0].parts)
