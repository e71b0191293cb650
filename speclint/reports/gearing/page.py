"""The `html` report of a gearing: the start, temperature over ratio beside the pinions, and all figures folded away."""

from collections.abc import Iterator, Sequence
from typing import Any, Final, NamedTuple

from speclint.gearing.cautions import LAST_WORD
from speclint.gearing.figures import (
    CREDIBLE_C,
    can_text,
    current_band,
    degrees,
    degrees_band,
    lap_band,
    minutes_text,
    ratio_plain,
    ratio_text,
    rollout_text,
    top_text,
    whole_band,
)
from speclint.gearing.model_words import constant_text
from speclint.gearing.plan import Plan
from speclint.gearing.start import Mark, RatedPair
from speclint.gearing.wording import (
    HOW_TO_LOOK,
    NINE_IN_TEN,
    answer_text,
    case_text,
    details_text,
    elsewhere_text,
    legal_text,
    limits_text,
    pack_text,
    reason_text,
    runs_text,
    start_text,
    step_text,
    stop_text,
    sure_text,
)
from speclint.pages.plot import BandPoint, Level, Plot
from speclint.pages.plot import Mark as PlotMark
from speclint.pages.render import page
from speclint.physics.bands import Band
from speclint.physics.units import kmh, rpm
from speclint.plain import clipped
from speclint.readings.digits import plain_text
from speclint.readings.exact import to_float
from speclint.reports import Order, Paper, Whole
from speclint.reports.gearing.chart import legend, sign
from speclint.rules.wording import margin

_STOPPED: Final = frozenset({Mark.ILLEGAL, Mark.NOT_SHOWN, Mark.HOT, Mark.WEAK, Mark.FAST})
_LONGEST: Final = 1000
_TITLE_SIGNS: Final = 70
_CEILING_C: Final = CREDIBLE_C + 10.0


class PageTable(NamedTuple):
    """Figures that are folded away: `summary` opens them."""

    summary: str
    caption: str
    heads: Sequence[str]
    rows: Sequence[tuple[str, ...]]
    is_words: bool = False


class PagePlot(NamedTuple):
    """A plot with its title and what its signs mean."""

    title: str
    plot: Plot
    caption: str


class PinionRow(NamedTuple):
    """A pinion on the spur of the start; `kind` styles it."""

    cells: tuple[str, ...]
    kind: str


