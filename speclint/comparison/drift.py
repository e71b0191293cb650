"""When a trend that is shown meets a limit that it goes towards."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Final

from speclint.comparison.trend import FittedLine, Trend, days_of
from speclint.limits.decisions import Limits
from speclint.readings.exact import exact

FARTHEST_DAYS: Final = 730
"""No line is drawn further into the future than this: a motor does not last so long unchanged."""


@dataclass(frozen=True, slots=True)
class TrendLimit:
    """A limit on a followed quantity, in its unit and at the trend's conditions; `label` names rule and entry."""

    name: str
    limits: Limits
    label: str


@dataclass(frozen=True, slots=True)
class LimitCrossing:
    """When a trend that is shown meets a limit it goes towards: the day of the line, and of its slope plus or minus U.

    `latest` is None where the flatter slope does not meet it within two years. `passed` is set where the line has met
    it already.
    """

    trend: Trend
    bound: TrendLimit
    limit: Fraction
    on: date
    earliest: date
    latest: date | None
    passed: bool


def crossings_of(trends: Sequence[Trend], bounds: Sequence[TrendLimit]) -> tuple[LimitCrossing, ...]:
    """Where the trends that still count drift towards a limit; only slopes that are shown count."""
    return tuple(
        crossing
        for trend in trends
        if trend.until is None and trend.line is not None and trend.line.shown
        for bound in bounds
        if bound.name == trend.quantity.name and (crossing := _meeting(trend, trend.line, bound)) is not None
    )


def _meeting(trend: Trend, line: FittedLine, bound: TrendLimit) -> LimitCrossing | None:
    limit = bound.limits.high if line.slope > 0 else bound.limits.low
    if limit is None:
        return None
    last = trend.points[-1]
    start = days_of(trend.points[0].run.record.when)
    days = line.middle_day + (limit - line.middle) / line.slope
    if days - last.day > FARTHEST_DAYS:
        return None
    steeper, flatter = (
        abs(line.slope) + exact(line.slope_uncertainty),
        abs(line.slope) - exact(line.slope_uncertainty),
    )
    way = abs(limit - line.middle)
    sides = [line.middle_day + way / steeper, line.middle_day + way / flatter if flatter > 0 else None]
    if days < line.middle_day:
        # The line met it before most of the runs: the steeper it is, the later that was.
        sides = [line.middle_day - way / flatter, line.middle_day - way / steeper] if flatter > 0 else [days, days]
    return LimitCrossing(
        trend,
        bound,
        limit,
        _date(start + days),
        _date(start + (sides[0] if sides[0] is not None else days)),
        None if sides[1] is None or sides[1] - last.day > FARTHEST_DAYS else _date(start + sides[1]),
        passed=days <= last.day,
    )


def _date(ordinal: Fraction) -> date:
    return date.fromordinal(min(max(1, math.floor(ordinal)), date.max.toordinal()))
