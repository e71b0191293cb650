"""The `sheet` report of a gearing: the start in words, the steps up, the chart, then what it rests on."""

from collections.abc import Iterable, Iterator

from speclint.gearing.model_words import constant_text, fit_text, used_run_text
from speclint.gearing.plan import Plan
from speclint.gearing.wording import (
    HOW_TO_LOOK,
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
from speclint.reports import Order, Paper, Whole
from speclint.reports.gearing.chart import chart, legend
from speclint.reports.layout import Layout, Line, Span, Style


def render(plan: Plan, paper: Paper) -> str:
    """The whole sheet."""
    layout = Layout(paper)
    setup = plan.car.setup
    blocks = [
        [
            *layout.wrapped(f"Gearing of {setup.name}"),
            *layout.wrapped(setup.document.file, "  "),
            *_entries(plan, layout),
        ],
        _start(plan, layout),
        _steps(plan, layout),
        _chart(plan, layout),
        _runs(plan, layout),
        _assumed(plan, layout),
        [_head("Take care"), *_items(plan.cautions, layout)],
    ]
    filled = [block for block in blocks if block]
    return layout.text(line for i, block in enumerate(filled) for line in ([(), *block] if i else block))


def begin(order: Order) -> Whole[Plan]:
    """The report."""
    return Whole(render, order)


def _head(text: str) -> Line:
    return (Span(text, Style.HEAD),)


def _entries(plan: Plan, layout: Layout) -> Iterator[Line]:
    for one in plan.entered:
        flat = one.book.flat
        text = f"{flat.title}, {day_text(one.entry.on)}, by {flat.ruleset.title} {flat.ruleset.version}"
        yield from layout.wrapped(text, "  ", "    ")
    for label, text in case_text(plan):
        yield from layout.wrapped(f"{label}: {text}", "  ", "    ")


def _start(plan: Plan, layout: Layout) -> list[Line]:
    if plan.start is None:
        lines = [_head("There is no safe start"), *_items(plan.no_start_reasons, layout)]
        trial = trial_text(plan)
        return [*lines, *(_items([trial], layout) if trial else [])]
    first, *more = start_text(plan)
    lines = [_head("Safe start"), *layout.wrapped(Span(first, Style.DO), "  ")]
    if plan.start_look is not None:
        more.append(look_text(plan.start_look, plan.forecaster.case.limit_c))
    return [*lines, *_items([*more, *plan.notices, *elsewhere_text(plan)], layout)]


def _steps(plan: Plan, layout: Layout) -> list[Line]:
    if plan.start is None:
        return []
    lines = [_head("Next steps up, one at a time" if plan.steps else "Next steps up: none")]
    for number, step in enumerate(plan.steps, start=1):
        lines += layout.wrapped(rung_text(step), f"{number}. ".rjust(6), "      ")
    lines += layout.wrapped(f"{'Then stop' if plan.steps else 'Stop here'}: {plan.stop}.", "  ", "     ")
    return [*lines, *layout.wrapped(HOW_TO_LOOK, "  ", "  ")]


def _chart(plan: Plan, layout: Layout) -> list[Line]:
    if not plan.pairs:
        return []
    head = f"Gear chart: the final drive ratio of each pair; the limit for the can is {plan.forecaster.case.limit_c:.0f} °C"
    return [
        *layout.wrapped(head),
        *chart(plan, layout),
        *(line for one in legend(plan) for line in layout.wrapped(one, "  ", "     ")),
    ]


def _runs(plan: Plan, layout: Layout) -> list[Line]:
    learnt = plan.forecaster.learnt
    if not learnt.used and not learnt.left_out:
        return []
    items = [used_run_text(plan, index) for index in range(len(learnt.used))]
    items += fit_text(plan)
    items += [f"{day_text(one.when.day)}: not used, {one.reason}" for one in learnt.left_out]
    return [_head("Track runs"), *_items(items, layout)]


def _assumed(plan: Plan, layout: Layout) -> list[Line]:
    forecaster = plan.forecaster
    lines = layout.wrapped("Limits, gears, and what is assumed")
    lines += _items((f"{label}: {text}" for label, text in limits_text(plan)), layout)
    lines += _items((f"{one.what}: {one.value} ({one.why}; {one.source})" for one in forecaster.case.assumed), layout)
    lines += _items(
        [
            "The band covers these constants of car and track, each over its range, and not the errors of the bench readings:"
        ],
        layout,
    )
    likely = forecaster.likely
    return [
        *lines,
        *(
            line
            for one in ASSUMPTIONS
            for line in layout.wrapped(constant_text(one, getattr(likely, one.name)), "    ", "      ")
        ),
    ]


def _items(texts: Iterable[str], layout: Layout) -> list[Line]:
    return [line for text in texts for line in layout.wrapped(text, "  - ", "    ")]
