"""Instruments, and what a reading on one is worth: the value less the offset, with its standard uncertainty."""

import math
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

from speclint.readings.exact import to_float
from speclint.readings.measured import Influence, Measured, Number
from speclint.readings.units import is_same_unit

_RECTANGLE: Final = math.sqrt(3.0)
_STEP: Final = math.sqrt(12.0)

FINEST: Final[Mapping[str, float]] = {
    "g": 0.01, "kg": 1e-5, "oz": 0.0005, "lb": 2e-5, "mm": 0.001, "cm": 0.0001, "in": 4e-5, "v": 0.0001, "a": 0.0005,
    "mohm": 0.002, "c": 0.05, "f": 0.1, "deg": 0.01, "rpm": 0.1, "rpm_per_v": 0.02, "percent": 0.001, "mah": 0.1,
}  # fmt: skip
"""By its unit, the least expanded uncertainty (k = 2) of anything that is read in a pit or at inspection: a laboratory's
balance, micrometer or bench meter shows no less (common practice, estimates)."""


class Instrument(NamedTuple):
    """An instrument as its maker or its calibration describes it.

    Attributes:
        name: what readings call it by; two readings of the same description and name share its error.
        accuracy_percent: half-width of the error, in percent of the reading.
        accuracy: half-width of the error, in the unit read; adds to the percent part.
        resolution: the smallest step it shows, in the unit read.
        offset: what it is known to show too much, in the unit read.
        calibrated_on: the day of its last calibration.
        unit: the code of the unit it reads, where that is stated.
        repeatability: standard deviation between readings of one thing that is taken out and clamped or contacted
            anew each time, in the unit read.
        repeatability_percent: the same in percent of the reading.
        described_in: the file that describes it; two files that use one name mean two instruments.
        per_unit: one that reads several units, as an instrument for each, by the unit's code.
    """

    name: str
    accuracy_percent: Fraction | None = None
    accuracy: Fraction | None = None
    resolution: Fraction | None = None
    offset: Fraction | None = None
    calibrated_on: date | None = None
    unit: str | None = None
    repeatability: Fraction | None = None
    repeatability_percent: Fraction | None = None
    described_in: str = ""
    per_unit: tuple[tuple[str, "Instrument"], ...] = ()

    @property
    def states_its_error(self) -> bool:
        """Whether anything says how wrong it may be; without that, repeats alone give only a least uncertainty."""
        return _above_zero(self.accuracy_percent) or _above_zero(self.accuracy) or _above_zero(self.resolution)

    def reads(self, unit: str) -> bool:
        """Whether it can be meant for a value of this unit, where it is named for a whole bench run.

        One that states no unit can, if all that is said of it is a percentage; a percentage of a temperature in °C
        means nothing.
        """
        if self.per_unit and any(code == unit for code, _ in self.per_unit):
            return True
        if self.unit is None:
            return unit != "c" and self.accuracy is None and self.resolution is None and self.offset is None
        return is_same_unit(self.unit, unit)

    def contradicts(self, unit: str) -> bool:
        """Whether it says that it reads another unit than this one, so that what it says of its error means nothing here.

        A unit that nobody knows is another one: taken for the right one, kilos would make grams a thousand times too sure.
        """
        if not unit or self.reads(unit):
            return False
        return bool(self.per_unit) or self.unit is not None

    def in_unit(self, unit: str) -> "Instrument":
        """The instrument as it reads this unit: what is described for the unit, else the instrument itself."""
        return next((instrument for code, instrument in self.per_unit if code == unit), self) if self.per_unit else self


