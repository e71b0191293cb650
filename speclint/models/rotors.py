"""A rotor as a motor or a parts box describes it."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from speclint.models.stated import StatedReading, stated_reading


class Rotor(NamedTuple):
    """One rotor: shaft and magnet. `keys` are its keys as they are written, for whoever copies them to another file."""

    kind: str | None
    part: str | None
    diameter_mm: StatedReading | None
    bore_mm: StatedReading | None
    length_mm: StatedReading | None
    keys: Mapping[str, Any]

    @property
    def names(self) -> tuple[str, ...]:
        """Its kind and its part number, as far as they are stated."""
        return tuple(name for name in (self.kind, self.part) if name is not None)


def rotor_of(keys: Mapping[str, Any] | None) -> Rotor | None:
    """The rotor under a key of valid shape; None where nothing is stated of it."""
    stated = {key: value for key, value in (keys or {}).items() if value is not None}
    if not stated:
        return None
    return Rotor(
        stated.get("kind"),
        stated.get("part"),
        stated_reading(stated.get("diameter_mm")),
        stated_reading(stated.get("bore_mm")),
        stated_reading(stated.get("length_mm")),
        stated,
    )
