"""One fact: the value that a quantity takes, or why there is none, and what is asked of the readings behind it."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.copper import K_COPPER
from speclint.models.bench import Measurement
from speclint.places import Place, dotted
from speclint.quantities.bench import WINDING_C
from speclint.quantities.key_reading import KeyReading, Origins, Value
from speclint.quantities.model import Input, Key, Quantity
from speclint.quantities.taken import TakenTerms
from speclint.readings.copper import copper_temperature
from speclint.readings.digits import with_unit
from speclint.readings.exact import decimal_text
from speclint.readings.instruments import Instrument
from speclint.readings.measured import Measured, Number, value_of


class Fact(NamedTuple):
    """One quantity's value, or why there is none.

    `origins` are the places that it was read from, the one to change first at the front. `missing` names the keys
    that would have to be added, and `reason` says in words why no value counts though something is there.
    `complete` is false where a measured input has no uncertainty known, so that the value's is a least value only.
    `inputs` are what a formula took, in its order, and `inner` the facts among them that have a formula of their own;
    `uncorrected` is set where it is the formula for readings as they are. `notes` say what was done to single readings,
    and `unrounded` is the value before a rulebook's step was applied, `step` that step. A `value` that is a tuple is that of several
    things; once a limit has found the worst of them, that is the value, and `values` are all of them. `refused` says that
    a reading is stated, and was taken otherwise than is asked.
    """

    quantity: Quantity
    value: Value | None
    origins: Origins
    missing: tuple[str, ...] = ()
    reason: str = ""
    complete: bool = True
    record: Measurement | None = None
    inputs: tuple[tuple[Input, Value | None], ...] = ()
    inner: tuple["Fact", ...] = ()
    uncorrected: bool = False
    notes: tuple[str, ...] = ()
    unrounded: Number | None = None
    step: Fraction | None = None
    values: tuple[Value, ...] = ()
    refused: bool = False

    @property
    def place(self) -> Place:
        """The key that a person would edit, or the place where the missing one would go."""
        document, path = self.origins[0]
        return document.place(path)


class ReadingTerms(NamedTuple):
    """How a rule takes the readings of a quantity.

    Attributes:
        instrument: what its principal readings count as read on, where they name none of their own.
        uncorrected: take the readings as they are, without a correction for temperature.
        reference_c: the temperature in °C that they are corrected to, where it is not that of the class.
        taken: how they have to have been taken.
    """

    instrument: Instrument | None = None
    uncorrected: bool = False
    reference_c: Fraction | None = None
    taken: TakenTerms = ()


AS_STATED: Final = ReadingTerms()
"""As the car states them, and the class corrects them."""


def fact_as_read(of: Quantity, read: KeyReading) -> Fact:
    """The fact that one key shows."""
    return Fact(of, read.value, read.origins, read.missing, read.reason, read.complete, notes=read.notes)


def counts_its_error(of: Quantity, value: Measured, reads: Iterable[KeyReading]) -> bool:
    """Whether its uncertainty says anything: what all readings share cancels in how they differ, and leaves nothing."""
    if not value.standard_uncertainty > 0:
        return False
    if not of.compares_readings:
        return True
    values = (value for read in reads for value in (read.value if isinstance(read.value, tuple) else (read.value,)))
    return any(
        not influence.is_common
        for value in values
        if isinstance(value, Measured)
        for influence, part in value.contributions.items()
        if part
    )


def beside_copper(inputs: tuple[Input, ...], reads: list[KeyReading]) -> list[KeyReading]:
    """The readings with each temperature of a winding as that of the copper, where any uncertainty is counted at all."""
    if not any(isinstance(read.value, Measured) for read in reads):
        return reads
    beside = []
    for part, read in zip(inputs, reads, strict=True):
        is_temperature = isinstance(part, Key) and part.path == WINDING_C.path
        # An uncertainty that is stated for the winding's temperature is that of its copper.
        if is_temperature and isinstance(read.value, Number) and not read.states_uncertainty:
            document, path = read.origins[0]
            beside.append(read._replace(value=copper_temperature(read.value, f"{document.file}:{dotted(path)}")))
        else:
            beside.append(read)
    return beside


def error_of_a_guess(of: Quantity, reads: Sequence[KeyReading], reference_c: Fraction) -> str:
    """How far off a winding would be whose temperature somebody guesses, where that alone is missing."""
    phases = [read.value for read in reads[: len(of.raw_inputs)]]
    if of.raw_formula is None or of.unit != "mohm" or None in phases:
        return ""
    raw = value_of(of.raw_formula(*phases))
    share = _A_FAIR_GUESS_C / (K_COPPER + reference_c)
    size = with_unit(decimal_text(raw * share, 1), of.unit)
    return (
        f"its temperature cannot be guessed: {_A_FAIR_GUESS_C} °C more or less is {decimal_text(share * 100, 1)} %,"
        f" {size} here"
    )


_A_FAIR_GUESS_C: Final = 10
"""How far a guess of a winding's temperature is easily off, in °C: a room against a motor that has just run."""
