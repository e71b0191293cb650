"""Entries with the rules that they are judged by, or why there are none and whose mistake that is."""

from typing import NamedTuple

from speclint.documents.tree import Document
from speclint.models.setups import Entry
from speclint.problems import Problem
from speclint.rules.rulebook import Rulebook
from speclint.rulesets.not_found import NotFound


class ResolvedEntry(NamedTuple):
    """An entry and the rules of its class on its day."""

    entry: Entry
    book: Rulebook


class UnresolvedEntry(NamedTuple):
    """An entry without rules. `is_overridden`: the file says nothing wrong, what the command line puts over it does."""

    entry: Entry
    why: NotFound
    is_overridden: bool

    def problem(self, document: Document) -> Problem:
        """The problem of the setup's line."""
        part = {"unknown-class": "class", "not-in-force": "on"}.get(self.why.problem, "ruleset")
        return Problem(self.why.problem, self.why.message, document.place((*self.entry.path, part)), self.why.file)
