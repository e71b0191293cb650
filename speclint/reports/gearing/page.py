"""The `page` report of a gearing: one HTML file with plots and tables, without script and without any request."""

from collections.abc import Iterable, Iterator, Sequence
from html import escape
from typing import Final

from speclint import __version__
from speclint.gearing.cautions import LAST_WORD
from speclint.gearing.figures import (
    CREDIBLE_C,
    current_band,
    degrees,
    degrees_band,
    lap_band,
    minutes_text,
    pair_text,
    ratio_plain,
    ratio_text,
    rollout_text,
    whole_band,
)
from speclint.gearing.model_words import constant_text, fit_text, used_run_text
from speclint.gearing.plan import Plan
from speclint.gearing.start import Mark, RatedPair
from speclint.gearing.wording import (
    HOW_TO_LOOK,
    NINE_IN_TEN,
    case_text,
    elsewhere_text,
    limits_text,
    look_text,
    rung_text,
    start_text,
    trial_text,
)
from speclint.moments import day_text
from speclint.physics.assumptions import ASSUMPTIONS
from speclint.physics.units import kmh, rpm
from speclint.plain import clipped, one_line
from speclint.readings.digits import plain_text
from speclint.readings.exact import to_float
from speclint.reports import Order, Paper, Whole
from speclint.reports.gearing.chart import legend, sign
from speclint.reports.gearing.plots import Level, Plot, svg
from speclint.reports.gearing.style import STYLE
from speclint.rules.wording import margin

_LONGEST: Final = 1000
_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"


def render(plan: Plan, _paper: Paper) -> str:
    """The page, the same on any paper."""
    setup = plan.car.setup
    title = f"Gearing of {setup.name}"
    sections = [
        ("start", "Safe start" if plan.start is not None else "There is no safe start", _start(plan)),
        ("steps", "Next steps up", _steps(plan)),
        ("heat", "Temperature against ratio", _against_ratio(plan)),
        ("course", "Temperature over the run", _over_run(plan)),
        ("chart", "Gear chart", _chart(plan)),
        ("runs", "Track runs", _runs(plan)),
        ("assumed", "Limits, gears, and what is assumed", _assumed(plan)),
        ("care", "Take care", _care(plan)),
    ]
    body = []
    for id_, heading, lines in sections:
        inner = "\n".join(lines)
        if inner:
            body.append(f'<section aria-labelledby="{id_}">\n<h2 id="{id_}">{_text(heading)}</h2>\n{inner}\n</section>')
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{_POLICY}">
<meta name="generator" content="speclint {_text(__version__)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>{_text(title)}</title>
<style>
{STYLE}</style>
</head>
<body>
<a class="skip" href="#main">To the gearing</a>
<header>
<h1>{_text(title)}</h1>
<p class="file">{_text(setup.document.file)}</p>
{_facts(plan)}
</header>
<main id="main">
{chr(10).join(body)}
</main>
<footer>
<p>{_text(LAST_WORD)} Written by speclint {_text(__version__)}.</p>
</footer>
</body>
</html>
"""


def begin(order: Order) -> Whole[Plan]:
    """The report."""
    return Whole(render, order)


def _text(text: str) -> str:
    """A text from anywhere as HTML."""
    return escape(one_line(clipped(text, _LONGEST)))


def _facts(plan: Plan) -> str:
    rows = [
        (
            "entry",
            f"{one.book.flat.title}, {day_text(one.entry.on)}, by {one.book.flat.ruleset.title} {one.book.flat.ruleset.version}",
        )
        for one in plan.entered
    ] + list(case_text(plan))
    return _terms(rows)


def _terms(rows: Iterable[tuple[str, str]]) -> str:
    return "<dl>\n" + "\n".join(f"<dt>{_text(label)}</dt><dd>{_text(text)}</dd>" for label, text in rows) + "\n</dl>"


def _start(plan: Plan) -> Iterator[str]:
    if plan.start is None:
        trial = trial_text(plan)
        first, *more = [*plan.no_start_reasons, *([trial] if trial else [])] or ["No pair qualifies."]
        yield f'<p class="start none">{_text(first)}</p>'
        yield from _list(more)
        return
    first, *more = start_text(plan)
    yield f'<p class="start">{_text(first)}</p>'
    if plan.start_look is not None:
        more.append(look_text(plan.start_look, plan.forecaster.case.limit_c))
    yield from _list([*more, *plan.notices, *elsewhere_text(plan)])


def _steps(plan: Plan) -> Iterator[str]:
    if plan.start is None:
        return
    yield from _list([rung_text(step) for step in plan.steps], "ol")
    yield f"<p>{_text('Then stop' if plan.steps else 'Stop here')}: {_text(plan.stop)}.</p>"
    yield f"<p>{_text(HOW_TO_LOOK)}</p>"


def _against_ratio(plan: Plan) -> Iterator[str]:
    case = plan.forecaster.case
    curve = plan.curve
    if len(curve) < 2:
        return
    start = plan.start
    limits = _ratio_limits(plan)
    lowest = min(curve, key=lambda each: each.can_c.median)
    description = (
        f"From a ratio of {curve[0].ratio:.2f} to {curve[-1].ratio:.2f} the can ends between"
        f" {degrees(min(each.can_c.low for each in curve))} and {degrees(max(each.can_c.high for each in curve))}; the middle of the"
        f" band is lowest near {lowest.ratio:.1f}. The limit for the can is {case.limit_c:.0f} °C."
    )
    plot = Plot(
        id="heat-plot",
        title=f"Can temperature after {minutes_text(case.run.minutes)} against the final drive ratio",
        description=description,
        across="final drive ratio (taller to the left)",
        upwards="can, °C",
        points=[(each.ratio, each.can_c.low, each.can_c.median, each.can_c.high) for each in curve],
        levels=[
            Level(case.limit_c, f"limit {case.limit_c:.0f} °C", "limit"),
            *(Level(value, text, "legal", upright=True) for text, value in limits),
        ],
        marks=[]
        if start is None or start.outlook is None
        else [(to_float(start.pair.ratio), start.outlook.can_c.median, "start")],
        ceiling=CREDIBLE_C + 10.0,
    )
    caption = f"Shaded: {NINE_IN_TEN}. Line: their middle. Dashed: the limit for the can."
    if limits:
        caption += " Dotted: the rules' limit."
    head = ("ratio", "can from", "middle", "to")
    rows = [
        (f"{each.ratio:.2f}", degrees(each.can_c.low), degrees(each.can_c.median), degrees(each.can_c.high))
        for each in curve
    ]
    yield _figure(plot, caption)
    yield _data("heat-data", "The same as numbers", plot.title, head, rows)


def _ratio_limits(plan: Plan) -> list[tuple[str, float]]:
    """The rules' limits on the ratio that lie near the pairs, each once."""
    if not plan.curve:
        return []
    low, high = plan.curve[0].ratio * 0.85, plan.curve[-1].ratio * 1.15
    found = {each.ratio_limit for rated in plan.pairs for each in rated.standings if each.ratio_limit is not None}
    return [
        (f"rules {plain_text(limit, most=3)}", to_float(limit))
        for limit in sorted(found)
        if low <= to_float(limit) <= high
    ]


