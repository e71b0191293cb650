"""What a class asks on a day: the rules that bind, those that begin later, and what the next version changes."""

from datetime import date
from typing import NamedTuple, assert_never

from speclint.forms.bodies import LimitTest, ToInspect, Withdrawn
from speclint.rulesets.amendments import binding
from speclint.rulesets.model import FlatClass, Rule


class NextVersion(NamedTuple):
    """The class in the ruleset's next version: the day on which that begins, and the rules that ask something else."""

    flat: FlatClass
    on: date
    rules: tuple[Rule, ...]


class Rulebook(NamedTuple):
    """A class on a day: the rules that bind, those that begin to bind later, and what the next version changes."""

    flat: FlatClass
    on: date
    known_on: date | None
    rules: tuple[Rule, ...]
    later: tuple[Rule, ...]
    next_version: NextVersion | None = None


def rulebook(flat: FlatClass, on: date, known_on: date | None = None, following: FlatClass | None = None) -> Rulebook:
    """What a class asks on a day, by what was published until `known_on`; `following` is its ruleset's next version."""
    rules = binding(flat, on, known_on)
    later = tuple(
        rule
        for rule in flat.rules
        if rule.period.start is not None
        and rule.period.start > on
        and rule.period.start in flat.ruleset.in_force
        and rule in binding(flat, rule.period.start, known_on)
    )
    return Rulebook(flat, on, known_on, rules, later, _changed(rules, flat, following, known_on))


def _changed(
    rules: tuple[Rule, ...], flat: FlatClass, following: FlatClass | None, known_on: date | None
) -> NextVersion | None:
    start = None if following is None else following.ruleset.in_force.start
    if following is None or start is None:
        return None
    asked = {rule.id: _asks(rule, flat) for rule in rules}
    changed = tuple(
        rule for rule in binding(following, start, known_on) if asked.get(rule.id) != _asks(rule, following)
    )
    return NextVersion(following, start, changed) if changed else None


def _asks(rule: Rule, flat: FlatClass) -> tuple[object, ...]:
    """What makes one rule ask the same as another, whatever the words around it."""
    decision = rule.decision or flat.decision
    match rule.body:
        case LimitTest(quantity, limit, read_to, uncorrected):
            return quantity, limit.requirement, rule.when, read_to, uncorrected, decision
        case ToInspect() | Withdrawn() as body:
            return type(body), body, rule.when
        case _ as body:
            assert_never(body)
