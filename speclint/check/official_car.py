"""A car as the officials found it: what its setup declares, with their readings and instruments laid over it."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from speclint.documents.overlaid import OverlaidDocument, overlaid
from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.inspections import InspectedCar, Inspection
from speclint.models.instruments import NAMING_KEYS, instruments_named
from speclint.models.motors import Motor, motor_of
from speclint.models.setups import Setup, setup_of
from speclint.places import Path
from speclint.problems import Problem
from speclint.quantities.facts import Fact
from speclint.quantities.stated_values import StatedValue
from speclint.readings.instruments import Instrument
from speclint.records.asked import Asked, nothing_asked
from speclint.records.plausibility import ImplausibleValue, implausible_values
from speclint.spelling import known_words

_OF_OFFICIALS: Final = " of the officials"
"""What is put behind the name of an official instrument, so that no instrument of a racer's is taken for it."""


def official_car(
    inspection: Inspection, inspected: InspectedCar, declared: Car | None, instruments: Mapping[str, Instrument]
) -> Car:
    """The car with the readings of the officials in place of its own.

    Args:
        inspection: the race day.
        inspected: the car there.
        declared: the car as its setup has it; None where nobody has one.
        instruments: those that the officials may name: their own, and those of the ruleset.
    """
    # The car's own part alone: there may be hundreds of others.
    part = inspection.document.part(inspected.path)
    # Its instruments are named as no other file names one.
    upper = part.with_value((), _renamed(part.get(()), instruments))
    written_at: Path = ("readings",)
    lower = part.with_value((), {}) if declared is None else declared.setup.document
    name = inspected.name or (f"number {inspected.number}" if inspected.number else "a car without a number")
    official: dict[str, Instrument] = {f"{key}{_OF_OFFICIALS}": value for key, value in instruments.items()}
    if declared is None:
        setup = setup_of(overlaid(lower, upper, written_at))._replace(name=name)
        return Car(setup, _motor_in(setup), "", official)
    motor = declared.motor
    if motor is not None and declared.setup.motor is not None:
        of_motor = overlaid(motor.document, upper, (*written_at, "motor"), motor.prefix)
        motor = motor_of(of_motor, motor.prefix)
        setup = setup_of(overlaid(lower, _without_motor(upper, written_at), written_at))
    else:
        setup = setup_of(overlaid(lower, upper, written_at))
        motor = _motor_in(setup)
    named = setup._replace(name=declared.setup.name)
    return Car(named, motor, declared.motor_trouble, {**declared.instruments, **official})


def unknown_instruments(
    inspection: Inspection, inspected: InspectedCar, instruments: Mapping[str, Instrument]
) -> Iterator[Problem]:
    """The instruments that the officials name and nobody describes."""
    readings = inspection.document.part((*inspected.path, "readings"))
    for path, name in instruments_named(readings) if readings.data else ():
        if name not in instruments:
            message = f"no official instrument {name} is described{known_words(name, instruments)}"
            yield Problem("unknown-instrument", message, readings.place(path))


def implausible_readings(
    car: Car, asked: Asked = nothing_asked, declared: Iterable[StatedValue] = ()
) -> Iterator[ImplausibleValue]:
    """The odd values among what the officials read of a car; those of its setup are for its owner.

    Args:
        car: the car with their readings in place of its own.
        asked: the limits of its class, near which no value is odd.
        declared: what the officials state of its ruleset's own quantities.
    """
    for value in implausible_values(car, asked, declared):
        is_declared = isinstance(value.document, OverlaidDocument) and value.document.source(value.path) is None
        if not is_declared:
            yield value


def read_by_officials(fact: Fact) -> tuple[Document, Path] | None:
    """Where the officials wrote a reading that a fact rests on, the first where there are several; None for none."""
    for document, path in fact.origins:
        source = document.source(path) if isinstance(document, OverlaidDocument) else None
        if source is not None:
            return source
    return None


def instrument_at(document: Document, path: Path) -> str:
    """The instrument that stands with a reading or with the record that it is part of; "" for none."""
    name = ""
    for depth in range(len(path) + 1):
        mapping = document.get(path[:depth])
        stated = mapping.get("instrument") if isinstance(mapping, dict) else None
        name = stated if isinstance(stated, str) else name
    return name.removesuffix(_OF_OFFICIALS)


def _motor_in(setup: Setup) -> Motor | None:
    return motor_of(setup.document, ("motor",)) if setup.has_motor_in_place else None


def _without_motor(upper: Document, written_at: Path) -> Document:
    readings = upper.get(written_at) or {}
    return upper.with_value(written_at, {key: value for key, value in readings.items() if key != "motor"})


def _renamed(value: Any, names: Mapping[str, Instrument]) -> Any:
    if isinstance(value, dict):
        return {
            key: f"{member}{_OF_OFFICIALS}"
            if key in NAMING_KEYS and isinstance(member, str) and member in names
            else _renamed(member, names)
            for key, member in value.items()
        }
    return [_renamed(member, names) for member in value] if isinstance(value, list) else value
