"""A garage as a value: the instruments, parts and tracks that setups share, and the rulesets that are pinned."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from speclint.documents.tree import Document
from speclint.models.instruments import instruments_of
from speclint.models.parts import PartsBox, parts_box_of
from speclint.models.stated import StatedReading, stated_reading
from speclint.readings.instruments import Instrument


class GarageTrack(NamedTuple):
    """A track as a garage describes it, in the units of its keys; None for what is not stated.

    `infield_speed_kmh` is the mean speed off the straight, `infield` how stop-and-go that is in a word, `grip` the coefficient of friction of tyre on track.
    """

    lap_m: float | None
    straight_m: float | None
    infield_speed_kmh: float | None
    lap_s: float | None
    infield: str | None
    corners: int | None
    grip: float | None
    ambient_c: StatedReading | None
    note: str | None


class Garage(NamedTuple):
    """What a team shares between its setups."""

    document: Document
    name: str
    instruments: Mapping[str, Instrument]
    parts_box: PartsBox
    tracks: Mapping[str, GarageTrack]
    pins: Mapping[str, Mapping[str, str]]
    """By the id of a ruleset, the digest of each version that was pinned."""

    @property
    def file(self) -> str:
        """The file that it was read from."""
        return self.document.file


def garage_of(document: Document) -> Garage:
    """The garage that a validated document states."""
    data = document.data
    return Garage(
        document,
        data.get("name") or document.file.rpartition("/")[2],
        instruments_of(data.get("instruments"), document.file),
        parts_box_of(data.get("parts_box")),
        {name: _track(keys or {}) for name, keys in (data.get("tracks") or {}).items()},
        {id_: dict(versions or {}) for id_, versions in (data.get("pins") or {}).items()},
    )


def _track(keys: Mapping[str, Any]) -> GarageTrack:
    return GarageTrack(
        keys.get("lap_m"),
        keys.get("straight_m"),
        keys.get("infield_speed_kmh"),
        keys.get("lap_s"),
        keys.get("infield"),
        keys.get("corners"),
        keys.get("grip"),
        stated_reading(keys.get("ambient_c")),
        keys.get("note"),
    )
