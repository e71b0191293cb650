"""Every number that stands under the key of a quantity, wherever the registry or a ruleset says that it does."""

from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import Any, Final, NamedTuple

from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.stated import StatedReading, stated_reading
from speclint.places import Path
from speclint.quantities.declared import Declared
from speclint.quantities.model import Home, Key, Quantity, Sort
from speclint.quantities.registry import QUANTITIES, open_key_path
from speclint.readings.exact import exact, to_float


class StatedValue(NamedTuple):
    """One number that is stated: the sum of a list of thicknesses, a ratio of teeth as its decimal."""

    quantity: Quantity
    document: Document
    path: Path
    stated: StatedReading


def stated_values(car: Car, usual: Mapping[str, tuple[float, float]]) -> Iterator[StatedValue]:
    """The numbers that a car states, in the order of the registry; those of bench runs are left to the motor's model.

    Args:
        car: the car.
        usual: by the names of quantities two bounds: a number between them, as nearly all are, is left out.
    """
    setup, motor = car.setup.document, car.motor
    for home, section, quantities in _SECTIONS:
        if home is Home.SETUP:
            document, path = setup, section
        elif motor is not None:
            document, path = motor.document, motor.prefix + section
        else:
            continue
        keys = document.get(path)
        if not keys:
            continue
        for key, quantity in quantities:
            written = keys.get(key)
            if written is None:
                continue
            number: Any = written.get("value") if isinstance(written, dict) else written
            bounds = usual.get(quantity.name)
            if bounds is not None and type(number) in _PLAIN and bounds[0] <= number <= bounds[1]:
                continue
            stated = _reading(quantity, written)
            if stated is not None:
                yield StatedValue(quantity, document, (*path, key), stated)


def _reading(quantity: Quantity, written: Any) -> StatedReading | None:
    if isinstance(written, str):
        return StatedReading((to_float(exact(written)),))
    if quantity.sort is Sort.SUM:
        return StatedReading((float(sum(written)),))
    return stated_reading(written)


def declared_values(declared: Declared, document: Document, extra: Path, entry: Path) -> Iterator[StatedValue]:
    """The numbers that a document states of what a ruleset declares.

    Args:
        declared: the quantities of the ruleset.
        document: the setup or the inspection.
        extra: where the `extra:` of the car stands there.
        entry: where its entry stands there.
    """
    for name in declared.values():
        path = open_key_path(name, extra, entry)
        written = document.get(path)
        values = written if isinstance(written, list) else ()
        stated = stated_reading(written) if all(isinstance(value, int | float) for value in values) else None
        if name.quantity.numeric and stated is not None:
            yield StatedValue(name.quantity, document, path, stated)


_PLAIN: Final = frozenset({int, float})

_STATED: Final[tuple[tuple[Quantity, Key], ...]] = tuple(
    (quantity, quantity.key)
    for quantity in QUANTITIES
    if quantity.key is not None and quantity.is_stated and quantity.numeric
)

_SECTIONS: Final = tuple(
    (home, section, tuple((str(key.path[-1]), quantity) for quantity, key in stated))
    for (home, section), stated in groupby(_STATED, lambda stated: (stated[1].home, stated[1].path[:-1]))
)
"""The same by the mapping that their keys stand in, which is looked up once for all that come one after the other."""
