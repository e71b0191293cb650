"""Facts: the values that quantities take for one car, one entry and one day, each knowing where it came from."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.documents.tree import Document
from speclint.models.bench import FactorySheet, Measurement
from speclint.models.cars import Car
from speclint.models.motors import Motor
from speclint.models.stated import stated_reading
from speclint.places import Path, Place, dotted
from speclint.quantities.counting import newest_with, why_stale
from speclint.quantities.model import Given, Home, Input, Key, Quantity, Sort
from speclint.quantities.registry import quantity, unit_of_key
from speclint.quantities.written import is_for_whole_record, what_was_done, written
from speclint.readings.copper import K_COPPER
from speclint.readings.digits import UNITS, with_unit
from speclint.readings.exact import decimal_text, exact
from speclint.readings.instruments import Instrument, reading
from speclint.readings.measured import Measured, Number, value_of

Value = Number | str | bool | tuple[Any, ...] | date
"""What a quantity, or an input of one, can be."""


class Fact(NamedTuple):
    """One quantity's value, or why there is none.

    `origins` are the places that it was read from, the one to change first at the front. `missing` names the keys
    that would have to be added, and `reason` says in words why no value counts though something is there.
    `complete` is false where a measured input has no uncertainty known, so that the value's is a least value only.
    `inputs` are what a formula took, in its order, and `inner` the facts among them that have a formula of their own;
    `uncorrected` is set where it is the formula for readings as they are. `notes` say what was done to single readings,
    and `unrounded` is the value before a rulebook's step was applied.
    """

    quantity: Quantity
    value: Value | None
    origins: tuple[tuple[Document, Path], ...]
    missing: tuple[str, ...] = ()
    reason: str = ""
    complete: bool = True
    record: Measurement | None = None
    inputs: tuple[tuple[Input, Value | None], ...] = ()
    inner: tuple["Fact", ...] = ()
    uncorrected: bool = False
    notes: tuple[str, ...] = ()
    unrounded: Number | None = None

    @property
    def place(self) -> Place:
        """The key that a person would edit, or the place where the missing one would go."""
        document, path = self.origins[0]
        return document.place(path)


class _Read(NamedTuple):
    """One input as it was read."""

    value: Value | None
    origins: tuple[tuple[Document, Path], ...] = ()
    missing: tuple[str, ...] = ()
    reason: str = ""
    complete: bool = True
    notes: tuple[str, ...] = ()
    fact: Fact | None = None


class Facts:
    """The facts of one car for one entry, computed when they are asked for and kept."""

    __slots__ = (
        "_car",
        "_document",
        "_entry_keys",
        "_entry_path",
        "_instruments",
        "_kept",
        "_motor",
        "_official",
        "on",
        "reference_c",
    )

    def __init__(
        self,
        car: Car,
        *,
        on: date,
        reference_c: Fraction,
        entry_keys: Mapping[str, Any],
        entry_path: Path = (),
        official: Mapping[str, Instrument] | None = None,
    ) -> None:
        self._car = car
        self._official = official or {}
        self._instruments = {**self._official, **car.instruments} if self._official else car.instruments
        self._document = car.setup.document
        self._motor = car.motor
        self._entry_keys = entry_keys
        self._entry_path = entry_path
        self._kept: dict[str | tuple[str, str, bool], Fact] = {}
        self.on = on
        self.reference_c = reference_c

    @property
    def car(self) -> Car:
        """The car that they are about."""
        return self._car

    def of(self, car: Car) -> "Facts":
        """The facts of another car for the same entry."""
        return Facts(
            car, on=self.on, reference_c=self.reference_c, entry_keys=self._entry_keys, entry_path=self._entry_path,
            official=self._official,
        )  # fmt: skip

    def fact(self, name: str, instrument: Instrument | None = None, *, uncorrected: bool = False) -> Fact:
        """The fact about the quantity of this name.

        Args:
            name: a quantity's name, which exists.
            instrument: what its principal readings count as read on, where they name none of their own.
            uncorrected: take the readings as they are, without a correction for temperature.

        Raises:
            KeyError: there is no such quantity.
        """
        kept_as: str | tuple[str, str, bool]
        kept_as = (
            name
            if instrument is None and not uncorrected
            else (name, "" if instrument is None else instrument.name, uncorrected)
        )
        found = self._kept.get(kept_as)
        if found is None:
            known = quantity(name)
            if known is None:
                raise KeyError(name)
            found = self._kept[kept_as] = self._find(known, instrument, uncorrected=uncorrected)
        return found

    def _find(self, known: Quantity, instrument: Instrument | None, *, uncorrected: bool) -> Fact:
        key = known.key
        if key is not None and key.home is not Home.BENCH:
            return self._stated(known, key, instrument)
        if key is None and known.formula is None:
            return self._open(known, instrument)
        uncorrected = uncorrected and known.raw_formula is not None
        inputs = known.raw_inputs if uncorrected else known.inputs
        formula = known.raw_formula if uncorrected else known.formula
        if key is not None:
            inputs = (key,)
        if known.family or Given.BENCH_DATE in inputs:
            record = self._record(known, inputs)
            if isinstance(record, Fact):
                return record
        else:
            record = None
        reads = [self._input(one, known, instrument, record) for one in inputs]
        missing = tuple(name for read in reads for name in read.missing)
        reason = next((read.reason for read in reads if read.reason), "")
        if missing or reason:
            lacking = tuple(origin for read in reads if read.value is None for origin in read.origins)
            return Fact(known, None, lacking, missing, reason or self._error_of_a_guess(known, reads), record=record)
        origins = tuple(origin for read in reads for origin in read.origins)
        value = reads[0].value if formula is None else formula(*(read.value for read in reads))
        if known.edit:
            origins = self.fact(known.edit).origins + origins
        if not origins and record is not None and self._motor is not None:
            origins = ((self._motor.document, record.path),)
        taken = tuple(zip(inputs, (read.value for read in reads), strict=True))
        return Fact(
            known, value, origins, complete=all(read.complete for read in reads), record=record, inputs=taken,
            inner=tuple(read.fact for read in reads if read.fact is not None), uncorrected=uncorrected,
            notes=tuple(note for read in reads for note in read.notes),
        )  # fmt: skip

    def _error_of_a_guess(self, known: Quantity, reads: list[_Read]) -> str:
        """How far off a winding would be whose temperature somebody guesses, where that alone is missing."""
        phases = [read.value for read in reads[: len(known.raw_inputs)]]
        if known.raw_formula is None or known.unit != "mohm" or None in phases:
            return ""
        raw = value_of(known.raw_formula(*phases))
        share = _A_FAIR_GUESS_C / (K_COPPER + self.reference_c)
        size = with_unit(decimal_text(raw * share, 1), known.unit)
        return (
            f"its temperature cannot be guessed: {_A_FAIR_GUESS_C} °C more or less is {decimal_text(share * 100, 1)} %,"
            f" {size} here"
        )

    def _open(self, known: Quantity, instrument: Instrument | None) -> Fact:
        prefix, _, name = known.name.partition(".")
        document = self._document
        path: Path = ("extra", name) if prefix == "extra" else (*(self._entry_path or _FIRST_ENTRY), name)
        raw = document.get(path) if prefix == "extra" else self._entry_keys.get(name)
        origins = ((document, path),)
        if raw is None or raw in ("", []):
            # An empty text or list states nothing, and what is not stated must not pass.
            return Fact(known, None, origins, (dotted(path),))
        is_number = isinstance(raw, int | float) and not isinstance(raw, bool)
        if isinstance(raw, dict) or (known.sort is Sort.MEASURED and (is_number or _all_numbers(raw))):
            read = self._measured(raw, document, path, instrument, known.unit)
            return Fact(known, read.value, origins, read.missing, read.reason, read.complete, notes=read.notes)
        return Fact(known, _plain(raw), origins)

    def _input(self, one: Input, known: Quantity, instrument: Instrument | None, record: Measurement | None) -> _Read:
        if isinstance(one, str):
            if instrument is not None and not _passes_on(one, known):
                instrument = None
            fact = self.fact(one, instrument)
            own = fact if fact.inputs and fact.quantity.formula_text else None
            return _Read(fact.value, fact.origins, fact.missing, fact.reason, fact.complete, fact.notes, own)
        if isinstance(one, Given):
            if one is Given.REFERENCE_C:
                return _Read(self.reference_c)
            return _Read(self.on if one is Given.ENTRY_DATE or record is None else record.when.day)
        motor = self._motor
        if motor is None or record is None:
            return _Read(None, ((self._document, ("motor",)),), (dotted(("motor", *one.path)),))
        home = record.path if one.home is Home.BENCH else (*motor.prefix, "factory_sheet")
        path = (*home, *one.path)
        raw = motor.document.get(path)
        if raw is None:
            return _Read(None, ((motor.document, path),), (self._named(motor, path),))
        fallback = instrument if one in known.principal else None
        unit = unit_of_key(str(one.path[-1]))
        read = self._measured(raw, motor.document, path, fallback, unit, one)
        lowest = _LOWEST.get(unit)
        if read.notes and lowest is not None and not _is_above(lowest, read.value):
            return _Read(None, read.origins, reason=_impossible(unit))
        return read

    def _stated(self, known: Quantity, key: Key, instrument: Instrument | None) -> Fact:
        motor = self._motor
        if key.home is Home.SETUP:
            document, path = self._document, key.path
        elif motor is not None:
            document, path = motor.document, motor.prefix + key.path
        else:
            lacking = self._no_motor(key.path)
            return Fact(known, None, lacking.origins, lacking.missing, lacking.reason)
        raw = document.get(path)
        origins = ((document, path),)
        sort = known.sort
        if raw is None:
            name = dotted(path) if motor is None or document is self._document else self._named(motor, path)
            return Fact(known, None, origins, (name,))
        if sort is Sort.TEXT or sort is Sort.FLAG:
            return Fact(known, raw, origins)
        if sort is Sort.MEASURED:
            read = self._measured(raw, document, path, instrument, known.unit)
            if read.notes and known.above_lowest and not _is_above(Fraction(0), read.value):
                return Fact(known, None, origins, reason=_impossible(known.unit))
            return Fact(known, read.value, origins, read.missing, read.reason, read.complete, notes=read.notes)
        if isinstance(raw, list):
            return Fact(known, sum((exact(value) for value in raw), Fraction(0)), origins)
        return Fact(known, exact(raw), origins)

    def _no_motor(self, path: Path) -> _Read:
        origins = ((self._document, ("motor",)),)
        if self._car.motor_trouble:
            return _Read(None, origins, reason=self._car.motor_trouble)
        return _Read(None, origins, (dotted(("motor", *path)),))

    def _named(self, motor: Motor, path: Path) -> str:
        """A key of the motor as a person finds it: with its file where it has one of its own."""
        return f"{dotted(path)} in {motor.document.file}" if motor.document is not self._document else dotted(path)

    def _measured(
        self, raw: Any, document: Document, path: Path, fallback: Instrument | None, unit: str, key: Key | None = None
    ) -> _Read:
        """A measured value with its uncertainty; `key` is that of a bench run's or a sheet's, which has more to say."""
        origins = ((document, path),)
        named, each, for_whole_record = None, False, False
        if key is not None:
            home = path[: len(path) - len(key.path)]
            named = document.get((*home, *key.instrument)) if key.instrument else None
            each, for_whole_record = key.each, is_for_whole_record(key)
        stated_here = stated_reading(raw)
        if stated_here is None:
            return _Read(None, origins, (dotted((*path, "value")),))
        found = written(stated_here, str(path[-1]), named, self._instruments, for_whole_record=for_whole_record)
        if found.instrument is None and fallback is not None:
            found = found._replace(instrument=fallback.in_unit(unit_of_key(str(path[-1]))))
        values, stated, instrument = found
        if instrument is None and stated is None and len(values) == 1 and not each:
            return _Read(values[0], origins, complete=False)
        # A stated uncertainty of zero says as little as none: no reading is free of error.
        known = bool(stated) or (instrument is not None and instrument.states_its_error)
        name = dotted(path)
        notes = what_was_done(found, unit, repeated=not each)
        if each:
            sensors = tuple(
                reading((value,), instrument, key=f"{name}[{i}]", standard_uncertainty=stated)
                for i, value in enumerate(values)
            )
            return _Read(sensors, origins, complete=known, notes=notes)
        value = reading(values, instrument, key=name, standard_uncertainty=stated)
        return _Read(value, origins, complete=known, notes=notes)

    def _record(self, known: Quantity, inputs: tuple[Input, ...]) -> Measurement | Fact:
        """The newest bench run that states the principal readings and still counts, or the fact that there is none."""
        motor = self._motor
        wanted = tuple(one for one in inputs if isinstance(one, Key) and one.home is Home.BENCH)
        principal = tuple(key for key in wanted if key in known.principal)
        if motor is None:
            lacking = self._no_motor(("bench_runs", *(principal[0].path if principal else ())))
            return Fact(known, None, lacking.origins, lacking.missing, lacking.reason)
        found = newest_with(motor, principal, known.family, self.on)
        if found is None:
            runs = motor.bench_runs_until(self.on)
            home = runs[0].path if runs else (*motor.prefix, "bench_runs")
            lacking_keys = tuple(self._named(motor, (*home, *key.path)) for key in principal)
            return Fact(known, None, ((motor.document, home),), lacking_keys or (self._named(motor, home),))
        if isinstance(found, FactorySheet) and any(isinstance(one, Key) and one.home is Home.SHEET for one in inputs):
            missing = self._named(motor, (*motor.prefix, "bench_runs"))
            return Fact(known, None, ((motor.document, found.path),), (missing,))
        stale = why_stale(motor, found, known.family, known.title, self.on)
        if stale:
            return Fact(known, None, ((motor.document, found.path),), reason=stale, record=found)
        return found


_A_FAIR_GUESS_C: Final = 10
"""How far a guess of a winding's temperature is easily off, in °C: a room against a motor that has just run."""

