"""Records and advice of one car, or of a motor that stands in no car: what both rooms are asked, and what they say."""

from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction
from typing import Any, cast

from speclint.advice.model import Advice, CarCase
from speclint.advice.on_cars import advice_on_car
from speclint.check.guarded import guarded
from speclint.check.outcome import Outcome
from speclint.documents.tree import Document
from speclint.findings import Defect
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import Setup
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.quantities.stated_values import StatedValue
from speclint.readings.copper import REFERENCE_C
from speclint.records.asked import Asked, nothing_asked
from speclint.records.contradictions import record_problems
from speclint.records.plausibility import ImplausibleValue, implausible_values
from speclint.remedies.judged_entry import JudgedEntry
from speclint.rules.checks import Check
from speclint.workspace.cars import Assembled


def asked_limits(judged: Iterable[JudgedEntry]) -> Asked:
    """The limits that rules put on a quantity, by its name: what a class asks for is no slip of the pen."""
    # Few cars have a value that is asked about.
    return lambda name: frozenset(
        target.number
        for entry in judged
        for check in entry.checks
        for test in check.rule.tests
        if test.quantity == name
        for target in test.limit.targets(Fraction(1), Fraction(0))
    )


def implausible_in(
    assembled: Assembled, asked: Asked = nothing_asked, declared: Iterable[StatedValue] = ()
) -> tuple[tuple[ImplausibleValue, ...], tuple[Defect, ...]]:
    """The odd values of a car, beside the limits of its classes, with what it states of their rulesets' own quantities."""
    file, nothing = assembled.car.setup.document.file, cast("tuple[ImplausibleValue, ...]", ())
    return guarded(f"the plausibility of {file}", lambda: implausible_values(assembled.car, asked, declared), nothing)


def advised(
    assembled: Assembled,
    implausible: tuple[ImplausibleValue, ...],
    days: Sequence[date] = (),
    judged: Iterable[JudgedEntry] = (),
    *,
    with_advice: bool,
) -> Outcome:
    """The problems of a car's records and the advice on it.

    Args:
        assembled: the car with its parts and its garage.
        implausible: its odd values.
        days: those of its entries as they are judged.
        judged: these entries.
        with_advice: whether advice is wanted.
    """
    car, file = assembled.car, assembled.car.setup.document.file
    nothing: tuple[Any, ...] = ()
    problems, defects = guarded(f"the records of {file}", lambda: _of_records(assembled, implausible), nothing)
    if not with_advice:
        return Outcome(problems=problems, defects=defects)
    on = max(days, default=None) or _last_record(car)
    checks = [check for entry in judged for check in entry.unsettled]
    advice, more = guarded(f"the advice on {file}", lambda: _of_trade(assembled, on, checks, implausible), nothing)
    return Outcome(problems=problems, advice=advice, defects=defects + more)


def _of_records(assembled: Assembled, implausible: Sequence[ImplausibleValue]) -> tuple[Problem, ...]:
    car = assembled.car
    last_entry = max((entry.on for entry in car.setup.entries), default=None)
    return tuple(record_problems(car, implausible, rotors=assembled.parts.rotors or (), last_entry=last_entry))


def _of_trade(
    assembled: Assembled, on: date, checks: Sequence[Check], implausible: Sequence[ImplausibleValue]
) -> tuple[Advice, ...]:
    case = CarCase(
        car=assembled.car,
        on=on,
        garage=assembled.garage,
        shims_mm=assembled.parts.shims_mm,
        checks=checks,
        implausible=implausible,
        facts=Facts(assembled.car, on=on, reference_c=REFERENCE_C, entry_keys={}),
    )
    return tuple(advice_on_car(case))


def motor_alone(document: Document) -> Assembled:
    """A motor file as a car of which nothing else is known."""
    motor = motor_of(document)
    return Assembled(Car(Setup(document, motor.name or document.file), motor, "", motor.instruments), (), None)


def _last_record(car: Car) -> date:
    """The day of the newest record, for a car that is entered nowhere: what a clock says would change the report."""
    days = [record.when.day for record in car.motor.records] if car.motor is not None else []
    return max((*days, *(run.when.day for run in car.setup.track_runs)), default=date.min)
