"""Rulesets and the calendar: versions that are over, overlap or leave a gap, and amendments without a day."""

from collections.abc import Sequence
from datetime import timedelta
from typing import Final

from speclint.advice.limits import example, own_rules
from speclint.advice.model import NOTHING, AdviceSort, RulesetCase, Said
from speclint.moments import Period, day_text


def _over(case: RulesetCase) -> Sequence[Said]:
    end = case.ruleset.in_force.end
    if end is None or end >= case.today:
        return NOTHING
    versions = case.library.versions(case.ruleset.id).values()
    if any(one.in_force.end is None or one.in_force.end > end for one in versions):
        return NOTHING
    return (
        (
            f"{case.ruleset.name} was in force until {day_text(end)}, and no later version was found: look for the new"
            " season's rules before you enter a race",
            case.document.place(("in_force",)),
        ),
    )


def _overlap(case: RulesetCase) -> Sequence[Said]:
    """Versions in force at once; told at the one that began first, or at both where they began together."""
    found = []
    own = case.ruleset.in_force
    for other in case.library.versions(case.ruleset.id).values():
        theirs = other.in_force
        if other is case.ruleset or own.start is None or theirs.start is None or own.start > theirs.start:
            continue
        if own.end is None or own.end >= theirs.start:
            until = min((end for end in (own.end, theirs.end) if end is not None), default=None)
            both = f"from {day_text(theirs.start)}{f' until {day_text(until)}' if until is not None else ' on'}"
            if own.start < theirs.start:
                before = theirs.start - timedelta(days=1)
                mend = f"{other.name} counts then. End {case.ruleset.name} on the day before, as in `until: {before}`"
            else:
                mend = "of two that begin together the later version counts. Let them begin on different days"
            found.append(
                (
                    f"{case.ruleset.name} and {other.name} are both in force {both}: {mend}",
                    case.document.place(("in_force",)),
                )
            )
    return found


def _gap(case: RulesetCase) -> Sequence[Said]:
    """Days between two versions on which neither is in force."""
    own = case.ruleset.in_force
    if own.end is None:
        return NOTHING
    others = [one for one in case.library.versions(case.ruleset.id).values() if one is not case.ruleset]
    next_day = own.end + timedelta(days=1)
    if any(next_day in one.in_force for one in others):
        return NOTHING
    later = [one for one in others if one.in_force.start is not None and one.in_force.start > next_day]
    following = min(later, key=lambda one: (one.in_force.start or next_day, one.version), default=None)
    start = following.in_force.start if following is not None else None
    if following is None or start is None:
        return NOTHING
    return (
        (
            f"{case.ruleset.name} ends on {day_text(own.end)} and {following.name} begins on {day_text(start)}: on the days"
            " between no rules are in force, so no car can be judged",
            case.document.place(("in_force",)),
        ),
    )


def _without_a_day(case: RulesetCase) -> Sequence[Said]:
    found = []
    for class_id, rule, path in own_rules(case):
        if rule.replaces is None or rule.when or rule.period != Period():
            continue
        if any(other.id == rule.replaces for other in case.ruleset.classes[class_id].rules):
            found.append(
                (
                    f"{rule.id} replaces {rule.replaces} without a day, so {rule.replaces} never binds: give this one a"
                    " `from`, or take the other out",
                    case.document.place((*path, "replaces")),
                )
            )
    return found


_WIDTH: Final = "{id: width, quantity: width_mm, at_most: 190}"

SEASONS: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="ruleset-over",
        title="ruleset no longer in force",
        because="Last season's rules are the ones that everybody still has at hand.",
        source="the calendar",
        example=(example(_WIDTH)[0].replace("2026-01-01}", "2019-01-01, until: 2019-12-31}"),),
        find=_over,
    ),
    AdviceSort(
        id="versions-overlap",
        title="two versions in force at once",
        because="Two texts for one day are an argument waiting for its day.",
        source="the calendar",
        example=(example(_WIDTH)[0], example(_WIDTH)[0].replace('"1"', '"2"').replace("2026-01-01", "2026-06-01")),
        find=_overlap,
    ),
    AdviceSort(
        id="versions-gap",
        title="days without a version in force",
        because="A race day between two versions has no rules.",
        source="the calendar",
        example=(
            example(_WIDTH)[0].replace("2026-01-01}", "2026-01-01, until: 2026-05-30}"),
            example(_WIDTH)[0].replace('"1"', '"2"').replace("2026-01-01", "2026-06-01"),
        ),
        find=_gap,
    ),
    AdviceSort(
        id="amendment-without-a-day",
        title="amendment without a day",
        because="An amendment that binds from no day on replaces the rule for all time.",
        source="arithmetic",
        example=example(_WIDTH, "{id: width-amended, replaces: width, quantity: width_mm, at_most: 188}"),
        find=_without_a_day,
    ),
)
