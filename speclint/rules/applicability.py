"""Whether a rule, or a waiver, applies to a car: its own conditions, and those under which another rule has its place."""

from typing import NamedTuple

from speclint.forms.conditions import When, when_text
from speclint.quantities.facts import Fact, Facts
from speclint.rulesets.model import Rule


class Applicability(NamedTuple):
    """Whether a rule applies.

    Attributes:
        reason: why it does not; "" where it does, or where that is not known.
        unknown: the fact that it depends on and that is not known.
        near: a condition on which it hangs by less than the uncertainty of a reading, in words.
    """

    reason: str
    unknown: Fact | None
    near: str


class _Standing(NamedTuple):
    """Conditions of which all have to hold: those that do not, the first fact that is not known, and those that are near."""

    unmet: When
    unknown: Fact | None
    near: When


def applicability(rule: Rule, facts: Facts) -> Applicability:
    """Whether the rule applies to the car and the race."""
    standing = _standing(rule.when, facts)
    reason = f"applies where {when_text(standing.unmet[:1])}" if standing.unmet else ""
    near = standing.near if all(condition in standing.near for condition in standing.unmet) else ()
    unknown = standing.unknown
    for when in rule.unless:
        replaced = _standing(when, facts)
        near += replaced.near if all(condition in replaced.near for condition in replaced.unmet) else ()
        if not replaced.unmet and replaced.unknown is None:
            reason = reason or f"another rule has its place where {when_text(when)}"
        elif not replaced.unmet:
            unknown = unknown or replaced.unknown
    return Applicability(reason, None if reason else unknown, when_text(near))


def holds_wholly(when: When, facts: Facts) -> bool:
    """Whether all conditions are known to hold, as read."""
    standing = _standing(when, facts)
    return not standing.unmet and standing.unknown is None


def _standing(when: When, facts: Facts) -> _Standing:
    unmet: When = ()
    near: When = ()
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
        if condition.is_near(fact):
            near = (*near, condition)
    return _Standing(unmet, unknown, near)
