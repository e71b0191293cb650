"""One test held against one car."""

from fractions import Fraction
from typing import Final

from speclint.forms.bodies import LimitTest
from speclint.forms.limit import Circumstances
from speclint.limits.decisions import Decision, Outcome, Ruling
from speclint.quantities.facts import AS_STATED, Facts, ReadingTerms
from speclint.readings.measured import Number, read_to
from speclint.rules.checks import TestResult, Verdict
from speclint.rules.rulebook import Rulebook


def tested(test: LimitTest, book: Rulebook, facts: Facts, decision: Decision, ways: int = 1) -> TestResult:
    """The limit held against the quantity, read as the test says; `ways` is how many others could take its place."""
    instrument = book.flat.instruments.get(test.instrument) if test.instrument is not None else None
    terms = AS_STATED
    if instrument is not None or test.uncorrected or test.taken or test.reference_c is not None:
        terms = ReadingTerms(instrument, test.uncorrected, test.reference_c, test.taken)
    fact = facts.fact(test.quantity, terms)
    if fact.value is None:
        return TestResult(test, Verdict.NOT_SHOWN, fact, None, fact.reason, fact.missing)
    step = test.read_to
    if step is not None and isinstance(fact.value, Number):
        fact = fact._replace(value=_read_to(fact.value, step, test), unrounded=fact.value, step=step)
    elif step is not None and isinstance(fact.value, tuple):
        values = (_read_to(value, step, test) if isinstance(value, Number) else value for value in fact.value)
        fact = fact._replace(value=tuple(values), step=step)
    circumstances = Circumstances(book.lists, facts, ways, test.leeway)
    ruling, deciding, outcome, reason, missing, limit = test.limit.judge(fact, decision, circumstances)
    if limit is not None:
        test = test._replace(limit=limit)
    if decision is Decision.BENEFIT_OF_DOUBT and outcome is not None and _buys_too_much(outcome):
        ruling, reason = Ruling.NOT_SHOWN, _TOO_MUCH
    return TestResult(test, _VERDICTS[ruling], deciding, outcome, reason, missing)


def _buys_too_much(outcome: Outcome) -> bool:
    """Whether a broken limit passes by a doubt so large that the reading shows nothing, as where its unit is mistaken.

    Between two limits that is more than their whole distance and a tenth of them, beside one limit more than half of it.
    """
    if outcome.ruling is not Ruling.LEGAL or not outcome.expanded_uncertainty or outcome.margin.numerator >= 0:
        return False
    low, high = outcome.limits.low, outcome.limits.high
    size = abs(outcome.limit)
    most = size / 2 if low is None or high is None else max(high - low, size / 10)
    return 0 < most < outcome.expanded_uncertainty


_TOO_MUCH: Final = "the limit is broken, and the reading can be off by so much that it shows nothing: measure it better"


def _read_to(value: Number, step: Fraction, test: LimitTest) -> Number:
    """A value read to a step as the rulebook counts it, in its own unit: steps of °F lie elsewhere than those of °C."""
    if test.written is None:
        return read_to(value, step)
    return test.written.reversed.number(read_to(test.written.number(value), test.written.difference(step)))


_VERDICTS: Final = {
    Ruling.LEGAL: Verdict.LEGAL,
    Ruling.ILLEGAL: Verdict.ILLEGAL,
    Ruling.NOT_SHOWN: Verdict.NOT_SHOWN,
}
