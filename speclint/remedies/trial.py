"""A car as it would be with some values changed, so that the rules themselves can say what comes of it."""

from collections.abc import Iterable
from typing import Any

from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.rules.checks import KeyChange


def changed_car(car: Car, changes: Iterable[KeyChange], *, rebuild: dict[str, Any] | None = None) -> Car:
    """The car with values put in the place of those that it states, and with a rebuild that the change needs.

    Positions stay those of the files, so that whatever the rules say of the car still points to its real lines.
    """
    setup, motor = car.setup, car.motor
    document = setup.document
    for change in changes:
        if change.file == document.file:
            document = document.with_value(change.path, change.value)
        elif motor is not None:
            motor = motor._replace(document=motor.document.with_value(change.path, change.value))
    if motor is not None:
        owner = document if motor.document.file == document.file else motor.document
        if rebuild is not None:
            path = (*motor.prefix, "rebuilds")
            owner = owner.with_value(path, [*(owner.get(path) or ()), rebuild])
        motor = motor_of(owner, motor.prefix)
    return car._replace(setup=setup._replace(document=document), motor=motor)
