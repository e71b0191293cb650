"""Two bench runs as text: the answer, one table, and what it means; `--full` tells how it was compared."""

from collections.abc import Iterator
from functools import partial
from typing import Final

from speclint.comparison.compared import COMPARED
from speclint.comparison.differences import Comparison, Conclusion, QuantityChange
from speclint.comparison.drift import LimitCrossing
from speclint.comparison.equivalent import EntryVerdict, Equivalent, PinionChoice
from speclint.comparison.findings import CAUTIONS, ComparisonFindings, MotorFindings
from speclint.comparison.trend import Trend, stretch_text
from speclint.moments import day_text
from speclint.plain import counted, listed
from speclint.readings.digits import plain_text
from speclint.readings.exact import decimal_text, exact
from speclint.readings.measured import value_of
from speclint.reports import LAST_WORD, Order, Paper, Whole
from speclint.reports.comparison.choice import ranking_blocks
from speclint.reports.comparison.layout import columns, heading, section
from speclint.reports.comparison.rulesets import ruleset_blocks
from speclint.reports.comparison.setups import setup_blocks
from speclint.reports.comparison.wording import (
    change_text,
    common_text,
    percent_text,
    places_of,
    slope_text,
    united,
    value_text,
)
from speclint.reports.layout import Layout, Line, Span, Style
from speclint.rules.checks import Verdict

CARE: Final = (
    "Care: the maker's manual comes first. Clamp the motor, take the pinion off, stay below the maker's no-load voltage, and let"
    " a hot can cool."
)


def render(findings: ComparisonFindings, paper: Paper, *, is_full: bool = False) -> str:
    """The report as text: the answer, then a part for each thing that there is to say."""
    layout = Layout(paper)
    blocks: list[list[Line]] = []
    if findings.motor is not None:
        blocks += _motor(findings.motor, layout, is_full=is_full)
    if findings.ranking is not None:
        blocks += ranking_blocks(findings.ranking, layout, is_full=is_full)
    if findings.setups is not None:
        blocks += setup_blocks(findings.setups, layout)
    if findings.rulesets is not None:
        blocks += ruleset_blocks(findings.rulesets, layout)
    if findings.notes:
        blocks.append(section("Notes", findings.notes, layout))
    if findings.problems:
        blocks.append(
            section(
                "Problems with files", [f"{problem.place}: {problem.message}" for problem in findings.problems], layout
            )
        )
    if findings.motor is not None or findings.ranking is not None:
        if is_full:
            blocks.append(section("Care", [text for _, text in CAUTIONS], layout))
        else:
            blocks.append(layout.wrapped(f"{CARE} More: --full, --report json."))
    blocks.append(layout.wrapped(LAST_WORD))
    return layout.parts(blocks)


def begin(order: Order) -> Whole[ComparisonFindings]:
    """The report."""
    return Whole(partial(render, is_full=order.asked.full), order)


# --- one motor


def _motor(findings: MotorFindings, layout: Layout, *, is_full: bool) -> Iterator[list[Line]]:
    comparison = findings.comparison
    if comparison is not None:
        yield layout.wrapped(Span(findings.answer, Style.DO), "", "  ")
        yield [*_heading(findings, comparison, layout), *_table(comparison, layout)]
        yield from _told(findings, comparison, layout)
        if is_full:
            yield section("How it was compared", list(_how(findings, comparison)), layout)
    else:
        yield [
            *heading(findings.name, layout),
            *layout.wrapped(findings.file, "  "),
            *layout.wrapped(findings.trouble, "  "),
        ]
    trends = [trend for trend in findings.trends if is_full or trend.is_shown or comparison is None]
    if trends:
        yield section("Over time", [text for trend in trends for text in _trend(trend)], layout)
    if findings.crossings:
        yield section("Drifts towards a limit", [_crossing(crossing) for crossing in findings.crossings], layout)


def _heading(findings: MotorFindings, comparison: Comparison, layout: Layout) -> list[Line]:
    first, second = comparison.first, comparison.second
    return layout.wrapped(
        f"{findings.name}, {findings.file}: run {first.number} of {first.title} and run {second.number} of {second.title},"
        f" {comparison.why}",
        "",
        "  ",
    )


def _told(findings: MotorFindings, comparison: Comparison, layout: Layout) -> Iterator[list[Line]]:
    """What it means, what to look into, and what the gearing that follows is legal by."""
    warnings = [meaning.message for meaning in findings.interpretations if meaning.warns]
    if warnings:
        yield section("Look into this", warnings, layout)
    meanings = [meaning.message for meaning in findings.interpretations if not meaning.warns]
    if meanings:
        yield section("What it means", meanings, layout)
    equivalent = findings.equivalent
    if equivalent and comparison.change("kv_rpm_per_v").sign != 0:
        lines = list(_gearing(equivalent)) if isinstance(equivalent, Equivalent) else [equivalent]
        yield section("Gearing", lines, layout)
    reasons = list(_reasons(comparison))
    if reasons:
        yield section("What cannot be told", reasons, layout)
    if comparison.assumptions:
        yield section("Assumed", comparison.assumptions, layout)


def _reasons(comparison: Comparison) -> Iterator[str]:
    reasons: dict[str, list[str]] = {}
    for change in comparison.changes:
        if change.conclusion is Conclusion.CANNOT_TELL:
            reasons.setdefault(change.reason, []).append(_as_read(change))
    for reason, names in reasons.items():
        yield f"{', '.join(names)}: {reason}"


def _as_read(change: QuantityChange) -> str:
    """A quantity of which nothing can be told, with the difference as it was read."""
    percent = percent_text(change)
    return (
        f"{change.quantity.title} ({percent} as read)"
        if percent and value_of(change.difference or exact(0))
        else change.quantity.title
    )


