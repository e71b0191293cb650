"""A table held against a car: which row counts, and what it says."""

from typing import NamedTuple

from speclint.forms.bodies import LimitTest, Otherwise, Table
from speclint.forms.matching import misspelling, number_in
from speclint.forms.words import shown, values_of, written
from speclint.limits.decisions import Decision
from speclint.quantities.facts import Fact, Facts
from speclint.readings.measured import Number, value_of
from speclint.rules.checks import WORST_FIRST, TestResult, Verdict
from speclint.rules.rulebook import Rulebook
from speclint.rules.testing import tested


class RowResult(NamedTuple):
    """What a table says of a car: by a row, or why without one.

    Attributes:
        verdict: what comes out.
        row: the value that chose the row, with its name: `motor part A`.
        result: the row's test; None where no row has one for the car.
        fact: what chose the row.
        reason: why, where no test says it.
    """

    verdict: Verdict
    row: str
    result: TestResult | None
    fact: Fact
    reason: str


def row_result(table: Table, book: Rulebook, facts: Facts, decision: Decision) -> RowResult:
    """What the table says; of several values that choose rows, the lowest verdict of these."""
    by = facts.fact(table.by)
    if by.value is None:
        reason = by.reason or f"what is allowed depends on {', '.join(by.missing)}"
        return RowResult(Verdict.NOT_SHOWN, "", None, by, reason)
    results = [_of_value(value, by, table, book, facts, decision) for value in values_of(by)]
    return min(results, key=lambda result: _LOWEST_FIRST.index(result.verdict))


def _of_value(value: object, by: Fact, table: Table, book: Rulebook, facts: Facts, decision: Decision) -> RowResult:
    name = f"{by.quantity.title} {shown(value)}"
    row = next((row for key, row in table.rows if _is_row(value, key)), None)
    spelling = next(filter(None, (misspelling(value, key) for key, _ in table.rows)), "") if row is None else ""
    if spelling:
        verdict = Verdict.ILLEGAL if table.otherwise is Otherwise.ILLEGAL else Verdict.NOT_SHOWN
        return RowResult(verdict, "", None, by, spelling)
    test: LimitTest | Otherwise = row or table.otherwise
    if isinstance(test, LimitTest):
        result = tested(test, book, facts, decision)
        return RowResult(result.verdict, name, result, by, result.reason)
    reason = f"{name} stands in no row ({', '.join(key for key, _ in table.rows)})"
    match test:
        case Otherwise.ILLEGAL:
            return RowResult(Verdict.ILLEGAL, "", None, by, reason)
        case Otherwise.NOT_SHOWN:
            return RowResult(Verdict.NOT_SHOWN, "", None, by, reason)
        case Otherwise.FREE:
            return RowResult(Verdict.NOT_APPLICABLE, "", None, by, f"{reason}, and is free")


def _is_row(value: object, key: str) -> bool:
    if isinstance(value, Number):
        return number_in(key) == value_of(value)
    return key == (written(value) if isinstance(value, bool) else value)


_LOWEST_FIRST = (*WORST_FIRST, Verdict.NOT_APPLICABLE)