_FIRST_ENTRY: Path = ("entries", 0)
"""Where an entry would stand that only the command line makes."""


def _all_numbers(raw: Any) -> bool:
    return isinstance(raw, list) and all(isinstance(one, int | float) and not isinstance(one, bool) for one in raw)


_LOWEST: Final = {"mohm": Fraction(0), "c": -K_COPPER, "rpm_per_v": Fraction(0), "rpm": Fraction(0)}
"""By unit, what a bench reading lies above: its key sees to that, but for an offset that is taken off afterwards."""


def _is_above(lowest: Fraction, value: Value | None) -> bool:
    return isinstance(value, Fraction | Measured) and value_of(value) > lowest


def _impossible(unit: str) -> str:
    sign = UNITS[unit].sign.strip()
    return f"with the instrument's offset taken off, no reading in {sign} can be this low: correct it, or the offset"


def _passes_on(name: str, known: Quantity) -> bool:
    """Whether an instrument that is meant for one quantity reads another one that it is computed from."""
    inner = quantity(name)
    return inner is not None and any(key in known.principal for key in inner.principal)


def _plain(raw: Any) -> Value:
    if isinstance(raw, list):
        return tuple(_plain(item) for item in raw)
    return raw if isinstance(raw, str | bool) else exact(raw)
