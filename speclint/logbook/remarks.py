"""What to say of a record once it stands in its file: what keeps it from being used, and what seems wrong with it."""

from collections.abc import Callable, Iterator
from datetime import date
from typing import Any, Final

from speclint.check.official_car import implausible_readings, official_car
from speclint.logbook.entering import EnteredRecord
from speclint.logbook.fields import Shape, fields_of
from speclint.logbook.rebuilding import after_rebuild, clash_with_rebuilds
from speclint.logbook.target import Target, car_after
from speclint.models.cars import Car
from speclint.models.inspections import inspection_of
from speclint.moments import day_text, moment
from speclint.places import pointer
from speclint.plain import first_few
from speclint.quantities.keys import keys_behind
from speclint.quantities.model import Home
from speclint.quantities.registry import QUANTITIES
from speclint.records.contradictions import record_problems
from speclint.records.plausibility import implausible_values
from speclint.spelling import known_words

_PHASES: Final = ("ab_mohm", "bc_mohm", "ca_mohm")
_LISTED: Final = 4

_READ: Final = (Shape.READING, Shape.SEVERAL)

_RULED: Final = frozenset(key.path for limited in QUANTITIES for key in keys_behind(limited) if key.home is Home.BENCH)
"""The keys of a bench run that a rule can rest on."""


def remarks_on(
    entered: EnteredRecord, target: Target, today: date, instruments_around: Callable[[], frozenset[str]]
) -> tuple[str, ...]:
    """Everything there is to say, a sentence or two each.

    Args:
        entered: The record in its file.
        target: Where it was meant to go.
        today: The day on which it is entered.
        instruments_around: Finds the instruments of other files; asked only where it matters.
    """
    car = car_after(target, entered.after)
    return (
        *_of_its_date(entered, today),
        *_OF_KIND[entered.kind.name](entered, car),
        *_unknown_instruments(entered, target, instruments_around),
        *_odd(entered, car),
    )


def _of_its_date(entered: EnteredRecord, today: date) -> Iterator[str]:
    if not entered.kind.is_dated:
        return
    day = moment(entered.record["date"]).day
    if day > today:
        yield f"{day_text(day)} is still to come: is the date right?"


def _of_bench_run(entered: EnteredRecord, car: Car) -> Iterator[str]:
    run = entered.record
    winding = run.get("winding", {})
    phases = [phase for phase in _PHASES if phase in winding]
    if phases and len(phases) < len(_PHASES):
        missing = " and ".join(phase for phase in _PHASES if phase not in phases)
        yield f"the winding lacks {missing}: its mean and its spread need all three pairs of leads"
    if phases and "winding_c" not in winding:
        yield (
            "the winding has no temperature (winding_c): no rule that corrects for temperature can use it. Copper reads"
            " 0.39 % more for each degree, so let the motor rest for an hour and give the room's temperature"
        )
    bare = list(_without_instrument(entered))
    if bare:
        yield (
            f"no instrument is named for {first_few(bare, _LISTED)}: taken as read, and no rule that must be shown"
            " can use it. Name it with --instrument, for the winding with --winding-instrument and --thermometer"
        )
    if "current_a" in run and "supply_v" not in run:
        yield "current_a without supply_v cannot be compared with another run: the current follows the voltage"
    if not any(field.shape in _READ and _held(entered, field.path) for field in fields_of(entered.kind)):
        yield "the bench run holds no reading"
    if car.motor is not None:
        yield from clash_with_rebuilds(entered, car.motor)


def _without_instrument(entered: EnteredRecord) -> Iterator[str]:
    run = entered.record
    winding = run.get("winding", {})
    for field in fields_of(entered.kind):
        value = _held(entered, field.path)
        if value is None or field.path not in _RULED or field.shape not in _READ:
            continue
        has_own_instrument = isinstance(value, dict) and ("instrument" in value or "standard_uncertainty" in value)
        shared = run.get("instrument")
        if field.path[0] == "winding":
            shared = winding.get("thermometer" if field.key == "winding_c" else "instrument")
        if not has_own_instrument and shared is None:
            yield field.key


def _of_track_run(entered: EnteredRecord, _: Car) -> Iterator[str]:
    run = entered.record
    if "can_c" not in run:
        yield "without can_c the track run says nothing of how warm the motor gets: read the can as soon as the car stops"
        return
    needed = [key for key in ("spur_teeth", "pinion_teeth", "minutes", "ambient_c") if key not in run]
    if needed:
        yield f"nobody can tell later what made the can so warm without {', '.join(needed)}"


def _of_rebuild(entered: EnteredRecord, car: Car) -> Iterator[str]:
    if car.motor is not None:
        yield from after_rebuild(entered, car.motor)


def _of_inspected_car(entered: EnteredRecord, _: Car) -> Iterator[str]:
    if not any(entered.record.get(key) for key in ("readings", "looked_at", "ruling")):
        yield "nothing was read of the car, nothing looked at, and no ruling given: what its setup declares stands"


_OF_KIND: Final[dict[str, Callable[[EnteredRecord, Car], Iterator[str]]]] = {
    "bench": _of_bench_run,
    "track": _of_track_run,
    "rebuild": _of_rebuild,
    "car": _of_inspected_car,
}


def _unknown_instruments(
    entered: EnteredRecord, target: Target, instruments_around: Callable[[], frozenset[str]]
) -> Iterator[str]:
    unknown = [name for name in dict.fromkeys(_instruments(entered.record)) if name not in target.car.instruments]
    described = frozenset(target.car.instruments)
    if unknown and not target.knows_all_instruments:
        described |= instruments_around()
    for name in unknown:
        if name not in described:
            yield (
                f"no file here describes the instrument {name}, so its readings are taken as read{known_words(name, described)}."
                " Describe it under `instruments:`, best in the garage"
            )


def unknown_instrument(values: dict[str, Any], described: frozenset[str]) -> str:
    """That an answer names an instrument that nobody describes; "" where it names none, or none is described at all."""
    unknown = next((name for name in _instruments(values) if described and name not in described), None)
    if unknown is None:
        return ""
    return f"no file here describes {unknown}{known_words(unknown, described)}. Type it once more to keep it"


def _instruments(data: Any) -> Iterator[str]:
    for key, value in data.items():
        if isinstance(value, dict):
            yield from _instruments(value)
        elif key in ("instrument", "thermometer"):
            yield value


def _odd(entered: EnteredRecord, car: Car) -> Iterator[str]:
    """What `check` is going to say of the record's values."""
    if not entered.kind.is_dated:
        inspection = inspection_of(entered.after)
        inspected = inspection.cars[int(entered.path[-1])]
        yield from (value.message for value in implausible_readings(official_car(inspection, inspected, None, {})))
        return
    implausible = implausible_values(car)
    for implausible_value in implausible:
        if (
            not implausible_value.slip
            and implausible_value.document is entered.after
            and implausible_value.path[: len(entered.path)] == entered.path
        ):
            yield implausible_value.message
    record_pointer = pointer(entered.path)
    for problem in record_problems(car, implausible):
        if problem.place.file == entered.after.file and problem.place.pointer.startswith(f"{record_pointer}/"):
            yield problem.message


def _held(entered: EnteredRecord, path: tuple[str | int, ...]) -> Any:
    return entered.after.get((*entered.path, *path))
