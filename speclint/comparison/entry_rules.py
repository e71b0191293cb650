"""The rules that motors and gearings are held against: those of the entries, or those that are asked for."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from speclint.comparison.compared_motors import ComparedMotor
from speclint.comparison.drift import TrendLimit
from speclint.comparison.equivalent import EntryRules
from speclint.comparison.trend import FOLLOWED
from speclint.documents.parse import parse
from speclint.forms.size import Size
from speclint.limits.decisions import Limits
from speclint.models.cars import Car
from speclint.models.setups import Entry, setup_of
from speclint.moments import day_text
from speclint.readings.copper import REFERENCE_C, at_temperature
from speclint.readings.measured import value_of
from speclint.rules.judge import entry_facts
from speclint.workspace.entries import ResolvedEntry, UnresolvedEntry
from speclint.workspace.overrides import NamedRuleset
from speclint.workspace.workspace import Workspace

if TYPE_CHECKING:
    from speclint.problems import Problem

_BARE_SETUP: Final = "format: setup/1\n"
"""The car around a motor of which nothing else is known."""


class RulesOfMotors:
    """Finds the rules that motors are held against; `notes` says what could not be judged, and `problems` for which."""

    def __init__(self, workspace: Workspace) -> None:
        self._workspace = workspace
        self.notes: list[str] = []
        self.problems: list[Problem] = []

    def of_car(self, compared: ComparedMotor, car: Car) -> tuple[EntryRules, ...]:
        """The entries of a car with the compared motor in it.

        Raises:
            UsageError: what the command line puts over the entries leaves none that has rules.
        """
        fitted = _fitted(compared, car)
        return tuple(rules for entry in self._entries(car) for rules in self._rules(fitted, entry))

    def of_motors(self, compared: Iterable[ComparedMotor]) -> tuple[tuple[EntryRules, ...], ...]:
        """One class for all motors: the one that is asked for, else the only one that their cars are entered in.

        Raises:
            UsageError: what the command line puts over the entries leaves none that has rules.
        """
        motors = tuple(compared)
        entry = self._shared_entry(motors)
        if entry is None:
            return tuple(() for _ in motors)
        return tuple(tuple(self._rules(_fitted(motor, _bare_car()), entry)) for motor in motors)

    def _entries(self, car: Car) -> tuple[ResolvedEntry | UnresolvedEntry, ...]:
        entries = self._workspace.entries(car.setup)
        self._workspace.refuse_overrides(entries)
        return entries

    def _shared_entry(self, motors: tuple[ComparedMotor, ...]) -> ResolvedEntry | UnresolvedEntry | None:
        overrides, ruleset = self._workspace.overrides, self._workspace.ruleset
        if isinstance(ruleset, NamedRuleset) and overrides.class_id is not None:
            day = overrides.on or overrides.today
            asked = self._workspace.resolved(Entry((), ruleset.id, ruleset.version, overrides.class_id, day, {}), None)
            self._workspace.refuse_overrides((asked,))
            return asked
        entries = [entry for motor in motors for assembled in motor.cars for entry in self._entries(assembled.car)]
        classes = sorted({(entry.entry.ruleset, entry.entry.class_id) for entry in entries})
        if len(classes) != 1:
            several = ", ".join(f"{ruleset_id}/{class_id}" for ruleset_id, class_id in classes)
            why = (
                f"their cars are entered in several classes ({several})"
                if classes
                else "no car with an entry names them"
            )
            self.notes.append(f"the motors are not judged: {why}; say --ruleset NAME --class NAME")
            return None
        return max(entries, key=lambda entry: (entry.entry.on, entry.entry.version or ""))

    def _rules(self, car: Car, entry: ResolvedEntry | UnresolvedEntry) -> Iterator[EntryRules]:
        stated = entry.entry
        label = f"{stated.ruleset}/{stated.class_id}, {day_text(stated.on)}"
        if isinstance(entry, UnresolvedEntry):
            self.notes.append(f"{label} is not judged: {entry.why.message}")
            self.problems += self._workspace.causes(entry.why)
        else:
            facts = entry_facts(car, stated, entry.book.flat)
            of_version = tuple(coming for coming in entry.book.coming if coming.flat is entry.book.flat)
            book = entry.book._replace(coming=of_version)
            yield EntryRules(label, book, facts, car.setup.document.place(stated.path))


def _fitted(compared: ComparedMotor, car: Car) -> Car:
    return car._replace(motor=compared.motor, motor_trouble="", instruments={**car.instruments, **compared.instruments})


def bounds_of(entries: Iterable[EntryRules]) -> tuple[TrendLimit, ...]:
    """The limits of size that the rules of entries put on what a trend follows, taken to the trend's reference temperature."""
    bounds: dict[tuple[str, Limits], TrendLimit] = {}
    for entry in entries:
        for rule in entry.book.rules:
            test = rule.test
            if test is None or test.quantity not in FOLLOWED or test.uncorrected or test.taken:
                continue
            if isinstance(test.limit, Size):
                limits = test.limit.bounds
                if test.quantity == "winding_mean_mohm":
                    limits = _at_reference(limits, test.corrected_to(entry.book.flat.reference_c))
                clause = f" {rule.cite}" if rule.cite else ""
                limit_of_rule = TrendLimit(test.quantity, limits, f"{rule.id}{clause} of {entry.label}")
                bounds.setdefault((test.quantity, limits), limit_of_rule)
    return tuple(bounds.values())


def _at_reference(limits: Limits, at_c: Fraction) -> Limits:
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
