"""The setup's own track runs: which of them the model can learn from, and what it learns."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import hypot
from typing import Final

from speclint.gearing.bench_motor import reading_of
from speclint.gearing.case import Case
from speclint.gearing.pairs import Pair
from speclint.models.cars import Car
from speclint.models.garages import GarageTrack
from speclint.models.track_runs import TrackRun
from speclint.moments import Moment, day_text
from speclint.physics.fit import READING_U_K, Fit, HeatRun
from speclint.physics.lap import Track
from speclint.physics.prediction import Run
from speclint.physics.units import m_per_s
from speclint.places import dotted
from speclint.quantities.rebuilds import REBUILDS_BY_KIND, SPEED, WINDING
from speclint.readings.exact import to_float
from speclint.readings.measured import uncertainty_of, value_of

_OTHER_MOTOR: Final = frozenset({SPEED, WINDING})
"""A rebuild that ends one of these makes another motor of it, as far as heat goes."""


MOST_RUNS: Final = 6
"""Newest track runs that are learnt from; more would make the band no narrower than a day differs from another."""


@dataclass(frozen=True, slots=True)
class UsedRun:
    """A track run that counts."""

    when: Moment
    pair: Pair
    run: HeatRun


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
        """Whether the runs lie farther from the fitted model than their uncertainties explain, at about 99 %."""
        count = len(self.used)
        return self.fit is not None and self.fit.chi_square > count + 3.0 * (2.0 * count) ** 0.5


def track_runs(
    car: Car, case: Case, tracks: Mapping[str, GarageTrack], on: date
) -> tuple[tuple[UsedRun, ...], tuple[LeftOut, ...]]:
    """The track runs of a setup up to a day: those that the model can learn from, and the others."""
    used: list[UsedRun] = []
    left_out: list[LeftOut] = []
    for run in car.setup.track_runs:
        when = run.when
        reason = "it is from after the day of the race" if when.day > on else _other_motor(car, when, on)
        found = reason or _used(car, case, tracks, run)
        if isinstance(found, str):
            left_out.append(LeftOut(when, found))
        else:
            used.append(found)
    for old in sorted(used, key=lambda each: each.when.newest_first, reverse=True)[MOST_RUNS:]:
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


def _used(car: Car, case: Case, tracks: Mapping[str, GarageTrack], recorded: TrackRun) -> UsedRun | str:
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
    pair = Pair(spur, pinion, case.internal if recorded.internal_ratio is None else recorded.internal_ratio)
    run = Run(track, float(minutes), to_float(value_of(ambient)), case.run.grip)
    tyre = reading_of(recorded.tyre_diameter_mm, car, f"{name}.tyre_diameter_mm", None)
    with_tyre = None if tyre is None else replace(case.car, tyre_diameter_m=to_float(value_of(tyre)) / 1000.0)
    # What the thermometer's maker allows comes on top of what the spot and the delay do.
    u_k = hypot(READING_U_K, uncertainty_of(can) or 0.0, uncertainty_of(ambient) or 0.0)
    heated = HeatRun(run, to_float(pair.ratio), to_float(value_of(can)), u_k, with_tyre)
    return UsedRun(recorded.when, pair, heated)


def _track(case: Case, tracks: Mapping[str, GarageTrack], name: str | None) -> Track | str:
    """The track of a run; the one that is asked about where it names none."""
    if name is None or name == case.track:
        return case.run.track
    described = tracks.get(name)
    if described is None:
        return f"the garage has no track {name}"
    lap_m, straight_m, infield_kmh = described.lap_m, described.straight_m, described.infield_speed_kmh
    if lap_m is None or straight_m is None or not infield_kmh:
        return f"the garage's track {name} lacks lap_m, straight_m or infield_speed_kmh"
    return Track(float(lap_m), min(float(straight_m), float(lap_m)), m_per_s(float(infield_kmh)))
