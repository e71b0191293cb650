"""The bench sheet: in words what changed, what that means and what to do, then the numbers behind it."""

from collections.abc import Iterator

from speclint.comparison.compared import COMPARED
from speclint.comparison.differences import Comparison, Conclusion, QuantityChange
from speclint.comparison.drift import LimitCrossing
from speclint.comparison.equivalent import EntryVerdict, Equivalent, PinionChoice
from speclint.comparison.findings import CAUTIONS, ComparisonFindings, MotorFindings
from speclint.comparison.trend import Trend, stretch_text
from speclint.moments import day_text
from speclint.plain import in_ascii, one_line
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.readings.digits import plain_text, with_unit
from speclint.readings.exact import decimal_text, exact
from speclint.readings.measured import value_of
from speclint.reports import LAST_WORD, Order, Paper, Whole
from speclint.reports.comparison.choice import ranking_blocks
from speclint.reports.comparison.layout import columns, section, wrapped
from speclint.reports.comparison.wording import change_text, percent_text, places_of, slope_text, united, value_text
from speclint.rules.checks import Verdict


def render(findings: ComparisonFindings, paper: Paper) -> str:
    """The sheet as text; words carry everything, so there is no colour on it."""
    blocks: list[list[str]] = []
    if findings.motor is not None:
        blocks += _motor(findings.motor, paper)
    if findings.ranking is not None:
        blocks += ranking_blocks(findings.ranking, paper)
    if findings.notes:
        blocks.append(section("Notes", findings.notes, paper))
    if findings.problems:
        blocks.append(
            section("Problems with files", [f"{one.place}: {one.message}" for one in findings.problems], paper)
        )
    if findings.motor is not None or findings.ranking is not None:
        blocks.append(section("Care", [text for _, text in CAUTIONS], paper))
    blocks.append(wrapped(LAST_WORD, "", paper))
    text = "\n\n".join("\n".join(block) for block in blocks) + "\n"
    return in_ascii(text) if paper.ascii_only else text


def begin(order: Order) -> Whole[ComparisonFindings]:
    """The report."""
    return Whole(render, order)


# --- one motor


def _motor(found: MotorFindings, paper: Paper) -> Iterator[list[str]]:
    comparison = found.comparison
    if comparison is not None:
        yield _heading(found, comparison, paper)
        yield section("What changed", _changes(comparison), paper)
        yield section(
            "What it means", [_meant(one.message, one.source, warns=one.warns) for one in found.interpretations], paper
        )
        yield section("What to do", list(_to_do(found, comparison)), paper)
        yield _table(comparison, paper)
        yield section("How it was compared", list(_how(found, comparison)), paper)
    else:
        yield [one_line(found.name), *wrapped(found.file, "  ", paper), *wrapped(found.trouble, "  ", paper)]
    if found.trends:
        yield section("Over time", [text for trend in found.trends for text in _trend(trend)], paper)
    if found.crossings:
        yield section("Drifts towards a limit", [_meeting(one) for one in found.crossings], paper)


def _heading(found: MotorFindings, comparison: Comparison, paper: Paper) -> list[str]:
    first, second = comparison.first, comparison.second
    runs = f"{found.file}, bench runs {first.number} and {second.number}: {comparison.why}"
    lines = [*wrapped(f"{found.name}: {first.title} against {second.title}", "", paper), *wrapped(runs, "  ", paper)]
    for rebuild in comparison.rebuilds:
        did = ", ".join(REBUILDS_BY_KIND[kind].title for kind in rebuild.data["did"])
        note = f' ("{rebuild.data["note"]}")' if rebuild.data.get("note") else ""
        lines += wrapped(f"between them, {day_text(rebuild.when.day)}: {did}{note}", "  ", paper)
    return lines


def _changes(comparison: Comparison) -> list[str]:
    told: list[str] = []
    for change in comparison.changes:
        if change.conclusion is Conclusion.CHANGED:
            percent = percent_text(change)
            told.append(f"{change.quantity.title}: changed, {change_text(change)}{f' ({percent})' if percent else ''}")
    alike = [change.quantity.title for change in comparison.changes if change.conclusion is Conclusion.NO_CHANGE]
    if alike:
        told.append(f"no change shown: {', '.join(alike)}")
    reasons: dict[str, list[str]] = {}
    for change in comparison.changes:
        if change.conclusion is Conclusion.CANNOT_TELL:
            reasons.setdefault(change.reason, []).append(_as_read(change))
    told += [f"can't tell: {', '.join(names)}. {reason[:1].upper()}{reason[1:]}" for reason, names in reasons.items()]
    return told


def _as_read(change: QuantityChange) -> str:
    """A quantity of which nothing can be told, with the difference as it was read."""
    percent = percent_text(change)
    return (
        f"{change.quantity.title} ({percent} as read)"
        if percent and value_of(change.difference or exact(0))
        else change.quantity.title
    )


