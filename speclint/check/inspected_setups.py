"""Which setup an inspected car has: the one that the officials name, or the one that is entered under its number."""

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import NamedTuple

from speclint.files import FileText
from speclint.models.inspections import InspectedCar, Inspection
from speclint.models.setups import Entry, Setup, setup_of
from speclint.moments import day_text
from speclint.problems import Problem
from speclint.spelling import known_words
from speclint.workspace.workspace import Workspace


class Declared(NamedTuple):
    """The setup of an inspected car, and its entry for that day; None where there is none."""

    setup: Setup | None = None
    entry: Entry | None = None


class EnteredSetups:
    """The setups that are entered for the day of an inspection, by class and number."""

    def __init__(self, inspection: Inspection, workspace: Workspace, setup_files: Iterable[str]) -> None:
        self._inspection = inspection
        self._workspace = workspace
        self._setup_files = tuple(setup_files)
        self._unsound: list[str] = []

    def declared(self, car: InspectedCar) -> tuple[Declared, Problem | None]:
        """The setup of a car, or the problem that there is none; neither where the officials judge without one."""
        if car.has_no_setup:
            return Declared(), None
        if car.setup:
            return self._named(car)
        entered = self._by_class.get(car.class_id, {})
        same_number = entered.get(car.number, [])
        if len(same_number) == 1:
            setup = same_number[0].setup
            if setup is not None:
                self._workspace.files.named(setup.document.file)
            return same_number[0], None
        if same_number:
            files = " and ".join(declared.setup.document.file for declared in same_number if declared.setup is not None)
            return Declared(), self._problem(car, f"number {car.number} is entered by {files}: name one with `setup:`")
        if not any(self._by_class.values()):
            # The officials work without the racers' files.
            return Declared(), None
        return Declared(), self._problem(car, self._unknown(car, entered))

    @cached_property
    def _by_class(self) -> dict[str, dict[str, list[Declared]]]:
        """What is entered for the day in each class, by number; looked for only where a number has to be."""
        files, inspection = self._workspace.files, self._inspection
        texts = self._workspace.setups_around(inspection.document.file)
        listed = (files.passing_setup(files.source.read(file)) for file in self._setup_files)
        around = (files.glance(text) for text in texts if self._may_be_entered(text))
        by_class: dict[str, dict[str, list[Declared]]] = {}
        for loaded in {loaded.file: loaded for loaded in (*listed, *around)}.values():
            if loaded.format == "setup/1" and loaded.sound is None:
                self._unsound.append(loaded.file)
            setup = setup_of(loaded.sound) if loaded.format == "setup/1" and loaded.sound is not None else None
            for entry in () if setup is None else setup.entries:
                number = entry.keys.get("number")
                if (entry.ruleset, entry.on) == (inspection.ruleset, inspection.on) and number is not None:
                    by_number = by_class.setdefault(entry.class_id, {})
                    by_number.setdefault(str(number), []).append(Declared(setup, entry))
        return by_class

    def _may_be_entered(self, text: FileText) -> bool:
        return "number" in text.text and self._inspection.ruleset in text.text

    def _named(self, car: InspectedCar) -> tuple[Declared, Problem | None]:
        document, problem = self._workspace.named_document(
            self._inspection.document, (*car.path, "setup"), car.setup, "setup/1"
        )
        if document is None:
            return Declared(), problem
        setup = setup_of(document)
        entries = [entry for entry in setup.entries if self._is_meant(entry, car)]
        by_number = [entry for entry in entries if car.number in ("", str(entry.keys.get("number", car.number)))]
        if by_number:
            return Declared(setup, by_number[0]), None
        if entries:
            number = entries[0].keys.get("number")
            return Declared(setup), self._problem(car, f"{document.file} is entered under number {number}", "setup")
        where = ", ".join(f"{entry.class_id} of {entry.ruleset} on {day_text(entry.on)}" for entry in setup.entries)
        message = f"{document.file} is not entered in {self._class_text(car)}; it is entered {f'in {where}' if where else 'nowhere'}"
        return Declared(setup), self._problem(car, message, "setup")

    def _is_meant(self, entry: Entry, car: InspectedCar) -> bool:
        inspection = self._inspection
        return (entry.ruleset, entry.class_id, entry.on) == (inspection.ruleset, car.class_id, inspection.on)

    def _class_text(self, car: InspectedCar) -> str:
        return f"{car.class_id} of {self._inspection.ruleset} on {day_text(self._inspection.on)}"

    def _unknown(self, car: InspectedCar, entered: Mapping[str, object]) -> str:
        if not car.number:
            return "no number, and no setup: write which car it is, or `setup: none` where nobody has its setup"
        elsewhere = [class_id for class_id, numbers in self._by_class.items() if car.number in numbers]
        if elsewhere:
            return f"number {car.number} is entered in {' and '.join(elsewhere)}, not in {car.class_id}"
        return (
            f"no setup is entered as number {car.number} in {self._class_text(car)}{known_words(car.number, entered)};"
            f" where nobody has its setup, write `setup: none`{self._may_be_unsound()}"
        )

    def _may_be_unsound(self) -> str:
        files = self._unsound
        return f"; it may be the one of {' or '.join(files)}, which has problems" if files else ""

    def _problem(self, car: InspectedCar, message: str, key: str = "number") -> Problem:
        return Problem("unknown-car", message, self._inspection.document.place((*car.path, key)))
