"""A car as it would be with some values changed, so that the rules themselves can say what comes of it."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.places import Path
from speclint.rules.checks import KeyChange


def changed_car(car: Car, changes: Iterable[KeyChange], *, rebuild: dict[str, Any] | None = None) -> Car:
    """The car with values put in the place of those that it states, and with a rebuild that the change needs.

    Positions stay those of the files, so that whatever the rules say of the car still points to its real lines.
    """
    setup, motor = car.setup, car.motor
    document = setup.document
    for change in changes:
        if change.file == document.file:
            document = _with_value(document, change.path, change.value)
        elif motor is not None and change.file == motor.document.file:
            motor = motor._replace(document=_with_value(motor.document, change.path, change.value))
    if motor is not None:
        owner = document if motor.document.file == document.file else motor.document
        if rebuild is not None:
            path = (*motor.prefix, "rebuilds")
            owner = _with_value(owner, path, [*(owner.get(path) or ()), rebuild])
            document = owner if owner.file == document.file else document
        motor = motor_of(owner, motor.prefix)
    if document is not setup.document:
        setup = setup._replace(document=document)
    return car._replace(setup=setup, motor=motor)


def _with_value(document: Document, path: Path, value: Any) -> Document:
    return replace(document, data=_put(document.data, path, value))


def _put(data: Any, path: Path, value: Any) -> Any:
    """A copy of the data with one value changed; what the change does not touch is shared."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(data, list) and isinstance(step, int):
        return [_put(item, rest, value) if i == step else item for i, item in enumerate(data)]
    kept = dict(data) if isinstance(data, dict) else {}
    kept[str(step)] = _put(kept.get(str(step)), rest, value)
    return kept
