"""Rules and days: published too late, dated out of the season, or with a gap between them."""

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from itertools import accumulate
from typing import TYPE_CHECKING, Final

from speclint.advice.limits import example, own_rules
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.moments import Period, day_after, day_text
from speclint.rules.wording import rule_title
from speclint.rulesets.not_found import NotFound

if TYPE_CHECKING:
    from speclint.forms.conditions import When
    from speclint.rulesets.model import Rule


def _published_late(case: RulesetCase) -> Iterator[Observation]:
    ruleset = case.ruleset
    start = ruleset.in_force.start
    if ruleset.published is not None and start is not None and ruleset.published > start:
        yield Observation(
            f"{ruleset.name} was published on {day_text(ruleset.published)}, and is in force from {day_text(start)}: nobody"
            " could know it on the days between",
            case.document.place(("published",)),
        )
    for _, rule, path in own_rules(case):
        first = rule.period.start or start
        if rule.published is not None and first is not None and rule.published > first:
            yield Observation(
                f"{rule.id} was published on {day_text(rule.published)}, and binds from {day_text(first)}: nobody could know"
                " it on the days between. Give it a later `from`",
                case.document.place((*path, "published")),
            )


def _out_of_season(case: RulesetCase) -> Iterator[Observation]:
    season = case.ruleset.in_force
    places = [(rule.id, rule.period, (*path, "id")) for _, rule, path in own_rules(case)]
    places += [
        (f"the waiver of {waiver.rule}", waiver.period, ("waivers", index))
        for index, waiver in enumerate(case.ruleset.waivers)
    ]
    for name, period, path in places:
        if is_apart(period, season):
            yield Observation(
                f"{name} {period.text}, and {case.ruleset.name} is in force {season.text}: look at the year",
                case.document.place(path),
            )


def _out_of_order(case: RulesetCase) -> Iterator[Observation]:
    """Days that come before others that they follow."""
    ruleset = case.ruleset
    checked, published, end = ruleset.data.get("checked_on"), ruleset.published, ruleset.in_force.end
    if checked is not None and published is not None and checked < published.isoformat():
        yield Observation(
            f"{ruleset.name} was last held against the official text on {checked}, before it was published on"
            f" {day_text(published)}: look at the year",
            case.document.place(("checked_on",)),
        )
    for list_id, parts in ruleset.lists.items():
        if parts.frozen_on is not None and end is not None and parts.frozen_on > end:
            yield Observation(
                f"the list {list_id} froze on {day_text(parts.frozen_on)}, after {ruleset.name} ends on {day_text(end)}: look at"
                " the year",
                case.document.place(("lists", list_id, "frozen_on")),
            )


def is_apart(period: Period, season: Period) -> bool:
    """Whether two periods have no day in common."""
    return (period.start is not None and season.end is not None and period.start > season.end) or (
        period.end is not None and season.start is not None and period.end < season.start
    )


def _example_day(case: RulesetCase) -> Iterator[Observation]:
    for shown in case.ruleset.examples:
        if shown.on not in case.ruleset.in_force:
            yield Observation(
                f'the example "{shown.about}" is on {day_text(shown.on)}, a day on which {case.ruleset.name} is not in force: look at'
                " the year",
                case.document.place(("examples", shown.number, "on")),
            )


def _gap(case: RulesetCase) -> Iterator[Observation]:
    """Days between two rules on one quantity on which neither binds."""
    for class_id, rules in case.ruleset.classes.items():
        flat = case.library.flat(case.ruleset, class_id)
        alike: dict[tuple[str | None, When], list[Rule]] = {}
        for rule in () if isinstance(flat, NotFound) else flat.rules:
            alike.setdefault((rule.quantity, rule.when), []).append(rule)
        first_after = {key: _first_after_a_gap(of_key) for key, of_key in alike.items()}
        for index, rule in enumerate(rules.rules):
            end, key = rule.period.end, (rule.quantity, rule.when)
            if end is None or rule.quantity is None or rule.replaces is not None or key not in first_after:
                continue
            first = first_after[key](day_after(end))
            if first is not None:
                yield Observation(
                    f"{rule.id} ends on {day_text(end)} and {first.id} begins on {day_text(first.period.start or end)}: on the"
                    f" days between nothing limits the {rule_title(rule)}",
                    case.document.place(("classes", class_id, "rules", index, "until")),
                )


def _first_after_a_gap(rules: "Sequence[Rule]") -> "Callable[[date], Rule | None]":
    """By a day the first of the rules that begins later; None where one binds on the day, or none begins later."""
    in_order = sorted(rules, key=lambda rule: rule.period.start or date.min)
    starts = [rule.period.start or date.min for rule in in_order]
    last_days = [*accumulate((rule.period.end or date.max for rule in in_order), max)]

    def first_after(day: date) -> "Rule | None":
        begun = bisect_right(starts, day)
        return None if begun == len(starts) or (begun and last_days[begun - 1] >= day) else in_order[begun]

    return first_after


_WIDTH: Final = "{id: width, quantity: width_mm, at_most: 190}"
_SHOWN: Final = """examples:
  - {class: stock-17, on: 2026-03-14, setup: {car: {width_mm: 189}}, expect: {width: legal}}
  - {class: stock-17, on: 2025-03-14, setup: {car: {width_mm: 190}}, expect: {width: legal}}
  - {class: stock-17, on: 2026-03-14, setup: {car: {width_mm: 191}}, expect: {width: illegal}}
"""

DAYS: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="published-late",
        title="rule published after it binds",
        because="Nobody can keep to a rule that is not known yet.",
        source="the calendar",
        example=(example(_WIDTH)[0].replace('version: "1"', 'version: "1"\npublished: 2026-01-02'),),
        find=_published_late,
    ),
    AdviceSort(
        id="days-outside-season",
        title="days on which the ruleset is not in force",
        because="A rule that is dated into another year never binds.",
        source="the calendar",
        example=example("{id: width, quantity: width_mm, at_most: 190, until: 2025-06-30}"),
        find=_out_of_season,
    ),
    AdviceSort(
        id="days-in-disorder",
        title="days in another order than they can come in",
        because="A day in the wrong year freezes a list too late, or vouches for a text that was not written yet.",
        source="the calendar",
        example=(
            example(_WIDTH)[0].replace('version: "1"', 'version: "1"\npublished: 2025-12-01\nchecked_on: 2025-01-12'),
        ),
        find=_out_of_order,
    ),
    AdviceSort(
        id="example-outside-season",
        title="example on a day on which the ruleset is not in force",
        because="An example of another year tries other rules.",
        source="the calendar",
        example=(example(_WIDTH)[0] + _SHOWN,),
        find=_example_day,
    ),
    AdviceSort(
        id="rule-gap",
        title="days between two rules without any",
        because="On a race day between two rules nothing is limited.",
        source="the calendar",
        example=example(
            _WIDTH.replace("}", ", until: 2026-05-30}"),
            "{id: width-from-june, quantity: width_mm, at_most: 185, from: 2026-06-01}",
        ),
        find=_gap,
    ),
)
