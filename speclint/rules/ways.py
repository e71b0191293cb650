"""Several ways to meet a rule: each is met by all of its tests, and the rule by one of them."""

from fractions import Fraction
from typing import Final, NamedTuple

from speclint.forms.bodies import AnyOf
from speclint.limits.decisions import Decision
from speclint.quantities.facts import Facts
from speclint.quantities.registry import quantity
from speclint.rules.checks import WORST_FIRST, Result, TestResult, Verdict
from speclint.rules.rulebook import Rulebook
from speclint.rules.testing import tested


class Ways(NamedTuple):
    """What became of each way, and which one is told: it decides, and its deciding test gives the check its numbers."""

    results: tuple[Result, ...]
    told: int

    @property
    def deciding(self) -> TestResult:
        """The test that decides the way that is told."""
        return min(self.results[self.told], key=_worst_first)


def ways_of(body: AnyOf, book: Rulebook, facts: Facts, decision: Decision) -> Ways:
    """Every way held against a car.

    Of one way the lowest verdict of its tests counts, one illegal among them decides; of the ways the highest does.
    """
    count = _different_readings(body)
    results = tuple(tuple(tested(test, book, facts, decision, count) for test in option) for option in body.options)
    best = max(WORST_FIRST.index(verdict_of(result)) for result in results)
    places = [place for place, result in enumerate(results) if WORST_FIRST.index(verdict_of(result)) == best]
    return Ways(results, min(places, key=lambda place: (*_RANKS[WORST_FIRST[best]](results[place]), place)))


def verdict_of(result: Result) -> Verdict:
    """The lowest verdict of a way's tests."""
    return min((test.verdict for test in result), key=WORST_FIRST.index)


def _different_readings(body: AnyOf) -> int:
    """How many ways there are that rest on different readings; several limits on one count once."""
    read = {
        frozenset(test.quantity for test in option if (named := quantity(test.quantity)) is None or not named.exact)
        for option in body.options
    }
    return max(1, len(read - {frozenset()}))


def _legal_rank(result: Result) -> tuple[Fraction, ...]:
    return (Fraction(any(test.close_call for test in result)),)


def _unshown_rank(result: Result) -> tuple[Fraction, ...]:
    return (Fraction(len({key for test in result for key in test.missing})),)


def _illegal_rank(result: Result) -> tuple[Fraction, ...]:
    """Fewest failing tests first, then the one that is broken by the least share of its limit; a text last."""
    failing = [test for test in result if test.verdict is Verdict.ILLEGAL]
    shares = [relative_margin(test) for test in failing]
    nearest = min((share for share in shares if share is not None), default=None)
    return Fraction(len(failing)), Fraction(nearest is None), -(nearest or Fraction(0))


def relative_margin(test: TestResult) -> Fraction | None:
    """The margin as a share of the limit; None where there is no number."""
    outcome = test.outcome
    return None if outcome is None else outcome.margin / abs(outcome.limit or Fraction(1))


def _worst_first(test: TestResult) -> tuple[int, bool, bool, Fraction]:
    share = relative_margin(test)
    return WORST_FIRST.index(test.verdict), not test.close_call, share is None, share or Fraction(0)


_RANKS: Final = {Verdict.LEGAL: _legal_rank, Verdict.NOT_SHOWN: _unshown_rank, Verdict.ILLEGAL: _illegal_rank}
