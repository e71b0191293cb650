"""A measured value in every form that a file may write it in, with the instrument that it names."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from speclint.models.stated import StatedReading
from speclint.plain import listed
from speclint.quantities.model import Key
from speclint.readings.digits import plain_text, with_unit
from speclint.readings.instruments import Instrument


class Written(NamedTuple):
    """What stands at a measured key: one value or several, the standard uncertainty that is stated, the instrument."""

    values: tuple[Fraction, ...]
    standard_uncertainty: float | None
    instrument: Instrument | None

    @property
    def states_its_error(self) -> bool:
        """Whether anything says how far off it may be, beside what repeats show."""
        return self.standard_uncertainty is not None or (
            self.instrument is not None and self.instrument.states_its_error
        )


def written(
    stated: StatedReading,
    unit: str,
    named: str | None,
    instruments: Mapping[str, Instrument],
    *,
    for_whole_record: bool,
) -> Written:
    """A measured value as it is written, with its instrument where that is described.

    Args:
        stated: what stands at the key.
        unit: the unit of its key.
        named: the instrument that stands beside the value; one that the value names itself goes before it.
        instruments: every instrument that is described, by name.
        for_whole_record: what stands beside the value is meant for a whole bench run, so that it counts only for
            values of the unit that it reads.
    """
    if stated.instrument is not None:
        named, for_whole_record = stated.instrument, False
    instrument = instruments.get(named) if named is not None else None
    if instrument is not None:
        counts = instrument.reads(unit) if for_whole_record else not instrument.contradicts(unit)
        instrument = instrument.in_unit(unit) if counts else None
    # Zero says as little as none: no reading is free of error.
    return Written(stated.exact_values, stated.standard_uncertainty or None, instrument)


def is_for_whole_record(key: Key) -> bool:
    """Whether the instrument beside a key is named for the whole bench run, and not for its winding alone."""
    return len(key.instrument) == 1


def what_was_done(read: Written, unit: str, *, repeated: bool) -> tuple[str, ...]:
    """What was done to the readings of one key before anything was computed from them, in words."""
    notes = []
    if repeated and len(read.values) > 1:
        *most, last = map(plain_text, read.values)
        notes.append(f"mean of {listed((*most, with_unit(last, unit)))}")
    instrument = read.instrument
    if instrument is None or instrument.offset is None:
        return tuple(notes)
    size = with_unit(plain_text(abs(instrument.offset)), unit)
    if instrument.offset > 0:
        notes.append(f"{instrument.name} shows {size} too much, which is taken off")
    if instrument.offset < 0:
        notes.append(f"{instrument.name} shows {size} too little, which is added")
    return tuple(notes)
