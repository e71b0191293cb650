"""The engine: the rules of a class on a day, held against the facts of one car."""

from collections.abc import Iterable, Sequence
from itertools import zip_longest
from typing import assert_never

from speclint.forms.bodies import AnyOf, LimitTest, Table, ToInspect, Withdrawn
from speclint.limits.decisions import Decision
from speclint.models.cars import Car
from speclint.models.setups import Entry
from speclint.moments import day_text
from speclint.places import Place
from speclint.plain import listed
from speclint.problems import Problem
from speclint.quantities.facts import Fact, Facts
from speclint.rules.applicability import applicability, holds_wholly
from speclint.rules.checks import FAILING, WORST_FIRST, Check, LaterRule, TestResult, Verdict
from speclint.rules.rulebook import Coming, Rulebook, Turn
from speclint.rules.tables import row_result
from speclint.rules.testing import tested
from speclint.rules.ways import verdict_of, ways_of
from speclint.rulesets.model import FlatClass, Rule, Waiver


def entry_facts(car: Car, entry: Entry, flat: FlatClass) -> Facts:
    """The facts of a car as a class asks for them on the day of an entry."""
    return Facts(
        car,
        on=entry.on,
        reference_c=flat.reference_c,
        entry_keys=entry.keys,
        entry_path=entry.path,
        official=flat.instruments,
    )


def judge(
    book: Rulebook, facts: Facts, entry: Place, screened_checks: Sequence[Check | None] = ()
) -> tuple[Check, ...]:
    """Every rule of the class held against the facts, in the order of the class.

    Args:
        book: the class on the day.
        facts: those of a car.
        entry: where the entry stands.
        screened_checks: what came of screening, where that was done.
    """
    checks = [
        waived(judge_rule(rule, book, facts, entry), book, facts) if check is None else check
        for rule, check in zip_longest(book.rules, screened_checks)
    ]
    index_of = {rule.id: index for index, rule in enumerate(book.rules)}
    for coming in book.coming:
        _tell(checks, index_of, coming, facts, entry)
    return tuple(checks)


def screened(book: Rulebook, facts: Facts, entry: Place) -> tuple[Check | None, ...]:
    """The check of every rule of the class; None for one that the car plainly meets."""
    return tuple(
        None if book.screens.pass_rule(rule, facts) else waived(judge_rule(rule, book, facts, entry), book, facts)
        for rule in book.rules
    )


def worst_verdict(checks: Iterable[Check]) -> Verdict:
    """Illegal if any rule is, else not shown if any is, else legal; what is to be inspected changes nothing."""
    verdicts = [check.verdict for check in checks]
    return next((verdict for verdict in FAILING if verdict in verdicts), Verdict.LEGAL)


def entry_verdict(
    checks: Sequence[Check], book: Rulebook, problems: Sequence[Problem] = (), *, is_any_met: bool = False
) -> tuple[Verdict, str]:
    """The verdict on an entry, and the reason where no rule gives one.

    What nothing judged is not shown to be legal, nor is what rests on files that have problems. `is_any_met` says that a
    rule is met of which there is no check.
    """
    if is_any_met or any(check.verdict in WORST_FIRST for check in checks):
        verdict = worst_verdict(checks)
        if verdict is Verdict.LEGAL and problems:
            return Verdict.NOT_SHOWN, f"mend {listed(dict.fromkeys(str(problem.place) for problem in problems))} first"
        return verdict, ""
    if not book.rules:
        return Verdict.NOT_SHOWN, f"nothing was judged: no rule of {book.flat.id} binds on {day_text(book.on)}"
    return Verdict.NOT_SHOWN, f"nothing was judged: no rule of {book.flat.id} limits anything on this car"


def judge_rule(rule: Rule, book: Rulebook, facts: Facts, entry: Place) -> Check:
    """One rule held against the facts, waivers and later rules left aside."""
    decision = rule.decision or book.flat.decision
    if not rule.when and not rule.unless:
        return _judged(rule, book, facts, decision, entry)
    standing = applicability(rule, facts, book.vocabulary)
    near = standing.near
    if standing.reason:
        if near and decision is Decision.MUST_SHOW:
            return _unless_legal(_judged(rule, book, facts, decision, entry), near)
        return Check(
            rule=rule,
            verdict=Verdict.NOT_APPLICABLE,
            decision=decision,
            nowhere=entry,
            reason=standing.reason,
            near=near,
        )
    if standing.unknown is not None:
        fact = standing.unknown
        reason = fact.reason or f"whether this rule applies depends on the {fact.quantity.title}"
        return _not_shown(rule, decision, entry, fact, reason)
    check = _judged(rule, book, facts, decision, entry)
    return check._replace(near=near) if near else check


def _unless_legal(check: Check, near: str) -> Check:
    """A rule that may apply, for all that a reading shows: met it is met, and nothing else is known of it."""
    if check.verdict is Verdict.LEGAL:
        return check._replace(near=near)
    return check._replace(verdict=Verdict.NOT_SHOWN, near=near, reason=near)


