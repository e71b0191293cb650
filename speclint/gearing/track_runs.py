"""The setup's own track runs: which of them the model can learn from, and what it learns."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import hypot
from typing import Final

from speclint.gearing.case import CarModel, GearingCase
from speclint.gearing.known_motor import reading_of
from speclint.gearing.pairs import GearPair
from speclint.gearing.run_conditions import known_track
from speclint.models.cars import Car
from speclint.models.garages import GarageTrack
from speclint.models.track_runs import TrackRun
from speclint.moments import Moment, day_text
from speclint.physics.bands import READ_AFTER_S
from speclint.physics.fit import Fit
from speclint.physics.infield import Track
from speclint.physics.prediction import RunConditions
from speclint.physics.track_readings import LEAST_RISE_K, READING_U_K, TrackReadings
from speclint.physics.units import m_per_s
from speclint.places import dotted
from speclint.quantities.rebuilds import REBUILDS_BY_KIND, SPEED, WINDING
from speclint.readings.exact import to_float
from speclint.readings.measured import uncertainty_of, value_of

_OTHER_MOTOR: Final = frozenset({SPEED, WINDING})
"""A rebuild that ends one of these makes another motor of it, as far as heat goes."""

MOST_RUNS: Final = 6
"""Newest track runs that are learnt from; more would make the band no narrower than a day differs from another."""

HOTTEST_C: Final = 125.0
"""A can above this was not driven on; people who read it in °F write such numbers down."""

LONGEST_MINUTES: Final = 40.0
"""No pack lasts longer; people who count in seconds write such numbers down."""

_STRAINED: Final = 2.2
"""Misfit past which the runs and the model do not belong together, in about one of a hundred honest cars."""


@dataclass(frozen=True, slots=True)
class UsedRun:
    """A track run that counts."""

    when: Moment
    pair: GearPair
    readings: TrackReadings


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A track run that does not count, and why."""

    when: Moment
    reason: str


@dataclass(frozen=True, slots=True)
class Learnt:
    """What the track runs say of the model.

    Attributes:
        used: The runs that count, in the order of the setup.
        left_out: The others.
        fit: What they say; None where none counts.
    """

    used: tuple[UsedRun, ...]
    left_out: tuple[LeftOut, ...]
    fit: Fit | None

    @property
    def strained(self) -> bool:
        """Whether the runs lie farther from the fitted model than their uncertainties explain."""
        return self.fit is not None and self.fit.misfit > _STRAINED


def track_runs(
    car: Car, case: GearingCase, model: CarModel, tracks: Mapping[str, GarageTrack], on: date
) -> tuple[tuple[UsedRun, ...], tuple[LeftOut, ...]]:
    """The track runs of a setup up to a day: those that the model can learn from, and the others."""
    used: list[UsedRun] = []
    left_out: list[LeftOut] = []
    for recorded in car.setup.track_runs:
        when = recorded.when
        reason = "it is from after the day of the race" if when.day > on else _other_motor(car, when, on)
        usable = reason or _used(car, case, model, tracks, recorded)
        if isinstance(usable, str):
            left_out.append(LeftOut(when, usable))
        else:
            used.append(usable)
    for old in sorted(used, key=lambda run: run.when.newest_first, reverse=True)[MOST_RUNS:]:
        used.remove(old)
        left_out.append(LeftOut(old.when, f"{MOST_RUNS} newer ones say enough"))
    return tuple(used), tuple(left_out)


def _other_motor(car: Car, when: Moment, on: date) -> str:
    """Which rebuild since the run made another motor of it; empty where none did."""
    for rebuild in car.motor.rebuilds_until(on) if car.motor is not None else ():
        if when.certainly_after(rebuild.when):
            return ""
        for kind in rebuild.did:
            if REBUILDS_BY_KIND[kind].ends & _OTHER_MOTOR:
                title = REBUILDS_BY_KIND[kind].title
                return f"it is from before the {title} of {day_text(rebuild.when.day)}, so from another motor as far as heat goes"
    return ""


