"""The search for remedies: the fewest changes that make a car legal in all of its entries at once."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import combinations, product
from math import prod
from typing import Final

from speclint.forms.words import shown
from speclint.models.cars import Car
from speclint.models.parts import PartsBox
from speclint.quantities.facts import Fact, Facts
from speclint.quantities.model import Given, Sort
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.quantities.registry import quantity
from speclint.readings.digits import reading_text, with_unit
from speclint.readings.exact import decimal_text
from speclint.readings.measured import Measured, Number, value_of
from speclint.remedies.gears import GEARS, fits
from speclint.remedies.judged_entry import CarRemedies, JudgedEntry
from speclint.remedies.levers import ROTOR, levers, rests_on
from speclint.remedies.options import Lever, Option
from speclint.remedies.trial import changed_car
from speclint.rules.checks import Check, Remedy, Verdict
from speclint.rules.judge import judge_rule, waived
from speclint.rules.wording import asks, has, margin, title
from speclint.rulesets.model import Rule

SHOWN: Final = 3
"""How many remedies of one size are told."""

_MOST_TRIALS: Final = 20_000
"""Combinations beyond which a larger set of changes is not searched: nobody would carry it out in a pit lane."""

_MOST_FAILING: Final = 1000
"""Rules that are not met beyond which none is mended: ten on each of a hundred race days."""

_MOST_JUDGED: Final = 30_000
"""Rules that are judged anew in search of what mends one car; a rulebook for people needs some hundreds."""


def with_remedies(car: Car, cases: Sequence[JudgedEntry], parts: PartsBox) -> tuple[list[JudgedEntry], CarRemedies]:
    """The cases with remedies at every failing check, and the sets of changes that mend everything at once."""
    failing = [check for case in cases for check in case.checks if check.verdict is Verdict.ILLEGAL]
    file, name = car.setup.document.file, car.setup.name
    if len(failing) > _MOST_FAILING:
        return list(cases), CarRemedies(file, name, (), _TOO_MANY_RULES)
    search = _Search(car, cases, parts)
    groups = _groups(failing)
    option_sets = {i: search.smallest(group, parts) for i, group in enumerate(groups)}
    of_rule = {id(check): i for i, group in enumerate(groups) for check in group}
    mended = [
        case.with_checks(
            tuple(
                check._replace(
                    remedies=tuple(
                        search.told(options, check, case) for options in option_sets[of_rule[id(check)]][:SHOWN]
                    )
                )
                if id(check) in of_rule
                else check
                for check in case.checks
            ),
        )
        for case in cases
    ]
    lacking = [group for i, group in enumerate(groups) if not option_sets[i]]
    if lacking:
        needs = dict.fromkeys(search.to_buy(check) for group in lacking for check in group if not search.is_cut_short)
        if search.is_cut_short:
            return mended, CarRemedies(file, name, (), _TOO_MANY_RULES)
        # With another motor comes another rotor: what is said of the old one helps nobody.
        motor_reasons = [need for need in needs if need.startswith(_ANOTHER_MOTOR)]
        reason = max(motor_reasons, key=len) if motor_reasons else "; ".join(needs)
        return mended, CarRemedies(file, name, (), reason)
    return mended, CarRemedies(file, name, tuple(search.sets([option_sets[i] for i in range(len(groups))])), "")


_ANOTHER_MOTOR: Final = "another motor is needed"
_OF_THE_MOTOR: Final = frozenset({"motor_part", "motor_turns", "motor_serial", "motor_sealed", "motor_rebuilds"})
"""What makes a motor this one, and what was done to it."""
_TOO_MANY_RULES: Final = "so many rules limit it that not every change could be tried"


def _groups(failing: Iterable[Check]) -> list[list[Check]]:
    """Failing checks that the same things on the car can mend, together: what mends one group leaves the others be."""
    groups: list[tuple[set[str], list[Check]]] = []
    for check in failing:
        leaves = {name for tested in check.rule.tested for name in rests_on(tested)} or {check.rule.id}
        if leaves & ROTOR:
            leaves |= ROTOR
        members = [check]
        for group in [group for group in groups if group[0] & leaves]:
            groups.remove(group)
            leaves |= group[0]
            members = group[1] + members
        groups.append((leaves, members))
    return [members for _, members in groups]


Set = tuple[Option, ...]
"""Options that are taken together."""


class _Search:
    """Tries options on one car; every trial is judged by the rules themselves."""

    def __init__(self, car: Car, cases: Sequence[JudgedEntry], parts: PartsBox) -> None:
        self._car = car
        self._cases = cases
        self._parts = parts
        self._books = tuple(case.book for case in cases)
        self._before = [{check.rule.id: check for check in case.checks} for case in cases]
        self._trials_left = _MOST_JUDGED

    def smallest(self, group: list[Check], parts: PartsBox) -> list[Set]:
        """All sets of the fewest changes that mend the group and break nothing, those that move the car least first.

        What leaves a close call is a remedy only where nothing leaves none.
        """
        usable = levers(self._car, self._cases[0].facts, group, self._books, parts)
        rules = {check.rule.id for check in group}
        return self._of_least_size(usable, rules, may_be_close=False) or self._of_least_size(
            usable, rules, may_be_close=True
        )

    def _of_least_size(self, usable: Sequence[Lever], rules: set[str], *, may_be_close: bool) -> list[Set]:
        for size, _ in enumerate(usable, start=1):
            mending: list[tuple[tuple[str, ...], Set]] = []
            for chosen in combinations(usable, size):
                if prod(len(lever.options) for lever in chosen) <= _MOST_TRIALS:
                    moved = frozenset(name for lever in chosen for name in lever.moves)
                    names = tuple(lever.name for lever in chosen)
                    mending.extend(
                        (names, options)
                        for options in product(*(lever.options for lever in chosen))
                        if self._mends(options, moved, rules, may_be_close=may_be_close)
                    )
            if mending:
                return _varied(sorted(mending, key=lambda named: self._rank(named[1])))
        return []

    @property
    def is_cut_short(self) -> bool:
        """Whether so many rules were tried that no more are."""
        return self._trials_left <= 0

    def _rank(self, options: Set) -> tuple[float, float, str]:
        """How little the gearing moves, then how little else does."""
        before, after = (facts.fact("final_drive_ratio").value for facts in self._before_and_after(options))
        shift = 0.0
        if isinstance(before, Fraction) and isinstance(after, Fraction):
            shift = abs(float(after / before) - 1)
        return shift, sum(option.effort for option in options), "; ".join(option.words for option in options)

    def _trial(self, options: Set, case: JudgedEntry) -> Facts:
        """What the car would state for an entry: a rebuild is done by then, after every run that counts for it."""
        kinds = [option.rebuild for option in options if option.rebuild is not None]
        rebuild = {"date": case.book.on.isoformat(), "did": kinds} if kinds else None
        changes = (change for option in options for change in option.changes)
        return case.facts.of(changed_car(self._car, changes, rebuild=rebuild))

    def _before_and_after(self, options: Set) -> tuple[Facts, Facts]:
        """What the car states and would state of itself, whatever the entry."""
        case = self._cases[0]
        return case.facts, self._trial(options, case)

    def _mends(self, options: Set, moved: frozenset[str], failing: set[str], *, may_be_close: bool) -> bool:
        """Whether every rule that the change can reach is met afterwards, or only waits to be measured again."""
        if self.is_cut_short:
            return False
        if moved & GEARS and not fits(*self._before_and_after(options)):
            return False
        ended = frozenset(
            family for option in options if option.rebuild for family in REBUILDS_BY_KIND[option.rebuild].ends
        )
        for case, before in zip(self._cases, self._before, strict=True):
            facts = self._trial(options, case)
            for rule in case.book.rules:
                is_failing = rule.id in failing and before[rule.id].verdict is Verdict.ILLEGAL
                if not is_failing and not _touched(rule, moved, ended):
                    continue
                self._trials_left -= max(1, len(rule.tests))
                after = waived(judge_rule(rule, case.book, facts, case.place), case.book, facts)
                if not _is_fine(after, before[rule.id], ended):
                    return False
                is_close = after.close_call and (is_failing or not before[rule.id].close_call)
                if is_close and not may_be_close:
                    return False
        return True

    def told(self, options: Set, check: Check, case: JudgedEntry) -> Remedy:
        """A set of options, with what it does to one check."""
        facts = self._trial(options, case)
        after = judge_rule(check.rule, case.book, facts, case.place)
        value = after.fact.value if after.fact is not None else None
        result = value_of(value) if isinstance(value, Number) else None
        result_text = f"{title(after)} {has(after)}" if has(after) and not options[0].by_hand else ""
        parts = [result_text, margin(after) if result_text else "", *self._besides(options, after.quantity, facts)]
        outcome = ", ".join(part for part in parts if part)
        words = " and ".join((*(option.words for option in options), *self._to_measure(options, (case,))))
        return _remedy(options, result, f"{words}: {outcome}" if outcome else words)

    def _besides(self, options: Set, judged: str | None, facts: Facts) -> Iterator[str]:
        """What else a change does that a racer wants to know: the gearing it makes, and what is to be measured again."""
        moved = {change.path[-1] for option in options for change in option.changes}
        if moved & {"pinion_teeth", "spur_teeth"}:
            for name in ("final_drive_ratio", "rollout_mm"):
                if name != judged:
                    fact = facts.fact(name)
                    if fact.value is not None:
                        yield f"{fact.quantity.title} {_brief(fact)}"
        ended = [
            family for option in options if option.rebuild for family in sorted(REBUILDS_BY_KIND[option.rebuild].ends)
        ]
        if ended and self._car.motor is not None and self._car.motor.bench_runs:
            yield f"then measure again: {', '.join(dict.fromkeys(ended))}"

    def sets(self, of_groups: list[list[Set]]) -> Iterator[Remedy]:
        """Whole sets: the best of every group, then the same with the next best of one group."""
        best = [sets[0] for sets in of_groups]
        variants = [best]
        for i, sets in enumerate(of_groups):
            variants += [[*best[:i], next_best, *best[i + 1 :]] for next_best in sets[1:SHOWN]]
        ranked = [tuple(option for options in variant for option in options) for variant in variants]
        for options in ranked[:SHOWN]:
            words = "; ".join((*(option.words for option in options), *self._to_measure(options, self._cases)))
            yield _remedy(options, None, words)

    def _to_measure(self, options: Set, cases: Sequence[JudgedEntry]) -> tuple[str, ...]:
        """What has to be measured with a named instrument, where a rule asks to be shown that it is met."""
        if not any(option.measured for option in options):
            return ()
        for case in cases:
            facts = self._trial(options, case)
            failing = (check.rule for check in case.checks if check.verdict is Verdict.ILLEGAL)
            if any(_is_unnamed(judge_rule(rule, case.book, facts, case.place)) for rule in failing):
                return tuple(dict.fromkeys(option.measured for option in options if option.measured))
        return ()

    def to_buy(self, check: Check) -> str:
        """What would mend a check that nothing in the box does."""
        if self._parts.limits_a_search:
            to_be_had = self.smallest([check], self._parts._replace(pinions_teeth=None, spurs_teeth=None))
            if to_be_had:
                words = " or ".join(" and ".join(option.words for option in options) for options in to_be_had[:2])
                return f"no legal change with the parts in the box; to be had: {words}"
        if check.quantity in ROTOR:
            return f"another rotor is needed ({check.reason})" if check.reason else "another rotor is needed"
        if check.quantity in _OF_THE_MOTOR or _of_motor(check):
            return (
                f"{_ANOTHER_MOTOR} ({check.reason})"
                if check.quantity == "motor_part" and check.reason
                else _ANOTHER_MOTOR
            )
        if check.fact is not None and check.fact.quantity.sort is Sort.FLAG:
            return f"{title(check)} has to be {asks(check)}"
        return f"{title(check)}: speclint knows no change that makes it legal"


def _remedy(options: Set, result: Fraction | None, words: str) -> Remedy:
    return Remedy(
        tuple(change for option in options for change in option.changes),
        result,
        words,
        by_hand=any(option.by_hand for option in options),
        rebuilds=tuple(option.rebuild for option in options if option.rebuild is not None),
    )


def _varied(ranked: list[tuple[tuple[str, ...], Set]]) -> list[Set]:
    """The best by each way of mending first, so that a pinion is offered beside a spur; then the others in order.

    Of what is done by hand only the least is told: another gram is no other way.
    """
    least: dict[tuple[object, ...], tuple[tuple[str, ...], Set]] = {}
    for names, options in ranked:
        ways = zip(names, options, strict=True)
        least.setdefault(
            tuple(name if option.by_hand else (name, option.changes) for name, option in ways), (names, options)
        )
    firsts: dict[tuple[str, ...], Set] = {}
    for names, options in least.values():
        firsts.setdefault(names, options)
    chosen = list(firsts.values())
    return [*chosen, *(options for _, options in least.values() if options not in chosen)]


def _of_motor(check: Check) -> bool:
    limited = quantity(check.quantity) if check.quantity is not None else None
    return limited is not None and bool(limited.family)


def _touched(rule: Rule, moved: frozenset[str], ended: frozenset[str]) -> bool:
    """Whether a change of these quantities, or the end of these readings, can reach a rule."""
    for name in rule.named:
        named = quantity(name)
        if rests_on(name) & moved or (named is not None and named.family in ended):
            return True
        if ended and named is not None and Given.REBUILDS in named.inputs:
            return True
    return False


def _is_fine(after: Check, before: Check, ended: frozenset[str]) -> bool:
    if after.verdict is Verdict.ILLEGAL:
        return False
    if after.verdict is not Verdict.NOT_SHOWN or before.verdict is Verdict.NOT_SHOWN or _is_unnamed(after):
        return True
    return after.fact is not None and after.fact.quantity.family in ended


def _is_unnamed(check: Check) -> bool:
    """Whether a limit is met as read, and only the name of the instrument is wanting to show it."""
    is_met = check.outcome is not None and check.outcome.margin >= 0
    return check.verdict is Verdict.NOT_SHOWN and is_met and check.fact is not None and not check.fact.complete


def _brief(fact: Fact) -> str:
    """A value beside others, where three decimals of a ratio and one of a length say enough."""
    if isinstance(fact.value, Measured):
        return reading_text(fact.value, fact.quantity.unit)
    if isinstance(fact.value, Fraction):
        return with_unit(decimal_text(fact.value, 1 if fact.quantity.unit else 3), fact.quantity.unit)
    return shown(fact.value)
