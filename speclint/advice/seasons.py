"""Rulesets and the calendar: versions that are over, overlap or leave a gap, and amendments without a day."""

from collections.abc import Iterator
from typing import Final

from speclint.advice.limits import example, own_rules
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.moments import Period, day_after, day_text
from speclint.rulesets.model import Ruleset


def _over(case: RulesetCase) -> Iterator[Observation]:
    end = case.ruleset.in_force.end
    if end is None or end >= case.today:
        return
    versions = case.library.versions(case.ruleset.id).values()
    if any(version.in_force.end is None or version.in_force.end > end for version in versions):
        return
    yield Observation(
        f"{case.ruleset.name} was in force until {day_text(end)}, and no later version was found: look for the new"
        " season's rules before you enter a race",
        case.document.place(("in_force",)),
    )


def _overlap(case: RulesetCase) -> Iterator[Observation]:
    """Versions that begin on one day, told at the one that counts; that a later one takes over is as it should be."""
    start = case.ruleset.in_force.start
    twins = [version for version in _others(case) if version.in_force.start == start]
    if start is None or not twins or case.library.in_force(case.ruleset.id, None, start, None) is not case.ruleset:
        return
    names = " and ".join(version.name for version in twins)
    yield Observation(
        f"{case.ruleset.name} and {names} begin on one day, {day_text(start)}: this one, the later version, counts."
        " If it is not published yet, let it begin on a day of its own; what is published and pinned stays as it is",
        case.document.place(("in_force",)),
    )


def _gap(case: RulesetCase) -> Iterator[Observation]:
    """Days between two versions on which neither is in force."""
    in_force = case.ruleset.in_force
    if in_force.end is None:
        return
    others, next_day = _others(case), day_after(in_force.end)
    starts = ((version.in_force.start, version.version, version.name) for version in others)
    later = [(start, number, name) for start, number, name in starts if start is not None and start > next_day]
    if not later or any(next_day in version.in_force for version in others):
        return
    start, _, name = min(later)
    yield Observation(
        f"{case.ruleset.name} ends on {day_text(in_force.end)} and {name} begins on {day_text(start)}: on the days"
        " between no rules are in force, so no car can be judged",
        case.document.place(("in_force",)),
    )


def _others(case: RulesetCase) -> list[Ruleset]:
    """The other versions of the ruleset."""
    return [version for version in case.library.versions(case.ruleset.id).values() if version is not case.ruleset]


def _without_a_day(case: RulesetCase) -> Iterator[Observation]:
    for class_id, rule, path in own_rules(case):
        if rule.replaces is None or rule.when or rule.period != Period():
            continue
        if any(candidate.id == rule.replaces for candidate in case.ruleset.classes[class_id].rules):
            yield Observation(
                f"{rule.id} replaces {rule.replaces} without a day, so {rule.replaces} never binds: give this one a"
                " `from`, or take the other out",
                case.document.place((*path, "replaces")),
            )


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
        title="two versions that begin on one day",
        because="Two texts for one day are an argument waiting for its day.",
        source="the calendar",
        example=(example(_WIDTH)[0], example(_WIDTH)[0].replace('"1"', '"2"')),
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
