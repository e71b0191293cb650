"""A ruleset's own examples: setups that it carries as tests, and whether its rules say of them what it expects."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.places import Place
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.rules.checks import Check
from speclint.rules.judge import judge
from speclint.rules.rulebook import Rulebook
from speclint.rules.wording import message
from speclint.rulesets.amendments import binding
from speclint.rulesets.library import Library
from speclint.rulesets.model import Example, Instruments, Ruleset
from speclint.rulesets.not_found import NotFound


class ExampleResult(NamedTuple):
    """What one rule said of one example, beside what was expected; `check` is None where no such rule binds."""

    example: Example
    rule: str
    expected: str
    found: str
    check: Check | None
    place: Place

    @property
    def holds(self) -> bool:
        """Whether the rule said what was expected."""
        return self.expected == self.found


def run_examples(ruleset: Ruleset, document: Document, library: Library) -> Iterator[ExampleResult]:
    """Every expectation of every example of a sound ruleset, in the order of the file."""
    books: dict[tuple[str, date], Rulebook] = {}
    for example in ruleset.examples:
        flat = library.flat(ruleset, example.class_id)
        if isinstance(flat, NotFound):
            continue
        book = books.get((example.class_id, example.on))
        if book is None:
            # What comes after the day changes no verdict on it.
            rules = binding(flat, example.on)
            book = books[example.class_id, example.on] = Rulebook.of(flat, example.on, rules)
        checks = {check.rule.id: check for check in checks_of(example, document, book.only(example.expect))}
        for rule, expected in example.expect.items():
            check = checks.get(rule)
            verdict_word = check.verdict.value if check is not None else "not in force"
            place = document.place(("examples", example.number, "expect", rule))
            yield ExampleResult(example, rule, expected, verdict_word, check, place)


def checks_of(example: Example, document: Document, book: Rulebook) -> tuple[Check, ...]:
    """What the rules of a class on the day say of an example, which stands in the document."""
    path, flat = ("examples", example.number, "entry"), book.flat
    facts = Facts(
        _car(example, document, flat.instruments),
        on=example.on,
        reference_c=flat.reference_c,
        entry_keys=example.entry,
        entry_path=path,
    )
    return judge(book, facts, document.place(path))


def example_problems(results: Iterable[ExampleResult], ruleset: Ruleset, library: Library) -> Iterator[Problem]:
    """A problem for each expectation of a ruleset's examples that does not hold."""
    for result in results:
        # A rule that the class does not have at all is told as a name that leads nowhere.
        if not result.holds and (result.check is not None or _has(library, ruleset, result)):
            why = f": {message(result.check)}" if result.check is not None else f" on {result.example.on}"
            yield Problem(
                "example-fails",
                f'example "{result.example.about}": {result.rule} should be {result.expected}, and is {result.found}{why}',
                result.place,
            )


def _has(library: Library, ruleset: Ruleset, result: ExampleResult) -> bool:
    flat = library.flat(ruleset, result.example.class_id)
    return not isinstance(flat, NotFound) and any(rule.id == result.rule for rule in flat.rules)


def _car(example: Example, document: Document, official: Instruments) -> Car:
    """The example's setup, which stands in the ruleset's own file."""
    top = ("examples", example.number, "setup")
    inner = document.part(top) if document.has(top) else replace(document.part(top[:2]), data={})
    motor = motor_of(inner, ("motor",)) if isinstance(example.setup.get("motor"), dict) else None
    setup = setup_of(inner)._replace(name=example.about)
    described = {**official, **(motor.instruments if motor is not None else {}), **setup.instruments}
    return Car(setup, motor, "", described)
