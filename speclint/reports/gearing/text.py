"""The `text` report of a gearing: the answer, the pairs that matter now, how sure it is, two lines of care; more by --full."""

from collections.abc import Iterable, Iterator
from typing import Final

from speclint.gearing.cautions import SHORT
from speclint.gearing.model_words import constant_text
from speclint.gearing.pair_table import PairRow, table_rows
from speclint.gearing.plan import Plan
from speclint.gearing.wording import (
    HOW_TO_LOOK,
    answer_text,
    case_text,
    conditions_text,
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
from speclint.reports import Order, Paper, Whole
from speclint.reports.gearing.chart import chart, legend
from speclint.reports.layout import Column, Layout, Line, Span, Style

_COLUMNS: Final = (
    Column("pinion"),
    Column("ratio"),
    Column("can after the run"),
    Column("top"),
    Column("what", 18, yields=1),
)
_INDENT: Final = 4


def begin(order: Order) -> Whole[Plan]:
    """The report."""
    return Whole(render_full if order.asked.full else render, order)


def render(plan: Plan, paper: Paper) -> str:
    """The report in short."""
    layout = Layout(paper)
    more = "more: --full tells of every pair and constant, --save gearing.html draws it"
    blocks = [
        _heading(plan, layout),
        _answer(plan, layout),
        _table(plan, layout),
        [*layout.wrapped(sure_text(plan)), *layout.wrapped(Span(more, Style.SOFT))],
        [line for text in SHORT for line in layout.wrapped(text)],
    ]
    return layout.parts(blocks)


def render_full(plan: Plan, paper: Paper) -> str:
    """The whole report."""
    layout = Layout(paper)
    blocks = [
        [*_heading(plan, layout), *layout.wrapped(plan.car.setup.document.file, "  "), *_entries(plan, layout)],
        _answer(plan, layout),
        _table(plan, layout),
        layout.wrapped(sure_text(plan)),
        _details(plan, layout),
        _steps(plan, layout),
        _chart(plan, layout),
        _runs(plan, layout),
        _assumed(plan, layout),
        [_head("Take care"), *_items(plan.cautions, layout)],
    ]
    return layout.parts(blocks)


def _head(text: str) -> Line:
    return (Span(text, Style.HEAD),)


def _heading(plan: Plan, layout: Layout) -> list[Line]:
    return layout.wrapped(Span(plan.car.setup.name, Style.HEAD))


def _answer(plan: Plan, layout: Layout) -> list[Line]:
    texts = [pack_text(plan)]
    if plan.start is None:
        texts += plan.no_start_reasons[1:]
    else:
        texts.append(reason_text(plan))
        if not plan.entries or not plan.start.rated.is_legal or not plan.start.rated.spare:
            texts += legal_text(plan)
    texts += [*plan.notices, *elsewhere_text(plan)]
    answer = Span(answer_text(plan), Style.FAIL if plan.start is None else Style.DO)
    return [*layout.wrapped(answer), *(line for text in texts if text for line in layout.wrapped(text))]


def _table(plan: Plan, layout: Layout) -> list[Line]:
    rows = table_rows(plan)
    if not rows:
        return []
    cells = [_cells(row) for row in rows]
    widths = layout.widths(_COLUMNS, cells, _INDENT)
    lines: list[Line] = []
    if widths is None:
        for row in rows:
            text = f"{row.teeth}: ratio {row.ratio}, can {row.can}, {row.top}; {row.note}"
            lines += layout.wrapped(text, f"  {row.sign or ' '} ", "      ")
    else:
        lines += layout.headings(_COLUMNS, widths, _INDENT)
        for row, spans in zip(rows, cells, strict=True):
            lines += layout.row(spans, widths, (Span(f"  {row.sign or ' '} "),))
    return [*lines, *layout.wrapped(Span(conditions_text(plan), Style.SOFT), " " * _INDENT)]


def _cells(row: PairRow) -> tuple[Span, ...]:
    style = Style.FAIL if row.sign in ("x", "h") else Style.ASK if row.sign == "?" else Style.PLAIN
    return (Span(row.teeth), Span(row.ratio), Span(row.can), Span(row.top), Span(row.note, style))


def _entries(plan: Plan, layout: Layout) -> Iterator[Line]:
    for entry_rules in plan.entries:
        yield from layout.wrapped(entry_rules.text, "  ", "    ")
    for label, text in case_text(plan):
        yield from layout.wrapped(f"{label}: {text}", "  ", "    ")


def _details(plan: Plan, layout: Layout) -> list[Line]:
    return [] if plan.start is None else [_head("The start"), *_items(start_text(plan)[1:], layout)]


def _steps(plan: Plan, layout: Layout) -> list[Line]:
    if plan.start is None:
        return []
    lines = layout.wrapped(Span("Next steps up, one at a time" if plan.steps else "Next steps up: none", Style.HEAD))
    for number, step in enumerate(plan.steps, start=1):
        lines += layout.wrapped(step_text(step), f"{number}. ".rjust(6), "      ")
    lines += layout.wrapped(stop_text(plan), "  ", "     ")
    return [*lines, *layout.wrapped(HOW_TO_LOOK, "  ", "  ")]


def _chart(plan: Plan, layout: Layout) -> list[Line]:
    if not plan.pairs:
        return []
    head = f"Gear chart: the final drive ratio of each pair; the limit for the can is {plan.case.limit_c:.0f} °C"
    return [
        *layout.wrapped(Span(head, Style.HEAD)),
        *chart(plan, layout),
        *(line for text in legend(plan) for line in layout.wrapped(text, "  ", "     ")),
    ]


def _runs(plan: Plan, layout: Layout) -> list[Line]:
    items = runs_text(plan)
    return [_head("Track runs"), *_items(items, layout)] if items else []


def _assumed(plan: Plan, layout: Layout) -> list[Line]:
    lines = layout.wrapped(Span("Limits, gears, and what is assumed", Style.HEAD))
    lines += _items((f"{label}: {text}" for label, text in limits_text(plan)), layout)
    lines += _items(map(str, plan.case.assumed), layout)
    if plan.case.model is None:
        return lines
    head = "The band covers these constants of car and track, each with the range that holds nine in ten:"
    return [
        *lines,
        *_items([head], layout),
        *(
            line
            for assumption in plan.case.model.assumptions
            if assumption.value
            for line in layout.wrapped(f"{constant_text(assumption)}; {assumption.source}", "    ", "      ")
        ),
    ]


def _items(texts: Iterable[str], layout: Layout) -> list[Line]:
    return [line for text in texts if text for line in layout.wrapped(text, "  - ", "    ")]
