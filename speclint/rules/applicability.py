"""Whether a rule, or a waiver, applies to a car: its own conditions, and those under which another rule has its place."""

from typing import Final, NamedTuple

from speclint.forms.conditions import Condition, When, when_text
from speclint.forms.none_of import NoneOf
from speclint.forms.words import values_of, written
from speclint.quantities.facts import Fact, Facts
from speclint.rules.vocabulary import Vocabulary
from speclint.rulesets.model import Rule


class Applicability(NamedTuple):
    """Whether a rule applies.

    Attributes:
        reason: why it does not; "" where it does, or where that is not known.
        unknown: the fact that it depends on and that is not known.
        near: the conditions on which it hangs by less than the uncertainty of a reading, by a letter, or by a word that
            the rules do not know, in words.
    """

    reason: str
    unknown: Fact | None
    near: str


class _Standing(NamedTuple):
    """Conditions of which all have to hold: those that do not, the first fact that is not known, and how near they are.

    `near` is in words; it is empty where a condition that does not hold is well clear.
    """

    unmet: When
    unknown: Fact | None
    near: tuple[str, ...]


def applicability(rule: Rule, facts: Facts, vocabulary: Vocabulary) -> Applicability:
    """Whether the rule applies to the car and the race, by the words of its class."""
    standing = _standing(rule.when, facts, vocabulary)
    near = standing.near
    reason = f"applies where {_joined(near) or when_text(standing.unmet[:1])}" if standing.unmet else ""
    unknown = standing.unknown
    for when in rule.unless:
        replaced = _standing(when, facts, vocabulary)
        near += replaced.near
        if not replaced.unmet and replaced.unknown is None:
            reason = reason or f"another rule has its place where {when_text(when)}"
        elif not replaced.unmet:
            unknown = unknown or replaced.unknown
    hangs = f"whether this rule applies hangs on {_joined(near)}" if near else ""
    return Applicability(reason, None if reason else unknown, hangs)


def _joined(near: tuple[str, ...]) -> str:
    return " and ".join(near)


def holds_wholly(when: When, facts: Facts) -> bool:
    """Whether all conditions are known to hold, as read; a slip of the pen for a barred word is none that holds."""
    standing = _standing(when, facts, None)
    if standing.unmet or standing.unknown is not None:
        return False
    barring = (condition for condition in when if isinstance(condition.limit, NoneOf))
    return not any(condition.nearness(facts.fact(condition.quantity)) for condition in barring)


def _standing(when: When, facts: Facts, vocabulary: Vocabulary | None) -> _Standing:
    unmet: When = ()
    near: tuple[str, ...] = ()
    is_clear = False
    unknown: Fact | None = None
    for condition in when:
        fact = facts.fact(condition.quantity)
        if fact.value is None:
            # Another condition may still say that it does not hold, whatever this one would be.
            unknown = unknown or fact
            continue
        holds = condition.holds(fact)
        if isinstance(holds, str):
            reason = f"whether this rule applies depends on {condition.quantity}: {holds}"
            unknown = unknown or fact._replace(reason=reason)
        elif not holds:
            unmet = (*unmet, condition)
        nearness = condition.nearness(fact)
        if not (holds or nearness or vocabulary is None):
            nearness = _strangeness(condition, fact, vocabulary)
        if nearness:
            near = (*near, nearness)
        is_clear = is_clear or not (holds or nearness)
    return _Standing(unmet, unknown, () if is_clear else near)


def _strangeness(condition: Condition, fact: Fact, vocabulary: Vocabulary) -> str:
    """Why a word that does not meet a condition may mean one that does: that no rule knows it; "" where one does."""
    words = vocabulary.words(condition.quantity)
    strange = next((value for value in values_of(fact) if words and str(value) not in words), None)
    if strange is None:
        return ""
    more = f" and {len(words) - _MOST_WORDS} more" if len(words) > _MOST_WORDS else ""
    words_text = f"{', '.join(words[:_MOST_WORDS])}{more}"
    return f"{condition.words}; {written(strange)} is none of the words that the rules know ({words_text})"


_MOST_WORDS: Final = 8
"""As many as stand in a sentence."""
