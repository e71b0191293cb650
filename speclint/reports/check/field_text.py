"""A field of cars as text: a row for each entry, the worst first, in groups by ruleset, class and day."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby
from typing import Final, NamedTuple

from speclint.findings import EntryResult
from speclint.moments import day_text
from speclint.plain import clipped
from speclint.reports.check.deciding import MARKS, deciding, rank_of
from speclint.reports.check.rule_text import VERDICT_STYLES, ruleset_text
from speclint.reports.layout import Column, Layout, Line, Span, Style
from speclint.rules.checks import FAILING, Check, Verdict

_CAR, _CLASS, _RULESET, _TEXT, _CLAUSE = 44, 32, 60, 130, 16
"""Signs of each text that a row keeps: all of them together stay below 300 bytes."""

_COLUMNS: Final = (
    Column("car", 12, 3),
    Column("verdict", 9),
    Column("what decides it", 20, 1),
    Column("clause", 9, 2),
)


class FieldRow(NamedTuple):
    """What is kept of an entry until all are there; `rank` sorts the worst first."""

    ruleset: str
    on: date
    rank: int
    number: int
    mark: str
    car: str
    class_title: str
    verdict: Verdict
    text: str
    clause: str


def field_row(result: EntryResult, checks: Sequence[Check]) -> FieldRow:
    """The row of an entry, not numbered yet; `checks` are the rules that are asked about."""
    mark, text, clause = deciding(result, None if len(checks) == len(result.checks) else checks)
    verdict = result.verdict
    rank = rank_of(verdict) if verdict in FAILING else rank_of(verdict) + MARKS.find(mark) % (len(MARKS) + 1)
    return FieldRow(
        ruleset_text(result.flat.ruleset, _RULESET),
        result.on,
        rank,
        0,
        mark,
        clipped(result.name, _CAR),
        clipped(result.flat.title, _CLASS),
        verdict,
        clipped(text, _TEXT),
        clipped(clause, _CLAUSE),
    )


def field_table(rows: Sequence[FieldRow], layout: Layout) -> Iterator[Line]:
    """The table; the group with the worst entry comes first."""
    worst: dict[tuple[str, str, date], int] = {}
    for row in rows:
        worst[_group(row)] = min(worst.get(_group(row), row.rank), row.rank)
    failing = Counter(_group(row) for row in rows if row.verdict in FAILING)
    ranked = sorted(
        rows, key=lambda row: (worst[_group(row)], -failing[_group(row)], row.on, *_group(row), row.rank, row.number)
    )
    groups = [list(members) for _, members in groupby(ranked, key=_group)]
    cells = [_cells(group) for group in groups]
    widths = layout.widths(_COLUMNS, [row for group in cells for row in group], indent=4)
    for i, (group, group_cells) in enumerate(zip(groups, cells, strict=True)):
        if i:
            yield ()
        yield from layout.wrapped(Span(_heading(group), Style.HEAD), "", "  ")
        if widths is not None and i == 0:
            yield from layout.headings(_COLUMNS, widths, 4)
        for row, row_cells in zip(group, group_cells, strict=True):
            mark = Span(f"  {layout.clean(row.mark)} ", VERDICT_STYLES.get(row.verdict, Style.PLAIN))
            yield from _stacked(mark, row_cells, layout) if widths is None else layout.row(row_cells, widths, (mark,))


def _group(row: FieldRow) -> tuple[str, str, date]:
    return row.ruleset, row.class_title, row.on


def _heading(group: Sequence[FieldRow]) -> str:
    first = group[0]
    many = f" · {len(group)} cars" if len(group) > 1 else ""
    return f"{first.ruleset} · {first.class_title} · {day_text(first.on)}{many}"


def _cells(group: Sequence[FieldRow]) -> list[tuple[Span, ...]]:
    return [
        (
            Span(row.car),
            Span(row.verdict.words, VERDICT_STYLES.get(row.verdict, Style.PLAIN)),
            Span(row.text),
            Span(row.clause),
        )
        for row in group
    ]


def _stacked(mark: Span, cells: Sequence[Span], layout: Layout) -> list[Line]:
    car, verdict, text, clause = cells
    behind = f" ({clause.text})" if clause.text else ""
    told = (Span(f"{text.text}{behind}"),) if text.text else ()
    return layout.wrapped((Span(f"{car.text}:"), verdict, *told), mark, "      ")
