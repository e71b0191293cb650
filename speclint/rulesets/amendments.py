"""Which rules of a class bind on a day: begun, not ended, and not displaced by others."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Final

from speclint.forms.conditions import When
from speclint.moments import Period, day_after
from speclint.rulesets.model import FlatClass, Rule


def binding(flat: FlatClass, on: date) -> tuple[Rule, ...]:
    """The rules of a class that bind on a day.

    A rule is displaced on the days of those that replace it or, with its own id, take its place for a time: it binds
    to the day before they begin, and again from the day after they end. Where they apply to some cars only, it binds
    on, with their conditions under `unless`.
    """
    begun = [(index, rule) for index, rule in enumerate(flat.rules) if on in rule.period]
    ended: set[int] = set()
    unless: dict[int, list[When]] = {}
    for displaced, when in displacements(flat, (index for index, _ in begun)):
        if when:
            unless.setdefault(displaced, []).append(when)
        else:
            ended.add(displaced)
    return tuple(
        rule if index not in unless else rule._replace(unless=tuple(dict.fromkeys(unless[index])))
        for index, rule in begun
        if index not in ended and not rule.withdrawn
    )


def displacements(flat: FlatClass, indexes: Iterable[int]) -> Iterator[tuple[int, When]]:
    """The rules whose place some take, at once or by way of others, and for which cars; () means for all of them.

    Each is told once, whichever of the rules it comes from: of a long chain of amendments every step is taken once.
    """
    reached: set[tuple[int, When]] = set()
    for index in indexes if flat.displaced else ():
        if not flat.displaced[index]:
            continue
        pending: list[tuple[int, When]] = [(index, ())]
        while pending:
            current, when = pending.pop()
            rule = flat.rules[current]
            # What is stated anew under its own id has the old text's place for all cars, whatever its own conditions.
            conditions = rule.when if rule.replaces is not None or rule.withdrawn else ()
            for displaced in flat.displaced[current]:
                step = displaced, tuple(dict.fromkeys((*when, *conditions))) if conditions else when
                if step not in reached:
                    reached.add(step)
                    pending.append(step)
                    yield step


def days_of_change(period: Period) -> Iterator[date]:
    """The first day of a period, and the first after it."""
    if period.start is not None:
        yield period.start
    if period.end is not None and period.end < date.max:
        yield day_after(period.end)


def changes_after(flat: FlatClass, on: date, until: date | None = None) -> tuple[date, ...]:
    """The days after this one on which other rules, or other items of lists, may count.

    Args:
        flat: the class.
        on: the day.
        until: a day on which something else takes over; the ruleset's own last day ends it anyway.
    """
    in_force = flat.ruleset.in_force
    looked_into = (
        {list_id for rule in flat.rules for _, list_id in rule.lists} & flat.lists.keys() if flat.lists else ()
    )
    periods = [rule.period for rule in flat.rules]
    periods += [item.period for list_id in looked_into for item in flat.lists[list_id].items]
    days = {day for period in periods for day in days_of_change(period)}
    ahead = sorted(day for day in days if day > on and day in in_force and (until is None or day < until))
    return tuple(ahead[: _MOST_STEPS // max(1, len(periods))])


_MOST_STEPS: Final = 200_000
"""Days times what has a period, which is looked at anew on each: of more days than that the first are told."""