def _over_run(plan: Plan) -> Iterator[str]:
    start, case = plan.start, plan.forecaster.case
    if start is None or len(plan.course) < 2:
        return
    end = plan.course[-1][1]
    plot = Plot(
        id="course-plot",
        title=f"Can temperature over the run, {pair_text(start)}",
        description=(
            f"The can warms from {degrees(case.run.ambient_c)} to {degrees_band(end)} after {minutes_text(case.run.minutes)};"
            f" the limit is {case.limit_c:.0f} °C."
        ),
        across="minutes",
        upwards="can, °C",
        points=[(minutes, band.low, band.median, band.high) for minutes, band in plan.course],
        levels=[Level(case.limit_c, f"limit {case.limit_c:.0f} °C", "limit")],
        ceiling=CREDIBLE_C + 10.0,
    )
    yield _figure(plot, f"Shaded: {NINE_IN_TEN}. Line: their middle. Dashed: the limit for the can.")
    rows = [
        (f"{minutes:.1f}", degrees(band.low), degrees(band.median), degrees(band.high)) for minutes, band in plan.course
    ]
    yield _data("course-data", "The same as numbers", plot.title, ("minutes", "can from", "middle", "to"), rows)


def _chart(plan: Plan) -> Iterator[str]:
    if not plan.pairs:
        return
    by_teeth = {(rated.pair.spur, rated.pair.pinion): rated for rated in plan.pairs}
    pinions = sorted({pinion for _, pinion in by_teeth})
    yield '<div class="scroll" role="region" aria-label="Ratios of all pairs" tabindex="0">\n<table>'
    yield "<caption>Final drive ratio of each spur (down) with each pinion (across)</caption>"
    across = "".join(f'<th scope="col">{pinion}</th>' for pinion in pinions)
    yield f'<thead><tr><th scope="col">spur</th>{across}</tr></thead>\n<tbody>'
    for spur in sorted({spur for spur, _ in by_teeth}):
        cells = "".join(_cell(plan, by_teeth.get((spur, pinion))) for pinion in pinions)
        yield f'<tr><th scope="row">{spur}</th>{cells}</tr>'
    yield "</tbody></table>\n</div>"
    yield from _list(legend(plan))
    yield _pairs(plan)


