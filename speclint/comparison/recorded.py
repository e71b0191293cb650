"""Values of bench runs as they were recorded: each with its instrument, such that errors in common can cancel."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Final

from speclint.comparison.repeatability import USUAL, scatter_of
from speclint.documents.tree import Document
from speclint.models.stated import stated_reading
from speclint.places import Path, dotted
from speclint.quantities.registry import unit_of_key
from speclint.readings.exact import decimals_of
from speclint.readings.instruments import Instrument, reading
from speclint.readings.measured import Influence, Measured, Number, value_of

COMMON: Final = "accuracy:"
"""What the ids of influences begin with that all readings of one instrument share."""

_DECIMAL: Final = re.compile(r"[+-]?[0-9]*\.([0-9]+)")


@dataclass(frozen=True, slots=True)
class RecordedValue:
    """One value that a bench run states.

    Attributes:
        number: the value, less its instrument's offset, with what is known of its uncertainty.
        identity: which instrument it was read on; two readings share its error where this is the same.
        instrument: the instrument's name for people, "" for one that is not named.
        accuracy_known: how far the value as a whole may be off is known, so that it can be held against the value
            of another instrument.
        states_uncertainty: a standard uncertainty stands with the value itself.
        scatter_assumed: the unit whose usual scatter stands for a repeatability that is not stated; "" for none.
    """

    number: Number
    identity: str
    instrument: str
    accuracy_known: bool
    scatter_assumed: str
    states_uncertainty: bool


@dataclass(frozen=True, slots=True)
class RunRecord:
    """One bench run in its document, with the instruments that it may name and the day that it was made on."""

    document: Document
    path: Path
    day: date
    instruments: Mapping[str, Instrument]

    def value(self, key: Path, named: Path = ("instrument",)) -> RecordedValue | None:
        """The value under a key, the mean where it was read repeatedly; None where there is none.

        An instrument states one error for each unit that it reads: that of its volts says nothing of its amperes. One
        that was calibrated after the run was another instrument then, as its error may have been set right. Where an
        instrument states no resolution, the last digit that was written stands for it.

        Args:
            key: the path of the value within the run.
            named: the key within the run that names the instrument, where the value does not itself; one that stands
                for the whole run counts only for values in a unit that it can read.
        """
        raw_reading = self._read(key, named)
        return (
            None
            if raw_reading is None
            else _recorded(raw_reading, raw_reading.values, f"{self.document.file}:{dotted(raw_reading.where)}")
        )

    def sensors(self, key: Path) -> tuple[RecordedValue, ...]:
        """One value for each sensor: they share their instrument and nothing else; none where nothing stands.

        A number, or repeated readings of it, is one value for all sensors.
        """
        raw_reading = self._read(key, ("instrument",))
        if raw_reading is None:
            return ()
        name = f"{self.document.file}:{dotted(raw_reading.where)}"
        if raw_reading.where != (*self.path, *key) or not isinstance(self.document.get(raw_reading.where), list):
            return (_recorded(raw_reading, raw_reading.values, name),)
        return tuple(_recorded(raw_reading, (value,), f"{name}[{i}]") for i, value in enumerate(raw_reading.values))

    def _read(self, key: Path, named: Path) -> "_RawReading | None":
        path = (*self.path, *key)
        stated = stated_reading(self.document.get(path))
        if stated is None:
            return None
        where: Path = path
        if not stated.is_list and self.document.get(path).__class__ is dict:
            where = (*path, "readings" if self.document.get((*path, "readings")) is not None else "value")
        unit = unit_of_key(str(key[-1]))
        name = stated.instrument or self.document.get((*self.path, *named)) or ""
        instrument = self._instrument(name, unit, for_whole_run=stated.instrument is None and len(named) == 1)
        identity = _identity(instrument, unit, self.day)
        if not (instrument.resolution is not None and instrument.resolution > 0):
            instrument = instrument._replace(resolution=self._last_digit(where, stated.exact_values))
        return _RawReading(stated.exact_values, where, unit, instrument, identity, stated.standard_uncertainty or None)

    def _instrument(self, name: str, unit: str, *, for_whole_run: bool) -> Instrument:
        """The instrument of a reading; one that is not named, or not described in the unit, as far as that goes."""
        described = self.instruments.get(name)
        if described is None or (for_whole_run and not described.reads(unit)):
            return Instrument(name)
        return described.in_unit(unit)

    def _last_digit(self, where: Path, values: tuple[Fraction, ...]) -> Fraction:
        """The finest step in which the values are written: 0.1 for 4.0, 1 for 2450."""
        is_list = isinstance(self.document.get(where), list)
        paths = [(*where, i) for i in range(len(values))] if is_list else [where]
        places = 0
        for path, value in zip(paths, values, strict=True):
            written = _DECIMAL.fullmatch(self.document.written(path))
            places = max(places, len(written[1]) if written is not None else (decimals_of(value) or 0))
        return Fraction(1, 10**places)


@dataclass(frozen=True, slots=True)
class _RawReading:
    """What stands at a key: the bare values, where, and the instrument that they were read on."""

    values: tuple[Fraction, ...]
    where: Path
    unit: str
    instrument: Instrument
    identity: str
    stated: float | None


def _recorded(read: _RawReading, values: tuple[Fraction, ...], key: str) -> RecordedValue:
    number = reading(values, read.instrument, key=key, standard_uncertainty=read.stated)
    if isinstance(number, Measured):
        number = _relabelled(number, read.identity)
    instrument = read.instrument
    stated_scatter = scatter_of(instrument, read.unit)
    scatter = stated_scatter or USUAL.get(read.unit)
    if scatter is not None:
        clamping = Influence(f"clamping:{key}", f"scatter of {instrument.name or 'the bench'} between clampings")
        number = number + Measured(Fraction(0), {clamping: scatter.at(value_of(number))})
    has_accuracy = any(width is not None and width > 0 for width in (instrument.accuracy, instrument.accuracy_percent))
    return RecordedValue(
        number,
        read.identity,
        instrument.name,
        accuracy_known=read.stated is not None or has_accuracy,
        scatter_assumed=read.unit if scatter is not None and stated_scatter is None else "",
        states_uncertainty=read.stated is not None,
    )


def _identity(instrument: Instrument, unit: str, day: date) -> str:
    """The same for two readings only where they share the instrument's error.

    Readings of which no instrument is named count as read on one bench.
    """
    calibrated = instrument.calibrated_on
    epoch = f" before {calibrated}" if calibrated is not None and day < calibrated else ""
    width = f"{instrument.accuracy} {instrument.accuracy_percent} {instrument.offset}"
    return f"{instrument.name} ({width}) in {unit}{epoch}"


def _relabelled(number: Measured, identity: str) -> Measured:
    """The number with the instrument's own error under the instrument's identity."""
    return Measured(
        number.value,
        {
            Influence(f"{COMMON}{identity}", influence.what, is_common=True)
            if influence.id.startswith(COMMON)
            else influence: part
            for influence, part in number.contributions.items()
        },
    )
