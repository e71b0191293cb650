"""The motors that `speclint compare` is asked about: their instruments, and the cars of the repository that they are in."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from speclint.documents.tree import Document
from speclint.errors import UnreadableError, UsageError
from speclint.files import Folder
from speclint.models.garages import garage_of
from speclint.models.instruments import instruments_of
from speclint.models.motors import Motor, motor_of
from speclint.models.setups import setup_of
from speclint.readings.instruments import Instrument
from speclint.workspace.cars import Assembled, Assembly
from speclint.workspace.loaded import Files, Loaded

if TYPE_CHECKING:
    from speclint.problems import Problem

_YAML: Final = (".yaml", ".yml")


@dataclass(frozen=True, slots=True)
class Subject:
    """One motor with the instruments that its runs may name, the files that describe them, and the cars it is in."""

    motor: Motor
    instruments: Mapping[str, Instrument]
    instruments_from: tuple[str, ...]
    cars: tuple[Assembled, ...]

    @property
    def name(self) -> str:
        """What the owner calls the motor, else its file."""
        return str(self.motor.name or self.motor.document.file)


class Subjects:
    """Reads motors and what belongs to them, every file once, and keeps the problems on the way.

    Args:
        folder: the current folder.
        setup: the car that a motor is in, where a person names it.
        garage: the file of more instruments, where a person names it.
    """

    def __init__(self, folder: Folder, *, setup: str | None, garage: str | None) -> None:
        self.folder = folder
        self.files = Files(folder)
        self.problems: list[Problem] = []
        self._assembly = Assembly(folder, self.files.named)
        self._setup = setup
        self._garage = garage
        self._setups: dict[str, tuple[str, ...]] = {}

    def subject(self, path: str) -> Subject | None:
        """The motor of a file, or of the setup in it; None where that has problems, which are kept.

        Raises:
            UnreadableError: there is no such file, or it cannot be read.
            UsageError: it is neither a motor nor a setup, or a setup without one.
        """
        loaded = self._loaded(path)
        if loaded.format not in ("motor/1", "setup/1", None):
            raise UsageError(f"{path} is a {loaded.format.partition('/')[0]}: name motors, or setups with a motor")
        if loaded.sound is None:
            self.problems += loaded.problems
            return None
        if loaded.format == "motor/1":
            return self._of_motor(motor_of(loaded.sound))
        car = self._car(loaded.sound)
        if car.car.motor is None:
            if car.problems:
                return None
            raise UsageError(f"{path} states no motor: add `motor:`, or name the motor's own file")
        return self._of_setup(car, car.car.motor)

    def _loaded(self, path: str) -> Loaded:
        loaded = self.files.named(self.folder.shown(path))
        if not loaded.is_there:
            raise UnreadableError(f"{path}: {loaded.problems[0].message}")
        return loaded

    def _sound(self, path: str, wanted: str) -> Document | None:
        loaded = self._loaded(path)
        if loaded.format != wanted and not (loaded.format is None and loaded.problems):
            raise UsageError(f"{path} says no `format: {wanted}`")
        self.problems += loaded.problems
        return loaded.sound

    def _car(self, document: Document) -> Assembled:
        car = self._assembly.car(setup_of(document))
        self.problems += car.problems
        self.problems += (problem for loaded in self.files.all if loaded.is_there for problem in loaded.problems)
        return car

    def _of_setup(self, car: Assembled, motor: Motor) -> Subject:
        describing = [car.car.setup.document.file] if car.car.setup.instruments else []
        describing += [motor.document.file] if motor.instruments else []
        describing += [car.garage.file] if car.garage is not None else []
        instruments = dict(car.car.instruments)
        if self._garage is not None:
            garage = self._sound(self._garage, "garage/1")
            if garage is not None:
                instruments.update(garage_of(garage).instruments)
                describing.append(garage.file)
        return Subject(motor, instruments, tuple(dict.fromkeys(describing)), (car,))

    def _of_motor(self, motor: Motor) -> Subject:
        cars = tuple(self._cars_of(motor))
        found: dict[str, Instrument] = {}
        describing: list[str] = []
        # The nearest description of a name is the last to be put in.
        garages = [
            *(car.garage.document for car in cars if car.garage is not None),
            *reversed(list(self._garages_above(motor.document.file))),
        ]
        if self._garage is not None:
            named = self._sound(self._garage, "garage/1")
            garages += [named] if named is not None else []
        for document in (*garages, motor.document):
            described = document.data.get("instruments")
            if described:
                found.update(instruments_of(described))
                describing.append(document.file)
        return Subject(motor, found, tuple(sorted(set(describing))), cars)

    def _cars_of(self, motor: Motor) -> Iterator[Assembled]:
        """The car that a person names, else every sound setup of the repository that names the motor."""
        if self._setup is not None:
            document = self._sound(self._setup, "setup/1")
            if document is not None:
                yield self._car(document)
            return
        own = self.folder.full(motor.document.file)
        name = motor.document.file.rpartition("/")[2]
        for file in self._setups_around(motor.document.file):
            source = self.folder.read(file)
            if name not in source.text:
                continue
            document = self.files.take(source).sound
            setup = setup_of(document) if document is not None else None
            if (
                setup is not None
                and setup.motor is not None
                and self.folder.full(self.folder.beside(file, setup.motor)) == own
            ):
                yield self._assembly.car(setup)

    def _setups_around(self, file: str) -> tuple[str, ...]:
        """Every setup of the repository; of the file's own folder, where there is no repository."""
        top = self.folder.shown(str(_top(Path(self.folder.full(file)).parent)))
        if top not in self._setups:
            found = self.folder.find((top,)).texts
            self._setups[top] = tuple(source.file for source in found if source.declares == "setup")
        return self._setups[top]

    def _garages_above(self, file: str) -> Iterator[Document]:
        """The sound garages in the file's folder and above it, up to the top of its repository, the nearest first."""
        folder = Path(self.folder.full(file)).parent
        top = _top(folder)
        for place in (folder, *folder.parents):
            for path in sorted(place.iterdir()):
                if path.suffix in _YAML:
                    source = self.folder.read(self.folder.shown(str(path)))
                    sound = self.files.take(source).sound if source.declares == "garage" else None
                    if sound is not None:
                        yield sound
            if place == top:
                return


def _top(folder: Path) -> Path:
    """The top of the git repository that a folder lies in; the folder itself where it lies in none."""
    return next((place for place in (folder, *folder.parents) if (place / ".git").exists()), folder)
