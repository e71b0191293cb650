"""Setups put together with the motor and the garage that they name."""

import posixpath
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from typing import Final, NamedTuple

from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.garages import Garage, garage_of
from speclint.models.instruments import NAMING_KEYS, instruments_named
from speclint.models.motors import Motor, motor_of
from speclint.models.parts import PartsBox
from speclint.models.setups import Setup
from speclint.places import Path
from speclint.problems import Problem
from speclint.readings.instruments import Instrument
from speclint.spelling import known_words, nearest
from speclint.workspace.loaded import Loaded
from speclint.workspace.source import Source, tops_around

_GARAGE: Final = "garage.yaml"
_WHENCE: Final = "the path starts at this file's folder"
_MOST_FOLDERS: Final = 1000
"""Folders in which a name that may have been meant is looked for: outside a repository a whole disk can lie below a file."""


class Assembled(NamedTuple):
    """A car, and what is wrong with how its files hang together."""

    car: Car
    problems: tuple[Problem, ...]
    garage: Garage | None
    pinned_by: tuple[Garage, ...] = ()
    """The garages whose pins hold for it: the one that it names, and each garage.yaml in its folder or above."""

    @property
    def parts(self) -> PartsBox:
        """The parts at hand: those of the setup's own box, else those of the garage's."""
        box = self.car.setup.parts_box
        return box if self.garage is None else box.filled_from(self.garage.parts_box)


class Assembly:
    """Puts cars together; a motor or a garage that several setups share is read once.

    Args:
        reader: finds the files that a setup names.
        loaded: reads them.
        official: the instruments that rulesets describe, which a reading may name too.
    """

    def __init__(self, reader: Source, loaded: Callable[[str], Loaded], official: frozenset[str] = frozenset()) -> None:
        self._reader = reader
        self._official = official
        self._loaded = loaded
        self._motors: dict[str, Motor] = {}
        self._garages: dict[str, Garage] = {}
        self._pinning_in: dict[str, tuple[Garage, ...]] = {}
        self._named_around: dict[tuple[tuple[str, ...], str], tuple[str, ...]] = {}
        self._fitted_elsewhere: set[str] = set()

    @property
    def fitted_motors(self) -> frozenset[str]:
        """The files of the motors in the cars so far."""
        return frozenset((*self._motors, *self._fitted_elsewhere))

    def note_fitted(self, motors: Iterable[str]) -> None:
        """Takes in the files of motors in cars that were put together elsewhere."""
        self._fitted_elsewhere.update(motors)

    def car(self, setup: Setup) -> Assembled:
        """The car of a setup of valid shape."""
        problems: list[Problem] = []
        document = setup.document
        motor, trouble = self._motor(setup, problems)
        garage = None
        if setup.garage is not None:
            shared = self.named(document, ("garage",), setup.garage, "garage/1", problems)
            garage = None if shared is None else self._garage(shared)
        instruments = _described(setup, motor, garage)
        names = instruments.keys() | self._official
        named_in = [document] if motor is None or motor.document is document else [document, motor.document]
        # A file that could not be read may have described it.
        for where in () if problems else named_in:
            for path, name in () if _names_only(where.text, names) else instruments_named(where):
                if name not in names:
                    message = f"no instrument {name} is described{known_words(name, instruments)}"
                    problems.append(Problem("unknown-instrument", message, where.place(path)))
        problems += () if garage is None else _misspelt_tracks(setup, garage)
        around = self._pinning(posixpath.dirname(document.file), document.file)
        pinned_by = around if garage is None or any(pinning is garage for pinning in around) else (garage, *around)
        return Assembled(Car(setup, motor, trouble, instruments), tuple(problems), garage, pinned_by)

    def _motor(self, setup: Setup, problems: list[Problem]) -> tuple[Motor | None, str]:
        if setup.has_motor_in_place:
            return motor_of(setup.document, ("motor",)), ""
        if setup.motor is None:
            return None, ""
        before = len(problems)
        document = self.named(setup.document, ("motor",), setup.motor, "motor/1", problems)
        if document is None:
            return None, problems[before].message
        motor = self._motors.get(document.file)
        if motor is None:
            motor = self._motors[document.file] = motor_of(document)
        return motor, ""

    def named(
        self, document: Document, path: Path, reference: str, wanted: str, problems: list[Problem]
    ) -> Document | None:
        """The sound document of a file that is named, or None with the problem of the one who names it."""
        file = self._reader.beside(document.file, reference)
        kind = wanted.partition("/")[0]

        def problem(id_: str, message: str, cause: str = "") -> None:
            problems.append(Problem(id_, message, document.place(path), cause))

        outside = self._reader.outside(document.file, file)
        if outside:
            problem("file-outside", f"the {kind} {reference} lies outside {outside}")
            return None
        loaded = self._loaded(file)
        if loaded.problems and loaded.problems[0].id == "file-missing":
            meant = self._meant(document.file, reference, kind)
            problem("file-missing", f"the {kind} {reference} does not exist; {meant or _WHENCE}")
        elif loaded.problems and loaded.problems[0].id == "file-unreadable":
            problem("file-unreadable", f"the {kind} {reference} is of no use here: {loaded.problems[0].message}")
        elif loaded.format is not None and loaded.format != wanted:
            problem("file-of-other-kind", f"{reference} is a {loaded.format.partition('/')[0]}, not a {kind}")
        elif loaded.problems:
            count = len(loaded.problems)
            many = "a problem" if count == 1 else f"{count} problems"
            problem("file-has-problems", f"the {kind} {reference} has {many}: see {file}", file)
        return loaded.document if loaded.format == wanted and not loaded.problems else None

    def _meant(self, file: str, reference: str, kind: str) -> str:
        """What a file names that names one that is not there; "" where nothing is like it."""
        slashed = reference.replace("\\", "/")
        slashes = "folders are parted by /" if slashed != reference else ""
        wanted, name = posixpath.dirname(slashed), posixpath.basename(slashed)
        ways = [posixpath.relpath(around, posixpath.dirname(file) or ".") for around in self._around(file, kind)]
        same_name = [way for way in ways if posixpath.basename(way) == name]
        near = nearest(slashed, same_name or ways, cutoff=0.4 if same_name and wanted else 0.75)
        return f"did you mean {near}{f' ({slashes})' if slashes else ''}?" if near else slashes

    def _around(self, file: str, kind: str) -> tuple[str, ...]:
        """The files of a kind that a file may have meant, looked for once for all of one place."""
        tops = tops_around(self._reader, file)
        names = self._named_around.get((tops, kind))
        if names is None:
            listed = self._reader.find(tops, most_folders=_MOST_FOLDERS).files
            names = tuple(listed_file.file for listed_file in listed if listed_file.declares == kind)
            self._named_around[tops, kind] = names
        return names

    def _pinning(self, folder: str, file: str) -> tuple[Garage, ...]:
        """The garages around a file in a folder that pin something, so that no car leaves its team's pins behind."""
        garages = self._pinning_in.get(folder)
        if garages is None:
            names = (posixpath.normpath(posixpath.join(above, _GARAGE)) for above in self._reader.above(file))
            texts = (self._reader.read(name) for name in names)
            pinning = (text.file for text in texts if text.declares == "garage" and "pins:" in text.text)
            sound = (document for name in pinning if (document := self._loaded(name).sound) is not None)
            garages = self._pinning_in[folder] = tuple(map(self._garage, sound))
        return garages

    def _garage(self, document: Document) -> Garage:
        garage = self._garages.get(document.file)
        if garage is None:
            garage = self._garages[document.file] = garage_of(document)
        return garage


