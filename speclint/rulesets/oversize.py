"""Rulesets that take longer to work out than anybody waits, because what is small in the text counts many times."""

from typing import Final

from speclint.documents.tree import Document
from speclint.problems import Problem
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass, Ruleset

_MOST_STEPS: Final = 300_000
"""Ten times what a national body's rulebook comes to."""

_MOST_WAIVABLE: Final = 3_000_000
"""A waiver is held against a rule ten times as quickly as a car."""


def oversize(ruleset: Ruleset, document: Document, library: Library) -> Problem | None:
    """The problem of a ruleset whose classes, look-ups or examples come to too much; None for any other."""
    looked_through = waivable = 0
    for class_id in ruleset.classes:
        flat = library.flat(ruleset, class_id)
        if isinstance(flat, FlatClass):
            looked_through += sum(
                len(flat.lists[list_id].items)
                for rule in flat.rules
                for _, list_id in rule.lists
                if list_id in flat.lists
            )
            waivable += len(flat.rules) * len(flat.waivers)
        elif flat.problem == "wrong-count":
            return Problem(flat.problem, flat.message, document.place(("classes",)))
        if looked_through > _MOST_STEPS:
            message = (
                f"the rules of {ruleset.name} look through lists of more than {_MOST_STEPS} items in all: shorten these"
            )
            return Problem("wrong-count", message, document.place(("lists",)))
        if waivable > _MOST_WAIVABLE:
            message = f"waivers times rules, class by class, come to more than {_MOST_WAIVABLE} in {ruleset.name}: leave out what is over"
            return Problem("wrong-count", message, document.place(("classes",)))
    flats = (library.flat(ruleset, example.class_id) for example in ruleset.examples)
    if sum(len(flat.rules) for flat in flats if isinstance(flat, FlatClass)) > _MOST_STEPS:
        message = f"the examples of {ruleset.name} try more than {_MOST_STEPS} rules in all: leave some out"
        return Problem("wrong-count", message, document.place(()))
    return None