def _gearing(equivalent: Equivalent) -> Iterator[str]:
    uncertainty = equivalent.expanded_uncertainty if equivalent.changed else None
    places = 3 if uncertainty is None else max(2, min(4, places_of(COMPARED[1], uncertainty)))
    ratio = decimal_text(value_of(equivalent.ratio), places)
    if uncertainty is not None:
        ratio += f" ± {decimal_text(exact(uncertainty), places)}"
    sure = "" if equivalent.changed else ", if the speeds as read are true"
    yield (
        f"{equivalent.setup} ({equivalent.file}): {decimal_text(equivalent.old_ratio, 3)} with {equivalent.fitted} on"
        f" {equivalent.spur_teeth} before; a final drive ratio of {ratio} keeps the top speed{sure}"
    )
    closest, legal = equivalent.closest, equivalent.closest_legal
    yield f"{_gear(closest)}: {_verdicts(closest)}"
    if legal is not None and legal is not closest:
        yield f"{_gear(legal)}: {_verdicts(legal)}"
    elif legal is None and equivalent.judged:
        box = "of the parts box" if equivalent.from_box else "of any"
        yield f"no pinion {box} is legal in every entry: `speclint check {equivalent.file}` looks for other changes"
    yield "only the rules on the gearing were asked; `speclint check` judges the whole car"


def _gear(gear: PinionChoice) -> str:
    off = decimal_text(abs(gear.off_percent), 1)
    way = "shorter" if gear.off_percent > 0 else "taller"
    distance = f", {off} % {way}" if off.strip("0.") else ""
    return f"{gear.pinion_teeth} teeth, {decimal_text(gear.ratio, 3)}{distance}"


def _verdicts(gear: PinionChoice) -> str:
    return (
        "; ".join(f"{judged.label}: {_verdict(judged)}" for judged in gear.judged)
        or "not judged, as the car has no entry"
    )


def _verdict(judged: EntryVerdict) -> str:
    if judged.verdict is Verdict.LEGAL and not judged.message:
        return "no rule on the gearing stands against it"
    return f"{judged.verdict.value}, {judged.message}" if judged.message else judged.verdict.value


_BEYOND: Final = {
    Conclusion.CHANGED: "yes",
    Conclusion.NO_CHANGE: "no",
    Conclusion.CANNOT_TELL: "can't tell",
}


def _table(comparison: Comparison, layout: Layout) -> list[Line]:
    heads = ("", "before", "after", "change", "beyond the bench's scatter?")
    rows = [
        (
            change.quantity.title,
            value_text(change.quantity, change.first, change.expanded_uncertainty),
            value_text(change.quantity, change.second, change.expanded_uncertainty),
            change_text(change),
            _BEYOND[change.conclusion],
        )
        for change in comparison.changes
        if change.first is not None or change.second is not None
    ]
    return columns(heads, rows, layout)


def _how(findings: MotorFindings, comparison: Comparison) -> Iterator[str]:
    supply = comparison.conditions.supply_v
    yield common_text(supply)
    if supply is not None and not comparison.conditions.drop_known:
        yield "speed per volt is as read but for the magnet's temperature: current or winding of a run is not known"
    yield (
        "the ± of a change is the scatter of the bench by itself: of twenty tables of a motor that did not change, one shows a"
        " change somewhere; any other ± is how far off that one value may be (k = 2, of few runs more)"
    )
    yield from _same_bench(comparison)
    yield from comparison.notes
    sources = dict.fromkeys(meaning.source for meaning in findings.interpretations)
    if sources:
        yield f"what it means is by {'; '.join(sources)}"
    if findings.instruments_from:
        yield f"instruments: {', '.join(findings.instruments_from)}"


def _same_bench(comparison: Comparison) -> Iterator[str]:
    names = sorted({name for change in comparison.changes for name in change.shares})
    if not names:
        return
    yield f"both runs were read on {listed(names)}, whose own error is in both and cancels"


# --- over time


def _trend(trend: Trend) -> Iterator[str]:
    name = f"{trend.quantity.title}, {stretch_text(trend)}"
    line = trend.line
    if line is None:
        yield f"{name}: {trend.direction.value}: {trend.reason}"
        return
    count = len(trend.points)
    first, last = trend.points[0].run, trend.points[-1].run
    few = "; three runs show only a steep trend, more runs a flatter one" if count == 3 else ""
    yield f"{name}: {trend.direction.value}, {slope_text(trend, line)} over {count} runs from {first.title} to {last.title}{few}"


def _crossing(crossing: LimitCrossing) -> str:
    quantity = crossing.trend.quantity
    limit = united(
        plain_text(crossing.limit) if len(plain_text(crossing.limit)) < 8 else decimal_text(crossing.limit, 2),
        quantity.unit,
    )
    if crossing.passed:
        return f"{quantity.title} has met {limit}, the limit by {crossing.bound.label}: measure again, and have it measured officially"
    latest = f"{day_text(crossing.latest)}" if crossing.latest is not None else "more than two years on"
    # Told from the last run, as nobody knows the motor after it: the day may be past when this is read.
    days = (crossing.on - crossing.trend.points[-1].run.record.when.day).days
    return (
        f"{quantity.title} was {crossing.trend.direction.value} at the last run and meets {limit}, the limit by"
        f" {crossing.bound.label}, {counted(days, 'day')} after it if it goes on like this, on about {day_text(crossing.on)}"
        f" (between {day_text(crossing.earliest)} and {latest}); once that is past, measure again"
    )
