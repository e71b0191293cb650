"""What all JSON reports write alike: numbers and places."""

from typing import Any

from speclint.places import Place
from speclint.readings.exact import to_number
from speclint.readings.measured import Number, value_of


def number(value: Number) -> int | float:
    """A value without its uncertainty."""
    return to_number(value_of(value))


def where(place: Place) -> dict[str, Any]:
    """A place in a file."""
    return {"file": place.file, "line": place.line, "column": place.column, "pointer": place.pointer}
