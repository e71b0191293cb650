"""A setup as a value: what it is called, its entries, gears, battery, track runs and parts, and which files it leans on."""

from collections.abc import Mapping
from datetime import date
from typing import Any, Final, NamedTuple

from speclint.documents.tree import Document
from speclint.models.car_parts import Battery, Gears, battery_of, gears_of
from speclint.models.instruments import instruments_of
from speclint.models.parts import PartsBox, parts_box_of
from speclint.models.track_runs import TrackRun, track_runs_of
from speclint.places import Path
from speclint.readings.instruments import Instrument


class Entry(NamedTuple):
    """A setup entered in one class of one ruleset for one day; `version` where it asks for a certain one.

    `keys` are all of its keys as they are written: a rule may test any of them.
    """

    path: Path
    ruleset: str
    version: str | None
    class_id: str
    on: date
    keys: Mapping[str, Any]

    @property
    def track(self) -> str | None:
        """The track that it names."""
        track = self.keys.get("track")
        return None if track is None else str(track)


_NO_GEARS: Final = Gears()
_NO_BATTERY: Final = Battery()
_NO_PARTS: Final = PartsBox()
_NO_INSTRUMENTS: Final[Mapping[str, Instrument]] = {}


class Setup(NamedTuple):
    """One car as it will be raced. `motor` and `garage` are paths as written, from the setup's own folder."""

    document: Document
    name: str
    entries: tuple[Entry, ...] = ()
    motor: str | None = None
    garage: str | None = None
    gears: Gears = _NO_GEARS
    battery: Battery = _NO_BATTERY
    track_runs: tuple[TrackRun, ...] = ()
    parts_box: PartsBox = _NO_PARTS
    instruments: Mapping[str, Instrument] = _NO_INSTRUMENTS

    @property
    def has_motor_in_place(self) -> bool:
        """Whether the motor's keys stand in the setup itself."""
        return self.motor is None and isinstance(self.document.data.get("motor"), dict)


def setup_of(document: Document) -> Setup:
    """The setup that a validated document states."""
    data = document.data
    entries = data.get("entries")
    motor = data.get("motor")
    return Setup(
        document,
        data.get("name") or document.file.rpartition("/")[2],
        tuple(_entry(("entries", i), keys) for i, keys in enumerate(entries)) if entries else (),
        motor if isinstance(motor, str) else None,
        data.get("garage"),
        gears_of(data.get("car")),
        battery_of(data.get("battery")),
        track_runs_of(data.get("track_runs")),
        parts_box_of(data.get("parts_box")),
        instruments_of(data.get("instruments"), document.file),
    )


def _entry(path: Path, keys: Mapping[str, Any]) -> Entry:
    ruleset, _, version = keys["ruleset"].partition("@")
    return Entry(path, ruleset, version or None, keys["class"], date.fromisoformat(keys["on"]), keys)
