"""The engine: the rules of a class on a day, held against the facts of one car."""

from collections.abc import Iterable
from datetime import date
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.limits.decisions import Decision, Ruling, decide
from speclint.limits.forms import Inspect, ListedFor, ListedIn, NoneOf, OneOf, Size, Stated
from speclint.models.cars import Car
from speclint.models.setups import Entry
from speclint.moments import day_text
from speclint.places import Place
from speclint.quantities.facts import Fact, Facts
from speclint.readings.digits import plain_text
from speclint.readings.measured import Measured, read_to, value_of
from speclint.rules.checks import Check, LaterRule, Verdict
from speclint.rulesets.amendments import binding
from speclint.rulesets.model import FlatClass, PartsList, Rule, Scalar, Waiver
from speclint.spelling import nearest


class NextVersion(NamedTuple):
    """The class in the ruleset's next version: the day on which that begins, and the rules that ask something else."""

    flat: FlatClass
    on: date
    rules: tuple[Rule, ...]


class Rulebook(NamedTuple):
    """A class on a day: the rules that bind, those that begin to bind later, and what the next version changes."""

    flat: FlatClass
    on: date
    known_on: date | None
    rules: tuple[Rule, ...]
    later: tuple[Rule, ...]
    next_version: NextVersion | None = None


def rulebook(flat: FlatClass, on: date, known_on: date | None = None, following: FlatClass | None = None) -> Rulebook:
    """What a class asks on a day, by what was published until `known_on`; `following` is its ruleset's next version."""
    rules = binding(flat, on, known_on)
    later = tuple(
        rule
        for rule in flat.rules
        if rule.period.start is not None
        and rule.period.start > on
        and rule.period.start in flat.ruleset.in_force
        and rule in binding(flat, rule.period.start, known_on)
    )
    return Rulebook(flat, on, known_on, rules, later, _changed(rules, flat, following, known_on))


def _changed(
    rules: tuple[Rule, ...], flat: FlatClass, following: FlatClass | None, known_on: date | None
) -> NextVersion | None:
    start = None if following is None else following.ruleset.in_force.start
    if following is None or start is None:
        return None
    asked = {rule.id: _asks(rule, flat) for rule in rules}
    found = tuple(rule for rule in binding(following, start, known_on) if asked.get(rule.id) != _asks(rule, following))
    return NextVersion(following, start, found) if found else None


def _asks(rule: Rule, flat: FlatClass) -> tuple[object, ...]:
    """What makes one rule ask the same as another, whatever the words around it."""
    limit = rule.limit.bounds if isinstance(rule.limit, Size) else rule.limit
    decision = rule.decision or flat.decision
    return rule.quantity, type(limit), limit, rule.when, rule.read_to, rule.uncorrected, decision


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
    unknown: Fact | None = None
    for name, allowed in rule.when:
        condition = facts.fact(name)
        if condition.value is None:
            # Another condition may still say that the rule does not apply, whatever this one would be.
            unknown = unknown or condition
        elif not _matches(condition, allowed):
            return Check(
                rule=rule, verdict=Verdict.NOT_APPLICABLE, decision=decision, nowhere=entry,
                reason=f"applies where {name.removeprefix('entry.')} is {words(allowed)}",
            )  # fmt: skip
    if unknown is not None:
        reason = unknown.reason or f"whether this rule applies depends on {', '.join(unknown.missing)}"
        return Check(
            rule=rule, verdict=Verdict.NOT_SHOWN, decision=decision, nowhere=entry, fact=unknown, reason=reason,
            missing=unknown.missing,
        )  # fmt: skip
    limit = rule.limit
    if isinstance(limit, Inspect) or rule.quantity is None:
        what = limit.what if isinstance(limit, Inspect) else ""
        return Check(rule=rule, verdict=Verdict.TO_INSPECT, decision=decision, nowhere=entry, reason=what)
    instrument = book.flat.instruments.get(rule.instrument) if rule.instrument is not None else None
    fact = facts.fact(rule.quantity, instrument, uncorrected=rule.uncorrected)
    if fact.value is None:
        return Check(
            rule=rule, verdict=Verdict.NOT_SHOWN, decision=decision, nowhere=entry, fact=fact, reason=fact.reason,
            missing=fact.missing,
        )  # fmt: skip
    if rule.read_to is not None and isinstance(fact.value, Fraction | Measured):
        fact = fact._replace(value=read_to(fact.value, rule.read_to), unrounded=fact.value)
    if isinstance(limit, Size):
        return _sized(rule, limit, fact, decision, entry)
    if isinstance(limit, ListedFor):
        owner = facts.fact(limit.item)
        if owner.value is None:
            reason = owner.reason or f"what is allowed depends on {', '.join(owner.missing)}"
            return Check(
                rule=rule, verdict=Verdict.NOT_SHOWN, decision=decision, nowhere=entry, fact=owner, reason=reason,
                missing=owner.missing,
            )  # fmt: skip
    met, reason = _chosen(limit, fact, book, facts)
    verdict = Verdict.NOT_SHOWN if met is None else Verdict.LEGAL if met else Verdict.ILLEGAL
    return Check(rule, verdict, decision, entry, fact, None, reason)


