"""One test held against one car."""

from fractions import Fraction
from typing import Final

from speclint.forms.bodies import LimitTest
from speclint.forms.limit import Circumstances
from speclint.forms.parts_lists import DayLists
from speclint.limits.decisions import Decision, Ruling
from speclint.quantities.facts import Facts
from speclint.readings.measured import Measured, read_to
from speclint.rules.checks import TestResult, Verdict
from speclint.rules.rulebook import Rulebook


def tested(test: LimitTest, book: Rulebook, facts: Facts, decision: Decision, ways: int = 1) -> TestResult:
    """The limit held against the quantity, read as the test says; `ways` is how many others could take its place."""
    instrument = book.flat.instruments.get(test.instrument) if test.instrument is not None else None
    fact = facts.fact(test.quantity, instrument, uncorrected=test.uncorrected)
    if fact.value is None:
        return TestResult(test, Verdict.NOT_SHOWN, fact, None, fact.reason, fact.missing)
    if test.read_to is not None and isinstance(fact.value, Fraction | Measured):
        fact = fact._replace(value=read_to(fact.value, test.read_to), unrounded=fact.value, step=test.read_to)
    elif test.read_to is not None and isinstance(fact.value, tuple):
        step = test.read_to
        numbers = (read_to(value, step) if isinstance(value, Fraction | Measured) else value for value in fact.value)
        fact = fact._replace(value=tuple(numbers), step=step)
    circumstances = Circumstances(DayLists(book.flat.lists, book.on, book.flat.known_on), facts, ways, test.leeway)
    ruling, deciding, outcome, reason, missing, limit = test.limit.judge(fact, decision, circumstances)
    if limit is not None:
        test = test._replace(limit=limit)
    return TestResult(test, _VERDICTS[ruling], deciding, outcome, reason, missing)


_VERDICTS: Final = {
    Ruling.LEGAL: Verdict.LEGAL,
    Ruling.ILLEGAL: Verdict.ILLEGAL,
    Ruling.NOT_SHOWN: Verdict.NOT_SHOWN,
}
