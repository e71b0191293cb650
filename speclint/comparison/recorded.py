"""Values of bench runs as they were recorded: each with its instrument, such that errors in common can cancel."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Any, Final

from speclint.documents.tree import Document
from speclint.places import Path, dotted
from speclint.quantities.registry import unit_of_key
from speclint.readings.digits import UNITS
from speclint.readings.exact import decimals_of, exact
from speclint.readings.instruments import Instrument, reading
from speclint.readings.measured import Influence, Measured, Number

COMMON: Final = "accuracy:"
"""What the ids of influences begin with that all readings of one instrument share."""

_DECIMAL: Final = re.compile(r"[+-]?[0-9]*\.([0-9]+)")


@dataclass(frozen=True, slots=True)
class RecordedValue:
    """One value that a bench run states.

    Attributes:
        number: the value, less its instrument's offset; without uncertainty where none is known.
        identity: which instrument it was read on; two readings share its error where this is the same. "" for none.
        instrument: the instrument's name for people, "" for none.
        accuracy_known: how far the value as a whole may be off is known, so that it can be held against the value
            of another instrument.
        doubt: in words, why nothing is known of its uncertainty; "" where something is.
    """

    number: Number
    identity: str = ""
    instrument: str = ""
    accuracy_known: bool = False
    doubt: str = ""


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
        """One value for each sensor: they share their instrument and nothing else; none where nothing stands."""
        raw_reading = self._read(key, ("instrument",))
        if raw_reading is None:
            return ()
        name = f"{self.document.file}:{dotted(raw_reading.where)}"
        return tuple(_recorded(raw_reading, (value,), f"{name}[{i}]") for i, value in enumerate(raw_reading.values))

    def _read(self, key: Path, named: Path) -> "_RawReading | None":
        path = (*self.path, *key)
        raw = self.document.get(path)
        name, for_whole_run, stated, where = self.document.get((*self.path, *named)), len(named) == 1, None, path
        if isinstance(raw, dict):
            if "instrument" in raw:
                name, for_whole_run = raw["instrument"], False
            stated = raw.get("standard_uncertainty")
            where = (*path, "readings" if "readings" in raw else "value")
            raw = self.document.get(where)
        if raw is None or raw == []:
            return None
        values = tuple(exact(value) for value in raw) if isinstance(raw, list) else (exact(raw),)
        unit = unit_of_key(str(key[-1]))
        described = self.instruments.get(name) if isinstance(name, str) else None
        instrument = described if described is None or not for_whole_run or described.reads(unit) else None
        if instrument is not None and not (instrument.resolution is not None and instrument.resolution > 0):
            instrument = replace(instrument, resolution=self._last_digit(where, raw, values))
        doubt = "" if instrument is not None or stated is not None else _doubt(name, described, unit)
        return _RawReading(
            values, where, instrument, _identity(instrument, described, unit, self.day), stated, doubt, described
        )

    def _last_digit(self, where: Path, raw: Any, values: tuple[Fraction, ...]) -> Fraction:
        """The finest step in which the values are written: 0.1 for 4.0, 1 for 2450."""
        paths = [(*where, i) for i in range(len(raw))] if isinstance(raw, list) else [where]
        places = 0
        for path, value in zip(paths, values, strict=True):
            written = _DECIMAL.fullmatch(self.document.written(path))
            places = max(places, len(written[1]) if written is not None else (decimals_of(value) or 0))
        return Fraction(1, 10**places)


@dataclass(frozen=True, slots=True)
class _RawReading:
    """What stands at a key: the bare values, where, and all that is said of their instrument."""

    values: tuple[Fraction, ...]
    where: Path
    instrument: Instrument | None
    identity: str
    stated: float | None
    doubt: str
    described: Instrument | None


def _recorded(read: _RawReading, values: tuple[Fraction, ...], key: str) -> RecordedValue:
    number = reading(values, read.instrument, key=key, standard_uncertainty=read.stated)
    if isinstance(number, Measured):
        number = _relabelled(number, read.identity)
    described = read.described
    states = read.instrument is not None and described is not None and any(
        width is not None and width > 0 for width in (described.accuracy, described.accuracy_percent)
    )  # fmt: skip
    name = read.instrument.name if read.instrument is not None else ""
    return RecordedValue(number, read.identity, name, read.stated is not None or states, read.doubt)


def _doubt(name: Any, described: Instrument | None, unit: str) -> str:
    if not isinstance(name, str):
        return "no instrument is named"
    if described is None:
        return f"the instrument {name} is described nowhere"
    return f"the description of {name} is not in {UNITS[unit].sign.strip() or 'this unit'}"


def _identity(instrument: Instrument | None, described: Instrument | None, unit: str, day: date) -> str:
    """The same for two readings only where they share the instrument's error."""
    if instrument is None or described is None:
        return ""
    calibrated = described.calibrated_on
    epoch = f" before {calibrated}" if calibrated is not None and day < calibrated else ""
    width = f"{described.accuracy} {described.accuracy_percent} {described.offset}"
    return f"{described.name} ({width}) in {unit}{epoch}"


def _relabelled(number: Measured, identity: str) -> Measured:
    """The number with the instrument's own error under the instrument's identity."""
    return Measured(
        number.value,
        {
            Influence(f"{COMMON}{identity}", influence.what) if influence.id.startswith(COMMON) else influence: part
            for influence, part in number.contributions.items()
        },
    )