def _meant(message: str, source: str, *, warns: bool) -> str:
    return f"{'look into this: ' if warns else ''}{message} ({source})"


def _to_do(found: MotorFindings, comparison: Comparison) -> Iterator[str]:
    if isinstance(found.equivalent, Equivalent):
        yield from _gearing(found.equivalent)
    elif found.equivalent:
        yield found.equivalent
    doubts = [
        change
        for change in comparison.changes
        if change.conclusion is Conclusion.CANNOT_TELL
        and change.expanded_uncertainty is None
        and change.difference is not None
    ]
    if doubts:
        yield (
            "name the instrument of each reading (`instrument: NAME` in the run, or with the value) and describe it under"
            " `instruments:` with its accuracy and resolution"
        )
    yield (
        "before a difference costs money, measure both states once more: what is said here covers the instruments, not how"
        " the motor was clamped, run in or lubricated. Repeated readings (`readings: [2449, 2452, 2450]`) cover that, too"
    )


def _gearing(found: Equivalent) -> Iterator[str]:
    expanded_uncertainty = found.expanded_uncertainty if found.changed else None
    places = 3 if expanded_uncertainty is None else max(2, min(4, places_of(COMPARED[1], expanded_uncertainty)))
    ratio = decimal_text(value_of(found.ratio), places)
    if expanded_uncertainty is not None:
        ratio += f" ± {decimal_text(exact(expanded_uncertainty), places)}"
    old = decimal_text(found.old_ratio, 3)
    why = (
        "keeps the car's top speed"
        if found.changed
        else "would keep the car's top speed if the speeds as read are true"
    )
    yield (
        f"{found.setup} ({found.file}): a final drive ratio of {ratio} {why}; it was {old} with {found.spur_teeth}/{found.fitted},"
        f" taken as the gearing before"
    )
    for judged in found.judged:
        yield f"that ratio by {judged.label}: {_verdict(judged)}"
    box = "of the parts box" if found.from_box else "of any"
    closest = found.closest
    kept = " (the one that is fitted)" if closest.pinion_teeth == found.fitted else ""
    yield f"the pinion {box} that comes closest is {_gear(closest)}{kept}: {_verdicts(closest)}"
    legal = found.closest_legal
    if legal is None and found.judged:
        yield f"no pinion {box} is legal in every entry: `speclint check {found.file}` looks for other changes"
    elif legal is not None and legal is not closest:
        yield f"the closest pinion that every entry takes is {_gear(legal)}"
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


def _table(comparison: Comparison, paper: Paper) -> list[str]:
    heads = ("", f"run {comparison.first.number}", f"run {comparison.second.number}", "change ± scatter", "")
    rows = [
        (
            change.quantity.title,
            value_text(change.quantity, change.first, change.expanded_uncertainty),
            value_text(change.quantity, change.second, change.expanded_uncertainty),
            change_text(change),
            change.conclusion.value,
        )
        for change in comparison.changes
        if change.first is not None or change.second is not None
    ]
    return ["The numbers, at common conditions", *columns(heads, rows, paper)]


def _how(found: MotorFindings, comparison: Comparison) -> Iterator[str]:
    supply = comparison.conditions.supply_v
    at = f"{with_unit(decimal_text(supply, 2), 'v')} and " if supply is not None else ""
    yield f"taken to {at}20 °C. " + "; ".join(f"{one.title}: {one.model}" for one in COMPARED[:4])
    if supply is not None and not comparison.conditions.drop_known:
        yield "speed per volt is as read but for the magnet's temperature: current or winding of a run is not known"
    yield (
        "a change is shown where it is larger than the scatter of the bench: of twenty tables of a motor that did not change,"
        " one shows a change somewhere"
    )
    yield from comparison.assumptions
    yield from _same_bench(comparison)
    yield from comparison.notes
    if found.instruments_from:
        yield f"instruments: {', '.join(found.instruments_from)}"


def _same_bench(comparison: Comparison) -> Iterator[str]:
    names = sorted({name for change in comparison.changes for name in change.shares})
    if not names:
        return
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    yield f"both runs were read on {listed}, whose own error is in both and cancels"


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


def _meeting(found: LimitCrossing) -> str:
    quantity = found.trend.quantity
    limit = united(
        plain_text(found.limit) if len(plain_text(found.limit)) < 8 else decimal_text(found.limit, 2), quantity.unit
    )
    if found.passed:
        return f"{quantity.title} has met {limit}, the limit by {found.bound.label}: measure again, and have it measured officially"
    latest = f"{day_text(found.latest)}" if found.latest is not None else "more than two years on"
    return (
        f"{quantity.title} is {found.trend.direction.value} and meets {limit}, the limit by {found.bound.label}, on about"
        f" {day_text(found.on)} if it goes on like this (between {day_text(found.earliest)} and {latest})"
    )
