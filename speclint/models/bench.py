"""What was measured of a motor alone: its winding, its bench runs, and the sheet that came with it."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.models.stated import StatedReading, stated_reading
from speclint.moments import Moment, moment
from speclint.places import Path
from speclint.readings.exact import exact

BEFORE_ALL: Final = Moment(date.min)
"""When the factory sheet counts as read: it is older than all other readings."""


class Winding(NamedTuple):
    """The three resistances from lead to lead, how warm the winding was, and what both were read on."""

    ab_mohm: StatedReading | None
    bc_mohm: StatedReading | None
    ca_mohm: StatedReading | None
    winding_c: StatedReading | None
    instrument: str | None
    thermometer: str | None

    @property
    def phases_mohm(self) -> tuple[float, float, float] | None:
        """The three resistances as plain floats, as read; None where one is missing."""
        ab, bc, ca = self.ab_mohm, self.bc_mohm, self.ca_mohm
        return None if ab is None or bc is None or ca is None else (ab.mean, bc.mean, ca.mean)


class SecondPoint(NamedTuple):
    """The motor without load at another voltage, in the same bench run."""

    supply_v: StatedReading | None
    current_a: StatedReading | None
    speed_rpm: StatedReading | None


class BenchRun(NamedTuple):
    """One measurement of the motor alone; `path` is where it stands in the motor's document."""

    path: Path
    when: Moment
    rotor: str | None
    instrument: str | None
    supply_v: StatedReading | None
    current_a: StatedReading | None
    kv_rpm_per_v: StatedReading | None
    speed_rpm: StatedReading | None
    timing_deg: StatedReading | None
    sensor_spread_percent: StatedReading | None
    pole_difference_percent: StatedReading | None
    winding: Winding | None
    second_point: SecondPoint | None
    can_c: StatedReading | None
    ambient_c: StatedReading | None
    note: str | None


class FactorySheet(NamedTuple):
    """What the sheet says that came with the motor; `made` is its own date, where it has one."""

    path: Path
    serial: str | None
    made: Moment | None
    winding: Winding | None
    starting_ratio: tuple[Fraction, Fraction] | None
    starting_tyre_mm: float | None
    kv_rpm_per_v: StatedReading | None
    note: str | None

    @property
    def when(self) -> Moment:
        """Before all other readings, whatever its date."""
        return BEFORE_ALL


Measurement = BenchRun | FactorySheet
"""What can show a reading of the motor alone."""


def bench_run_of(keys: Mapping[str, Any], path: Path) -> BenchRun:
    """The bench run of valid shape that stands at a path."""
    get = keys.get
    return BenchRun(
        path,
        moment(keys["date"]),
        get("rotor"),
        get("instrument"),
        stated_reading(get("supply_v")),
        stated_reading(get("current_a")),
        stated_reading(get("kv_rpm_per_v")),
        stated_reading(get("speed_rpm")),
        stated_reading(get("timing_deg")),
        stated_reading(get("sensor_spread_percent")),
        stated_reading(get("pole_difference_percent")),
        winding_of(get("winding")),
        _second_point(get("second_point")),
        stated_reading(get("can_c")),
        stated_reading(get("ambient_c")),
        get("note"),
    )


def _second_point(keys: Mapping[str, Any] | None) -> SecondPoint | None:
    if not keys:
        return None
    names = ("supply_v", "current_a", "speed_rpm")
    return SecondPoint(*(stated_reading(keys.get(name)) for name in names))


def factory_sheet_of(keys: Mapping[str, Any] | None, path: Path) -> FactorySheet | None:
    """The factory sheet of valid shape that stands at a path; None where there is none."""
    if not keys:
        return None
    made, ratio = keys.get("date"), keys.get("starting_ratio")
    return FactorySheet(
        path,
        keys.get("serial"),
        None if made is None else moment(made),
        winding_of(keys.get("winding")),
        None if ratio is None or None in ratio else (exact(ratio[0]), exact(ratio[1])),
        keys.get("starting_tyre_mm"),
        stated_reading(keys.get("kv_rpm_per_v")),
        keys.get("note"),
    )


def winding_of(keys: Mapping[str, Any] | None) -> Winding | None:
    """The winding of valid shape under a key; None where nothing is stated of it."""
    if not keys:
        return None
    get = keys.get
    return Winding(
        stated_reading(get("ab_mohm")),
        stated_reading(get("bc_mohm")),
        stated_reading(get("ca_mohm")),
        stated_reading(get("winding_c")),
        get("instrument"),
        get("thermometer"),
    )
