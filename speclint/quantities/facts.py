"""Facts: the values that quantities take for one car, one entry and one day, each knowing where it came from."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from fractions import Fraction
from typing import Any, NamedTuple

from speclint.documents.tree import Document
from speclint.models.bench import BenchRun, FactorySheet, Measurement
from speclint.models.cars import Car
from speclint.models.motors import Motor
from speclint.models.stated import stated_reading
from speclint.places import Path, dotted
from speclint.quantities.counting import newest_with, rebuilds_done, records_with, why_another_winding, why_stale
from speclint.quantities.fact import (
    AS_STATED,
    Fact,
    ReadingTerms,
    beside_copper,
    counts_its_error,
    error_of_a_guess,
    fact_as_read,
)
from speclint.quantities.key_reading import (
    LOWEST,
    KeyContext,
    KeyReading,
    Origins,
    Value,
    read_key,
    read_sensors,
    with_offset_possible,
)
from speclint.quantities.kinds import counted, read_open_key, why_not_computed
from speclint.quantities.model import Given, Home, Input, Key, Quantity, Sort
from speclint.quantities.registry import open_key_path, quantity
from speclint.quantities.taken import TAKEN_KEY, TakenTerms, not_taken_so, said_beside, said_of_record
from speclint.quantities.written import is_for_whole_record
from speclint.readings.exact import exact
from speclint.readings.instruments import Instrument
from speclint.readings.measured import Measured, Number
from speclint.spelling import says_nothing

__all__ = ["AS_STATED", "Fact", "Facts", "ReadingTerms", "Value"]


class _Formula(NamedTuple):
    """What a quantity is computed from and how: the key's own value where there is no function."""

    inputs: tuple[Input, ...]
    function: Callable[..., Number] | None
    uncorrected: bool = False


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
        "_motor_instruments",
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
        # What a file describes itself goes before another file's description of the same name.
        own_instruments = car.motor.instruments if car.motor is not None else {}
        self._motor_instruments = {**self._instruments, **own_instruments} if own_instruments else self._instruments
        self._entry_keys = entry_keys
        self._entry_path = entry_path or _FIRST_ENTRY
        self._kept: dict[str | tuple[object, ...], Fact] = {}
        self.on = on
        self.reference_c = reference_c

    @property
    def car(self) -> Car:
        """The car that they are about."""
        return self._car

    @property
    def entry_path(self) -> Path:
        """Where the entry stands in the setup, or would stand that only the command line makes."""
        return self._entry_path

    def of(self, car: Car) -> "Facts":
        """The facts of another car for the same entry."""
        return Facts(
            car,
            on=self.on,
            reference_c=self.reference_c,
            entry_keys=self._entry_keys,
            entry_path=self._entry_path,
            official=self._official,
        )

    def fact(self, name: str, terms: ReadingTerms = AS_STATED) -> Fact:
        """The fact about the quantity of this name.

        Args:
            name: a quantity's name, which exists.
            terms: how its readings are taken.

        Raises:
            KeyError: there is no such quantity.
        """
        kept_as: str | tuple[object, ...] = name
        if terms is not AS_STATED:
            instrument = "" if terms.instrument is None else terms.instrument.name
            kept_as = (name, instrument, *terms[1:])
        fact = self._kept.get(kept_as)
        if fact is None:
            fact = self._kept[kept_as] = self._fact_of(_existing(name), terms)
        return fact

    def written(self, of: Quantity) -> Any:
        """What is written of a quantity at a key of the setup, the motor or the entry; None where nothing is."""
        key, motor = of.key, self._motor
        if key is None:
            return self._at_open_key(of.name)[1]
        if key.home is Home.SETUP:
            return self._document.get(key.path)
        return None if motor is None else motor.document.get(motor.prefix + key.path)

    def instrument(self, of: Quantity, name: str) -> Instrument | None:
        """The instrument that is meant where a quantity's key names it; None where nothing describes one."""
        is_of_motor = of.key is not None and of.key.home is Home.MOTOR
        return (self._motor_instruments if is_of_motor else self._instruments).get(name)

    def _fact_of(self, of: Quantity, terms: ReadingTerms) -> Fact:
        key = of.key
        if key is not None:
            if key.home is Home.BENCH:
                return self._computed(of, _Formula((key,), None), terms)
            return self._stated(of, key, terms)
        if of.formula is None:
            return self._open(of, terms)
        if terms.uncorrected and of.raw_formula is not None:
            return self._computed(of, _Formula(of.raw_inputs, of.raw_formula, uncorrected=True), terms)
        return self._computed(of, _Formula(of.inputs, of.formula), terms)

    # --- what stands at a key of the setup or the motor

    def _stated(self, of: Quantity, key: Key, terms: ReadingTerms) -> Fact:
        motor = self._motor
        if key.home is Home.SETUP:
            document, path, instruments = self._document, key.path, self._instruments
        elif motor is not None:
            document, path, instruments = motor.document, motor.prefix + key.path, self._motor_instruments
        else:
            return self._without_motor(of, key.path)
        origins = ((document, path),)
        written = document.get(path)
        if written is None or (isinstance(written, str) and says_nothing(written)):
            return Fact(of, None, origins, (self._named(document, path),))
        if of.sort is Sort.MEASURED:
            context = KeyContext(document, path, instruments, fallback=terms.instrument)
            if terms.taken and (refused := self._taken_otherwise(of, written, terms.taken, context)) is not None:
                return refused
            lowest = Fraction(0) if of.above_lowest else None
            read = read_key(stated_reading(written), of.unit, context)
            return fact_as_read(of, with_offset_possible(read, lowest, of.unit))
        if of.sort is Sort.TEXT or of.sort is Sort.FLAG:
            return Fact(of, written, origins)
        if of.sort is Sort.SUM:
            return Fact(of, sum((exact(value) for value in written), Fraction(0)), origins)
        return Fact(of, exact(written), origins)

    def _open(self, of: Quantity, terms: ReadingTerms) -> Fact:
        path, written = self._at_open_key(str(of.inputs[0]) if of.counts else of.name)
        context = KeyContext(self._document, path, self._instruments, fallback=terms.instrument, of_quantity=of.unit)
        if of.counts:
            return fact_as_read(of, counted(written, context))
        read = read_open_key(written, of, context)
        if terms.taken and read.value is not None and (of.is_open or of.sort is Sort.MEASURED):
            return self._taken_otherwise(of, written, terms.taken, context) or fact_as_read(of, read)
        return fact_as_read(of, read)

    def _at_open_key(self, quantity_name: str) -> tuple[Path, Any]:
        """Where the key of an open quantity stands, and what stands there."""
        path = open_key_path(quantity_name, ("extra",), self._entry_path)
        is_of_entry = quantity_name.startswith("entry.")
        return path, self._entry_keys.get(str(path[-1])) if is_of_entry else self._document.get(path)

    def _taken_otherwise(self, of: Quantity, written: Any, taken: TakenTerms, context: KeyContext) -> Fact | None:
        """The fact that a reading does not count, where it was taken otherwise than is asked, or does not say how."""
        refusal = not_taken_so(taken, said_beside(written, self.on))
        if refusal is None:
            return None
        lacking = refusal.lacking
        # The age of a reading follows from its day, so that this is what it would have to state.
        path = () if lacking is None else (*context.path, TAKEN_KEY, "on" if lacking.is_derived else lacking.name)
        missing = (self._named(context.document, path),) if path else ()
        return Fact(of, None, context.origins, missing, refusal.reason, refused=True)

    def _without_motor(self, of: Quantity, *paths: Path) -> Fact:
        origins = ((self._document, ("motor",)),)
        if self._car.motor_trouble:
            return Fact(of, None, origins, reason=self._car.motor_trouble)
        return Fact(of, None, origins, tuple(dotted(("motor", *path)) for path in paths or (("bench_runs",),)))

    def _named(self, document: Document, path: Path) -> str:
        """A key as a person finds it: with its file where that is not the setup's."""
        return dotted(path) if document is self._document else f"{dotted(path)} in {document.file}"

    # --- what follows from other quantities, and from the readings of one record

    def _computed(self, of: Quantity, formula: _Formula, terms: ReadingTerms) -> Fact:
        record: Measurement | None = None
        if of.family or Given.BENCH_DATE in formula.inputs:
            counting = self._record(of, formula.inputs, terms.taken)
            if isinstance(counting, Fact):
                return counting
            record = counting
        reads: list[KeyReading] = []
        inner: list[Fact] = []
        for part in formula.inputs:
            if isinstance(part, str):
                fact = self._quantity_behind(part, of, terms)
                reads.append(KeyReading(fact.value, fact.origins, fact.missing, fact.reason, fact.complete, fact.notes))
                if fact.quantity.formula_text:  # one with a formula of its own
                    inner.append(fact)
            else:
                reads.append(self._read(part, of, terms, record))
        lacking = self._lacking(of, reads, record)
        if lacking is not None:
            return lacking
        reads = beside_copper(formula.inputs, reads)
        values = [read.value for read in reads]
        value: Any = values[0] if formula.function is None else formula.function(*values)
        is_complete = all(read.complete for read in reads)
        if isinstance(value, Measured) and not counts_its_error(of, value, reads):
            value, is_complete = value.value, False
        return Fact(
            of,
            value,
            self._origins(of, reads, record),
            complete=is_complete,
            record=record,
            inputs=tuple(zip(formula.inputs, values, strict=True)),
            inner=tuple(inner),
            uncorrected=formula.uncorrected,
            notes=tuple(note for read in reads for note in read.notes),
        )

    def _lacking(self, of: Quantity, reads: list[KeyReading], record: Measurement | None) -> Fact | None:
        """Why there is no value, where an input is missing or tells too little; None where nothing is."""
        missing = tuple(name for read in reads for name in read.missing)
        reason = next((read.reason for read in reads if read.reason), "") or why_not_computed(of, reads)
        if not missing and not reason:
            return None
        lacking = tuple(origin for read in reads if read.value is None for origin in read.origins)
        reason = reason or error_of_a_guess(of, reads, self.reference_c)
        return Fact(of, None, lacking or reads[0].origins, missing, reason, record=record)

    def _origins(self, of: Quantity, reads: Iterable[KeyReading], record: Measurement | None) -> Origins:
        origins = tuple(origin for read in reads for origin in read.origins)
        if of.edit:
            origins = self.fact(of.edit).origins + origins
        if not origins and record is not None and self._motor is not None:
            origins = ((self._motor.document, record.path),)
        return origins

    def _read(self, part: Given | Key, of: Quantity, terms: ReadingTerms, record: Measurement | None) -> KeyReading:
        if part is Given.REFERENCE_C:
            return KeyReading(self.reference_c if terms.reference_c is None else terms.reference_c)
        if part is Given.BENCH_DATE and record is not None:
            return KeyReading(record.when.day)
        if part is Given.REBUILDS:
            if self._motor is not None:
                return rebuilds_done(self._motor, self.on)
            lacking = self._without_motor(of, ("rebuilds",))
            return KeyReading(None, lacking.origins, lacking.missing, lacking.reason)
        if isinstance(part, Given):
            return KeyReading(self.on)
        motor = self._motor
        if motor is None or record is None:
            return KeyReading(None, ((self._document, ("motor",)),), (dotted(("motor", *part.path)),))
        home = record.path if part.home is Home.BENCH else (*motor.prefix, "factory_sheet")
        path = (*home, *part.path)
        written = motor.document.get(path)
        if written is None:
            return KeyReading(None, ((motor.document, path),), (self._named(motor.document, path),))
        context = KeyContext(
            motor.document,
            path,
            self._motor_instruments,
            beside=motor.document.get((*home, *part.instrument)) if part.instrument else None,
            for_whole_record=is_for_whole_record(part),
            fallback=terms.instrument if part in of.principal else None,
        )
        read = (read_sensors if part.each else read_key)(stated_reading(written), context.unit, context)
        return with_offset_possible(read, LOWEST.get(context.unit), context.unit)

    def _quantity_behind(self, name: str, of: Quantity, terms: ReadingTerms) -> Fact:
        if terms is AS_STATED:
            return self.fact(name)
        inner = _existing(name)
        # An instrument that is meant for one quantity reads another one only where that is what is measured for it.
        is_measured_for_it = of.declared_by or any(key in of.principal for key in inner.principal)
        instrument = terms.instrument if is_measured_for_it else None
        inner_terms = ReadingTerms(instrument, reference_c=terms.reference_c, taken=terms.taken)
        return self.fact(name, AS_STATED if inner_terms == AS_STATED else inner_terms)

    def _record(self, of: Quantity, inputs: tuple[Input, ...], taken: TakenTerms) -> Measurement | Fact:
        """The newest bench run that states a principal reading and still counts, or the fact that there is none.

        With terms of how it has to have been taken, the newest that was taken so.
        """
        motor = self._motor
        bench_keys = [part for part in inputs if isinstance(part, Key) and part.home is Home.BENCH]
        principal = tuple(key for key in bench_keys if key in of.principal)
        if motor is None:
            return self._without_motor(of, *(("bench_runs", *key.path) for key in bench_keys))
        record = newest_with(motor, principal, self.on)
        if taken:
            newest_so = self._newest_taken_so(of, motor, principal, taken)
            if isinstance(newest_so, Fact):
                return newest_so
            record = newest_so
        if record is None:
            runs = motor.bench_runs_until(self.on)
            home = runs[0].path if runs else (*motor.prefix, "bench_runs")
            lacking = tuple(self._named(motor.document, (*home, *key.path)) for key in bench_keys)
            return Fact(of, None, ((motor.document, home),), lacking or (self._named(motor.document, home),))
        origins = ((motor.document, record.path),)
        is_against_sheet = any(isinstance(part, Key) and part.home is Home.SHEET for part in inputs)
        if isinstance(record, FactorySheet) and is_against_sheet:
            return Fact(of, None, origins, (self._named(motor.document, (*motor.prefix, "bench_runs")),))
        stale = why_stale(motor, record, of.family, of.title, self.on)
        if not stale and is_against_sheet:
            stale = why_another_winding(motor, of.title, self.on)
        return Fact(of, None, origins, reason=stale, record=record) if stale else record

    def _newest_taken_so(
        self, of: Quantity, motor: Motor, principal: tuple[Key, ...], taken: TakenTerms
    ) -> Measurement | Fact | None:
        """The newest record that states a principal reading and was taken so, or the fact that there is none.

        One that does not say how it was taken is not passed over for an older one, nor one that no longer counts.
        """
        refused: Fact | None = None
        for record in records_with(motor, principal, self.on):
            if why_stale(motor, record, of.family, of.title, self.on):
                return refused or record
            refusal = not_taken_so(taken, said_of_record(record, self.on))
            if refusal is None:
                return record
            taken_key = refusal.lacking or refusal.refused
            path = (*record.path, *(() if taken_key is None else taken_key.bench))
            origins = ((motor.document, path),)
            if refusal.lacking is not None:
                missing = (self._named(motor.document, path),) if isinstance(record, BenchRun) else ()
                return Fact(of, None, origins, missing, refusal.reason, record=record)
            refused = refused or Fact(of, None, origins, reason=refusal.reason, record=record)
        return refused


def _existing(name: str) -> Quantity:
    described = quantity(name)
    if described is None:
        raise KeyError(name)
    return described


_FIRST_ENTRY: Path = ("entries", 0)
"""Where an entry would stand that only the command line makes."""
