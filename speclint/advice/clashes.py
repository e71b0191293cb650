"""Classes that no car can enter: rules that bind together on a day, and leave nothing between them."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Final, NamedTuple

from speclint.advice.branches import FREE, Boxes, boxes_of, condition_domain, of_test, plain
from speclint.advice.domains import Domain, possible
from speclint.advice.limits import example, flat_classes, rules_by_day
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.advice.satisfiable import GEARS, Effort, is_satisfiable
from speclint.forms.conditions import Condition, when_text
from speclint.forms.parts_lists import DayLists
from speclint.forms.size import Size
from speclint.moments import day_text
from speclint.plain import listed
from speclint.quantities.declared import Sum
from speclint.quantities.registry import quantity
from speclint.rules.wording import asked, rule_title
from speclint.rulesets.model import FlatClass, Rule


class Clash(NamedTuple):
    """Rules that no car can meet together, and why in words."""

    rules: tuple[Rule, ...]
    reason: str


class _Ruled(NamedTuple):
    """A rule with the alternatives that it leaves."""

    rule: Rule
    boxes: Boxes

    @property
    def ties(self) -> frozenset[str]:
        """The quantities that it is about, those that are tied to each other by one name."""
        return frozenset(
            tied for box in self.boxes for variable, _ in box.domains for tied in _tied(variable[0])
        ) or frozenset({self.rule.id})


def _tied(name: str) -> tuple[str, ...]:
    described = quantity(name)
    parts = () if described is None or not isinstance(described.formula, Sum) else described.inputs
    return ("gears" if name in GEARS else name, *(part for part in parts if isinstance(part, str)))


class ClassBoxes:
    """What the rules of a class leave, and which of them are known to go together: most leave the same on every day."""

    __slots__ = ("_boxes", "_effort", "_flat", "_together")

    def __init__(self, flat: FlatClass) -> None:
        self._flat = flat
        self._effort = Effort()
        self._boxes: dict[tuple[object, ...], Boxes] = {}
        self._together: set[tuple[int, ...]] = set()

    def of(self, rule: Rule, day: date, lists: DayLists) -> Boxes:
        """What a rule leaves on a day."""
        key = (id(rule.data), rule.unless, day if rule.lists or self._flat.waivers else None)
        if key not in self._boxes:
            self._boxes[key] = boxes_of(rule, self._flat, day, lists)
        return self._boxes[key]

    def are_together(self, group: Sequence[_Ruled]) -> bool:
        """Whether some car meets all of them, as far as is known."""
        # All that was looked at is kept, so that no two have one identity.
        key = tuple(id(single.boxes) for single in group)
        if key in self._together:
            return True
        if is_satisfiable([single.boxes for single in group], self._effort) is False:
            return False
        self._together.add(key)
        return True


def clashes(
    flat: FlatClass, day: date, binding_rules: Iterable[Rule], class_boxes: ClassBoxes | None = None
) -> Iterator[Clash]:
    """The clashes of a class on a day among the rules that bind then: each as few rules as leave nobody.

    Args:
        flat: the class.
        day: the day.
        binding_rules: the rules.
        class_boxes: what was found of the class on other days.
    """
    class_boxes = class_boxes or ClassBoxes(flat)
    lists = DayLists(flat.lists, day, flat.known_on)
    ruled = [_Ruled(rule, class_boxes.of(rule, day, lists)) for rule in binding_rules]
    for group in _groups([single for single in ruled if single.boxes != FREE]):
        left = group
        for _ in range(_MOST_TOLD):
            if class_boxes.are_together(left):
                break
            core = _core(left, class_boxes)
            rules = tuple(single.rule for single in core)
            yield Clash(rules, _reason(rules))
            clashing = {id(rule.data) for rule in rules}
            left = [single for single in left if id(single.rule.data) not in clashing]


_MOST_TOLD: Final = 8
"""Clashes that are told of rules on the same things."""

_MOST_IN_CORE: Final = 100
"""Rules among which the fewest that clash are sought."""


def _groups(ruled: Sequence[_Ruled]) -> list[list[_Ruled]]:
    """The rules, those together that have to do with each other, in their order."""
    leaders: dict[str, str] = {}

    def leader(tied: str) -> str:
        while leaders.setdefault(tied, tied) != tied:
            leaders[tied] = leaders[leaders[tied]]
            tied = leaders[tied]
        return tied

    ties = [sorted(single.ties) for single in ruled]
    for first, *others in ties:
        for tied in others:
            leaders[leader(tied)] = leader(first)
    groups: dict[str, list[_Ruled]] = {}
    for single, (first, *_) in zip(ruled, ties, strict=True):
        groups.setdefault(leader(first), []).append(single)
    return list(groups.values())


def _core(group: list[_Ruled], class_boxes: ClassBoxes) -> list[_Ruled]:
    """As few of the rules as leave nobody: none of them can be left out."""
    core = list(group)
    for single in group if len(group) <= _MOST_IN_CORE else ():
        fewer = [kept for kept in core if kept is not single]
        if not class_boxes.are_together(fewer):
            core = fewer
    return core


def _reason(rules: Sequence[Rule]) -> str:
    first, is_plain = rules[0], all(rule.test is not None and not rule.when and not rule.unless for rule in rules)
    names = {rule.quantity for rule in rules}
    if is_plain and len(names) == 1:
        if len(rules) == 2 and all(isinstance(rule.limit, Size) for rule in rules):
            return (
                f"{first.id} asks for a {rule_title(first)} of {asked(first)} and {rules[1].id} of {asked(rules[1])}:"
                " no car can meet both"
            )
        named, alone = listed(f"{rule.id} ({asked(rule)})" for rule in rules), len(rules) == 1
        return (
            f"{named} {'leaves' if alone else 'leave'} no {rule_title(first)} that {'is' if alone else 'all of them'}"
            f" {'allowed' if alone else 'allow'}"
        )
    if is_plain and names <= set(GEARS):
        return f"no pair of gears meets {listed(f'{rule.id} ({rule_title(rule)} {asked(rule)})' for rule in rules)}"
    together = "" if len(rules) == 1 else " together"
    return f"no car can meet {listed(f'{rule.id} ({_in_full(rule)})' for rule in rules)}{together}"


def _in_full(rule: Rule) -> str:
    title = f"{rule_title(rule)} " if rule.quantity is not None else ""
    return f"{title}{asked(rule)}{f', where {when_text(rule.when)}' if rule.when else ''}"


def _told(case: RulesetCase) -> Iterator[Observation]:
    advice: dict[tuple[str, ...], Observation] = {}
    start = case.ruleset.in_force.start
    for flat in flat_classes(case):
        class_boxes = ClassBoxes(flat)
        for day, rules in rules_by_day(flat):
            for clash in clashes(flat, day, rules, class_boxes):
                stated_here = [rule for rule in clash.rules if rule.ruleset == case.ruleset.id]
                place = stated_here[-1].place if stated_here else case.document.place(("classes", flat.id))
                since = "" if day == start else f" from {day_text(day)} on"
                message = f"nobody can enter {flat.id}{since}: {clash.reason}. Correct one, or give them conditions (when) or dates"
                advice.setdefault((flat.id, *_ids(clash.rules)), Observation(message, place))
    yield from advice.values()


def _ids(rules: Iterable[Rule]) -> tuple[str, ...]:
    return tuple(rule.id for rule in rules)


def _never_triggered(case: RulesetCase) -> Iterator[Observation]:
    """Rules for cars that the other rules of the class let nobody be."""
    advice: dict[tuple[str, str], Observation] = {}
    for flat in flat_classes(case):
        for day, rules in rules_by_day(flat)[:1]:
            lists = DayLists(flat.lists, day)
            on_quantity: dict[str | None, list[Rule]] = {}
            for rule in rules:
                if rule.test is not None and not rule.when and not rule.unless and not rule.look:
                    on_quantity.setdefault(rule.quantity, []).append(rule)
            conditions = ((rule, part) for rule in rules if rule.ruleset == case.ruleset.id for part in rule.when)
            for rule, condition in conditions:
                against = _against(condition, on_quantity.get(condition.quantity, ()), lists)
                if against:
                    named = listed(rule_against.id for rule_against in against)
                    message = f"{rule.id} binds where {condition.words}, and {named} lets no car of {flat.id} be so: it never binds"
                    advice.setdefault((flat.id, rule.id), Observation(message, rule.place))
    yield from advice.values()


def _against(condition: Condition, rules: Sequence[Rule], lists: DayLists) -> list[Rule]:
    """The rules on a condition's quantity that let it never hold: one of them alone where there is one."""
    wanted = condition_domain(condition).within(possible(quantity(condition.quantity)))
    domains = [(rule, _plain_domain(rule, lists)) for rule in rules]
    alone = next((rule for rule, domain in domains if domain.within(wanted).is_empty), None)
    if alone is not None:
        return [alone]
    for _, domain in domains:
        wanted = wanted.within(domain)
    return [rule for rule, _ in domains] if domains and wanted.is_empty else []


def _plain_domain(rule: Rule, lists: DayLists) -> Domain:
    """What a rule leaves of its quantity as the car states it, where it leaves that without regard to anything else."""
    boxes = of_test(rule.test, lists) if rule.test is not None else ()
    if len(boxes) != 1 or boxes[0].relations or len(boxes[0].domains) != 1:
        return Domain()
    variable, domain = boxes[0].domains[0]
    return domain if variable == plain(variable[0]) else Domain()


CLASHES: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="rules-clash",
        title="class that no car can enter",
        because="A class that nobody can enter is a slip of somebody's pen.",
        source="arithmetic",
        example=example(
            "{id: width, quantity: width_mm, at_most: 190}", "{id: track, quantity: width_mm, at_least: 200}"
        ),
        find=_told,
    ),
    AdviceSort(
        id="rule-never-triggered",
        title="rule that its class can never trigger",
        because="A rule for cars that another rule keeps out decides nothing.",
        source="arithmetic",
        example=example(
            "{id: cells, quantity: battery_cells, equals: 2}",
            "{id: width, quantity: width_mm, at_most: 190, when: {battery_cells: 3}}",
        ),
        find=_never_triggered,
    ),
)