def _sized(rule: Rule, limit: Size, fact: Fact, decision: Decision, entry: Place) -> Check:
    value = fact.value
    if not isinstance(value, Fraction | Measured):
        return Check(
            rule=rule, verdict=Verdict.NOT_SHOWN, decision=decision, nowhere=entry, fact=fact,
            reason="the rule asks for a number here",
        )  # fmt: skip
    is_exact = fact.quantity.exact or (fact.complete and not isinstance(value, Measured))
    outcome = decide(value, limit.bounds, decision, exact=is_exact, complete=fact.complete)
    reason = _why_not_shown(fact, outcome.expanded_uncertainty) if outcome.ruling is Ruling.NOT_SHOWN else ""
    return Check(rule, _VERDICTS[outcome.ruling], decision, entry, fact, outcome, reason)


def _why_not_shown(fact: Fact, expanded: float | None) -> str:
    if expanded is None or not fact.complete:
        return (
            "the limit is met as read, but the rule asks to be shown so with the uncertainty counted: name the instrument"
            " of the reading, and describe it under instruments"
        )
    return "the limit is met as read, but by less than the uncertainty of the reading"


def _chosen(
    limit: OneOf | NoneOf | Stated | ListedIn | ListedFor | None, fact: Fact, book: Rulebook, facts: Facts
) -> tuple[bool | None, str]:
    """Whether a value is one that is allowed, None where that cannot be said, and why not."""
    match limit:
        case OneOf(values):
            return _matches(fact, values), ""
        case NoneOf(values):
            return not any(_equal(one, value) for one in _each(fact) for value in values), ""
        case ListedIn(list_id):
            parts = book.flat.lists.get(list_id)
            return _listed(parts, fact, book) if parts is not None else _no_list(list_id)
        case ListedFor(list_id):
            parts = book.flat.lists.get(list_id)
            return _listed_for(limit, parts, fact, book, facts) if parts is not None else _no_list(list_id)
        case Stated():
            return True, ""
        case _:
            return None, "the rule has no limit"


def _no_list(list_id: str) -> tuple[None, str]:
    return None, f"the ruleset has no list {list_id}"


def _listed(parts: PartsList, fact: Fact, book: Rulebook) -> tuple[bool, str]:
    """Whether each value of the fact is an item that counts, and what is wrong with the first that is not."""
    for one in _each(fact):
        standing = [parts.standing(item, book.on, book.known_on) for item in parts.items if _equal(one, item.id)]
        if "" in standing:
            continue
        shown = _shown(one)
        if standing:
            return False, f"on the list {parts.id}, {shown} {standing[0]}"
        if not isinstance(one, str) and any(item.id == shown for item in parts.items):
            return (
                False,
                f'the list {parts.id} has the text "{shown}", and {shown} without quotes is not one: put it in quotes',
            )
        near = nearest(shown, (item.id for item in parts.items))
        return False, f"{shown} is not on the list {parts.id}{f'; the nearest is {near}' if near else ''}"
    return True, ""


def _listed_for(limit: ListedFor, parts: PartsList, fact: Fact, book: Rulebook, facts: Facts) -> tuple[bool, str]:
    owner = facts.fact(limit.item).value
    shown = _shown(owner)
    listed = [item for item in parts.items if _equal(owner, item.id)]
    standing = [parts.standing(item, book.on, book.known_on) for item in listed]
    items = [item for item, trouble in zip(listed, standing, strict=True) if not trouble]
    if not items:
        trouble = f"on the list {parts.id}, {shown} {standing[0]}" if standing else ""
        return False, trouble or f"{shown} is not on the list {parts.id}, so nothing is approved for it"
    allowed = tuple(value for item in items for value in item.keys.get(limit.under, ()))
    if _matches(fact, allowed):
        return True, ""
    approved = f"approved for {shown}: {words(allowed, joined=', ')}" if allowed else f"nothing is approved for {shown}"
    return False, approved


def _matches(fact: Fact, allowed: tuple[Scalar, ...]) -> bool:
    """Whether every value of the fact is one of those allowed; most facts have one value."""
    return all(any(_equal(one, value) for value in allowed) for one in _each(fact))


def _each(fact: Fact) -> tuple[object, ...]:
    return fact.value if isinstance(fact.value, tuple) else (fact.value,)


def _equal(one: object, other: Scalar) -> bool:
    if isinstance(one, Measured):
        one = value_of(one)
    # True is 1 to Python; to a rulebook it is not.
    return isinstance(one, bool) is isinstance(other, bool) and one == other


def words(values: tuple[Scalar, ...], joined: str = " or ") -> str:
    """Allowed values in a sentence."""
    return joined.join(map(_shown, values))


def _shown(value: object) -> str:
    """One value in a sentence."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, tuple):
        return ", ".join(map(_shown, value))
    return plain_text(value_of(value)) if isinstance(value, Fraction | Measured) else str(value)


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
    replaced = {one.id: one.replaces for one in rules}
    found, seen = rule.replaces, {rule.id}
    while found is not None and found not in seen:
        if found in by_id:
            return by_id[found]
        seen.add(found)
        found = replaced.get(found)
    return None


_VERDICTS: Final = {
    Ruling.LEGAL: Verdict.LEGAL,
    Ruling.ILLEGAL: Verdict.ILLEGAL,
    Ruling.NOT_SHOWN: Verdict.NOT_SHOWN,
}
