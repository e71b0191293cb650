"""Where a record goes: the file that is changed, the list in it, and the car around it."""

from collections.abc import Iterator
from dataclasses import dataclass

from speclint.documents.tree import Document
from speclint.errors import UnreadableError, UsageError
from speclint.files import FileText
from speclint.logbook.kinds import RecordKind
from speclint.models.cars import Car
from speclint.models.instruments import instruments_of
from speclint.models.motors import Motor, motor_of
from speclint.models.parts import parts_box_of
from speclint.models.rotors import Rotor
from speclint.models.setups import setup_of
from speclint.places import Path
from speclint.problems import Problem
from speclint.workspace.cars import Assembly
from speclint.workspace.loaded import Files, load
from speclint.workspace.source import Source


@dataclass(frozen=True, slots=True)
class Target:
    """Where a record goes.

    Attributes:
        document: The file that is changed, as it is.
        path: The list there, be it missing still.
        car: The car; a motor that was named without its setup stands for one.
        named_by: The setup that was asked for, where its motor's file is the one that is changed; else "".
        knows_all_instruments: Whether every file was at hand that may describe an instrument of this record.
    """

    document: Document
    path: Path
    car: Car
    named_by: str = ""
    knows_all_instruments: bool = True


def find_target(reader: Source, file: str, kind: RecordKind) -> Target | tuple[Problem, ...]:
    """Where a record of a kind goes if it is logged to a file, or what is wrong with the files.

    Raises:
        UnreadableError: There is no such file, or it cannot be read.
        UsageError: Records of this kind don't belong to the file.
    """
    files = Files(reader)
    loaded = files.named(file)
    if not loaded.is_there:
        raise UnreadableError(f"{file}: {loaded.problems[0].message}")
    if loaded.document is None or loaded.problems:
        return loaded.problems
    kind_of_file = str(loaded.format).partition("/")[0]
    if kind_of_file == kind.holder == "inspection":
        return _alone(loaded.document, kind)
    if kind_of_file == "motor" and kind.holder != "inspection":
        return _in_motor_file(loaded.document, kind)
    if kind_of_file != "setup" or kind.holder == "inspection":
        holders = {"motor": "a setup or a motor", "setup": "a setup", "inspection": "an inspection"}
        article = "an" if kind_of_file == "inspection" else "a"
        raise UsageError(f"{file} is {article} {kind_of_file}: a {kind.title} goes into {holders[kind.holder]}")
    setup = setup_of(loaded.document)
    assembled = Assembly(reader, files.named).car(setup)
    motor = assembled.car.motor
    complete = setup.garage is None or assembled.garage is not None
    if not kind.of_motor:
        return Target(setup.document, (kind.key,), assembled.car, knows_all_instruments=complete)
    if motor is None:
        if setup.motor is None:
            raise UsageError(
                f"{file} names no motor: write `motor:` with the path of its file, or log the {kind.title} to that file"
            )
        named = reader.beside(file, setup.motor)
        about_motor = [problem for problem in assembled.problems if problem.place.pointer == "/motor"]
        return (
            *about_motor,
            *(problem for loaded_file in files.all if loaded_file.file == named for problem in loaded_file.problems),
        )
    named_by = "" if motor.document is setup.document else file
    return Target(motor.document, (*motor.prefix, kind.key), assembled.car, named_by, complete)


def car_after(target: Target, after: Document) -> Car:
    """The target's car with the changed file in the place of the old one."""
    car = target.car
    setup = setup_of(after) if car.setup.document is target.document else car.setup
    motor = car.motor
    if motor is not None and motor.document is target.document:
        motor = motor_of(after, motor.prefix)
    return car._replace(setup=setup, motor=motor)


def instruments_around(reader: Source, kind: RecordKind) -> frozenset[str]:
    """The names of all instruments that files under the current folder describe for a kind of record.

    Officials measure with their own and with those of the ruleset.
    """
    holders = ("inspection", "ruleset") if kind.holder == "inspection" else ("garage", "setup")
    return frozenset(_described(reader, holders))


def _described(reader: Source, holders: tuple[str, ...]) -> Iterator[str]:
    for text in _with_equipment(reader, "instruments", holders):
        document = load(text).document
        described = None if document is None else document.get(("instruments",))
        if isinstance(described, dict):
            yield from described


def rotors_around(reader: Source) -> tuple[Rotor, ...]:
    """Every rotor that a parts box under the current folder holds."""
    return tuple({(rotor.kind, rotor.part): rotor for rotor in _boxed(reader)}.values())


def _boxed(reader: Source) -> Iterator[Rotor]:
    for text in _with_equipment(reader, "parts_box"):
        document = load(text).sound
        box = None if document is None else parts_box_of(document.get(("parts_box",)))
        yield from (box.rotors or ()) if box is not None else ()


def _with_equipment(reader: Source, key: str, holders: tuple[str, ...] = ("garage", "setup")) -> Iterator[FileText]:
    """The files of some kinds under the current folder in whose text a key stands."""
    for listed in reader.find((".",)).files:
        if listed.declares in holders and key in (text := reader.read(listed.file)).text:
            yield text


def fitted_gears(target: Target) -> dict[Path, int]:
    """The gears that are on the car, which a track run was driven with unless somebody says otherwise."""
    document = target.car.setup.document
    gears = {(key,): document.get(("car", key)) for key in ("spur_teeth", "pinion_teeth")}
    return {path: teeth for path, teeth in gears.items() if isinstance(teeth, int)}


def _in_motor_file(document: Document, kind: RecordKind) -> Target:
    if not kind.of_motor:
        raise UsageError(f"{document.file} is a motor: a {kind.title} goes into the setup of the car")
    return _alone(document, kind, motor_of(document))


def _alone(document: Document, kind: RecordKind, motor: Motor | None = None) -> Target:
    """A file that stands for itself: it holds none of a setup's keys, so that it stands for an empty one, too."""
    car = Car(setup_of(document), motor, "", instruments_of(document.get(("instruments",))))
    return Target(document, (kind.key,), car, knows_all_instruments=False)
