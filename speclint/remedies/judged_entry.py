"""What a search for remedies takes in, and what comes of it."""

from collections.abc import Sequence
from typing import NamedTuple

from speclint.places import Place
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.rules.checks import Check, Remedy, Verdict
from speclint.rules.judge import entry_verdict, judge, screened
from speclint.rules.rulebook import Rulebook


class JudgedEntry:
    """One entry of the car: its rules, its facts, where it stands, and what was found.

    Rules that the car plainly meets are judged when somebody asks for all checks: most reports of a legal car never do.

    Args:
        book: the rules.
        facts: what the car states.
        place: where the entry stands.
        checks: all of them, where they are not just what the rules say of the facts.

    Attributes:
        unsettled: the checks of all rules that are not plainly met: whatever is not legal, or a close call, is among them.
    """

    __slots__ = ("_checks", "_screened", "book", "facts", "place", "unsettled")

    def __init__(self, book: Rulebook, facts: Facts, place: Place, checks: tuple[Check, ...] | None = None) -> None:
        self.book = book
        self.facts = facts
        self.place = place
        self._checks = checks
        self._screened = screened(book, facts, place) if checks is None else checks
        self.unsettled = tuple(check for check in self._screened if check is not None)

    @property
    def checks(self) -> tuple[Check, ...]:
        """All checks, in the order of the class, and what changes later beside them."""
        if self._checks is None:
            self._checks = judge(self.book, self.facts, self.place, self._screened)
        return self._checks

    def verdict(self, problems: Sequence[Problem] = ()) -> tuple[Verdict, str]:
        """The verdict on the entry, and the reason where no rule gives one; `problems` are those of its files."""
        return entry_verdict(self.unsettled, self.book, problems, is_any_met=None in self._screened)

    def with_checks(self, checks: tuple[Check, ...]) -> "JudgedEntry":
        """The entry with these in place of its checks."""
        return JudgedEntry(self.book, self.facts, self.place, checks)


class CarRemedies(NamedTuple):
    """What makes one setup legal in all of its entries: remedies, the best first, or the reason why there is none."""

    file: str
    name: str
    remedies: tuple[Remedy, ...]
    reason: str
