"""The gears and the battery of a car, as its setup states them."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from speclint.models.stated import StatedReading, stated_reading
from speclint.readings.exact import exact


class Gears(NamedTuple):
    """Teeth, internal ratio and pitch; `internal_written` is the ratio as written, a decimal or teeth as "40/21"."""

    spur_teeth: int | None = None
    pinion_teeth: int | None = None
    internal_ratio: Fraction | None = None
    internal_written: float | str | None = None
    gear_pitch_dp: float | None = None
    gear_module_mm: float | None = None


class Battery(NamedTuple):
    """The pack: its chemistry in words, its cells in series, the voltage of all of them, and its serial number."""

    chemistry: str | None = None
    cells: int | None = None
    voltage_v: StatedReading | None = None
    serial: str | None = None


def gears_of(keys: Mapping[str, Any] | None) -> Gears:
    """The gears under a setup's `car:` of valid shape."""
    if not keys:
        return Gears()
    internal = keys.get("internal_ratio")
    return Gears(
        keys.get("spur_teeth"),
        keys.get("pinion_teeth"),
        None if internal is None else exact(internal),
        internal,
        keys.get("gear_pitch_dp"),
        keys.get("gear_module_mm"),
    )


def battery_of(keys: Mapping[str, Any] | None) -> Battery:
    """The pack under a setup's `battery:` of valid shape."""
    if not keys:
        return Battery()
    return Battery(keys.get("chemistry"), keys.get("cells"), stated_reading(keys.get("voltage_v")), keys.get("serial"))
