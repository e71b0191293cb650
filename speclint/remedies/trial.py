"""A car as it would be with some values changed, so that the rules themselves can say what comes of it."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.places import Path
from speclint.rules.checks import Change


def changed_car(car: Car, changes: Iterable[Change]) -> Car:
    """The car with values put in the place of those that it states; positions stay those of the files."""
    setup, motor = car.setup, car.motor
    document = setup.document
    in_motor = document
    for change in changes:
        if change.file == document.file:
            document = _with_value(document, change)
        elif motor is not None and change.file == motor.document.file:
            motor = replace(motor, document=_with_value(motor.document, change))
    if document is not in_motor:
        setup = replace(setup, document=document)
    if motor is not None:
        owner = document if motor.document.file == document.file else motor.document
        motor = motor_of(owner, motor.prefix)
    return replace(car, setup=setup, motor=motor)


def _with_value(document: Document, change: Change) -> Document:
    return replace(document, data=_put(document.data, change.path, change.value))


def _put(data: Any, path: Path, value: Any) -> Any:
    """A copy of the data with one value changed; what the change does not touch is shared."""
    if not path:
        return value
    step, *rest = path
    if isinstance(data, list) and isinstance(step, int):
        return [_put(item, tuple(rest), value) if i == step else item for i, item in enumerate(data)]
    kept = dict(data) if isinstance(data, dict) else {}
    kept[str(step)] = _put(kept.get(str(step)), tuple(rest), value)
    return kept