class PinionTable(NamedTuple):
    """The pinions on one spur."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[PinionRow, ...]


class ChartCell(NamedTuple):
    """A pair in the gear chart."""

    text: str
    kind: str


class ChartRow(NamedTuple):
    """A spur in the gear chart."""

    spur: str
    cells: tuple[ChartCell, ...]


class GearChart(NamedTuple):
    """Every spur with every pinion."""

    pinions: tuple[str, ...]
    rows: tuple[ChartRow, ...]
    legend: tuple[str, ...]


class GearingPage(NamedTuple):
    """All that the page says."""

    heading: str
    file: str
    has_start: bool
    start: tuple[str, ...]
    sure: str
    steps: tuple[str, ...]
    stop: tuple[str, ...]
    details: tuple[str, ...]
    heat: PagePlot | None
    pinions: PinionTable | None
    cautions: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    runs: tuple[str, ...]
    assumed: tuple[str, ...]
    course: PagePlot | None
    chart: GearChart | None
    tables: tuple[PageTable, ...]


def begin(order: Order) -> Whole[Plan]:
    """The report."""
    return Whole(render, order)


def render(plan: Plan, _paper: Paper) -> str:
    """The page, the same on any paper."""
    return page("gearing.html", **content_of(plan))


def content_of(plan: Plan) -> dict[str, Any]:
    """What the page says, by the names that its templates call it."""
    name = clipped(plan.car.setup.name, _LONGEST)
    return {
        "title": clipped(f"Gearing of {name}", _TITLE_SIGNS),
        "shown": _shown(plan, name),
        "last_word": LAST_WORD,
    }


def _shown(plan: Plan, name: str) -> GearingPage:
    heat, course = _against_ratio(plan), _over_run(plan)
    return GearingPage(
        heading=f"Gearing of {name}",
        file=plan.car.setup.document.file,
        has_start=plan.start is not None,
        start=tuple(_start(plan)),
        sure=sure_text(plan),
        steps=tuple(step_text(step) for step in plan.steps),
        stop=(stop_text(plan), HOW_TO_LOOK) if plan.start else (),
        heat=heat,
        pinions=_pinions(plan),
        details=details_text(plan),
        cautions=plan.cautions,
        facts=(*(("entry", rules.text) for rules in plan.entries), *case_text(plan), *limits_text(plan)),
        runs=runs_text(plan),
        assumed=tuple(map(str, plan.case.assumed)),
        course=course,
        chart=_chart(plan),
        tables=tuple(_tables(plan)),
    )


def _start(plan: Plan) -> Iterator[str]:
    if plan.start is None:
        yield from (answer_text(plan), *plan.no_start_reasons[1:])
    else:
        yield from (start_text(plan)[0], *([pack_text(plan)] if pack_text(plan) else []), reason_text(plan))
        yield from legal_text(plan)
    yield from (*plan.notices, *elsewhere_text(plan))


def _against_ratio(plan: Plan) -> PagePlot | None:
    case, curve = plan.case, plan.curve
    if len(curve) < 2:
        return None
    limits = _ratio_limits(plan)
    lowest = min(curve, key=lambda outlook: outlook.can_c.median)
    coolest, hottest = min(outlook.can_c.low for outlook in curve), max(outlook.can_c.high for outlook in curve)
    text = (
        f"From a ratio of {curve[0].ratio:.2f} to {curve[-1].ratio:.2f} the can ends between {degrees(coolest)} and"
        f" {degrees(hottest)}; the middle of the band is lowest near {lowest.ratio:.1f}. The limit for the can is"
        f" {case.limit_c:.0f} °C."
    )
    used = plan.forecaster.learnt.used if plan.forecaster is not None else ()
    plot = Plot(
        text=text,
        across="final drive ratio (taller to the left)",
        upwards="can, °C",
        points=tuple(BandPoint(outlook.ratio, *_ends(outlook.can_c)) for outlook in curve),
        levels=(
            Level(case.limit_c, f"limit {case.limit_c:.0f} °C", "limit"),
            *(Level(value, label, "legal", is_upright=True) for label, value in limits),
        ),
        marks=(
            *(PlotMark(to_float(run.pair.ratio), run.readings.can_c) for run in used),
            *_pointed_out(plan),
        ),
        not_below=max((value for _, value in limits), default=None),
        ceiling=_CEILING_C,
    )
    caption = f"Shaded: {NINE_IN_TEN}. Line: their middle. Dashed: the limit for the can."
    caption += " Dotted: the rules' limit; left of it is illegal." if limits else ""
    caption += " Points: runs on record, each in its own conditions." if used else ""
    return PagePlot(f"Can temperature after {minutes_text(case.minutes)}, over the final drive ratio", plot, caption)


def _ends(band: Band) -> tuple[float, float, float]:
    return band.low, band.median, band.high


def _pointed_out(plan: Plan) -> Iterator[PlotMark]:
    """The start and the pair that is fitted, on the middle of the band."""
    start = None if plan.start is None else plan.start.rated
    pointed = [(start, "start, fitted" if start is plan.fitted else "start")]
    pointed += [(plan.fitted, "fitted")] if plan.fitted is not start else []
    pointed += [(step.rated, "next") for step in plan.steps[:1]]
    for rated, text in pointed:
        if rated is not None and rated.outlook is not None:
            yield PlotMark(to_float(rated.pair.ratio), rated.outlook.can_c.median, text)


def _ratio_limits(plan: Plan) -> list[tuple[str, float]]:
    """The rules' limits on the ratio that lie near the pairs, each once."""
    if not plan.curve:
        return []
    low, high = plan.curve[0].ratio * 0.85, plan.curve[-1].ratio * 1.15
    limits = {
        standing.ratio_limit for rated in plan.pairs for standing in rated.standings if standing.ratio_limit is not None
    }
    return [
        (f"rules {plain_text(limit, most=3)}", to_float(limit))
        for limit in sorted(limits)
        if low <= to_float(limit) <= high
    ]


def _over_run(plan: Plan) -> PagePlot | None:
    start, case = plan.start, plan.case
    if start is None or case.model is None or len(plan.course) < 2:
        return None
    plot = Plot(
        text=(
            f"The can warms from {degrees(case.model.conditions.ambient_c)} to {degrees_band(plan.course[-1][1])} after"
            f" {minutes_text(case.minutes)}; the limit is {case.limit_c:.0f} °C."
        ),
        across="minutes",
        upwards="can, °C",
        points=tuple(BandPoint(minutes, *_ends(band)) for minutes, band in plan.course),
        levels=(Level(case.limit_c, f"limit {case.limit_c:.0f} °C", "limit"),),
        ceiling=_CEILING_C,
    )
    caption = f"Shaded: {NINE_IN_TEN}. Line: their middle. Dashed: the limit for the can."
    return PagePlot(f"Can temperature over the run, {start.rated.pair.text}", plot, caption)


def _pinions(plan: Plan) -> PinionTable | None:
    """The pinions on the spur of the start, or else of what is fitted."""
    shown = plan.start.rated if plan.start is not None else plan.fitted
    if shown is None:
        return None
    on_spur = [rated for rated in plan.pairs if rated.pair.spur == shown.pair.spur]
    minutes = minutes_text(plan.case.minutes)
    return PinionTable(
        f"Pinions on the spur of {shown.pair.spur}",
        ("pinion", "ratio", f"can after {minutes}", "top", "what"),
        tuple(_pinion_row(plan, rated) for rated in sorted(on_spur, key=lambda rated: rated.pair.pinion)),
    )


