"""A table held against a car: which row counts, and what it says."""

from typing import NamedTuple

from speclint.forms.bodies import LimitTest, Otherwise, Table
from speclint.forms.matching import is_slip, misspelling, number_in, slip_of
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
        near: a row that may have been meant, by a slip of the pen, where none counts.
    """

    verdict: Verdict
    row: str
    result: TestResult | None
    fact: Fact
    reason: str
    near: str = ""


def row_result(table: Table, book: Rulebook, facts: Facts, decision: Decision) -> RowResult:
    """What the table says; of several values that choose rows, the lowest verdict of these."""
    by = facts.fact(table.by)
    if by.value is None:
        reason = by.reason or f"what is allowed depends on {', '.join(by.missing)}"
        return RowResult(Verdict.NOT_SHOWN, "", None, by, reason)
    results = [_of_value(value, by, table, book, facts, decision) for value in values_of(by)]
    lowest = min(results, key=_rank)
    return lowest if lowest.near else lowest._replace(near=next((result.near for result in results if result.near), ""))


def _of_value(value: object, by: Fact, table: Table, book: Rulebook, facts: Facts, decision: Decision) -> RowResult:
    name = f"{by.quantity.title} {shown(value)}"
    row = next((row for key, row in table.rows if _is_row(value, key)), None)
    spelling = next(filter(None, (misspelling(value, key) for key, _ in table.rows)), "") if row is None else ""
    if spelling:
        verdict = Verdict.ILLEGAL if table.otherwise is Otherwise.ILLEGAL else Verdict.NOT_SHOWN
        return RowResult(verdict, "", None, by, spelling)
    test: LimitTest | Otherwise = row or table.otherwise
    slip = slip_of(value, [key for key, _ in table.rows]) if row is None and test not in _DECIDED else ""
    near = f"which row counts hangs on {by.quantity.title}: {slip}" if slip else ""
    results = [_of_test(name, test, by, near, book, facts, decision)] if isinstance(test, LimitTest) else []
    if near and decision is Decision.MUST_SHOW:
        # What the row asks that may be meant has to be met as well.
        key, meant = next((key, test) for key, test in table.rows if is_slip(value, key))
        stricter = _of_test(f"{by.quantity.title} {key}", meant, by, near, book, facts, decision)
        is_met = stricter.verdict is Verdict.LEGAL
        results.append(stricter if is_met else stricter._replace(verdict=Verdict.NOT_SHOWN))
    if results:
        return min(results, key=_rank)
    return _in_no_row(name, by, table, slip, near)


def _in_no_row(name: str, by: Fact, table: Table, slip: str, near: str) -> RowResult:
    reason = f"{name} stands in no row ({', '.join(key for key, _ in table.rows)})"
    if table.otherwise is Otherwise.FREE:
        free = f"{reason}, and is free{f'; {slip}' if slip else ''}"
        return RowResult(Verdict.NOT_APPLICABLE, "", None, by, free, near)
    verdict = Verdict.ILLEGAL if table.otherwise is Otherwise.ILLEGAL else Verdict.NOT_SHOWN
    return RowResult(verdict, "", None, by, reason)


def _of_test(
    name: str, test: LimitTest, by: Fact, near: str, book: Rulebook, facts: Facts, decision: Decision
) -> RowResult:
    result = tested(test, book, facts, decision)
    return RowResult(result.verdict, name, result, by, result.reason, near)


def _rank(result: RowResult) -> int:
    return _LOWEST_FIRST.index(result.verdict)


def _is_row(value: object, key: str) -> bool:
    if isinstance(value, Number):
        return number_in(key) == value_of(value)
    return key == (written(value) if isinstance(value, bool) else value)


_LOWEST_FIRST = (*WORST_FIRST, Verdict.NOT_APPLICABLE)
_DECIDED = (Otherwise.ILLEGAL, Otherwise.NOT_SHOWN)
"""What lets no car pass, whichever row was meant."""
