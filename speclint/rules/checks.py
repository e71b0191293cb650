"""Verdicts, and the check: one rule held against one entry."""

from datetime import date
from enum import Enum
from fractions import Fraction
from typing import Any, NamedTuple

from speclint.limits.decisions import Decision, Outcome
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


VERDICT_MEANINGS = {
    Verdict.LEGAL: "The setup states what the rule needs, and the rule is met.",
    Verdict.ILLEGAL: "The rule is broken. One such rule makes the entry illegal.",
    Verdict.NOT_SHOWN: "The setup does not state what is needed, or what it states cannot decide. It never counts as met.",
    Verdict.TO_INSPECT: "Only a person can judge it. It stands beside the entry's verdict and does not change it.",
    Verdict.NOT_APPLICABLE: "The rule does not bind this entry, or the club has waived it.",
}
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

    `fact` is what the car shows of the rule's quantity, None for what has none; `outcome` is there where a limit of
    size was held against a number. `reason` says in words why a check is not shown or does not apply, `missing`
    names the keys to add, `near` a condition within its uncertainty, and `nowhere` is the place to point at where there is no fact.
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

    @property
    def place(self) -> Place:
        """The key that a person would edit."""
        return self.fact.place if self.fact is not None else self.nowhere

    @property
    def close_call(self) -> bool:
        """Whether the limit, or a bound of a condition, is closer to the value than its expanded uncertainty."""
        return bool(self.near) or (self.outcome is not None and self.outcome.close_call)
