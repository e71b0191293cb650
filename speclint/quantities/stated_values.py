"""Every number that stands under the key of a quantity, wherever the registry or a ruleset says that it does."""

from collections.abc import Iterator
from typing import Final, NamedTuple

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


def stated_values(car: Car) -> Iterator[StatedValue]:
    """The numbers that a car states, in the order of the registry; those of bench runs are left to the motor's model."""
    setup, motor = car.setup.document, car.motor
    for quantity, key in _STATED:
        if key.home is Home.SETUP:
            document, path = setup, key.path
        elif motor is not None:
            document, path = motor.document, motor.prefix + key.path
        else:
            continue
        written = document.get(path)
        if written is None:
            continue
        if written.__class__ is str:
            stated: StatedReading | None = StatedReading((to_float(exact(written)),))
        elif quantity.sort is Sort.SUM:
            stated = StatedReading((float(sum(written)),))
        else:
            stated = stated_reading(written)
        if stated is not None:
            yield StatedValue(quantity, document, path, stated)


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


_STATED: Final[tuple[tuple[Quantity, Key], ...]] = tuple(
    (quantity, quantity.key)
    for quantity in QUANTITIES
    if quantity.key is not None and quantity.key.home in (Home.SETUP, Home.MOTOR) and quantity.numeric
)