def _described(setup: Setup, motor: Motor | None, garage: Garage | None) -> Mapping[str, Instrument]:
    """Every instrument that a reading of the car may name, the nearest description of a name first."""
    return {
        **(garage.instruments if garage is not None else {}),
        **(motor.instruments if motor is not None else {}),
        **setup.instruments,
    }


def _misspelt_tracks(setup: Setup, garage: Garage) -> Iterator[Problem]:
    """Tracks that entries name nearly as the garage does: a gearing would be worked out for a hall that nobody knows."""
    for entry in setup.entries:
        track = entry.track
        if track is not None and track not in garage.tracks and (near := nearest(track, garage.tracks)):
            message = f"the garage {garage.file} describes no track {track}; did you mean {near}?"
            yield Problem("unknown-track", message, setup.document.place((*entry.path, "track")))


def _names_only(text: str, instruments: Set[str]) -> bool:
    """Whether a text plainly names no instruments but these; if not, only a look at the data can tell."""
    if "\\" in text:
        return False
    for plainly_named, naming_key in _NAMING_TEXT:
        named = plainly_named.findall(text)
        if len(named) != len(naming_key.findall(text)) or not instruments >= set(named):
            return False
    return True


_NAMING_TEXT: Final = tuple(
    (re.compile(rf"{word}: ([\w.-]+)(?=[ ]*[,}}\]\r\n])"), re.compile(rf"""{word}["']?\s*:(?!\s*\{{)"""))
    for word in NAMING_KEYS
)
"""For each word a plain naming as nearly everybody writes it, and any naming at all."""
