"""The engine: the rules of a class on a day, held against the facts of one car."""

from collections.abc import Iterable
from fractions import Fraction
from typing import Final, assert_never

from speclint.forms.bodies import LimitTest, ToInspect, Withdrawn
from speclint.forms.limit import Circumstances
from speclint.forms.parts_lists import DayLists
from speclint.forms.words import matches, words
from speclint.limits.decisions import Decision, Ruling
from speclint.models.cars import Car
from speclint.models.setups import Entry
from speclint.moments import day_text
from speclint.places import Place
from speclint.quantities.facts import Fact, Facts
from speclint.readings.measured import Measured, read_to
from speclint.rules.checks import Check, LaterRule, Verdict
from speclint.rules.rulebook import NextVersion, Rulebook
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


def judge(book: Rulebook, facts: Facts, entry: Place) -> tuple[Check, ...]:
    """Every rule of the class held against the facts, in the order of the class; `entry` is where the entry stands."""
    checks = [waived(judge_rule(rule, book, facts, entry), book, facts) for rule in book.rules]
    if book.later:
        checks = _with_later(checks, book, facts, entry)
    if book.next_version is not None:
        checks = _with_next_version(checks, book, book.next_version, facts, entry)
    return tuple(checks)


def entry_verdict(checks: Iterable[Check]) -> Verdict:
    """Illegal if any rule is, else not shown if any is, else legal; what is to be inspected changes nothing."""
    verdicts = {check.verdict for check in checks}
    for verdict in (Verdict.ILLEGAL, Verdict.NOT_SHOWN):
        if verdict in verdicts:
            return verdict
    return Verdict.LEGAL


def judge_rule(rule: Rule, book: Rulebook, facts: Facts, entry: Place) -> Check:
    """One rule held against the facts, waivers and later rules left aside."""
    decision = rule.decision or book.flat.decision
    idle = _when(rule, decision, facts, entry)
    if idle is not None:
        return idle
    match rule.body:
        case LimitTest() as test:
            return _tested(rule, test, book, facts, decision, entry)
        case ToInspect(subject):
            return Check(rule=rule, verdict=Verdict.TO_INSPECT, decision=decision, nowhere=entry, reason=subject)
        case Withdrawn():
            reason = "this rule only takes another away"
            return Check(rule=rule, verdict=Verdict.NOT_APPLICABLE, decision=decision, nowhere=entry, reason=reason)
        case _ as body:
            assert_never(body)


def _when(rule: Rule, decision: Decision, facts: Facts, entry: Place) -> Check | None:
    """Why a rule does not apply, or that it is not known whether it does; None where it applies."""
    unknown: Fact | None = None
    for name, allowed in rule.when:
        condition = facts.fact(name)
        if condition.value is None:
            # Another condition may still say that the rule does not apply, whatever this one would be.
            unknown = unknown or condition
        elif not matches(condition, allowed):
            reason = f"applies where {name.removeprefix('entry.')} is {words(allowed)}"
            return Check(rule=rule, verdict=Verdict.NOT_APPLICABLE, decision=decision, nowhere=entry, reason=reason)
    if unknown is None:
        return None
    reason = unknown.reason or f"whether this rule applies depends on {', '.join(unknown.missing)}"
    return _not_shown(rule, decision, entry, unknown, reason)


def _tested(rule: Rule, test: LimitTest, book: Rulebook, facts: Facts, decision: Decision, entry: Place) -> Check:
    """The rule's limit held against the quantity, read as the rule says."""
    instrument = book.flat.instruments.get(test.instrument) if test.instrument is not None else None
    fact = facts.fact(test.quantity, instrument, uncorrected=test.uncorrected)
    if fact.value is None:
        return _not_shown(rule, decision, entry, fact, fact.reason)
    if test.read_to is not None and isinstance(fact.value, Fraction | Measured):
        fact = fact._replace(value=read_to(fact.value, test.read_to), unrounded=fact.value)
    circumstances = Circumstances(DayLists(book.flat.lists, book.on, book.known_on), facts)
    ruling, deciding, outcome, reason, missing = test.limit.judge(fact, decision, circumstances)
    return Check(rule, _VERDICTS[ruling], decision, entry, deciding, outcome, reason, missing)


def _not_shown(rule: Rule, decision: Decision, entry: Place, fact: Fact, reason: str) -> Check:
    return Check(
        rule=rule, verdict=Verdict.NOT_SHOWN, decision=decision, nowhere=entry, fact=fact, reason=reason,
        missing=fact.missing,
    )  # fmt: skip


def waived(check: Check, book: Rulebook, facts: Facts) -> Check:
    """The check with the club's waiver counted, where it has one and needs it."""
    if not book.flat.waivers or check.verdict not in (Verdict.ILLEGAL, Verdict.NOT_SHOWN):
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
    return waiver.serial is None or facts.fact("motor_serial").value == waiver.serial


def _with_later(checks: list[Check], book: Rulebook, facts: Facts, entry: Place) -> list[Check]:
    """The checks with what later rules will say: beside the rule that they replace, or for themselves."""
    by_id = {check.rule.id: i for i, check in enumerate(checks)}
    for rule in book.later:
        start = rule.period.start or book.on
        then = book._replace(on=start)
        future = waived(judge_rule(rule, then, facts, entry), then, facts)
        if future.verdict is Verdict.NOT_APPLICABLE:
            continue
        later = LaterRule(start, future)
        _tell(checks, _index_of_replaced(rule, by_id, book.flat.rules), later, entry)
    return checks


def _with_next_version(
    checks: list[Check], book: Rulebook, following: NextVersion, facts: Facts, entry: Place
) -> list[Check]:
    """The checks with what the ruleset's next version will say, beside the rule of the same id or for itself."""
    by_id = {check.rule.id: i for i, check in enumerate(checks)}
    then = book._replace(flat=following.flat, on=following.on)
    for rule in following.rules:
        future = waived(judge_rule(rule, then, facts, entry), then, facts)
        if future.verdict is not Verdict.NOT_APPLICABLE:
            _tell(checks, by_id.get(rule.id), LaterRule(following.on, future), entry)
    return checks


def _tell(checks: list[Check], index: int | None, later: LaterRule, entry: Place) -> None:
    """Puts a notice beside the check that it is about, or a check of its own behind them all."""
    if index is not None:
        checks[index] = checks[index]._replace(later=(*checks[index].later, later))
        return
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


def _index_of_replaced(rule: Rule, by_id: dict[str, int], rules: tuple[Rule, ...]) -> int | None:
    """Which check the rule will take the place of, at once or by way of amendments in between."""
    replaced = {other.id: other.replaces for other in rules}
    rule_id, seen = rule.replaces, {rule.id}
    while rule_id is not None and rule_id not in seen:
        if rule_id in by_id:
            return by_id[rule_id]
        seen.add(rule_id)
        rule_id = replaced.get(rule_id)
    return None


_VERDICTS: Final = {
    Ruling.LEGAL: Verdict.LEGAL,
    Ruling.ILLEGAL: Verdict.ILLEGAL,
    Ruling.NOT_SHOWN: Verdict.NOT_SHOWN,
}
