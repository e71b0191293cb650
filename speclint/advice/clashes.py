"""Classes that no car can enter: rules that bind together on a day, and leave nothing between them."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from fractions import Fraction
from itertools import combinations
from typing import Final, NamedTuple

from speclint.advice.limits import example, flat_classes, rules_by_day
from speclint.advice.model import AdviceSort, RulesetCase, Said
from speclint.forms.limit import Limit
from speclint.forms.none_of import NoneOf
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.size import Size
from speclint.forms.words import same
from speclint.limits.decisions import Limits
from speclint.moments import day_text
from speclint.quantities.model import Sort
from speclint.quantities.registry import quantity
from speclint.rules.sentences import listed
from speclint.rules.wording import asked, rule_title
from speclint.rulesets.model import FlatClass, Rule


class Clash(NamedTuple):
    """Rules that no car can meet together, and why in words."""

    rules: tuple[Rule, ...]
    reason: str


def clashes(flat: FlatClass, day: date, binding_rules: Iterable[Rule]) -> Iterator[Clash]:
    """The clashes of a class on a day among the rules that bind then; rules for some cars only, and rules with several ways, are left out."""
    lists = DayLists(flat.lists, day, flat.known_on)
    by_quantity: dict[str, list[Rule]] = {}
    for rule in binding_rules:
        if rule.test is not None and not rule.when and not rule.unless:
            by_quantity.setdefault(rule.test.quantity, []).append(rule)
    for rules in by_quantity.values():
        yield from _on_one_quantity(rules, lists)
    yield from _of_gears(by_quantity, lists)


def _on_one_quantity(rules: Sequence[Rule], lists: DayLists) -> Iterator[Clash]:
    together: Limits | None = None
    for rule in rules:
        if isinstance(rule.limit, Size):
            together = rule.limit.bounds if together is None else _both(together, rule.limit.bounds)
    # Of intervals that have nothing in common, two have nothing in common (Helly's theorem for the line).
    is_empty = together is not None and _is_empty(together)
    pairs = [pair for pair in combinations(rules, 2) if _apart(pair[0].limit, pair[1].limit)] if is_empty else []
    for first, second in pairs:
        reason = f"{first.id} asks for a {rule_title(first)} of {asked(first)} and {second.id} of {asked(second)}: no car can meet both"
        yield Clash((first, second), reason)
    left = _choices(rules[0].quantity or "", _limits(rules), lists)
    if left is not None and not left and not pairs:
        named = listed(f"{rule.id} ({asked(rule)})" for rule in rules)
        alone = len(rules) == 1
        yield Clash(
            tuple(rules),
            f"{named} {'leaves' if alone else 'leave'} no {rule_title(rules[0])} that {'is' if alone else 'all of them'}"
            f" {'allowed' if alone else 'allow'}",
        )


def _apart(first: Limit | None, second: Limit | None) -> bool:
    """Whether no number lies within both limits."""
    if not isinstance(first, Size) or not isinstance(second, Size):
        return False
    return _is_empty(_both(first.bounds, second.bounds))


def _both(first: Limits, second: Limits) -> Limits:
    """What lies within two limits."""
    lows = [(side.low, side.low_strict) for side in (first, second) if side.low is not None]
    highs = [(side.high, side.high_strict) for side in (first, second) if side.high is not None]
    low = max(lows, default=(None, False))
    high = min(highs, key=lambda end: (end[0], not end[1]), default=(None, False))
    return Limits(low[0], low[1], high[0], high[1])


def _is_empty(bounds: Limits) -> bool:
    low, high = bounds.low, bounds.high
    if low is None or high is None:
        return False
    return low > high or (low == high and (bounds.low_strict or bounds.high_strict))


def _limits(rules: Iterable[Rule]) -> list[Limit]:
    return [rule.limit for rule in rules if rule.limit is not None]


def _choices(name: str, limits: Sequence[Limit], lists: DayLists) -> list[Scalar] | None:
    """The values of a quantity that every limit allows, where any of them counts its own; None where none does."""
    counted = [
        choices for limit in limits if not limit.names.quantities and (choices := limit.choices(lists)) is not None
    ]
    described = quantity(name)
    if described is not None and described.sort is Sort.FLAG:
        counted.append((True, False))
    if not counted:
        return None
    left = list(counted[0])
    for allowed in counted[1:]:
        left = [value for value in left if any(same(value, choice) for choice in allowed)]
    for limit in limits:
        if isinstance(limit, NoneOf):
            left = [value for value in left if not any(same(value, barred) for barred in limit.values)]
        elif isinstance(limit, Size):
            left = [value for value in left if isinstance(value, Fraction) and limit.bounds.met_by(value)]
    return left


_GEARS: Final = ("spur_teeth", "pinion_teeth", "internal_ratio", "spur_pinion_ratio", "tooth_sum", "final_drive_ratio")
_SPURS: Final = range(12, 201)
_PINIONS: Final = range(6, 81)
"""The gears that a car of this kind can have."""


def _of_gears(by_quantity: dict[str, list[Rule]], lists: DayLists) -> Iterator[Clash]:
    """Limits on teeth and ratios that no pair of gears meets at once."""
    rules = tuple(rule for name in _GEARS for rule in by_quantity.get(name, ()))
    if len([name for name in _GEARS if name in by_quantity]) < 2:
        return
    bounds: dict[str, Limits] = {}
    for name in _GEARS:
        for rule in by_quantity.get(name, ()):
            if isinstance(rule.limit, Size):
                bounds[name] = rule.limit.bounds if name not in bounds else _both(bounds[name], rule.limit.bounds)
    spurs, pinions = (
        _counts(teeth, bounds.get(name), _choices(name, _limits(by_quantity.get(name, ())), lists))
        for name, teeth in (("spur_teeth", _SPURS), ("pinion_teeth", _PINIONS))
    )
    if not any(_is_possible(spur, pinion, bounds) for spur in spurs for pinion in pinions):
        yield Clash(
            rules, f"no pair of gears meets {listed(f'{rule.id} ({rule_title(rule)} {asked(rule)})' for rule in rules)}"
        )


def _counts(teeth: range, bounds: Limits | None, choices: list[Scalar] | None) -> list[int]:
    return [
        count
        for count in teeth
        if (bounds is None or bounds.met_by(Fraction(count))) and (choices is None or Fraction(count) in choices)
    ]


def _is_possible(spur: int, pinion: int, bounds: dict[str, Limits]) -> bool:
    """Whether some internal ratio makes a pair legal."""
    ratio = Fraction(spur, pinion)
    for name, value in (("spur_pinion_ratio", ratio), ("tooth_sum", Fraction(spur + pinion))):
        if name in bounds and not bounds[name].met_by(value):
            return False
    drive = bounds.get("final_drive_ratio")
    if drive is None:
        return True
    internal = Limits(
        None if drive.low is None else drive.low / ratio,
        drive.low_strict,
        None if drive.high is None else drive.high / ratio,
        drive.high_strict,
    )
    return "internal_ratio" not in bounds or not _is_empty(_both(internal, bounds["internal_ratio"]))


def _told(case: RulesetCase) -> Sequence[Said]:
    told: dict[tuple[str, ...], Said] = {}
    start = case.ruleset.in_force.start
    for flat in flat_classes(case):
        for day, rules in rules_by_day(flat):
            for clash in clashes(flat, day, rules):
                stated_here = [rule for rule in clash.rules if rule.ruleset == case.ruleset.id]
                place = stated_here[-1].place if stated_here else case.document.place(("classes", flat.id))
                since = "" if day == start else f" from {day_text(day)} on"
                message = f"nobody can enter {flat.id}{since}: {clash.reason}. Correct one, or give them conditions (when) or dates"
                told.setdefault((flat.id, *_ids(clash.rules)), (message, place))
    return tuple(told.values())


def _ids(rules: Iterable[Rule]) -> tuple[str, ...]:
    return tuple(rule.id for rule in rules)


def _never_triggered(case: RulesetCase) -> Sequence[Said]:
    """Rules for cars that the other rules of the class let nobody be."""
    told: dict[tuple[str, str], Said] = {}
    for flat in flat_classes(case):
        for day, rules in rules_by_day(flat)[:1]:
            lists = DayLists(flat.lists, day)
            plain: dict[str | None, list[Rule]] = {}
            for rule in rules:
                if not rule.when and not rule.unless:
                    plain.setdefault(rule.quantity, []).append(rule)
            conditions = ((rule, part) for rule in rules if rule.ruleset == case.ruleset.id for part in rule.when)
            for rule, condition in conditions:
                others = plain.get(condition.quantity, [])
                left = _choices(condition.quantity, [condition.limit, *_limits(others)], lists) if others else None
                against = next((other for other in others if _apart(other.limit, condition.limit)), None)
                if left == [] or against is not None:
                    named = listed(other.id for other in others) if against is None else against.id
                    message = f"{rule.id} binds where {condition.words}, and {named} lets no car of {flat.id} be so: it never binds"
                    told.setdefault((flat.id, rule.id), (message, rule.place))
    return tuple(told.values())


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
