"""What readings were read on: old calibrations, and instruments that read another unit than the value."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from typing import Final

from speclint.advice.model import AdviceSort, CarCase, Observation
from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.garages import Garage
from speclint.models.instruments import instruments_named
from speclint.moments import day_text
from speclint.places import Path, Place
from speclint.quantities.registry import unit_of_key
from speclint.readings.digits import UNITS
from speclint.readings.instruments import Instrument

CALIBRATED_FOR_DAYS: Final = 366


def _old_calibration(case: CarCase) -> Iterator[Observation]:
    for name, instrument in case.car.instruments.items():
        day = instrument.calibrated_on
        if day is None or (case.on - day).days <= CALIBRATED_FOR_DAYS or not _is_used(name, case.car):
            continue
        yield Observation(
            f"the {name} was last calibrated on {day_text(day)}, {(case.on - day).days} days before {day_text(case.on)}:"
            " hold it against something known (the club's instrument will do), then note the day and what it reads too"
            " much as calibrated_on and offset",
            _described(name, case.car, case.garage),
        )


def ends_of_calibrations(car: Car, garage: Garage | None) -> Iterator[tuple[str, date, Place]]:
    """The instruments that a car's readings name, the first day on which each one's calibration is old, and its place."""
    for name, instrument in car.instruments.items():
        day = instrument.calibrated_on
        if day is not None and (date.max - day).days > CALIBRATED_FOR_DAYS and _is_used(name, car):
            yield name, day + timedelta(days=CALIBRATED_FOR_DAYS + 1), _described(name, car, garage)


def _unfit(case: CarCase) -> Iterator[Observation]:
    """Instruments that read another unit than each value that they are named for, so that they count for none."""
    if not any(instrument.unit or _states_size(instrument) for instrument in case.car.instruments.values()):
        return
    setup, motor = case.car.setup, case.car.motor
    yield from _unfit_in(setup.document, case.car.instruments)
    if motor is not None and motor.document is not setup.document:
        yield from _unfit_in(motor.document, {**case.car.instruments, **motor.instruments})


def _unfit_in(document: Document, instruments: Mapping[str, Instrument]) -> Iterator[Observation]:
    for path, name in instruments_named(document):
        instrument = instruments.get(name)
        keys = _keys_read(document, path)
        if instrument is None or not keys:
            continue
        units = tuple(dict.fromkeys(map(unit_of_key, keys)))
        is_for_whole_run = len(keys) > 1 or path[-3:-2] == ("bench_runs",)
        if any(instrument.reads(unit) if is_for_whole_run else not instrument.contradicts(unit) for unit in units):
            continue
        says = f"reads {instrument.unit}" if instrument.unit else "is described without its unit"
        signs = " or ".join(UNITS[unit].sign.strip() for unit in units)
        yield Observation(
            f"the {name} {says}, and what it is named for ({', '.join(keys)}) is in {signs}: what is said of its error, its"
            " offset included, does not count here. Name the instrument that was read, or correct its unit",
            document.place(path),
        )


def _keys_read(document: Document, path: Path) -> tuple[str, ...]:
    """The keys of the values that an instrument is named for: by where its own key stands."""
    *home, naming = path
    if not home:
        return ()
    if home[-1] == "winding":
        listed: tuple[str, ...] = ("winding_c",) if naming == "thermometer" else ("ab_mohm", "bc_mohm", "ca_mohm")
        return _plainly_stated(document, home, listed)
    if isinstance(home[-1], int):
        return _plainly_stated(document, home, tuple(document.get(tuple(home)))) if home[-2] == "bench_runs" else ()
    return (home[-1],) if unit_of_key(home[-1]) else ()


def _plainly_stated(document: Document, home: list[str | int], keys: tuple[str, ...]) -> tuple[str, ...]:
    """The keys among these that hold a value with a unit that names no instrument of its own."""
    stated = document.get(tuple(home))
    return tuple(key for key in keys if unit_of_key(key) and isinstance(stated.get(key), int | float | list))


def _states_size(instrument: Instrument) -> bool:
    return any(size is not None for size in (instrument.accuracy, instrument.resolution, instrument.offset))


def _is_used(name: str, car: Car) -> bool:
    motor = car.motor
    documents = [car.setup.document]
    if motor is not None and motor.document is not documents[0]:
        documents.append(motor.document)
    return any(name == named for document in documents for _, named in instruments_named(document))


def _described(name: str, car: Car, garage: Garage | None) -> Place:
    """Where the instrument is described: in the setup, in the motor, or in the garage that others share."""
    motor = car.motor
    setup = car.setup.document
    if name in car.setup.instruments:
        return setup.place(("instruments", name, "calibrated_on"))
    if motor is not None and name in motor.instruments:
        return motor.document.place((*motor.prefix, "instruments", name, "calibrated_on"))
    document = garage.document if garage is not None else setup
    return document.place(("instruments", name, "calibrated_on"))


_WEIGHED: Final = """format: setup/1
entries: [{ruleset: coastal-league, class: stock-17, on: 2026-03-21}]
instruments: {pit-scale: {accuracy_percent: 0.1, resolution: 1, unit: g, calibrated_on: DAY}}
car: {mass_g: {value: 1352, instrument: pit-scale}}
"""

INSTRUMENTS: Final[tuple[AdviceSort[CarCase], ...]] = (
    AdviceSort(
        id="calibration-old",
        title="instrument calibrated long ago",
        because="Instruments drift; what one reads is worth what its last comparison is worth.",
        source="common practice, once a year",
        example=(_WEIGHED.replace("DAY", "2024-11-02"),),
        find=_old_calibration,
    ),
    AdviceSort(
        id="instrument-unit",
        title="instrument of another unit",
        because="A scale says nothing of millimetres: its accuracy would make a reading look surer than it is.",
        source="the unit that the instrument's own description states",
        example=(_WEIGHED.replace("DAY", "2026-01-10").replace("unit: g", "unit: kg"),),
        find=_unfit,
    ),
)
