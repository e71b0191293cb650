"""A motor's life on a page: its bench runs and rebuilds over time, with the limits of the entry's class drawn in."""

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.comparison.trend import FOLLOWED
from speclint.findings import EntryResult
from speclint.forms.size import Size
from speclint.models.bench import BenchRun, FactorySheet, Measurement
from speclint.models.motors import Motor, Rebuild
from speclint.moments import Moment, day_text
from speclint.pages.gauge import Interval
from speclint.pages.time_chart import TimeChart, TimeMark, TimePoint
from speclint.quantities.bench import BENCH
from speclint.quantities.counting import why_stale
from speclint.quantities.model import Quantity
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.readings.digits import UNITS, plain_text, reading_text, supported_places, with_unit
from speclint.readings.exact import decimal_text, decimals_of, to_float
from speclint.readings.measured import Measured, Number, value_of
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import asks

_MOST_CHARTS: Final = 6
_RUN_OF_A_DAY: Final = 0.4
_REBUILD_OF_A_DAY: Final = 0.6
"""Parts of a day: a run without a time counts as before the rebuild of its day."""


class LifeRow(NamedTuple):
    """A record in the table: its day, what it is, and what it says of each quantity that has a chart."""

    day: str
    record: str
    values: tuple[str, ...]


class MotorLife(NamedTuple):
    """A motor over time."""

    name: str
    facts: tuple[str, ...]
    charts: tuple[TimeChart, ...]
    columns: tuple[str, ...]
    rows: tuple[LifeRow, ...]


class _Series(NamedTuple):
    """What the records show of a quantity: those that state it, in their order."""

    quantity: Quantity
    readings: tuple[tuple[Measurement, Number], ...]

    def text(self, record: Measurement | Rebuild) -> str:
        """What a record shows, with its unit; "" where it does not state it."""
        number = next((number for shown_by, number in self.readings if shown_by is record), None)
        if isinstance(number, Fraction) and self._places is not None:
            return with_unit(
                decimal_text(number, min(self._places, decimals_of(number) or self._places)), self.quantity.unit
            )
        return "" if number is None else reading_text(number, self.quantity.unit)

    @property
    def _places(self) -> int | None:
        """The decimals that the best of the readings support, which a reading without ± is shown to; None without one."""
        reaches = [reach for _, number in self.readings if (reach := _reach(number)) > 0]
        return max(0, supported_places(min(reaches))) if reaches else None


def life_of(result: EntryResult) -> MotorLife | None:
    """The life of the entry's motor up to its day; None where nothing is on record."""
    motor = result.facts.car.motor
    if motor is None:
        return None
    runs = tuple(reversed(motor.bench_runs_until(result.on)))
    rebuilds = tuple(reversed(motor.rebuilds_until(result.on)))
    sheet = (motor.factory_sheet,) if motor.factory_sheet is not None else ()
    if not (runs or rebuilds or sheet):
        return None
    records = (*sheet, *runs)
    series = [_series(quantity, records, motor, result) for quantity in _charted(result.checks)]
    series = [line for line in series if line.readings]
    moments = [*(run.when for run in runs), *(rebuild.when for rebuild in rebuilds)]
    first = min(moments, key=lambda when: when.newest_first, default=None)
    span = None if first is None else (_ordinal(first, 0.0), result.on.toordinal() + 0.999)
    return MotorLife(
        name=motor.name or motor.document.file,
        facts=tuple(_facts(motor)),
        charts=()
        if span is None
        else tuple(
            _chart(line, motor, rebuilds, result, span)
            for line in series
            if len(line.readings) > 1 or _limits(line.quantity, result.checks)
        ),
        columns=tuple(line.quantity.title for line in series),
        rows=tuple(_rows(records, rebuilds, series)),
    )


def _charted(checks: Iterable[Check]) -> list[Quantity]:
    """What is read of the motor on the bench and limited by a rule of the class, then what ages."""
    limited = {test.quantity for check in checks for test in check.rule.tests if isinstance(test.limit, Size)}
    ordered = sorted(BENCH, key=lambda quantity: quantity.name not in limited)
    charted = [quantity for quantity in ordered if quantity.name in limited or quantity.name in FOLLOWED]
    return [quantity for quantity in charted if quantity.family][:_MOST_CHARTS]


def _series(quantity: Quantity, records: Sequence[Measurement], motor: Motor, result: EntryResult) -> _Series:
    """What each record shows of a quantity by itself, at the temperature at which the class reads it."""
    readings: list[tuple[Measurement, Number]] = []
    for record in records:
        runs = () if isinstance(record, FactorySheet) else (record,)
        alone = result.facts.car._replace(motor=motor._replace(bench_runs=runs, rebuilds=()))
        fact = result.facts.of(alone).fact(quantity.name)
        if fact.record is record and isinstance(fact.value, Number):
            readings.append((record, fact.value))
    return _Series(quantity, tuple(readings))