def _judged(rule: Rule, book: Rulebook, facts: Facts, decision: Decision, entry: Place) -> Check:
    check = _of_body(rule, book, facts, decision, entry)
    if not rule.look:
        return check
    # A reading that is there and does not count is no case for the inspector's eye.
    is_unstated = check.fact is not None and check.fact.value is None and not check.fact.reason
    if check.verdict is Verdict.NOT_SHOWN and check.missing and is_unstated:
        reason = f"{rule.look} (nothing is stated: {', '.join(check.missing)})"
        return check._replace(verdict=Verdict.TO_INSPECT, reason=reason, missing=())
    return check


def _of_body(rule: Rule, book: Rulebook, facts: Facts, decision: Decision, entry: Place) -> Check:
    match rule.body:
        case LimitTest() as test:
            return _check(rule, decision, entry, tested(test, book, facts, decision))
        case AnyOf() as body:
            ways = ways_of(body, book, facts, decision)
            told = ways.results[ways.told]
            missing = dict.fromkeys(key for test in told for key in test.missing)
            check = _check(rule, decision, entry, ways.deciding)
            return check._replace(verdict=verdict_of(told), missing=tuple(missing), ways=ways.results, told=ways.told)
        case Table() as body:
            row = row_result(body, book, facts, decision)
            if row.result is not None:
                check = _check(rule, decision, entry, row.result)._replace(row=row.row, near=row.near)
                return _unless_legal(check, row.near) if row.verdict is not check.verdict else check
            lacking = row.fact.missing if row.verdict is Verdict.NOT_SHOWN else ()
            return Check(rule, row.verdict, decision, entry, row.fact, None, row.reason, lacking, near=row.near)
        case ToInspect(subject):
            return Check(rule=rule, verdict=Verdict.TO_INSPECT, decision=decision, nowhere=entry, reason=subject)
        case Withdrawn():
            reason = "this rule only takes another away"
            return Check(rule=rule, verdict=Verdict.NOT_APPLICABLE, decision=decision, nowhere=entry, reason=reason)
        case _ as body:
            assert_never(body)


def _check(rule: Rule, decision: Decision, entry: Place, result: TestResult) -> Check:
    """A check of which one test is all that there is."""
    test, verdict, fact, outcome, reason, missing = result
    return Check(rule, verdict, decision, entry, fact, outcome, reason, missing, test=test)


def _not_shown(rule: Rule, decision: Decision, entry: Place, fact: Fact, reason: str) -> Check:
    return Check(
        rule=rule,
        verdict=Verdict.NOT_SHOWN,
        decision=decision,
        nowhere=entry,
        fact=fact,
        reason=reason,
        missing=fact.missing,
    )


def waived(check: Check, book: Rulebook, facts: Facts) -> Check:
    """The check with the club's waiver counted, where it has one and needs it."""
    if not book.flat.waivers or check.verdict not in FAILING:
        return check
    waiver = next((waiver for waiver in book.flat.waivers if _covers(waiver, check, book, facts)), None)
    if waiver is None:
        return check
    until = f" until {day_text(waiver.period.end)}" if waiver.period.end is not None else ""
    granted = f" ({waiver.granted})" if waiver.granted else ""
    return check._replace(verdict=Verdict.NOT_APPLICABLE, waived=f"waived{until}{granted}")


def _covers(waiver: Waiver, check: Check, book: Rulebook, facts: Facts) -> bool:
    if waiver.rule != check.rule.id or waiver.class_id not in (None, book.flat.id) or book.on not in waiver.period:
        return False
    return holds_wholly(waiver.when, facts)


def _tell(checks: list[Check], index_of: dict[str, int], coming: Coming, facts: Facts, entry: Place) -> None:
    """Puts a notice of what is coming beside the check that it is about, or a check of its own behind them all."""
    index = next((index_of[rule_id] for rule_id in coming.beside if rule_id in index_of), None)
    future = _future(coming, facts, entry)
    if future.verdict is Verdict.NOT_APPLICABLE:
        return
    if coming.turn is Turn.CHANGES and future.verdict is _last_verdict(checks, index, coming.rule):
        return
    if coming.turn is Turn.ENDS:
        reason = f"no longer binds from {day_text(coming.on)}"
        future = Check(
            rule=coming.rule, verdict=Verdict.NOT_APPLICABLE, decision=future.decision, nowhere=entry, reason=reason
        )
    later = LaterRule(coming.on, future, ends=coming.turn is Turn.ENDS)
    if index is not None:
        checks[index] = checks[index]._replace(later=(*checks[index].later, later))
        return
    index_of[later.rule.id] = len(checks)
    checks.append(
        Check(
            rule=later.rule,
            verdict=Verdict.NOT_APPLICABLE,
            decision=later.check.decision,
            nowhere=entry,
            reason=f"begins to bind on {day_text(later.on)}",
            later=(later,),
        )
    )


def _future(coming: Coming, facts: Facts, entry: Place) -> Check:
    """What the rule will say on the day; one that ends, what it says on its last."""
    if coming.flat.quantities:
        # The next version may declare a key otherwise: nothing that is kept of this one counts.
        facts = facts.of(facts.car)
    return waived(judge_rule(coming.rule, coming.book, facts, entry), coming.book, facts)


def _last_verdict(checks: list[Check], index: int | None, rule: Rule) -> Verdict:
    """What a rule says before it changes, as far as that is told."""
    if index is None:
        return Verdict.NOT_APPLICABLE
    later_verdicts = [later.verdict for later in checks[index].later if later.rule.id == rule.id]
    return later_verdicts[-1] if later_verdicts else checks[index].verdict
