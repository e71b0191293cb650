"""The track and the run that a prediction is made for, with all that nobody stated of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from speclint.gearing import assumed as standing_in
from speclint.gearing.assumed import Assumed
from speclint.gearing.options import GearingOptions
from speclint.models.garages import GarageTrack
from speclint.models.stated import mean_of_stated
from speclint.physics.assumptions import INFIELDS, TIMED_LAP, Assumption, assumption
from speclint.physics.infield import Track
from speclint.physics.prediction import RunConditions
from speclint.physics.units import m_per_s

_NO_TRACK: Final = GarageTrack(None, None, None, None, None, None, None, None, None)
_STRAIGHT_AT_MOST: Final = 0.9
"""Of a lap: what is left is one corner at least."""


@dataclass(frozen=True, slots=True)
class KnownTrack:
    """A track as far as it is known.

    Attributes:
        name: Its id; empty where nothing is known of any.
        track: The lap.
        ambient_c: Air; None where it is not stated.
        grip: Largest tyre force over weight, where that is stated.
        infield: How stop-and-go the infield is, in a word; None where it is not stated.
        ranges: How far the assumed constants may be from their values there.
        assumed: What nobody stated.
    """

    name: str
    track: Track
    ambient_c: float | None
    grip: float | None
    infield: str | None
    ranges: tuple[Assumption, ...]
    assumed: tuple[Assumed, ...]


def known_track(name: str, tracks: Mapping[str, GarageTrack]) -> KnownTrack:
    """What the garage says of a track, with what stands in for the rest.

    Args:
        name: Id of the track; empty where none is named.
        tracks: The garage's tracks by id.
    """
    described = tracks.get(name, _NO_TRACK)
    if name in tracks:
        why = f"the garage's track {name} does not state"
    elif name:
        why = f"the garage has no track {name}, so it lacks"
    else:
        why = "no track is named, so there is no"
    assumed: list[Assumed] = []
    lap_m = described.lap_m
    if lap_m is None:
        lap_m = standing_in.LAP_M
        assumed.append(Assumed("lap", f"{lap_m:.0f} m", f"{why} lap_m", "a club hall, 70 to 160 m: estimate"))
    straight_m = described.straight_m
    if straight_m is None:
        straight_m = lap_m * standing_in.STRAIGHT_SHARE
        source = "a fifth of the lap, 0.13 to 0.3: estimate"
        assumed.append(Assumed("longest straight", f"{straight_m:.0f} m", f"{why} straight_m", source))
    speed_kmh, lap_s = described.infield_speed_kmh or None, described.lap_s
    ranges: list[Assumption] = []
    if speed_kmh is None and lap_s is None:
        speed_kmh = standing_in.INFIELD_KMH
        source = "stock classes, 19 to 34 km/h: estimate"
        assumed.append(
            Assumed("speed off the straight", f"{speed_kmh:.0f} km/h", f"{why} infield_speed_kmh and no lap_s", source)
        )
        ranges.append(assumption("infield_speed_factor").narrowed(1.0, *standing_in.INFIELD_LOW_HIGH))
    elif speed_kmh is None:
        ranges.append(TIMED_LAP)
    track = Track(
        float(lap_m),
        min(float(straight_m), _STRAIGHT_AT_MOST * float(lap_m)),
        m_per_s(standing_in.INFIELD_KMH if speed_kmh is None else float(speed_kmh)),
        None if speed_kmh is not None or lap_s is None else float(lap_s),
        described.corners,
    )
    grip = None if described.grip is None else float(described.grip)
    if grip is not None:
        ranges.append(assumption("traction_coefficient").narrowed(grip, 0.83 * grip, 1.2 * grip))
    if described.infield is not None:
        ranges.append(assumption("link_ratio").narrowed(*INFIELDS[described.infield]))
    return KnownTrack(
        name if name in tracks else "",
        track,
        mean_of_stated(described.ambient_c),
        grip,
        described.infield,
        tuple(ranges),
        tuple(assumed),
    )


def run_conditions(
    known: KnownTrack, options: GearingOptions, reference_ratio: float
) -> tuple[RunConditions, tuple[Assumed, ...]]:
    """The run that is asked about, and what nobody stated of it."""
    ambient_c = options.ambient_c if options.ambient_c is not None else known.ambient_c
    assumed: tuple[Assumed, ...] = ()
    if ambient_c is None:
        ambient_c = standing_in.AMBIENT_C
        assumed = (
            Assumed(
                "air",
                f"{ambient_c:.0f} °C",
                "no ambient_c is stated of the track; --ambient-c takes it",
                "a warm hall, on the safe side",
            ),
        )
    return RunConditions(known.track, options.minutes, ambient_c, reference_ratio), assumed
