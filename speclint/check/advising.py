"""Records and advice of one car, or one ruleset: what the story hands to both rooms, and what it hears from them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from speclint.advice.model import Advice, CarCase, RulesetCase
from speclint.advice.on_cars import advice_on_car
from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.garages import Garage
from speclint.models.motors import motor_of
from speclint.models.parts import PartsBox
from speclint.models.setups import Setup
from speclint.places import Place
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.readings.copper import REFERENCE_C
from speclint.records.contradictions import record_problems
from speclint.records.plausibility import implausible_values
from speclint.rules.checks import Check
from speclint.rulesets.library import Library
from speclint.rulesets.model import Ruleset
from speclint.workspace.cars import Assembled


@dataclass(slots=True)
class AdviceRound:
    """Gathers the problems of records and the advice of a run; what several cars share is said once."""

    problems: list[Problem] = field(default_factory=list)
    _advice: dict[tuple[str, Place], Advice] = field(default_factory=dict)
    _motors: set[str] = field(default_factory=set)

    @property
    def advice(self) -> tuple[Advice, ...]:
        """All advice, by where it stands."""
        return tuple(sorted(self._advice.values(), key=lambda one: (one.place, one.id)))

    def on_car(self, assembled: Assembled, parts: PartsBox, days: Sequence[date], checks: Sequence[Check]) -> None:
        """Takes in a car with the days of its entries and all checks of these."""
        if assembled.car.motor is not None:
            self._motors.add(assembled.car.motor.document.file)
        self._on_car(assembled.car, assembled.garage, parts, days, checks)

    def on_motor(self, document: Document) -> None:
        """Takes in a motor file, unless a car has it already; with that, its instruments are known too."""
        if document.file in self._motors:
            return
        motor = motor_of(document)
        car = Car(Setup(document, motor.name or document.file), motor, "", motor.instruments)
        self._on_car(car, None, PartsBox(), (), ())

    def on_ruleset(self, ruleset: Ruleset, document: Document, library: Library, today: date) -> None:
        """Takes in a sound ruleset."""
        from speclint.advice.on_rulesets import advice_on_ruleset  # a racer's run checks none

        case = RulesetCase(ruleset=ruleset, document=document, library=library, today=today)
        self._keep(advice_on_ruleset(case))

    def _on_car(
        self, car: Car, garage: Garage | None, parts: PartsBox, days: Sequence[date], checks: Sequence[Check]
    ) -> None:
        implausible = implausible_values(car)
        stated = [entry.on for entry in car.setup.entries]
        last = max(stated) if stated else None
        self.problems += record_problems(car, implausible, rotors=parts.rotors or (), last_entry=last)
        on = max(days) if days else _last_record(car)
        case = CarCase(
            car=car,
            on=on,
            garage=garage,
            shims_mm=parts.shims_mm,
            checks=checks,
            implausible=implausible,
            facts=Facts(car, on=on, reference_c=REFERENCE_C, entry_keys={}),
        )
        self._keep(advice_on_car(case))

    def _keep(self, advice: Iterable[Advice]) -> None:
        for one in advice:
            self._advice.setdefault((one.id, one.place), one)


def _last_record(car: Car) -> date:
    """The day of the newest record, for a car that is entered nowhere: what a clock says would change the report."""
    days = [record.when.day for record in car.motor.records] if car.motor is not None else []
    return max((*days, *(run.when.day for run in car.setup.track_runs)), default=date.min)