def _used(
    car: Car, case: GearingCase, model: CarModel, tracks: Mapping[str, GarageTrack], recorded: TrackRun
) -> UsedRun | str:
    name = dotted(recorded.path)
    can = reading_of(recorded.can_c, car, f"{name}.can_c", None)
    ambient = reading_of(recorded.ambient_c, car, f"{name}.ambient_c", None)
    spur, pinion, minutes = recorded.spur_teeth, recorded.pinion_teeth, recorded.minutes
    stated = {"can_c": can, "ambient_c": ambient, "spur_teeth": spur, "pinion_teeth": pinion, "minutes": minutes}
    missing = [key for key, value in stated.items() if value is None]
    if missing or can is None or ambient is None or spur is None or pinion is None or minutes is None:
        return f"it states no {' and no '.join(missing)}"
    track = _track(case, tracks, recorded.track)
    if isinstance(track, str):
        return track
    can_c, ambient_c = to_float(value_of(can)), to_float(value_of(ambient))
    slip = _implausible(can_c, ambient_c, float(minutes), spur, pinion)
    if slip:
        return slip
    pair = GearPair(spur, pinion, case.internal if recorded.internal_ratio is None else recorded.internal_ratio)
    tyre = reading_of(recorded.tyre_diameter_mm, car, f"{name}.tyre_diameter_mm", None)
    with_tyre = None if tyre is None else replace(model.vehicle, tyre_diameter_m=to_float(value_of(tyre)) / 1000.0)
    conditions = RunConditions(track, float(minutes), ambient_c, model.conditions.reference_ratio)
    readings = TrackReadings(
        conditions=conditions,
        ratio=to_float(pair.ratio),
        can_c=can_c,
        after_s=READ_AFTER_S if recorded.after_s is None else float(recorded.after_s),
        # What the thermometer's maker allows comes on top of what the spot and the moment do.
        reading_u_k=hypot(READING_U_K, uncertainty_of(can) or 0.0, uncertainty_of(ambient) or 0.0),
        returned_mah=_within(
            recorded.returned_mah, 0.02 * model.vehicle.capacity_mah, 1.1 * model.vehicle.capacity_mah
        ),
        current_a=_within(recorded.current_a, 0.5, 100.0),
        best_lap_s=_within(recorded.best_lap_s, track.lap_m / 30.0, track.lap_m),
        top_speed_m_per_s=None if not recorded.top_speed_kmh else m_per_s(float(recorded.top_speed_kmh)),
        vehicle=with_tyre,
    )
    return UsedRun(recorded.when, pair, readings)


def _within(value: float | None, low: float, high: float) -> float | None:
    """A reading, where it can be one; else it is left out."""
    return float(value) if value is not None and low <= value <= high else None


def _implausible(can_c: float, ambient_c: float, minutes: float, spur: int, pinion: int) -> str:
    """Which figure of a run is out of all proportion, with what it may be meant as; empty where none is."""
    if can_c > HOTTEST_C:
        meant = (can_c - 32.0) / 1.8
        return f"a can of {can_c:g} °C is out of all proportion; in °F that would be {meant:.0f} °C"
    if ambient_c > 50.0:
        return (
            f"air of {ambient_c:g} °C is out of all proportion; in °F that would be {(ambient_c - 32.0) / 1.8:.0f} °C"
        )
    if can_c - ambient_c < LEAST_RISE_K:
        return f"a can of {can_c:g} °C in air of {ambient_c:g} °C says nothing of a run"
    if minutes > LONGEST_MINUTES:
        return f"{minutes:g} minutes are out of all proportion; in seconds that would be {minutes / 60.0:.1f} minutes"
    if pinion >= spur:
        return f"pinion {pinion} on spur {spur} has them the wrong way round"
    return ""


def _track(case: GearingCase, tracks: Mapping[str, GarageTrack], name: str | None) -> Track | str:
    """The track of a run; the one that is asked about where it names none."""
    if name is None or name == case.track.name:
        return case.track.track
    described = tracks.get(name)
    if described is None:
        return f"the garage has no track {name}"
    if described.lap_m is None or described.straight_m is None or not (described.infield_speed_kmh or described.lap_s):
        return f"the garage's track {name} lacks lap_m, straight_m or infield_speed_kmh"
    return known_track(name, tracks).track
