"""Verdicts, and the check: one rule held against one entry."""

from datetime import date
from enum import Enum
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.forms.bodies import AnyOf, LimitTest
from speclint.forms.limit import Limit
from speclint.limits.decisions import Decision, Outcome, probability_of_any
from speclint.limits.verdicts import MEANINGS
from speclint.places import Path, Place
from speclint.quantities.facts import Fact
from speclint.rulesets.model import Rule


class Verdict(Enum):
    """What is said of a rule, or of a whole entry."""

    LEGAL = "legal"
    ILLEGAL = "illegal"
    NOT_SHOWN = "not-shown"
    TO_INSPECT = "to-inspect"
    NOT_APPLICABLE = "not-applicable"

    @property
    def words(self) -> str:
        """As people read it: `not shown`."""
        return self.value.replace("-", " ")


FAILING: Final = (Verdict.ILLEGAL, Verdict.NOT_SHOWN)
"""The verdicts that keep a car from being legal, the worst first."""

WORST_FIRST: Final = (*FAILING, Verdict.LEGAL)
"""What can be said of a whole entry."""


VERDICT_MEANINGS = {verdict: MEANINGS[verdict.value] for verdict in Verdict}
"""Every verdict in a sentence."""


class KeyChange(NamedTuple):
    """One value to put in the place of another: plain data, at a path from the top of the file."""

    file: str
    path: Path
    value: Any


class Remedy(NamedTuple):
    """A smallest change that makes something legal: what to change, what comes of it, and both in words.

    What is `by_hand` is done on the car and then measured, so that no file can be changed to it beforehand.
    `rebuilds` names the kinds of rebuild that the change is.
    """

    changes: tuple[KeyChange, ...]
    result: Fraction | None
    message: str
    by_hand: bool = False
    rebuilds: tuple[str, ...] = ()


class TestResult(NamedTuple):
    """One test held against one car.

    `fact` is what decided, `outcome` is there where a limit of size was held against a number. `reason` says in words
    why it is not shown or broken, where the numbers do not, and `missing` names the keys to add.
    """

    test: LimitTest
    verdict: Verdict
    fact: Fact
    outcome: Outcome | None
    reason: str
    missing: tuple[str, ...]

    @property
    def close_call(self) -> bool:
        """Whether the limit is closer to the value than its expanded uncertainty."""
        return self.outcome is not None and self.outcome.close_call


Result = tuple[TestResult, ...]
"""What became of one way to meet a rule: of every one of its tests."""


class LaterRule(NamedTuple):
    """A rule that changes after the entry's day, and the check that it will give then if nothing is changed.

    One that `ends` no longer binds from that day on.
    """

    on: date
    check: "Check"
    ends: bool = False

    @property
    def rule(self) -> Rule:
        """The rule as it will be."""
        return self.check.rule

    @property
    def verdict(self) -> Verdict:
        """What it will say."""
        return self.check.verdict


class Check(NamedTuple):
    """One rule held against one entry.

    `test` is what decided, with its limit as it is for this car; of several `ways` the one of index `told` decides, and
    `test` and what follows is the test that decides that one.
    `row` is what chose the row of a table: `motor part A`.
    `fact` is what the car shows of its quantity, None for what has none; `outcome` is there where a limit of
    size was held against a number. `reason` says in words why a check is not shown or does not apply, `missing`
    names the keys to add, `near` what it hangs on by less than an uncertainty, or by a word, and `nowhere` is the place to point at where there is no fact.
    """

    rule: Rule
    verdict: Verdict
    decision: Decision
    nowhere: Place
    fact: Fact | None = None
    outcome: Outcome | None = None
    reason: str = ""
    missing: tuple[str, ...] = ()
    waived: str = ""
    later: tuple[LaterRule, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    near: str = ""
    test: LimitTest | None = None
    ways: tuple[Result, ...] = ()
    told: int = 0
    row: str = ""

    @property
    def limit(self) -> Limit | None:
        """The limit that decided."""
        return self.test.limit if self.test is not None else None

    @property
    def quantity(self) -> str | None:
        """The quantity whose value decided, or that the rule is on."""
        return self.test.quantity if self.test is not None else self.rule.quantity

    @property
    def place(self) -> Place:
        """The key that a person would edit."""
        return self.fact.place if self.fact is not None else self.nowhere

    @property
    def measure(self) -> str:
        """How it is measured: as the rule says, else as the quantity is."""
        return self.rule.measure or ("" if self.fact is None else self.fact.quantity.measure)

    @property
    def close_call(self) -> bool:
        """Whether the limit, or a bound of a condition, is closer to the value than its expanded uncertainty.

        Of several ways the one that is told counts; where none is met, any that fails by close calls alone.
        """
        if self.near:
            return True
        if not self.ways:
            return self.outcome is not None and self.outcome.close_call
        if self.verdict is not Verdict.ILLEGAL:
            return any(test.close_call for test in self.ways[self.told])
        failing = ([test for test in way if test.verdict is Verdict.ILLEGAL] for way in self.ways)
        return any(tests and all(test.close_call for test in tests) for tests in failing)

    @property
    def probability(self) -> float | None:
        """The probability that the rule is met (JCGM 106 7.3, 7.4); None where no uncertainty is known.

        Of windows on one quantity that of all of them together; of other ways that of the one that is told, at least
        (Bonferroni's inequality), as another may be met as well.
        """
        if not self.ways:
            return None if self.outcome is None else self.outcome.probability
        if isinstance(self.rule.body, AnyOf) and self.rule.body.is_windows:
            outcomes = [test.outcome for way in self.ways for test in way if test.outcome is not None]
            return probability_of_any(outcomes)
        chances = [test.outcome.probability for test in self.ways[self.told] if test.outcome is not None]
        doubts = [1.0 - chance for chance in chances if chance is not None]
        return max(0.0, 1.0 - sum(doubts)) if doubts else None
