"""A measured value as a file states it, before an instrument and its error come in."""

from fractions import Fraction
from typing import Any, NamedTuple

from speclint.places import Path
from speclint.readings.exact import exact


class StatedReading(NamedTuple):
    """One value or several, in the unit of their key.

    Attributes:
        values: what was read, as written.
        is_list: a bare list, whose key says whether it holds repeats or one value for each of several things.
        instrument: the one that the value itself names.
        standard_uncertainty: the one that is stated for the value, in the unit of the key.
    """

    values: tuple[float, ...]
    is_list: bool = False
    instrument: str | None = None
    standard_uncertainty: float | None = None

    @property
    def mean(self) -> float:
        """The mean of the values, as a float: for a quick look that decides whether anything exact is worth computing."""
        values = self.values
        return float(values[0]) if len(values) == 1 else float(sum(values)) / len(values)

    @property
    def exact_values(self) -> tuple[Fraction, ...]:
        """The values as the decimals that were written."""
        return tuple(exact(value) for value in self.values)


def stated_reading(written: Any) -> StatedReading | None:
    """What stands at a measured key: a number, a list of numbers, or a mapping of `value` or `readings`.

    Returns:
        None where nothing is stated: no key, a key without a value, an empty list, or a mapping without a number.
    """
    if written is None:
        return None
    kind = written.__class__
    if kind is float or kind is int:
        return StatedReading((written,))
    if kind is list:
        values = tuple(value for value in written if value is not None)
        return StatedReading(values, is_list=True) if values else None
    if kind is dict:
        values = written.get("readings")
        if values is None:
            values = written.get("value")
        values = tuple(value for value in values if value is not None) if values.__class__ is list else (values,)
        if not values or values[0] is None:
            return None
        return StatedReading(
            values, instrument=written.get("instrument"), standard_uncertainty=written.get("standard_uncertainty")
        )
    return None


def mean_of_stated(stated: StatedReading | None) -> float | None:
    """The mean of a reading as a float, where it is stated."""
    return None if stated is None else stated.mean


def is_stated(model: object, path: Path) -> bool:
    """Whether a record, a motor or a rotor states what its document has at a path, in the names of the document."""
    for step in path:
        model = getattr(model, str(step), None)
    return model is not None
