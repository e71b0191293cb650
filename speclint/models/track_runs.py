"""A run on a track as a setup records it."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from speclint.models.stated import StatedReading, stated_reading
from speclint.moments import Moment, moment
from speclint.places import Path
from speclint.readings.exact import exact


class TrackRun(NamedTuple):
    """One run: its gearing, how long it lasted and how warm the motor got, in the units of its keys.

    `path` is where it stands in the setup; `internal_written` is the internal ratio as written, a decimal or teeth.
    """

    path: Path
    when: Moment
    track: str | None
    spur_teeth: int | None
    pinion_teeth: int | None
    internal_ratio: Fraction | None
    internal_written: float | str | None
    tyre_diameter_mm: StatedReading | None
    minutes: float | None
    laps: float | None
    best_lap_s: float | None
    top_speed_kmh: float | None
    current_a: float | None
    returned_mah: float | None
    ambient_c: StatedReading | None
    can_c: StatedReading | None
    after_s: float | None
    note: str | None


def track_runs_of(listed: list[Mapping[str, Any]] | None) -> tuple[TrackRun, ...]:
    """The track runs of a setup of valid shape, in the order that they are written in."""
    return tuple(_track_run(keys, ("track_runs", i)) for i, keys in enumerate(listed)) if listed else ()


def _track_run(keys: Mapping[str, Any], path: Path) -> TrackRun:
    get = keys.get
    internal = get("internal_ratio")
    return TrackRun(
        path,
        moment(keys["date"]),
        get("track"),
        get("spur_teeth"),
        get("pinion_teeth"),
        None if internal is None else exact(internal),
        internal,
        stated_reading(get("tyre_diameter_mm")),
        get("minutes"),
        get("laps"),
        get("best_lap_s"),
        get("top_speed_kmh"),
        get("current_a"),
        get("returned_mah"),
        stated_reading(get("ambient_c")),
        stated_reading(get("can_c")),
        get("after_s"),
        get("note"),
    )
