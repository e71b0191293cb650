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
from speclint.reports import Paper
from speclint.reports.gearing.chart import chart, legend
from speclint.reports.pen import Pen


def render(plan: Plan, paper: Paper) -> str:
    """The whole sheet."""
    pen = Pen(paper)
    setup = plan.car.setup
    blocks = [
        [*pen.wrapped(f"Gearing of {setup.name}"), *pen.wrapped(setup.document.file, "  "), *_entries(plan, pen)],
        _start(plan, pen),
        _steps(plan, pen),
        _chart(plan, pen),
        _runs(plan, pen),
        _assumed(plan, pen),
        ["Take care", *_items(plan.cautions, pen)],
    ]
    text = "\n".join("\n".join([*block, ""]) for block in blocks if block)
    return "\n".join(pen.clean(line, len(line)) for line in text.split("\n"))


def _entries(plan: Plan, pen: Pen) -> Iterator[str]:
    for one in plan.entered:
        flat = one.book.flat
        text = f"{flat.title}, {day_text(one.entry.on)}, by {flat.ruleset.title} {flat.ruleset.version}"
        yield from pen.wrapped(text, "  ", "    ")
    for label, text in case_text(plan):
        yield from pen.wrapped(f"{label}: {text}", "  ", "    ")


def _start(plan: Plan, pen: Pen) -> list[str]:
    if plan.start is None:
        lines = ["There is no safe start", *_items(plan.shortfall, pen)]
        trial = trial_text(plan)
        return [*lines, *(_items([trial], pen) if trial else [])]
    first, *more = start_text(plan)
    lines = ["Safe start", *pen.wrapped(first, "  ", "  ")]
    if plan.start_look is not None:
        more.append(look_text(plan.start_look, plan.forecaster.case.limit_c))
    return [*lines, *_items([*more, *plan.notices, *elsewhere_text(plan)], pen)]


def _steps(plan: Plan, pen: Pen) -> list[str]:
    if plan.start is None:
        return []
    lines = ["Next steps up, one at a time" if plan.rungs else "Next steps up: none"]
    for number, rung in enumerate(plan.rungs, start=1):
        lines += pen.wrapped(rung_text(rung), f"{number}. ".rjust(6), "      ")
    lines += pen.wrapped(f"{'Then stop' if plan.rungs else 'Stop here'}: {plan.stop}.", "  ", "     ")
    return [*lines, *pen.wrapped(HOW_TO_LOOK, "  ", "  ")]


def _chart(plan: Plan, pen: Pen) -> list[str]:
    if not plan.pairs:
        return []
    head = f"Gear chart: the final drive ratio of each pair; the limit for the can is {plan.forecaster.case.limit_c:.0f} °C"
    return [
        *pen.wrapped(head),
        *chart(plan, pen),
        *(line for one in legend(plan) for line in pen.wrapped(one, "  ", "     ")),
    ]


def _runs(plan: Plan, pen: Pen) -> list[str]:
    learnt = plan.forecaster.learnt
    if not learnt.used and not learnt.left_out:
        return []
    items = [used_run_text(plan, index) for index in range(len(learnt.used))]
    items += fit_text(plan)
    items += [f"{day_text(one.when.day)}: not used, {one.reason}" for one in learnt.left_out]
    return ["Track runs", *_items(items, pen)]


def _assumed(plan: Plan, pen: Pen) -> list[str]:
    forecaster = plan.forecaster
    lines = pen.wrapped("Limits, gears, and what is assumed")
    lines += _items((f"{label}: {text}" for label, text in limits_text(plan)), pen)
    lines += _items((f"{one.what}: {one.value} ({one.why}; {one.source})" for one in forecaster.case.assumed), pen)
    lines += _items(
        [
            "The band covers these constants of car and track, each over its range, and not the errors of the bench readings:"
        ],
        pen,
    )
    likely = forecaster.likely
    return [
        *lines,
        *(
            line
            for one in ASSUMPTIONS
            for line in pen.wrapped(constant_text(one, getattr(likely, one.name)), "    ", "      ")
        ),
    ]


def _items(texts: Iterable[str], pen: Pen) -> list[str]:
    return [line for text in texts for line in pen.wrapped(text, "  - ", "    ")]
