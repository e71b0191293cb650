"""The rules that `speclint compare` holds motors and gearings against: those of the entries, or those that are asked for."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final

from speclint.commands.compared_motors import Subject
from speclint.commands.shell import bundled_rulesets
from speclint.comparison.common_conditions import REFERENCE_C
from speclint.comparison.drift import TrendLimit
from speclint.comparison.equivalent import EntryRules
from speclint.comparison.trend import FOLLOWED
from speclint.documents.parse import parse
from speclint.errors import UnreadableError, UsageError
from speclint.files import Folder
from speclint.forms.size import Size
from speclint.limits.decisions import Limits
from speclint.models.cars import Car
from speclint.models.setups import Entry, setup_of
from speclint.moments import day_text
from speclint.readings.copper import at_temperature
from speclint.readings.measured import value_of
from speclint.rules.judge import entry_facts
from speclint.rules.rulebook import rulebook
from speclint.rulesets.library import NotFound
from speclint.rulesets.model import Ruleset
from speclint.workspace.entries import Overrides, entries_of
from speclint.workspace.loaded import Files
from speclint.workspace.ruleset_index import RulesetIndex, index_rulesets

_BARE_SETUP: Final = "format: setup/1\n"
"""The car around a motor of which nothing else is known."""


class Races:
    """Finds the rules of entries; `notes` says what could not be judged, and why.

    Raises:
        UnreadableError: the ruleset that is asked for is not there.
        UsageError: it is no ruleset, or has problems, or does not have the class that is asked for.
    """

    def __init__(self, folder: Folder, files: Files, asked: Overrides, near: Iterable[str]) -> None:
        self._asked = asked
        self.notes: list[str] = []
        self._shelf = _shelf(folder, files, asked, near)
        self._ruleset = None if asked.ruleset is None else _asked_for(asked.ruleset, files, self._shelf, asked.class_id)

    def of_car(self, subject: Subject, car: Car) -> tuple[EntryRules, ...]:
        """The entries of a car with the subject's motor in it."""
        fitted = self._fitted(subject, car)
        return tuple(
            race for entry in entries_of(car.setup, self._ruleset, self._asked) for race in self._race(fitted, entry)
        )

    def of_motors(self, subjects: Iterable[Subject]) -> tuple[tuple[EntryRules, ...], ...]:
        """One class for all motors: the one that is asked for, else the only one that their cars are entered in."""
        listed = tuple(subjects)
        entry = self._one_entry(listed)
        if entry is None:
            return tuple(() for _ in listed)
        return tuple(tuple(self._race(self._fitted(subject, _bare_car()), entry)) for subject in listed)

    def _one_entry(self, subjects: tuple[Subject, ...]) -> Entry | None:
        asked = self._asked
        if self._ruleset is not None and asked.class_id is not None:
            return Entry((), self._ruleset.id, self._ruleset.version, asked.class_id, asked.on or asked.today, {})
        entries = [
            entry
            for subject in subjects
            for car in subject.cars
            for entry in entries_of(car.car.setup, self._ruleset, asked)
        ]
        classes = sorted({(entry.ruleset, entry.class_id) for entry in entries})
        if len(classes) != 1:
            several = ", ".join(f"{ruleset}/{class_id}" for ruleset, class_id in classes)
            why = (
                f"their cars are entered in several classes ({several})"
                if classes
                else "no car with an entry names them"
            )
            self.notes.append(f"the motors are not judged: {why}; say --ruleset FILE --class NAME")
            return None
        return max(entries, key=lambda entry: (entry.on, entry.version or ""))

    def _fitted(self, subject: Subject, car: Car) -> Car:
        return car._replace(
            motor=subject.motor, motor_trouble="", instruments={**car.instruments, **subject.instruments}
        )

    def _race(self, car: Car, entry: Entry) -> Iterator[EntryRules]:
        label = f"{entry.ruleset}/{entry.class_id}, {day_text(entry.on)}"
        ruleset = self._shelf.ruleset(entry.ruleset, entry.version, entry.on, self._asked.known_on)
        flat = ruleset if isinstance(ruleset, NotFound) else self._shelf.library.flat(ruleset, entry.class_id)
        if isinstance(flat, NotFound):
            self.notes.append(f"{label} is not judged: {flat.message}")
            return
        facts = entry_facts(car, entry, flat)
        yield EntryRules(
            label, rulebook(flat, entry.on, self._asked.known_on), facts, car.setup.document.place(entry.path)
        )


def bounds_of(races: Iterable[EntryRules]) -> tuple[TrendLimit, ...]:
    """The limits of size that the races put on what a trend follows, taken to the trend's reference temperature."""
    found: dict[tuple[str, Limits], TrendLimit] = {}
    for race in races:
        for rule in race.book.rules:
            test = rule.test
            if test is None or test.quantity not in FOLLOWED or test.uncorrected:
                continue
            if isinstance(test.limit, Size):
                limits = test.limit.bounds
                if test.quantity == "winding_mean_mohm":
                    limits = _at_reference(limits, race)
                clause = f" {rule.cite}" if rule.cite else ""
                bound = TrendLimit(test.quantity, limits, f"{rule.id}{clause} of {race.label}")
                found.setdefault((test.quantity, limits), bound)
    return tuple(found.values())


def _at_reference(limits: Limits, race: EntryRules) -> Limits:
    at_c = race.book.flat.reference_c
    low, high = (
        None if limit is None else value_of(at_temperature(limit, at_c, REFERENCE_C))
        for limit in (limits.low, limits.high)
    )
    return replace(limits, low=low, high=high)


def _bare_car() -> Car:
    document, problems = parse("", _BARE_SETUP)
    if document is None:
        raise ValueError(problems)
    return Car(setup_of(document), None, "", {})


def _shelf(folder: Folder, files: Files, asked: Overrides, near: Iterable[str]) -> RulesetIndex:
    places = sorted({place for file in near for place in folder.rulesets_for(file)})
    indexed = [loaded for place in places for loaded in files.under(place)]
    if asked.ruleset is not None:
        indexed.append(files.named(asked.ruleset))
    indexed += (files.take(source) for source in bundled_rulesets())
    by_identity = {folder.full(loaded.file): loaded for loaded in reversed(indexed)}
    return index_rulesets(by_identity.values(), asked.ruleset)


def _asked_for(file: str, files: Files, index: RulesetIndex, class_id: str | None) -> Ruleset:
    loaded = files.named(file)
    if not loaded.is_there:
        raise UnreadableError(f"{file}: {loaded.problems[0].message}")
    found = index.documents.get(file)
    if found is None or not index.is_whole(found[0]):
        problems = loaded.problems or index.problems
        why = f": {problems[0].message}" if problems else ""
        raise UsageError(f"{file} is no sound ruleset to judge by{why}")
    flat = index.library.flat(found[0], class_id) if class_id is not None else None
    if isinstance(flat, NotFound):
        raise UsageError(flat.message)
    return found[0]
