"""Rules laid over rules that may not do what their author meant: idle ones, narrowed ones, and bases left behind."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise, permutations
from typing import TYPE_CHECKING, Final

from speclint.advice.limits import RULESET, example, flat_classes, on_one_quantity, own_rules, rules_by_day
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.forms.size import Size
from speclint.limits.decisions import Decision
from speclint.moments import day_text
from speclint.rules.wording import asked, rule_title
from speclint.rulesets.model import FlatClass, Rule, Ruleset

if TYPE_CHECKING:
    from speclint.places import Path


def _idle(case: RulesetCase) -> Iterator[Observation]:
    """Rules beside which a stricter one on the same quantity binds, on every day on which they bind."""
    idle: dict[tuple[str, str], Observation] = {}
    for flat in flat_classes(case):
        for looser, stricter in _idle_pairs(flat):
            later = looser if looser.ruleset == case.ruleset.id else stricter
            if later.ruleset == case.ruleset.id:
                message = (
                    f"{looser.id} asks for a {rule_title(looser)} of {asked(looser)} where {stricter.id} asks for"
                    f" {asked(stricter)} already, so {looser.id} decides nothing. If it is to take the other's place, say"
                    f" `replaces: {stricter.id}`; if not, take it out"
                )
                idle.setdefault((flat.id, looser.id), Observation(message, later.place))
    yield from idle.values()


def _idle_pairs(flat: FlatClass) -> Iterator[tuple[Rule, Rule]]:
    decided: dict[int, Rule] = {}
    idle: dict[int, tuple[Rule, Rule]] = {}
    for _, rules in rules_by_day(flat):
        groups = on_one_quantity(rules)
        today = {
            id(looser.data): (looser, stricter)
            for group in groups
            for looser, stricter in permutations(group, 2)
            if _covers(looser, stricter, flat)
        }
        for rule in rules:
            if id(rule.data) not in today:
                decided[id(rule.data)] = rule
        idle |= today
    seen: set[frozenset[int]] = set()
    for key, (looser, stricter) in idle.items():
        pair = frozenset((key, id(stricter.data)))
        if key not in decided and pair not in seen:
            seen.add(pair)
            yield looser, stricter


def _covers(looser: Rule, stricter: Rule, flat: FlatClass) -> bool:
    """Whether whatever meets the stricter rule meets the looser one as well."""
    first, two = looser.test, stricter.test
    if first is None or two is None or first.reading != two.reading or stricter.when or stricter.unless:
        return False
    if not isinstance(first.limit, Size) or not isinstance(two.limit, Size):
        return False
    decisions = {rule.decision or flat.decision for rule in (looser, stricter)}
    same_terms = first.leeway == two.leeway and len(decisions) == 1
    # As read, it does not matter how well an instrument reads.
    if not same_terms or (first.instrument != two.instrument and decisions != {Decision.AS_READ}):
        return False
    return first.limit.bounds.contain(two.limit.bounds)


def _narrowed(case: RulesetCase) -> Iterator[Observation]:
    """Rules that take an inherited rule's place for every car, and bind only some of them."""
    for class_id, rule, path in own_rules(case):
        inherited = case.library.inherited(case.ruleset, class_id)
        if rule.when and rule.replaces is None and not rule.withdrawn and rule.id in inherited:
            yield Observation(
                f"{rule.id} takes the place of the inherited rule for every car, and binds only where its `when` holds:"
                f" for all others nothing takes its place. To keep the inherited rule for these, give this one an id of"
                f" its own and `replaces: {rule.id}`",
                case.document.place((*path, "when")),
            )


def _base_left_behind(case: RulesetCase) -> Iterator[Observation]:
    """A later version of what the ruleset builds on is in force, and it goes on under the earlier one."""
    layers = case.library.stack(case.ruleset)
    if len(layers) < 2 or case.today not in case.ruleset.in_force:
        return
    base = layers[-2]
    newer = [
        version
        for version in case.library.versions(base.id).values()
        if case.today in version.in_force and _start(version) > _start(base)
    ]
    if not newer or case.today not in base.in_force:
        return
    newest = max(newer, key=_start)
    yield Observation(
        f"{case.ruleset.name} builds on {base.name}, and {newest.name} has been in force since"
        f" {day_text(newest.in_force.start or case.today)}: see what it changes, and base the next version on that",
        case.document.place(("based_on",)),
    )


