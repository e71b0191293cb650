"""The rules of a class over its season: what binds from which day to which, amendments beside what they amend."""

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from speclint.moments import Period, day_after, day_before
from speclint.rulesets.amendments import binding
from speclint.rulesets.model import FlatClass, Rule


class Stretch(NamedTuple):
    """A rule for as long as it binds without a break, both days counted in; None for a season without an end."""

    rule: Rule
    start: date
    end: date | None


class Turn(NamedTuple):
    """A day on which a rule begins, gives way to another, or ends; None for nothing."""

    day: date
    before: Rule | None
    after: Rule | None


class Thread(NamedTuple):
    """A rule with all that amends it: `id` is that of the first, so that links to it stay."""

    id: str
    stretches: tuple[Stretch, ...]

    def turns(self, season: Period) -> Iterator[Turn]:
        """Every change within a season: its day, and what bound before and binds from then on."""
        before: Stretch | None = None
        for stretch in self.stretches:
            if before is not None and before.end is not None and day_after(before.end) < stretch.start:
                yield Turn(day_after(before.end), before.rule, None)
                before = None
            if stretch.start != season.start:
                yield Turn(stretch.start, None if before is None else before.rule, stretch.rule)
            before = stretch
        if before is not None and before.end is not None and before.end != season.end:
            yield Turn(day_after(before.end), before.rule, None)


def threads_of(flat: FlatClass) -> tuple[Thread, ...]:
    """The rules of a class in its order, each with what becomes of it within the days of its ruleset."""
    stretches: dict[str, list[Stretch]] = {}
    days = days_of_change(flat)
    for start, following in zip(days, (*days[1:], None), strict=True):
        end = flat.ruleset.in_force.end if following is None else day_before(following)
        for rule in binding(flat, start):
            stretch_list = stretches.setdefault(root_of(rule, flat), [])
            going_on = next((i for i, earlier in enumerate(stretch_list) if _goes_on(earlier, rule, start)), None)
            if going_on is None:
                stretch_list.append(Stretch(rule, start, end))
            else:
                stretch_list[going_on] = stretch_list[going_on]._replace(end=end)
    order = {rule.id: i for i, rule in reversed(list(enumerate(flat.rules)))}
    roots = sorted(stretches, key=lambda root: min(order[stretch.rule.id] for stretch in stretches[root]))
    return tuple(Thread(root, tuple(sorted(stretches[root], key=lambda stretch: stretch.start))) for root in roots)


def days_of_change(flat: FlatClass) -> tuple[date, ...]:
    """The first day of the ruleset, and every later one on which a rule begins, or has ended the day before."""
    season = flat.ruleset.in_force
    first = season.start or date.min
    days = {first}
    for rule in flat.rules:
        days |= {day for day in (rule.period.start, _after(rule.period.end)) if day is not None}
    return tuple(sorted(day for day in days if day >= first and (season.end is None or day <= season.end)))


def _after(day: date | None) -> date | None:
    return None if day is None else day_after(day)


def _goes_on(earlier: Stretch, rule: Rule, start: date) -> bool:
    return earlier.rule is rule and earlier.end == day_before(start)


def root_of(rule: Rule, flat: FlatClass) -> str:
    """The id of the rule that is amended in the end."""
    replaced = {candidate.id: candidate.replaces for candidate in flat.rules}
    root, seen = rule.id, {rule.id}
    while (earlier := replaced.get(root)) is not None and earlier not in seen:
        root = earlier
        seen.add(root)
    return root
