"""The words by which the rules of a class tell races apart: a word that is none of them lets no car out in silence."""

from collections.abc import Iterator
from typing import Final

from speclint.forms.bodies import Table
from speclint.forms.one_of import OneOf
from speclint.rulesets.model import FlatClass

_USUAL: Final = {"entry.venue": ("indoor", "outdoor")}
"""What is written for a key whatever the rules say of it (common practice)."""

_OF_PEOPLE: Final = ("entry.driver", "entry.heat", "entry.number", "entry.round")
"""Of these there are always more than a rule names."""


class Vocabulary:
    """The words of a class, worked out once for all cars and only where they are asked for."""

    __slots__ = ("_flat", "_words")

    def __init__(self, flat: FlatClass) -> None:
        self._flat = flat
        self._words: dict[str, tuple[str, ...]] = {}

    def words(self, name: str) -> tuple[str, ...]:
        """The words for what an entry states under a key; nothing where the rules do not tell all races apart by it."""
        if not name.startswith("entry.") or name in _OF_PEOPLE:
            return ()
        words = self._words.get(name)
        if words is None:
            words = self._words[name] = tuple(sorted(self._told_apart(name)))
        return words

    def _told_apart(self, name: str) -> set[str]:
        limits = {condition.limit for rule in self._flat.rules for condition in rule.when if condition.quantity == name}
        named = [{str(value) for value in limit.values} for limit in limits if isinstance(limit, OneOf)]
        if len(named) < len(limits):
            return set()  # What has to be none of some words, or a number, holds for all others.
        usual = _USUAL.get(name, ())
        if not named or not (usual or not set.intersection(*named)):
            return set()
        return set(usual).union(*named, self._elsewhere(name))

    def _elsewhere(self, name: str) -> Iterator[str]:
        """Words that waivers and tables know."""
        for waiver in self._flat.waivers:
            for condition in waiver.when:
                if condition.quantity == name and isinstance(condition.limit, OneOf):
                    yield from map(str, condition.limit.values)
        for rule in self._flat.rules:
            if isinstance(rule.body, Table) and rule.body.by == name:
                yield from (key for key, _ in rule.body.rows)
