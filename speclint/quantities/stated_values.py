"""Every value that a setup and its motor state under the key of a quantity, wherever the registry says that it stands."""

from collections.abc import Iterator
from typing import Final, NamedTuple

from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.stated import StatedReading, stated_reading
from speclint.places import Path
from speclint.quantities.model import Home, Key, Quantity, Sort
from speclint.quantities.registry import QUANTITIES
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


_STATED: Final[tuple[tuple[Quantity, Key], ...]] = tuple(
    (quantity, quantity.key)
    for quantity in QUANTITIES
    if quantity.key is not None and quantity.key.home in (Home.SETUP, Home.MOTOR) and quantity.numeric
)
