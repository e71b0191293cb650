"""Rules that let more cars through than was meant: wide leeways, ways that anything meets, waivers without an end."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import permutations
from typing import Final

from speclint.advice.limits import example, own_rules, sized_tests
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.forms.bodies import AnyOf
from speclint.forms.size import Size
from speclint.limits.decisions import Limits
from speclint.quantities.registry import quantity
from speclint.readings.digits import plain_text, with_unit
from speclint.rules.wording import rule_title, test_asked
from speclint.rulesets.model import Rule


def _wide_leeway(case: RulesetCase) -> Iterator[Observation]:
    for _, rule, path, test, limit in sized_tests(case):
        bounds = [bound for bound in (limit.bounds.low, limit.bounds.high) if bound]
        described = quantity(test.quantity)
        if test.leeway is None or described is None or not bounds:
            continue
        bound = min(bounds, key=abs)
        reach = test.leeway.beyond(bound)
        if reach > abs(bound) * _WIDEST_LEEWAY:
            shown = with_unit(plain_text(reach), described.unit)
            yield Observation(
                f"{rule.id} asks for {test_asked(test)} and lets a car pass that breaks it by {shown}: look at the unit of the"
                " leeway, or move the limit itself",
                case.document.place((*path, *test.path, "leeway")),
            )


_WIDEST_LEEWAY: Final = Fraction(1, 10)
"""Of the limit. Common practice: a leeway makes up for scales that differ, by a percent or so."""


def _anything(case: RulesetCase) -> Iterator[Observation]:
    """Ways to meet a rule that leave no value out."""
    for _, rule, path in own_rules(case):
        sizes = _windows(rule)
        if sizes and _cover_all(sizes):
            yield Observation(
                f"{rule.id} can be met in ways of which any {rule_title(rule)} meets one: where both have to be met, write them"
                " as one limit, or under `all_of`",
                case.document.place((*path, "any_of")),
            )


def _idle_way(case: RulesetCase) -> Iterator[Observation]:
    """Ways to meet a rule that ask what another asks already."""
    for _, rule, path in own_rules(case):
        sizes = _windows(rule)
        for i, j in permutations(range(len(sizes)), 2):
            if not sizes[j].contain(sizes[i]) or (sizes[i] == sizes[j] and i < j):
                continue
            yield Observation(
                f"whatever meets way {i + 1} of {rule.id} meets way {j + 1} as well: was another window meant?",
                case.document.place((*path, "any_of", i)),
            )


def _windows(rule: Rule) -> list[Limits]:
    """The windows on one quantity of which one is enough; none where a rule is not of such alone."""
    body = rule.body
    limits = [option[0].limit for option in body.options] if isinstance(body, AnyOf) and body.is_windows else []
    sizes = [limit.bounds for limit in limits if isinstance(limit, Size)]
    return sizes if len(sizes) == len(limits) else []


def _cover_all(sizes: list[Limits]) -> bool:
    """Whether windows leave nothing out, from the smallest value to the largest."""
    reached: Fraction | None = None
    for bounds in sorted(sizes, key=lambda bounds: (bounds.low is not None, bounds.low or Fraction(0))):
        if reached is None and bounds.low is not None:
            return False
        if reached is not None and bounds.low is not None and bounds.low > reached:
            return False
        if bounds.high is None:
            return True
        reached = bounds.high if reached is None else max(reached, bounds.high)
    return False


def _without_an_end(case: RulesetCase) -> Iterator[Observation]:
    for index, waiver in enumerate(case.ruleset.waivers):
        if waiver.period.end is None and waiver.when:
            yield Observation(
                f"the waiver of {waiver.rule} has no last day: it holds as long as this version does, and for whoever gets that"
                " part later. Give it an `until`",
                case.document.place(("waivers", index)),
            )


_WIDTH: Final = "{id: width, quantity: width_mm, at_most: 190}"
LOOPHOLES: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="leeway-wide",
        title="leeway of more than a tenth of the limit",
        because="A leeway makes up for scales that differ; one in another unit takes the limit away.",
        example=example("{id: width, quantity: width_mm, at_most: 190, leeway: 100}"),
        find=_wide_leeway,
    ),
    AdviceSort(
        id="any-value-meets",
        title="ways to meet a rule that leave no value out",
        because="Of several ways one is enough, so at_least in one and at_most in another limit nothing.",
        source="arithmetic",
        example=example("{id: wheelbase, quantity: wheelbase_mm, any_of: [{at_least: 250}, {at_most: 280}]}"),
        find=_anything,
    ),
    AdviceSort(
        id="way-idle",
        title="way to meet a rule that another one holds",
        because="A window inside another is one that was copied and not changed.",
        source="arithmetic",
        example=example(
            "{id: wheelbase, quantity: wheelbase_mm, any_of: [{between: [208, 212]}, {between: [209, 211]}]}"
        ),
        find=_idle_way,
    ),
    AdviceSort(
        id="waiver-without-end",
        title="waiver without a last day",
        because="A waiver is for a while; what has no end is a rule that nobody wrote.",
        example=(example(_WIDTH)[0] + 'waivers: [{rule: width, class: stock-17, when: {motor_serial: "00417"}}]\n',),
        find=_without_an_end,
    ),
)
