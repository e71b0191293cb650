"""What stands at one key, read with its instrument: a value with its uncertainty, or why there is none."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.copper import K_COPPER
from speclint.documents.tree import Document
from speclint.models.stated import StatedReading, stated_reading
from speclint.places import Path, dotted
from speclint.quantities.registry import unit_of_key
from speclint.quantities.written import Written, what_was_done, written
from speclint.readings.digits import UNITS
from speclint.readings.exact import exact
from speclint.readings.instruments import Instrument, reading
from speclint.readings.measured import Number, value_of

Value = Number | str | bool | tuple[Any, ...] | date
"""What a quantity, or an input of one, can be."""

Origins = tuple[tuple[Document, Path], ...]
"""The places that a value was read from, the one to change first at the front."""


class KeyReading(NamedTuple):
    """One input as it was read.

    `complete` is false where nothing says how far off it may be; `states_uncertainty` is true where a standard
    uncertainty stands with the value itself.
    """

    value: Value | None
    origins: Origins = ()
    missing: tuple[str, ...] = ()
    reason: str = ""
    complete: bool = True
    notes: tuple[str, ...] = ()
    states_uncertainty: bool = False


class KeyContext(NamedTuple):
    """Where a measured key stands, and what its reading may have been read on.

    Attributes:
        instruments: every instrument that a reading of the document may name.
        beside: the instrument that stands beside the value, for the winding or for the whole bench run.
        for_whole_record: whether that one is named for a whole bench run.
        fallback: the rule's instrument, for a reading that names none.
        of_quantity: the unit of its quantity, where that is declared and the key's ending may say none.
    """

    document: Document
    path: Path
    instruments: Mapping[str, Instrument]
    beside: str | None = None
    for_whole_record: bool = False
    fallback: Instrument | None = None
    of_quantity: str = ""

    @property
    def unit(self) -> str:
        """The code of the unit that the key carries, or that is declared for it."""
        return self.of_quantity or unit_of_key(str(self.path[-1]))

    @property
    def origins(self) -> Origins:
        """The one place."""
        return ((self.document, self.path),)


def read_key(stated: StatedReading | None, unit: str, context: KeyContext) -> KeyReading:
    """One measured value: a number, or repeats as their mean with their scatter."""
    if stated is None:
        return KeyReading(None, context.origins, (dotted((*context.path, "value")),))
    read = _on_instrument(stated, context)
    notes = what_was_done(read, unit, repeated=True)
    if read.instrument is None and read.standard_uncertainty is None and len(read.values) == 1:
        return KeyReading(read.values[0], context.origins, complete=False, notes=notes)
    value = reading(
        read.values, read.instrument, key=dotted(context.path), standard_uncertainty=read.standard_uncertainty
    )
    return KeyReading(
        value,
        context.origins,
        complete=read.states_its_error,
        notes=notes,
        states_uncertainty=read.standard_uncertainty is not None,
    )


def read_several(stated: StatedReading, unit: str, context: KeyContext) -> KeyReading:
    """A list that holds one value for each of several things: the sensors of a motor, four wheels, two packs."""
    read = _on_instrument(stated, context)
    name = dotted(context.path)
    values = tuple(
        reading((value,), read.instrument, key=f"{name}[{i}]", standard_uncertainty=read.standard_uncertainty)
        for i, value in enumerate(read.values)
    )
    notes = what_was_done(read, unit, repeated=False)
    return KeyReading(values, context.origins, complete=read.states_its_error, notes=notes)


def read_sensors(stated: StatedReading | None, unit: str, context: KeyContext) -> KeyReading:
    """One value for each sensor where a list says so; a single number, or repeats of it, is one value for all.

    A brushless motor has three (common practice): a list of two leaves one out, and nobody knows what that one shows.
    """
    if stated is not None and stated.is_list:
        read = read_several(stated, unit, context)
        return read._replace(value=None, reason=_LACKS_A_SENSOR) if len(stated.values) == 2 else read
    read = read_key(stated, unit, context)
    return read if read.value is None else read._replace(value=(read.value,))


def read_open(written_value: Any, unit: str, context: KeyContext, *, measured: bool) -> KeyReading:
    """What an open key states: a reading, several things each read once, or words; `measured` says that it has a unit."""
    if isinstance(written_value, dict):
        return read_key(stated_reading(written_value), unit, context)
    is_list = isinstance(written_value, list)
    if measured and all(_is_number(item) for item in (written_value if is_list else [written_value])):
        stated = stated_reading(written_value)
        return (
            read_several(stated, unit, context) if stated is not None and is_list else read_key(stated, unit, context)
        )
    return KeyReading(_as_written(written_value), context.origins)


def _on_instrument(stated: StatedReading, context: KeyContext) -> Written:
    read = written(
        stated,
        context.unit,
        context.beside,
        context.instruments,
        for_whole_record=context.for_whole_record,
    )
    if read.instrument is None and context.fallback is not None:
        return read._replace(instrument=context.fallback.in_unit(context.unit))
    return read


def _is_number(item: object) -> bool:
    return isinstance(item, int | float) and not isinstance(item, bool)


def _as_written(value: Any) -> Value:
    if isinstance(value, list):
        return tuple(_as_written(item) for item in value)
    return value if isinstance(value, str | bool) else exact(value)


_LACKS_A_SENSOR: Final = (
    "two values are not those of three sensors: add the third, or write the mean that the bench shows as one number"
)

LOWEST: Final = {"mohm": Fraction(0), "c": -K_COPPER, "rpm_per_v": Fraction(0), "rpm": Fraction(0)}
"""By unit, what a bench reading lies above: its key sees to that, but for an offset that is taken off afterwards."""


def with_offset_possible(read: KeyReading, lowest: Fraction | None, unit: str) -> KeyReading:
    """The reading, or why it cannot be: an offset that was taken off can leave less than there can be at all."""
    if not read.notes or lowest is None or read.value is None or _lies_above(lowest, read.value):
        return read
    sign = UNITS[unit].sign.strip()
    reason = f"with the instrument's offset taken off, no reading in {sign} can be this low: correct it, or the offset"
    return KeyReading(None, read.origins, reason=reason)


def _lies_above(lowest: Fraction, value: Value) -> bool:
    return isinstance(value, Number) and value_of(value) > lowest