def _replaced_before(case: RulesetCase) -> Iterator[Observation]:
    """Amendments of a rule in whose place another amendment stands already, so that both bind."""
    amendments: dict[tuple[str, str], list[tuple[date, Rule, Path]]] = {}
    for class_id, rule, path in own_rules(case):
        start = rule.period.start
        if rule.replaces is not None and start is not None and not rule.when and not rule.withdrawn:
            amendments.setdefault((class_id, rule.replaces), []).append((start, rule, path))
    for (_, replaced), rules in amendments.items():
        by_day = sorted(rules, key=lambda amendment: amendment[0])
        for (_, earlier, _), (start, rule, path) in pairwise(by_day):
            if start in earlier.period and earlier.period.start != start:
                yield Observation(
                    f"{rule.id} replaces {replaced}, which ended where {earlier.id} began: from {day_text(start)} both bind. If"
                    f" it is to take the other's place, say `replaces: {earlier.id}`",
                    case.document.place((*path, "replaces")),
                )


def _beyond_base(case: RulesetCase) -> Iterator[Observation]:
    """Rulesets that are in force on days on which what they build on is not."""
    layers = case.library.stack(case.ruleset)
    if len(layers) < 2:
        return
    base, season = layers[-2], case.ruleset.in_force
    end, start = base.in_force.end, base.in_force.start
    if end is not None and season.end is not None and season.end > end:
        message = (
            f"{case.ruleset.name} is in force until {day_text(season.end)}, and {base.name}, on which it builds, until"
            f" {day_text(end)}"
        )
    elif start is not None and season.start is not None and season.start < start:
        message = (
            f"{case.ruleset.name} is in force from {day_text(season.start)}, and {base.name}, on which it builds, from"
            f" {day_text(start)}"
        )
    else:
        return
    yield Observation(f"{message}: cars that race on the other days have a problem", case.document.place(("in_force",)))


def _start(ruleset: Ruleset) -> int:
    return ruleset.in_force.start.toordinal() if ruleset.in_force.start is not None else 0


_WIDTH: Final = "{id: width, quantity: width_mm, at_most: 190}"
_LEAGUE: Final = RULESET.replace("our-club", "our-league").replace("RULE", _WIDTH)

OVERRIDES: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="rule-idle",
        title="rule that a stricter one leaves nothing to decide",
        because="Of two rules on one quantity both have to be met, so a looser one beside a stricter never loosens it.",
        source="arithmetic",
        example=example(_WIDTH, "{id: wider, quantity: width_mm, at_most: 195}"),
        find=_idle,
    ),
    AdviceSort(
        id="override-narrowed",
        title="override that leaves some cars without a rule",
        because="A rule with the id of an inherited one takes its place for every car, also for those that it spares.",
        source="arithmetic",
        example=(
            RULESET.replace('version: "1"', 'version: "1"\nbased_on: our-league@1').replace(
                "RULE", _WIDTH.replace("190", "200, because: A wide track., when: {entry.venue: outdoor}")
            ),
            _LEAGUE,
        ),
        find=_narrowed,
    ),
    AdviceSort(
        id="base-left-behind",
        title="ruleset that builds on an earlier version",
        because="A league amends its text for a reason, and its clubs go on under the old one until they say otherwise.",
        source="the calendar",
        example=(
            RULESET.replace('version: "1"', 'version: "1"\nbased_on: our-league@1').replace(
                "RULE", "{id: length, quantity: length_mm, at_most: 400}"
            ),
            _LEAGUE,
            _LEAGUE.replace('"1"', '"2"').replace("2026-01-01", "2026-03-01"),
        ),
        find=_base_left_behind,
    ),
    AdviceSort(
        id="replaced-before",
        title="amendment of a rule that another amendment has replaced",
        because="What is amended twice has two texts, unless the second one names the first.",
        source="the calendar",
        example=example(
            _WIDTH,
            "{id: width-may, replaces: width, from: 2026-05-01, quantity: width_mm, at_most: 188}",
            "{id: width-june, replaces: width, from: 2026-06-01, quantity: width_mm, at_most: 187}",
        ),
        find=_replaced_before,
    ),
    AdviceSort(
        id="season-beyond-base",
        title="season longer than that of what it builds on",
        because="A car that races after the league's season is judged by rules that are over.",
        source="the calendar",
        example=(
            RULESET.replace('version: "1"', 'version: "1"\nbased_on: our-league@1')
            .replace("RULE", "{id: length, quantity: length_mm, at_most: 400}")
            .replace("2026-01-01}", "2026-01-01, until: 2026-12-31}"),
            _LEAGUE.replace("2026-01-01}", "2026-01-01, until: 2026-11-30}"),
        ),
        find=_beyond_base,
    ),
)
