"""What a search for remedies takes in, and what comes of it."""

from typing import NamedTuple

from speclint.places import Place
from speclint.quantities.facts import Facts
from speclint.rules.checks import Check, Remedy
from speclint.rules.rulebook import Rulebook


class JudgedEntry(NamedTuple):
    """One entry of the car: its rules, its facts, where it stands, and what was found."""

    book: Rulebook
    facts: Facts
    place: Place
    checks: tuple[Check, ...]


class CarRemedies(NamedTuple):
    """What makes one setup legal in all of its entries: remedies, the best first, or the reason why there is none."""

    file: str
    name: str
    remedies: tuple[Remedy, ...]
    reason: str
