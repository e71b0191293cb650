"""The court: entries judged by the rules of their class on their day, which are worked out once for all cars in it."""

from datetime import date
from functools import partial

from speclint.findings import EntryResult
from speclint.models.cars import Car
from speclint.models.setups import Entry, Setup
from speclint.problems import Problem
from speclint.remedies.judged_entry import JudgedEntry
from speclint.rules.judge import entry_facts, entry_verdict, judge
from speclint.rules.rulebook import Rulebook, rulebook
from speclint.rulesets.library import NotFound
from speclint.rulesets.model import FlatClass
from speclint.workspace.entries import Overrides
from speclint.workspace.ruleset_index import RulesetIndex


class EntryJudge:
    """Judges entries; the rules of a class on a day are worked out once, however many cars are entered in it."""

    def __init__(self, index: RulesetIndex, asked: Overrides) -> None:
        self._shelf = index
        self._asked = asked
        self._books: dict[tuple[str, str | None, str, date], Rulebook | NotFound] = {}

    def judge(self, car: Car, entry: Entry) -> JudgedEntry | Problem:
        """The entry with all its checks, or the problem that keeps it from being judged."""
        document = car.setup.document
        key = (entry.ruleset, entry.version, entry.class_id, entry.on)
        book = self._books.get(key)
        if book is None:
            book = self._books[key] = self._book(entry)
        if isinstance(book, NotFound):
            part = {"unknown-class": "class", "not-in-force": "on"}.get(book.problem, "ruleset")
            return Problem(book.problem, book.message, document.place((*entry.path, part)))
        place = document.place(entry.path)
        facts = entry_facts(car, entry, book.flat)
        return JudgedEntry(book, facts, place, judge(book, facts, place))

    def result(self, setup: Setup, case: JudgedEntry) -> EntryResult:
        """What is told of an entry."""
        return EntryResult(
            file=setup.document.file,
            name=setup.name,
            flat=case.book.flat,
            digest_of=partial(self._shelf.library.digest, case.book.flat.ruleset),
            on=case.book.on,
            verdict=entry_verdict(case.checks),
            checks=case.checks,
            place=case.place,
        )

    def _book(self, entry: Entry) -> Rulebook | NotFound:
        index, known_on = self._shelf, self._asked.known_on
        ruleset = index.ruleset(entry.ruleset, entry.version, entry.on, known_on)
        if isinstance(ruleset, NotFound):
            return ruleset
        flat = index.library.flat(ruleset, entry.class_id, known_on)
        if isinstance(flat, NotFound):
            return flat
        following = index.library.following(ruleset, entry.on, known_on)
        coming = None if following is None else index.library.flat(following, entry.class_id, known_on)
        return rulebook(flat, entry.on, known_on, coming if isinstance(coming, FlatClass) else None)
