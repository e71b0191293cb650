"""The motors that are compared: their instruments, and the cars of the repository that they are in."""

import posixpath
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from speclint.documents.tree import Document
from speclint.errors import UnreadableError, UsageError
from speclint.models.garages import Garage, garage_of
from speclint.models.motors import Motor, motor_of
from speclint.models.setups import Setup, setup_of
from speclint.readings.instruments import Instrument
from speclint.workspace.cars import Assembled
from speclint.workspace.loaded import Files, Loaded
from speclint.workspace.workspace import Workspace

if TYPE_CHECKING:
    from speclint.problems import Problem


@dataclass(frozen=True, slots=True)
class ComparedMotor:
    """One motor with the instruments that its runs may name, the files that describe them, and the cars it is in."""

    motor: Motor
    instruments: Mapping[str, Instrument]
    instruments_from: tuple[str, ...]
    cars: tuple[Assembled, ...]

    @property
    def name(self) -> str:
        """What the owner calls the motor, else its file."""
        return str(self.motor.name or self.motor.document.file)


def setups_naming(files: Files, motor_file: str) -> Iterator[Setup]:
    """Every sound setup of the repository that names a motor's file."""
    identity = files.source.full(motor_file)
    name = posixpath.basename(motor_file)
    for listed in files.listed_under(files.source.above(motor_file)[-1]):
        if listed.declares == "setup" and name in (text := files.source.read(listed.file)).text:
            document = files.take(text).sound
            setup = setup_of(document) if document is not None else None
            named = None if setup is None or setup.motor is None else files.source.beside(text.file, setup.motor)
            if setup is not None and named is not None and files.source.full(named) == identity:
                yield setup


class MotorReader:
    """Reads motors and what belongs to them, and keeps the problems on the way.

    Args:
        workspace: the opened repository.
        setup: the car that a motor is in, where a person names it.
        garage: the file of more instruments, where a person names it.
    """

    def __init__(self, workspace: Workspace, *, setup: str | None, garage: str | None) -> None:
        self._workspace = workspace
        self._files = workspace.files
        self._setup = setup
        self._garage = garage
        self.problems: list[Problem] = []

    def motor(self, file: str) -> ComparedMotor | None:
        """The motor of a file, or of the setup in it; None where that has problems, which are kept.

        Raises:
            UnreadableError: there is no such file, or it cannot be read.
            UsageError: it is neither a motor nor a setup, or a setup without one.
        """
        loaded = self._loaded(file)
        if loaded.format not in ("motor/1", "setup/1", None):
            raise UsageError(f"{file} is a {loaded.format.partition('/')[0]}: name motors, or setups with a motor")
        if loaded.sound is None:
            self.problems += loaded.problems
            return None
        if loaded.format == "motor/1":
            return self._of_motor(motor_of(loaded.sound))
        assembled = self._car(loaded.sound)
        if assembled.car.motor is None:
            if assembled.problems:
                return None
            raise UsageError(f"{file} states no motor: add `motor:`, or name the motor's own file")
        return self._of_setup(assembled, assembled.car.motor)

    def _loaded(self, file: str) -> Loaded:
        loaded = self._files.named(file)
        if not loaded.is_there:
            raise UnreadableError(f"{file}: {loaded.problems[0].message}")
        return loaded

    def _sound(self, file: str, stated_format: str) -> Document | None:
        loaded = self._loaded(file)
        if loaded.format != stated_format and not (loaded.format is None and loaded.problems):
            raise UsageError(f"{file} says no `format: {stated_format}`")
        self.problems += loaded.problems
        return loaded.sound

    def _car(self, document: Document) -> Assembled:
        assembled = self._workspace.car(setup_of(document))
        self.problems += self._workspace.car_problems(assembled)
        return assembled

    def _of_setup(self, assembled: Assembled, motor: Motor) -> ComparedMotor:
        setup, garage = assembled.car.setup, assembled.garage
        describing = [setup.document.file] if setup.instruments else []
        describing += [motor.document.file] if motor.instruments else []
        describing += [garage.file] if garage is not None else []
        instruments = dict(assembled.car.instruments)
        if self._garage is not None:
            more = self._named_garage(self._garage)
            if more is not None:
                instruments.update(more.instruments)
                describing.append(more.file)
        return ComparedMotor(motor, instruments, tuple(dict.fromkeys(describing)), (assembled,))

    def _of_motor(self, motor: Motor) -> ComparedMotor:
        cars = tuple(self._cars_of(motor))
        instruments: dict[str, Instrument] = {}
        # The nearest description of a name is the last to be put in.
        garages = [
            *(car.garage for car in cars),
            *reversed(tuple(self._garages_above(motor.document.file))),
            None if self._garage is None else self._named_garage(self._garage),
        ]
        owners = [*(garage for garage in garages if garage is not None), motor]
        for owner in owners:
            instruments.update(owner.instruments)
        describing = {owner.document.file for owner in owners if owner.instruments}
        return ComparedMotor(motor, instruments, tuple(sorted(describing)), cars)

    def _cars_of(self, motor: Motor) -> Iterator[Assembled]:
        """The car that a person names, else every sound setup of the repository that names the motor."""
        if self._setup is not None:
            document = self._sound(self._setup, "setup/1")
            if document is not None:
                yield self._car(document)
            return
        for setup in setups_naming(self._files, motor.document.file):
            yield self._workspace.car(setup)

    def _named_garage(self, file: str) -> Garage | None:
        document = self._sound(file, "garage/1")
        return None if document is None else garage_of(document)

    def _garages_above(self, file: str) -> Iterator[Garage]:
        """The sound garages in the file's folder and above it, up to the top of its repository, the nearest first."""
        above = self._files.source.above(file)
        garages = [listed.file for listed in self._files.listed_under(above[-1]) if listed.declares == "garage"]
        for folder in above:
            for name in garages:
                document = self._files.named(name).sound if (posixpath.dirname(name) or ".") == folder else None
                if document is not None:
                    yield garage_of(document)