def _chart(
    series: _Series, motor: Motor, rebuilds: Sequence[Rebuild], result: EntryResult, span: tuple[float, float]
) -> TimeChart:
    quantity, points = series.quantity, []
    for i, (record, number) in enumerate(series.readings):
        _, *following = series.readings[i:]
        points.append(
            TimePoint(
                at=None if isinstance(record, FactorySheet) else _ordinal(record.when, _RUN_OF_A_DAY),
                value=to_float(value_of(number)),
                reach=_reach(number),
                is_joined=bool(following) and not _ended(motor, record, quantity, following[0][0].when.day),
            )
        )
    limits = _limits(quantity, result.checks)
    unit = UNITS[quantity.unit].sign.strip()
    return TimeChart(
        title=f"{quantity.title}{f', {unit}' if unit else ''}",
        span=span,
        points=tuple(points),
        allowed=limits,
        marks=tuple(
            TimeMark(_ordinal(rebuild.when, _REBUILD_OF_A_DAY), letter)
            for rebuild, letter in zip(rebuilds, _letters(), strict=False)
        ),
        text=_seen(series, result.checks),
    )


def _reach(number: Number) -> float:
    expanded = number.expanded() if isinstance(number, Measured) else 0.0
    return expanded if math.isfinite(expanded) else 0.0


def _ended(motor: Motor, record: Measurement, quantity: Quantity, on: date) -> bool:
    """Whether a rebuild came between that makes of the next reading another thing."""
    return bool(why_stale(motor, record, quantity.family, quantity.title, on))


def _limits(quantity: Quantity, checks: Iterable[Check]) -> tuple[Interval, ...]:
    """What the rules of the entry's day allow."""
    lows, highs = [], []
    for check in checks:
        limit = check.limit
        is_binding = check.verdict is not Verdict.NOT_APPLICABLE
        if is_binding and check.quantity == quantity.name and isinstance(limit, Size):
            lows += [limit.bounds.low] if limit.bounds.low is not None else []
            highs += [limit.bounds.high] if limit.bounds.high is not None else []
    if not (lows or highs):
        return ()
    return ((to_float(max(lows)) if lows else None, to_float(min(highs)) if highs else None),)


def _seen(series: _Series, checks: Iterable[Check]) -> str:
    """The chart in words."""
    (first, _), (last, _) = series.readings[0], series.readings[-1]
    words = f"{series.text(first)} by {_source(first)}"
    if last is not first:
        words += f", {series.text(last)} by {_source(last)}"
    asked_for = [asks(check) for check in checks if check.quantity == series.quantity.name]
    return f"{series.quantity.title}: {words}{f'; the rule asks {asked_for[0]}' if asked_for else ''}"


def _source(record: Measurement) -> str:
    return "the sheet" if isinstance(record, FactorySheet) else f"the run of {day_text(record.when.day)}"


def _facts(motor: Motor) -> Iterator[str]:
    """What a motor is told from others by."""
    if motor.turns is not None:
        yield f"{plain_text(motor.turns)} turns"
    for label, value in (("part", motor.part), ("serial", motor.serial)):
        if value is not None:
            yield f"{label} {value}"


def _rows(records: Sequence[Measurement], rebuilds: Sequence[Rebuild], series: Sequence[_Series]) -> Iterator[LifeRow]:
    """All that is on record, the oldest first; rebuilds with the letter that they have in the charts."""
    letters = dict(zip((rebuild.path for rebuild in rebuilds), _letters(), strict=False))
    dated: list[BenchRun | Rebuild] = [record for record in records if isinstance(record, BenchRun)]
    dated += rebuilds
    for sheet in records:
        if isinstance(sheet, FactorySheet):
            yield LifeRow("", "factory sheet", tuple(line.text(sheet) for line in series))
    for record in sorted(dated, key=_place_in_time):
        if isinstance(record, Rebuild):
            titles = " and ".join(REBUILDS_BY_KIND[kind].title for kind in record.did)
            text = f"{letters[record.path]}: {titles}{f' ({record.note})' if record.note else ''}"
        else:
            text = f"bench run{f', rotor {record.rotor}' if record.rotor else ''}"
        yield LifeRow(day_text(record.when.day), text, tuple(line.text(record) for line in series))


def _place_in_time(record: BenchRun | Rebuild) -> float:
    return _ordinal(record.when, _REBUILD_OF_A_DAY if isinstance(record, Rebuild) else _RUN_OF_A_DAY)


def _ordinal(when: Moment, part_of_day: float) -> float:
    at = when.at
    part = part_of_day if at is None else (at.hour * 60 + at.minute) / 1440
    return when.day.toordinal() + part


def _letters() -> Iterator[str]:
    """A to Z, then AA, AB and so on."""
    for count in itertools.count():
        yield (chr(64 + count // 26) if count >= 26 else "") + chr(65 + count % 26)
