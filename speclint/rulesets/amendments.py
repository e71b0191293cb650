"""Rules over rules: what takes an inherited rule's place, amends it or withdraws it, and what binds on a day."""

from collections.abc import Mapping
from datetime import date

from speclint.moments import Period
from speclint.rulesets.model import FlatClass, Rule


def lay_over(rules: dict[str, Rule], own: tuple[Rule, ...]) -> None:
    """Puts a layer's rules over those below it. An inherited rule that is changed takes its amendments with it."""
    for rule in own:
        if rule.id in rules and not _withdraws_for_a_time(rule):
            for name in _followers(rules, rule.id):
                del rules[name]
    for rule in own:
        if rule.withdrawn and rule.replaces is None and not _withdraws_for_a_time(rule):
            rules.pop(rule.id, None)
        else:
            rules[name_of(rule)] = rule
    ordered = sorted(rules.values(), key=lambda rule: _position(rule, list(rules), rules))
    rules.clear()
    rules.update((name_of(rule), rule) for rule in ordered)


def _position(rule: Rule, order: list[str], rules: dict[str, Rule]) -> tuple[int, int]:
    """Where a rule stands in its class: an amendment where the rule stands that it amends, behind it."""
    root, depth = rule, 0
    while root.replaces in rules and depth < len(rules):
        root, depth = rules[root.replaces], depth + 1
    return order.index(root.id if root.id in rules else name_of(root)), depth


def _followers(rules: Mapping[str, Rule], rule_id: str) -> set[str]:
    """The names of everything that amends a rule, at once or by way of other amendments, and what withdraws it."""
    found: set[str] = set()
    reached = {rule_id}
    while True:
        more = {
            name
            for name, rule in rules.items()
            if name not in found and (rule.replaces in reached or (name != rule.id and rule.id in reached))
        } - {rule_id}
        if not more:
            return found
        found |= more
        reached |= {rules[name].id for name in more}


def _withdraws_for_a_time(rule: Rule) -> bool:
    """Whether it takes an inherited rule away between certain days only, so that both have to be kept."""
    return rule.withdrawn and rule.replaces is None and rule.period != Period()


def name_of(rule: Rule) -> str:
    """What tells a rule from the others of its class: a withdrawal for a time has the id of what it withdraws."""
    return f"{rule.id} withdrawn" if _withdraws_for_a_time(rule) else rule.id


def is_known(rule: Rule, known_on: date | None) -> bool:
    """Whether a rule was published until a day; one without a date of its own is as old as its ruleset."""
    return known_on is None or rule.published is None or rule.published <= known_on


def binding(flat: FlatClass, on: date, known_on: date | None = None) -> tuple[Rule, ...]:
    """The rules of a class that bind on a day: begun, not ended, not replaced, not withdrawn.

    Rules that were published after `known_on` are left out, as if they had not been written.
    """
    known = [rule for rule in flat.rules if is_known(rule, known_on)]
    ended = {
        rule.replaces
        for rule in known
        if rule.replaces is not None and (rule.period.start is None or rule.period.start <= on)
    }
    paused = [rule.id for rule in known if _withdraws_for_a_time(rule) and on in rule.period]
    if paused:
        by_name = {name_of(rule): rule for rule in known}
        ended.update(paused, *(_followers(by_name, rule_id) for rule_id in paused))
    return tuple(rule for rule in known if on in rule.period and rule.id not in ended and not rule.withdrawn)


def changes_after(flat: FlatClass, on: date, known_on: date | None = None) -> tuple[date, ...]:
    """The days after this one, within the ruleset's time, on which another set of rules begins to bind."""
    starts = {
        rule.period.start
        for rule in flat.rules
        if rule.period.start is not None and rule.period.start > on and is_known(rule, known_on)
    }
    end = flat.ruleset.in_force.end
    return tuple(sorted(day for day in starts if end is None or day <= end))