def _pinion_row(plan: Plan, rated: RatedPair) -> PinionRow:
    outlook = rated.outlook
    is_start = _is_start(plan, rated)
    can, top = can_text(outlook), top_text(outlook)
    words = [
        "start here" if is_start else rated.mark.value,
        *(["fitted"] if rated is plan.fitted else []),
    ]
    kind = "chosen" if is_start else "stop" if rated.mark in _STOPPED else ""
    return PinionRow((str(rated.pair.pinion), ratio_text(rated), can, top, ", ".join(words)), kind)


def _is_start(plan: Plan, rated: RatedPair) -> bool:
    return plan.start is not None and rated is plan.start.rated


def _chart(plan: Plan) -> GearChart | None:
    if not plan.pairs:
        return None
    by_teeth = {(rated.pair.spur, rated.pair.pinion): rated for rated in plan.pairs}
    pinions = sorted({pinion for _, pinion in by_teeth})
    rows = [
        ChartRow(str(spur), tuple(_cell(plan, by_teeth.get((spur, pinion))) for pinion in pinions))
        for spur in sorted({spur for spur, _ in by_teeth})
    ]
    return GearChart(tuple(map(str, pinions)), tuple(rows), legend(plan))


def _cell(plan: Plan, rated: RatedPair | None) -> ChartCell:
    if rated is None:
        return ChartCell("", "")
    kind = "good" if rated.mark is Mark.SAFE else "stop" if rated.mark in _STOPPED else ""
    kinds = " ".join(word for word in (kind, "chosen" if _is_start(plan, rated) else "") if word)
    return ChartCell(ratio_text(rated) + sign(plan, rated), kinds)


def _tables(plan: Plan) -> Iterator[PageTable]:
    """The same as the plots, as numbers, then every pair, then what is assumed."""
    band_heads = ("can from", "middle", "to")
    if len(plan.curve) > 1:
        rows = [(f"{outlook.ratio:.2f}", *map(degrees, _ends(outlook.can_c))) for outlook in plan.curve]
        yield PageTable(
            "Temperature over ratio as numbers",
            "Can temperature over the final drive ratio",
            ("ratio", *band_heads),
            rows,
        )
    if plan.start is not None and len(plan.course) > 1:
        rows = [(f"{minutes:.1f}", *map(degrees, _ends(band))) for minutes, band in plan.course]
        yield PageTable(
            "Temperature over the run as numbers", "Can temperature over the run", ("minutes", *band_heads), rows
        )
    if plan.pairs:
        yield _pairs(plan)
    if plan.case.model is None:
        return
    constants = [
        (constant_text(assumption), assumption.source) for assumption in plan.case.model.assumptions if assumption.value
    ]
    yield PageTable(
        f"{len(constants)} constants with their ranges",
        "Constants of car and track, each with the range that holds nine in ten",
        ("constant", "source"),
        constants,
        is_words=True,
    )


def _pairs(plan: Plan) -> PageTable:
    heads = (
        "spur", "pinion", "sum", "ratio", "spur to pinion", "rollout", "can", "top speed", "motor", "lap", "current",
        *(f"{entry_rules.label}, {entry_rules.entry.on.isoformat()}" for entry_rules in plan.entries), "in a word",
    )  # fmt: skip
    rows = []
    for rated in sorted(plan.pairs, key=lambda rated: (-rated.pair.ratio, rated.pair.spur)):
        outlook, pair = rated.outlook, rated.pair
        figures = ("",) * 5
        if outlook is not None:
            figures = (
                degrees_band(outlook.can_c),
                whole_band(kmh(outlook.top_m_per_s.low), kmh(outlook.top_m_per_s.high), "kmh"),
                whole_band(rpm(outlook.top_motor_rad_per_s.low), rpm(outlook.top_motor_rad_per_s.high), "rpm", 100),
                lap_band(outlook.lap_s),
                current_band(plan, outlook.charge_c),
            )
        ruled = (
            f"{standing.verdict.value}{'' if standing.check is None else ': ' + margin(standing.check)}".rstrip(": ")
            for standing in rated.standings
        )
        teeth = (str(pair.spur), str(pair.pinion), str(pair.tooth_sum))
        ratios = (ratio_text(rated), ratio_plain(pair.spur_pinion), rollout_text(rated))
        rows.append((*teeth, *ratios, *figures, *ruled, "start" if _is_start(plan, rated) else rated.mark.value))
    return PageTable(f"All {len(rows)} pairs with their figures", "Every pair, from short to tall", heads, rows)
