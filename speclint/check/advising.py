"""Records and advice of one car, or of a motor that stands in no car: what both rooms are asked, and what they say."""

from collections.abc import Sequence
from datetime import date

from speclint.advice.model import Advice, CarCase
from speclint.advice.on_cars import advice_on_car
from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import Setup
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.readings.copper import REFERENCE_C
from speclint.records.contradictions import record_problems
from speclint.records.plausibility import implausible_values
from speclint.rules.checks import Check
from speclint.workspace.cars import Assembled


def advised(
    assembled: Assembled, days: Sequence[date] = (), checks: Sequence[Check] = ()
) -> tuple[tuple[Problem, ...], tuple[Advice, ...]]:
    """The problems of a car's records and the advice on it.

    Args:
        assembled: the car with its parts and its garage.
        days: those of its entries as they are judged.
        checks: all checks of these entries.
    """
    car, parts = assembled.car, assembled.parts
    implausible = implausible_values(car)
    last_entry = max((entry.on for entry in car.setup.entries), default=None)
    problems = record_problems(car, implausible, rotors=parts.rotors or (), last_entry=last_entry)
    on = max(days, default=None) or _last_record(car)
    case = CarCase(
        car=car,
        on=on,
        garage=assembled.garage,
        shims_mm=parts.shims_mm,
        checks=checks,
        implausible=implausible,
        facts=Facts(car, on=on, reference_c=REFERENCE_C, entry_keys={}),
    )
    return tuple(problems), tuple(advice_on_car(case))


def motor_alone(document: Document) -> Assembled:
    """A motor file as a car of which nothing else is known."""
    motor = motor_of(document)
    return Assembled(Car(Setup(document, motor.name or document.file), motor, "", motor.instruments), (), None)


def _last_record(car: Car) -> date:
    """The day of the newest record, for a car that is entered nowhere: what a clock says would change the report."""
    days = [record.when.day for record in car.motor.records] if car.motor is not None else []
    return max((*days, *(run.when.day for run in car.setup.track_runs)), default=date.min)
