"""What one run found out, as values that know no output format."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from speclint.advice.model import Advice
from speclint.places import Place
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.remedies.judged_entry import CarRemedies
from speclint.rules.checks import Check, Verdict
from speclint.rulesets.model import FlatClass


class EntryResult(NamedTuple):
    """One entry with all its checks, in the order of the class's rules; `reason` says why, where no check does."""

    file: str
    name: str
    flat: FlatClass
    digest_of: Callable[[], str]
    on: date
    verdict: Verdict
    checks: tuple[Check, ...]
    place: Place
    facts: Facts
    reason: str = ""

    @property
    def digest(self) -> str:
        """The digest of the ruleset with all that it builds on; worked out when a report wants it."""
        return self.digest_of()


class NotJudged(NamedTuple):
    """A setup, or one of its entries, that could not be judged at all, and why."""

    file: str
    reason: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """Everything that one run found, in a stable order: by file, then by entry, then by rule."""

    files: int
    setups: int
    entries: tuple[EntryResult, ...]
    problems: tuple[Problem, ...]
    car_remedies: tuple[CarRemedies, ...]
    advice: tuple[Advice, ...]
    not_judged: tuple[NotJudged, ...]
    not_entered: tuple[NotJudged, ...] = ()
    """Sound setups without an entry, and what to do to have them judged; they are no failure."""

    def count(self, verdict: Verdict) -> int:
        """How many entries have this verdict."""
        return sum(1 for entry in self.entries if entry.verdict is verdict)

    @property
    def close_calls(self) -> int:
        """How many checks are closer to their limit than their uncertainty."""
        return sum(1 for entry in self.entries for check in entry.checks if check.close_call)

    def failed(self, *, strict: bool) -> bool:
        """Whether the run found something illegal, or a problem; under `strict` also what is not shown or close."""
        if self.problems or self.not_judged or self.count(Verdict.ILLEGAL):
            return True
        return strict and bool(self.count(Verdict.NOT_SHOWN) or self.close_calls)