def _cell(plan: Plan, rated: RatedPair | None) -> str:
    if rated is None:
        return "<td></td>"
    kind = "good" if rated.mark is Mark.SAFE else "" if rated.mark is Mark.EDGE else "stop"
    kinds = " ".join(each for each in (kind, "start-cell" if rated is plan.start else "") if each)
    return (
        f"<td{f' class={chr(34)}{kinds}{chr(34)}' if kinds else ''}>{_text(ratio_text(rated) + sign(plan, rated))}</td>"
    )


def _pairs(plan: Plan) -> str:
    head = (
        "spur", "pinion", "sum", "ratio", "spur to pinion", "rollout", "can", "top speed", "motor", "lap", "current",
        *(f"{one.label}, {one.entry.on.isoformat()}" for one in plan.entered), "in a word",
    )  # fmt: skip
    rows = []
    for rated in sorted(plan.pairs, key=lambda each: (-each.pair.ratio, each.pair.spur)):
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
            f"{each.verdict.value}{'' if each.check is None else ': ' + margin(each.check)}".rstrip(": ")
            for each in rated.standings
        )
        teeth = (str(pair.spur), str(pair.pinion), str(pair.tooth_sum))
        ratios = (ratio_text(rated), ratio_plain(pair.spur_pinion), rollout_text(rated))
        rows.append((*teeth, *ratios, *figures, *ruled, "start" if rated is plan.start else rated.mark.value))
    return _data("pairs", f"All {len(rows)} pairs with their figures", "Every pair, from short to tall", head, rows)


def _runs(plan: Plan) -> Iterator[str]:
    learnt = plan.forecaster.learnt
    yield from _list([used_run_text(plan, index) for index in range(len(learnt.used))])
    yield from (f"<p>{_text(each)}</p>" for each in fit_text(plan))
    yield from _list([f"{day_text(one.when.day)}: not used, {one.reason}" for one in learnt.left_out])


def _assumed(plan: Plan) -> Iterator[str]:
    yield _terms(limits_text(plan))
    yield from _list(f"{one.what}: {one.value} ({one.why}; {one.source})" for one in plan.forecaster.case.assumed)
    yield "<p>The band covers these constants of car and track, each over its range, and not the errors of the bench readings.</p>"
    likely = plan.forecaster.likely
    rows = [(constant_text(one, getattr(likely, one.name)), one.source) for one in ASSUMPTIONS]
    yield _data(
        "constants",
        f"{len(rows)} constants with their ranges",
        "Constants of car and track",
        ("constant", "source"),
        rows,
        words=True,
    )


def _care(plan: Plan) -> Iterator[str]:
    yield '<div class="care">'
    yield from _list(plan.cautions)
    yield "</div>"


def _list(texts: Iterable[str], kind: str = "ul") -> Iterator[str]:
    items = [f"<li>{_text(text)}</li>" for text in texts]
    if items:
        yield "\n".join([f"<{kind}>", *items, f"</{kind}>"])


def _figure(plot: Plot, caption: str) -> str:
    return f"<figure>\n{svg(plot)}\n<figcaption>{_text(caption)}</figcaption>\n</figure>"


def _data(
    id_: str, summary: str, caption: str, head: Sequence[str], rows: Sequence[Sequence[str]], *, words: bool = False
) -> str:
    kind = ' class="words"' if words else ""
    lines = [
        f"<details>\n<summary>{_text(summary)}</summary>",
        f'<div class="scroll" role="region" aria-label="{_text(caption)}" tabindex="0" id="{id_}">\n<table{kind}>',
        f"<caption>{_text(caption)}</caption>",
        "<thead><tr>" + "".join(f'<th scope="col">{_text(each)}</th>' for each in head) + "</tr></thead>\n<tbody>",
    ]
    for first, *rest in rows:
        cells = "".join(f"<td>{_text(each)}</td>" for each in rest)
        lines.append(f'<tr><th scope="row">{_text(first)}</th>{cells}</tr>')
    return "\n".join([*lines, "</tbody></table>\n</div>\n</details>"])
