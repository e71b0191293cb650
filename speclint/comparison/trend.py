"""One motor over time: a line through its bench runs, how sure its slope is, and when it would meet a limit.

The line is a weighted least-squares fit (JCGM 100 H.3 for its use with readings of one instrument). What is new in
every run, its resolution, repeats and temperatures, sets the weights and the uncertainty of the slope; where the runs
scatter further about the line than that, the scatter counts instead. Either way the slope's factor is Student's for n − 2
degrees of freedom, so that three runs show hardly anything. An instrument's own error is common to its runs and cancels
but for the share that goes with the value.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Final

from speclint.comparison.common_conditions import Conditions, common_conditions, common_values_of
from speclint.comparison.compared import COMPARED_BY_NAME, CommonValue, ComparedQuantity
from speclint.comparison.runs import ComparedRun, ended_by
from speclint.comparison.uncertainty import coverage_factor, is_common
from speclint.models.motors import Motor, Rebuild
from speclint.moments import Moment, day_text
from speclint.plain import counted
from speclint.readings.exact import exact, to_float
from speclint.readings.measured import Measured, Number, value_of

FOLLOWED: Final = ("winding_mean_mohm", "kv_rpm_per_v", "current_a")
"""The quantities that age."""

LEAST_RUNS: Final = 3
"""Fewer runs than this have no scatter about a line."""

MONTH_DAYS: Final = 30
"""The month of a slope per month."""


@dataclass(frozen=True, slots=True)
class Point:
    """One run on a trend: days from its first run, and the value."""

    run: ComparedRun
    day: Fraction
    value: Number


@dataclass(frozen=True, slots=True)
class FittedLine:
    """A fitted line.

    Attributes:
        slope: per day, in the quantity's unit.
        slope_uncertainty: expanded uncertainty of the slope.
        middle_day: weighted mean of the days.
        middle: height of the line there.
        scatter: standard deviation of the runs about the line, with n − 2 degrees of freedom.
        shown: the slope is larger than its uncertainty.
    """

    slope: Fraction
    slope_uncertainty: float
    middle_day: Fraction
    middle: Fraction
    scatter: float
    shown: bool

    def at(self, day: Fraction) -> Fraction:
        """Height of the line on a day."""
        return self.middle + self.slope * (day - self.middle_day)


class Direction(Enum):
    """What is shown of the slope of a trend."""

    RISING = "rising"
    FALLING = "falling"
    NONE = "no trend shown"
    CANNOT_TELL = "can't tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """One quantity over the runs between two rebuilds that end it; `line` is None where `reason` says why.

    `since` is the rebuild that it begins after, `until` the one that ended it; None for the motor's first runs and for
    those that still count.
    """

    quantity: ComparedQuantity
    points: tuple[Point, ...]
    line: FittedLine | None
    reason: str
    since: Rebuild | None
    until: Rebuild | None

    @property
    def is_shown(self) -> bool:
        """Whether the runs show that it rises or falls."""
        return self.line is not None and self.line.shown

    @property
    def direction(self) -> Direction:
        """What is shown of the slope."""
        if self.line is None:
            return Direction.CANNOT_TELL
        if not self.line.shown:
            return Direction.NONE
        return Direction.RISING if self.line.slope > 0 else Direction.FALLING


def trends_of(motor: Motor, runs: Sequence[ComparedRun]) -> tuple[Trend, ...]:
    """Every followed quantity over time, each broken at the rebuilds that end it; the oldest stretch first."""
    trends = []
    for name in FOLLOWED:
        quantity = COMPARED_BY_NAME[name]
        ending = [rebuild for rebuild in reversed(motor.rebuilds) if quantity.family in ended_by(rebuild)]
        stretches: dict[int, list[ComparedRun]] = {}
        for run in runs:
            stretches.setdefault(run.era(quantity.family), []).append(run)
        for era, members in sorted(stretches.items()):
            since = ending[era - 1] if era else None
            until = ending[era] if era < len(ending) else None
            trends.append(_trend(quantity, members, since, until))
    return tuple(trends)


def _trend(quantity: ComparedQuantity, runs: list[ComparedRun], since: Rebuild | None, until: Rebuild | None) -> Trend:
    conditions = _conditions(quantity, runs)
    levels = [(run, common_values_of(run, conditions).by_name[quantity.name]) for run in runs]
    measured = [(run, level) for run, level in levels if level.number is not None]
    start = days_of(measured[0][0].record.when) if measured else Fraction(0)
    points = tuple(
        Point(run, days_of(run.record.when) - start, level.number)
        for run, level in measured
        if level.number is not None
    )
    line = fit(points) if len(points) >= LEAST_RUNS else None
    reason = ""
    if len(points) < LEAST_RUNS:
        reason = f"{counted(len(points), 'run')} with this reading; a trend takes {LEAST_RUNS}"
    elif line is None:
        reason = "all runs are of one moment: give them different days, or times of day"
    else:
        reason = _imprecise_instrument([level for _, level in measured])
    return Trend(
        quantity=quantity, points=points, line=None if reason else line, reason=reason, since=since, until=until
    )


def _conditions(quantity: ComparedQuantity, runs: list[ComparedRun]) -> Conditions:
    if quantity.name == "winding_mean_mohm":
        return Conditions(None, drop_known=False)
    stating = [run for run in runs if run.readings.value(("supply_v",)) is not None]
    return common_conditions(stating or runs)


def _imprecise_instrument(levels: list[CommonValue]) -> str:
    """Why runs on several instruments cannot be put on one line; "" where they can."""
    identities = {source.identity for level in levels for source in level.sources[:1]}
    if len(identities) > 1:
        for level in levels:
            imprecise = next((source for source in level.sources[:1] if not source.accuracy_known), None)
            if imprecise is not None:
                name = imprecise.instrument or "one that is not named"
                return f"the runs were read on different instruments, and the accuracy of {name} is not stated"
    return ""


def days_of(when: Moment) -> Fraction:
    """Days since the beginning of the calendar, with the part of the day that a time of day makes."""
    seconds = 0 if when.at is None else when.at.hour * 3600 + when.at.minute * 60 + when.at.second
    return when.day.toordinal() + Fraction(seconds, 86400)


def fit(points: Sequence[Point]) -> FittedLine | None:
    """The weighted least-squares line through points; None where they all lie on one day.

    Raises:
        ValueError: there are fewer than three points.
    """
    if len(points) < LEAST_RUNS:
        raise ValueError("a line with a scatter takes three points")
    own_uncertainties = [_individual_uncertainty(point.value) for point in points]
    weighted = all(uncertainty > 0 for uncertainty in own_uncertainties)
    weights = [_decimal(1 / uncertainty**2) if weighted else Fraction(1) for uncertainty in own_uncertainties]
    numbers = [_decimal(to_float(value_of(point.value))) for point in points]
    total = sum(weights, Fraction(0))
    middle_day = _sum_of_products(weights, [point.day for point in points]) / total
    middle = _sum_of_products(weights, numbers) / total
    days = [point.day - middle_day for point in points]
    spread = _sum_of_products(weights, [day**2 for day in days])
    if not spread:
        return None
    shares = [weight * day / spread for weight, day in zip(weights, days, strict=True)]
    slope = _sum_of_products(shares, numbers)
    residuals = [number - middle - slope * day for number, day in zip(numbers, days, strict=True)]
    freedom = len(points) - 2
    chi_square = to_float(_sum_of_products(weights, [residual**2 for residual in residuals])) / freedom
    random = math.sqrt((max(1.0, chi_square) if weighted else chi_square) / to_float(spread))
    common = _shared_uncertainty(points, shares)
    expanded_uncertainty = math.hypot(coverage_factor(freedom) * random, 2.0 * common)
    scatter = math.sqrt(to_float(_sum_of_products(residuals, residuals)) / freedom)
    return FittedLine(
        slope, expanded_uncertainty, middle_day, middle, scatter, abs(to_float(slope)) > expanded_uncertainty
    )


def _sum_of_products(first: Sequence[Fraction], second: Sequence[Fraction]) -> Fraction:
    return sum((left * right for left, right in zip(first, second, strict=True)), Fraction(0))


def _decimal(number: float) -> Fraction:
    """A number to twelve digits: sums of exact quotients would have more digits with every run."""
    return exact(float(f"{number:.12g}"))


def _individual_uncertainty(value: Number) -> float:
    """What makes this value uncertain and no other: the standard uncertainty without what runs have in common."""
    if not isinstance(value, Measured):
        return 0.0
    return math.hypot(*(part for influence, part in value.contributions.items() if not _is_shared(influence.id)))


def _shared_uncertainty(points: Sequence[Point], shares: Sequence[Fraction]) -> float:
    """What is left in the slope of the influences that runs share."""
    left: dict[str, float] = {}
    for point, share in zip(points, shares, strict=True):
        if isinstance(point.value, Measured):
            for influence, part in point.value.contributions.items():
                if _is_shared(influence.id):
                    left[influence.id] = left.get(influence.id, 0.0) + part * to_float(share)
    return math.hypot(*left.values())


def _is_shared(influence_id: str) -> bool:
    return is_common(influence_id) or influence_id.startswith(("magnet coefficient", "magnet lag", "friction share"))


def stretch_text(trend: Trend) -> str:
    """Which runs a trend is of, in words."""
    start = "the first run" if trend.since is None else f"the rebuild of {day_text(trend.since.when.day)}"
    return f"since {start}" if trend.until is None else f"from {start} to that of {day_text(trend.until.when.day)}"
