"""The setup's own track runs: which of them the model can learn from, and what it learns."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import hypot
from typing import Any, Final

from speclint.gearing.bench_motor import reading_of
from speclint.gearing.case import Case
from speclint.gearing.pairs import Pair
from speclint.models.cars import Car
from speclint.moments import Moment, day_text, moment
from speclint.physics.fit import READING_U_K, Fit, TrackRun
from speclint.physics.lap import Track
from speclint.physics.prediction import Run
from speclint.physics.units import m_per_s
from speclint.quantities.rebuilds import REBUILDS_BY_KIND, SPEED, WINDING
from speclint.readings.exact import exact, to_float
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
    run: TrackRun


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
    car: Car, case: Case, tracks: Mapping[str, Mapping[str, Any]], on: date
) -> tuple[tuple[UsedRun, ...], tuple[LeftOut, ...]]:
    """The track runs of a setup up to a day: those that the model can learn from, and the others."""
    used: list[UsedRun] = []
    left_out: list[LeftOut] = []
    for index, data in enumerate(car.setup.document.data.get("track_runs") or ()):
        when = moment(data["date"])
        reason = "it is from after the day of the race" if when.day > on else _other_motor(car, when, on)
        found = reason or _used(car, case, tracks, data, when, index)
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
        for kind in rebuild.data["did"]:
            if REBUILDS_BY_KIND[kind].ends & _OTHER_MOTOR:
                title = REBUILDS_BY_KIND[kind].title
                return f"it is from before the {title} of {day_text(rebuild.when.day)}, so from another motor as far as heat goes"
    return ""


def _used(
    car: Car, case: Case, tracks: Mapping[str, Mapping[str, Any]], data: Mapping[str, Any], when: Moment, index: int
) -> UsedRun | str:
    can = reading_of(data.get("can_c"), car, f"track_runs[{index}].can_c", None)
    ambient = reading_of(data.get("ambient_c"), car, f"track_runs[{index}].ambient_c", None)
    spur, pinion, minutes = data.get("spur_teeth"), data.get("pinion_teeth"), data.get("minutes")
    stated = {"can_c": can, "ambient_c": ambient, "spur_teeth": spur, "pinion_teeth": pinion, "minutes": minutes}
    missing = [key for key, value in stated.items() if value is None]
    if missing or can is None or ambient is None or spur is None or pinion is None or minutes is None:
        return f"it states no {' and no '.join(missing)}"
    track = _track(case, tracks, data.get("track"))
    if isinstance(track, str):
        return track
    pair = Pair(spur, pinion, exact(data["internal_ratio"]) if "internal_ratio" in data else case.internal)
    run = Run(track, float(minutes), to_float(value_of(ambient)), case.run.grip)
    tyre = reading_of(data.get("tyre_diameter_mm"), car, f"track_runs[{index}].tyre_diameter_mm", None)
    own = None if tyre is None else replace(case.car, tyre_diameter_m=to_float(value_of(tyre)) / 1000.0)
    # What the thermometer's maker allows comes on top of what the spot and the delay do.
    u_k = hypot(READING_U_K, uncertainty_of(can) or 0.0, uncertainty_of(ambient) or 0.0)
    return UsedRun(when, pair, TrackRun(run, to_float(pair.ratio), to_float(value_of(can)), u_k, own))


def _track(case: Case, tracks: Mapping[str, Mapping[str, Any]], name: str | None) -> Track | str:
    """The track of a run; the one that is asked about where it names none."""
    if name is None or name == case.track:
        return case.run.track
    known = tracks.get(name)
    if known is None:
        return f"the garage has no track {name}"
    if not all(key in known for key in ("lap_m", "straight_m", "infield_speed_kmh")) or not known["infield_speed_kmh"]:
        return f"the garage's track {name} lacks lap_m, straight_m or infield_speed_kmh"
    lap_m = float(known["lap_m"])
    return Track(lap_m, min(float(known["straight_m"]), lap_m), m_per_s(float(known["infield_speed_kmh"])))