def reading(
    values: tuple[Fraction, ...],
    instrument: Instrument | None,
    *,
    key: str,
    standard_uncertainty: float | None = None,
) -> Number:
    """The mean of the values that were read, less the instrument's offset, with what is known of its uncertainty.

    Instrument: a half-width a of the error is a/√3, shared by all readings of the same instrument; a step d of the
    display is d/√12, new in every reading (JCGM 100 4.3.7, F.2.2.1). n repeats with the standard deviation s add
    s/√n with n - 1 degrees of freedom (JCGM 100 4.2.3). A standard uncertainty that is stated for the reading takes
    the place of the instrument's accuracy and resolution, not of its offset nor of the repeats.

    Args:
        values: one value, or repeats of it, in the unit read.
        instrument: what it was read on; None where that is not known.
        key: the identity of this reading; readings with different keys are independent but for a shared instrument.
        standard_uncertainty: one that somebody stated for this reading, in the unit read; zero is as good as none.

    Returns:
        The plain value where nothing is known of its uncertainty. Zero counts as unknown: no instrument is free of
        error, and repeats that all agree only show that the display is coarse (JCGM 100 F.2.2.1).

    Raises:
        ValueError: there are no values.
    """
    if not values:
        raise ValueError("a reading has at least one value")
    count = len(values)
    mean = values[0] if count == 1 else sum(values, Fraction(0)) / count
    value = mean if instrument is None or not instrument.offset else mean - instrument.offset
    parts: dict[Influence, float] = {}
    if standard_uncertainty:
        parts[Influence(f"stated:{key}", f"stated uncertainty of {key}")] = standard_uncertainty
    elif instrument is not None:
        accuracy = _accuracy(value, instrument)
        if accuracy:
            parts[_accuracy_of(instrument.name, instrument.described_in)] = accuracy
        if instrument.resolution is not None and _above_zero(instrument.resolution):
            # Once for the mean, not divided by √n: repeats on a coarse display show the same rounded figure, so
            # averaging them takes nothing off (JCGM 100 F.2.2.1 takes the repeats as not independent of the step).
            parts[_resolution_of(instrument.name, key)] = to_float(instrument.resolution) / _STEP
    if count > 1:
        variance = sum(((repeat - mean) ** 2 for repeat in values), Fraction(0)) / (count * (count - 1))
        if variance:
            parts[Influence(f"repeats:{key}", f"scatter of {key}", count - 1.0)] = math.sqrt(to_float(variance))
    return Measured(value, parts) if parts else value


def most_off(value: float, instrument: Instrument) -> float | None:
    """How far off one reading is at most, in plain floats: its expanded uncertainty, or a little more.

    For a quick look, which decides whether anything exact is worth computing. None where the instrument says nothing of its
    error, or has an offset.
    """
    if instrument.offset is not None:
        return None
    half_width = _width(instrument.accuracy) + abs(value) * _width(instrument.accuracy_percent) / 100.0
    # The sum of both parts is never less than the root of their squares; what is added is more than floats leave over.
    reach = 2.0 * (half_width / _RECTANGLE + _width(instrument.resolution) / _STEP)
    return reach * 1.001 + abs(value) * 1e-9 if reach > 0 else None


def _width(size: Fraction | None) -> float:
    return to_float(size) if size is not None and _above_zero(size) else 0.0


def _above_zero(width: Fraction | None) -> bool:
    # A fraction's numerator has its sign; to compare it with a number takes ten times as long.
    return width is not None and width.numerator > 0


@lru_cache(maxsize=256)
def _accuracy_of(name: str, described_in: str) -> Influence:
    return Influence(f"accuracy:{name}:{described_in}", f"accuracy of {name}", is_common=True)


@lru_cache(maxsize=1024)
def _resolution_of(name: str, key: str) -> Influence:
    return Influence(f"resolution:{key}", f"resolution of {name} in {key}")


def _accuracy(value: Fraction, instrument: Instrument) -> float:
    """The shared contribution, in the unit read, with the sign by which it moves this reading.

    Both parts of "± (0.5 % + 2 digits)" may be at their worst together, so the half-widths add, as in the voltmeter
    of JCGM 100 4.3.7. An error of scale turns round with the sign of the reading, a shift does not; the contribution
    takes the sign of the stronger of the two, so that readings of one instrument rise and fall together.
    """
    scale, shift = to_float(value) * _width(instrument.accuracy_percent) / 100.0, _width(instrument.accuracy)
    return math.copysign(abs(scale) + shift, scale + shift) / _RECTANGLE
