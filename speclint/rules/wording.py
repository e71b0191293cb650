"""What is said of a check, in words and numbers: what the rule asks, what the car has, by how much, and why."""

from fractions import Fraction
from typing import Final, assert_never

from speclint.forms.bodies import AnyOf, LimitTest, Table, ToInspect, Withdrawn
from speclint.forms.size import Size
from speclint.limits.decisions import Decision
from speclint.moments import day_text
from speclint.quantities.declared import Sum
from speclint.quantities.registry import quantity
from speclint.quantities.working import working
from speclint.readings.digits import plain_text, reading_text, with_unit
from speclint.readings.exact import decimal_text
from speclint.readings.measured import Number, value_of
from speclint.rules.checks import Check, LaterRule, TestResult, Verdict
from speclint.rulesets.model import Rule


def title(check: Check) -> str:
    """The quantity's name for people, or the rule's id where it has none."""
    return rule_title(check.rule)


def test_title(test: LimitTest) -> str:
    """The same, of a test."""
    limited = quantity(test.quantity)
    return limited.title if limited is not None else test.quantity


def rule_title(rule: Rule) -> str:
    """The same, of a rule before it is checked."""
    limited = quantity(rule.quantity) if rule.quantity is not None else None
    return limited.title if limited is not None else rule.id


def unstated_title(check: Check) -> str:
    """What is not stated, for people: the rule's own quantity, or another that it hangs on, such as that of its `when`."""
    fact = check.fact
    is_another = fact is not None and fact.value is None and fact.quantity.name != check.quantity
    return fact.quantity.title if fact is not None and is_another else title(check)


def unit(check: Check) -> str:
    """The unit code of what decided, "" where it has none."""
    return test_unit(check.test) if check.test is not None else ""


def asked(rule: Rule) -> str:
    """What a rule asks: `at least 4.20`, `36 to 40°`, `one of standard, torque`."""
    match rule.body:
        case LimitTest() as test:
            return test_asked(test)
        case AnyOf(options=options) as body:
            says = test_asked if body.is_windows else way_asked
            return ", or ".join(" and ".join(map(says, option)) for option in options)
        case Table(by=by, rows=rows, otherwise=otherwise):
            named = quantity(by)
            cells = ", ".join(f"{key}: {test_asked(test)}" for key, test in rows)
            last = test_asked(otherwise) if isinstance(otherwise, LimitTest) else otherwise.value.replace("-", " ")
            return f"by {named.title if named is not None else by} {cells}, otherwise {last}"
        case ToInspect(subject):
            return subject
        case Withdrawn():
            return ""
        case _ as body:
            assert_never(body)


def asks(check: Check) -> str:
    """What the rule asks of this car: its looked-up values are those of the car."""
    return _asks_beside(check, _own_value(check))


def _asks_beside(check: Check, told: str) -> str:
    """The same, beside the value as it is told."""
    test = check.test
    if test is None or check.ways:
        return asked(check.rule)
    limit = test.limit
    if isinstance(limit, Size) and check.outcome is not None:
        text = limit.asked_beside(test_unit(test), told)
    else:
        text = test_asked(test)
    return f"{text} for {check.row}" if check.row else text


def test_asked(test: LimitTest) -> str:
    """What one test asks: `at least 4.20`."""
    return test.limit.asked(test_unit(test))


def way_asked(test: LimitTest) -> str:
    """The same, with what it asks it of: `motor turns at least 9.5`; of a flag that has to be true its name alone."""
    ask = test_asked(test)
    return test_title(test) if ask == "yes" else f"{test_title(test)} {test.limit.lead}{ask}"


def size_text(test: LimitTest, size: Fraction) -> str:
    """A step or a leeway of a test, with the unit that the rulebook writes."""
    if test.written is not None:
        return with_unit(plain_text(test.written.difference(size)), test.written.code)
    limited = quantity(test.quantity)
    return with_unit(plain_text(size), limited.unit if limited is not None else "")


def has(check: Check) -> str:
    """What the car has, with its unit and the digits that its uncertainty supports; "" where nothing is shown."""
    if check.ways and not _is_windows(check):
        return " and ".join(map(_way_has, (test for test in check.ways[check.told] if test.fact.value is not None)))
    return _own_value(check)


def _own_value(check: Check) -> str:
    """What the car has of the quantity that decided."""
    fact, test = check.fact, check.test
    if fact is None or fact.value is None or test is None:
        return ""
    return test.limit.has(fact, fact.value, check.outcome, test_unit(test))


_TO_SPARE: Final = " to spare"


def margin(check: Check) -> str:
    """By how much a limit of size is met or broken: `0.15 mm to spare`, `0.055 short`, `0.02 V over`.

    What is met and yet not shown has nothing to spare: `met by 0.5 mΩ, within its ±`.
    """
    return _margin_beside(check, _own_value(check))


def _margin_beside(check: Check, told: str) -> str:
    """The same, beside the value as it is told."""
    fact, test = check.fact, check.test
    if fact is None or test is None:
        return ""
    text = test.limit.margin(fact, check.outcome, test_unit(test), told)
    if check.verdict is Verdict.NOT_SHOWN and text.endswith(_TO_SPARE):
        is_known = check.outcome is not None and check.outcome.expanded_uncertainty is not None
        return f"met by {text.removesuffix(_TO_SPARE)}, {'within its ±' if is_known else '± not known'}"
    is_nearer = check.ways and check.verdict is Verdict.ILLEGAL and text and _is_windows(check)
    return f"{text}{' of' if text.endswith(' short') else ''} the nearer" if is_nearer else text


def message(check: Check) -> str:
    """The check in one sentence, without the clause."""
    name = title(check)
    if check.waived:
        return f"{name}: {check.waived}"
    match check.verdict:
        case Verdict.TO_INSPECT:
            return f"to inspect: {check.reason or check.rule.id}"
        case Verdict.NOT_APPLICABLE:
            return f"{name}: {check.reason}"
        case Verdict.NOT_SHOWN:
            return f"{name} is not shown: {_not_shown(check)}"
    if check.ways and not _is_windows(check):
        return _way_message(name, check)
    if check.test is None and check.reason:
        return f"{name}: {check.reason}: {check.verdict.value}"
    told = _own_value(check)
    if not told:
        return f"{name}: {check.verdict.value}"
    sentence = f"{name} is {told}{_parts(check)}; the rule asks {_lead(check)}{_asks_beside(check, told)}"
    tail = _margin_beside(check, told) or check.reason
    return f"{sentence}: {tail}" if tail else sentence


def explanation(check: Check) -> tuple[str, ...]:
    """How the value came about, and what the uncertainty does to the verdict, a line each."""
    if check.near:
        return (*explanation(check._replace(near="")), f"close call: {check.near}")
    fact = check.fact
    if fact is None:
        return tuple(_doubt(check))
    test = check.test
    if test is None or test.read_to is None or fact.unrounded is None or fact.unrounded == fact.value:
        return (*working(fact, has(check)), *_doubt(check))
    before = reading_text(fact.unrounded, unit(check))
    step = size_text(test, test.read_to)
    lines = working(fact._replace(value=fact.unrounded), before)
    return (*lines, f"{before} is read to {step}, as the rule says: {has(check)}", *_doubt(check))


def later_text(later: LaterRule) -> str:
    """What a rule will ask later, and what that means for the car as it is."""
    if later.ends:
        return f"from {day_text(later.on)} this rule no longer binds"
    ask = f"from {day_text(later.on)} this rule asks {_lead(later.check)}{asks(later.check)}"
    clause = f", by {later.rule.cite}" if later.rule.cite else ""
    value = has(later.check)
    now = f" with {value}" if value else ""
    match later.verdict:
        case Verdict.LEGAL:
            return f"{ask}{clause}: the car{now} stays legal"
        case Verdict.ILLEGAL:
            why = f" ({later.check.reason})" if later.check.reason else ""
            return f"{ask}{clause}: the car{now} will be illegal{why}"
        case Verdict.NOT_SHOWN:
            return f"{ask}{clause}: the setup does not show that"
    return f"{ask}{clause}"


def _not_shown(check: Check) -> str:
    if check.ways and not _is_windows(check):
        return f"{_way_not_shown(check)}{_elsewhere(check)}"
    return _why_not_shown(check)


def _way_not_shown(check: Check) -> str:
    """What the nearest way still needs: `add motor.part if it is named-8.5`."""
    lacking = [result for result in check.ways[check.told] if result.verdict is Verdict.NOT_SHOWN]
    stated = [result for result in lacking if not result.missing or result.reason]
    if stated:
        return _why_not_shown(check)
    return "add " + " and ".join(
        f"{' and '.join(result.missing)} if it is {test_asked(result.test)}" for result in lacking
    )


def _elsewhere(check: Check) -> str:
    failing = sum(any(result.verdict is Verdict.ILLEGAL for result in way) for way in check.ways)
    others = len(check.ways) - 1
    if not failing:
        return ""
    if others == 1:
        return " (the other way fails)"
    return f" ({'the' if failing == others else failing} other ways fail)" if failing > 1 else " (1 other way fails)"


def _why_not_shown(check: Check) -> str:
    if check.missing and (not check.reason or check.fact is None or check.fact.missing):
        added = f"add {' and '.join(check.missing)}"
        return f"{check.reason}; {added}" if check.reason else added
    return check.reason or "what the setup states cannot decide it"


def _doubt(check: Check) -> list[str]:
    """What the uncertainty means for the verdict."""
    outcome = check.outcome
    if outcome is None or check.fact is None:
        return []
    if outcome.expanded_uncertainty is None:
        is_unknown = not check.fact.quantity.exact and not check.fact.complete
        return ["taken as read: no instrument is named, so its uncertainty is not known"] if is_unknown else []
    lines = []
    chance = (
        ""
        if outcome.probability is None
        else f"; the chance that the true value is within is {percent(outcome.probability)}"
    )
    if not check.fact.complete:
        lines.append("not every reading names its instrument, so the ± may be larger")
    if outcome.close_call:
        lines.append(f"close call: the limit lies within the ± of the reading{chance}")
    elif check.verdict is Verdict.ILLEGAL and check.fact.complete:
        lines.append(f"beyond doubt: the limit is broken by more than the uncertainty{chance}")
    if check.decision is Decision.BENEFIT_OF_DOUBT and check.verdict is Verdict.LEGAL and outcome.margin < 0:
        lines.append("the rule gives the benefit of the doubt, so a reading beyond the limit by less than that passes")
    if check.decision is Decision.MUST_SHOW and check.verdict is Verdict.NOT_SHOWN:
        lines.append("the rule asks that the limit is met with the uncertainty counted")
    return lines


def percent(probability: float) -> str:
    """A probability as people read it: never 0 % or 100 % for what is not certain."""
    if probability < 0.001:
        return "under 0.1 %"
    if probability > 0.999:
        return "over 99.9 %"
    return f"{probability * 100:.1f} %" if probability < 0.01 or probability > 0.99 else f"{probability * 100:.0f} %"


def test_unit(test: LimitTest) -> str:
    """The unit code of a test's numbers, "" where they have none."""
    limited = quantity(test.quantity)
    # "turns is 17.5 turns" says it twice.
    return limited.unit if limited is not None and limited.unit != limited.title else ""


def _parts(check: Check) -> str:
    """The parts of a sum, in its unit and to its decimals: ` (78.20 + 3.40)`; "" of what is none."""
    fact, test = check.fact, check.test
    if fact is None or test is None or not isinstance(fact.quantity.formula, Sum):
        return ""
    parts = fact.quantity.formula.converted(value for _, value in fact.inputs if isinstance(value, Number))
    numbers = parts if test.written is None else tuple(map(test.written.number, parts))
    places = len(has(check).partition(" ")[0].partition(".")[2])
    first, *others = (decimal_text(value_of(number), places) for number in numbers)
    signed = (f" − {text[1:]}" if text.startswith("-") else f" + {text}" for text in others)
    return f" ({first}{''.join(signed)})"


def _lead(check: Check) -> str:
    limit = check.limit if check.limit is not None else check.rule.limit
    return limit.lead if limit is not None and not check.ways else ""


def _is_windows(check: Check) -> bool:
    return isinstance(check.rule.body, AnyOf) and check.rule.body.is_windows


def _way_has(result: TestResult) -> str:
    if result.fact.value is None:
        return test_title(result.test)
    value = result.test.limit.has(result.fact, result.fact.value, result.outcome, test_unit(result.test))
    return test_title(result.test) if value == "yes" else f"{test_title(result.test)} {value}"


def _way_message(name: str, check: Check) -> str:
    """By which way a rule is met, or what the nearest one lacks."""
    number, way, count = check.told + 1, check.ways[check.told], len(check.ways)
    if check.verdict is Verdict.LEGAL:
        return f"{name}: met by {' and '.join(map(_way_has, way))} ({_ordinal(number)} of {count} ways)"
    failing = (result for result in way if result.verdict is Verdict.ILLEGAL)
    broken = (f"{_way_has(result)} is not {test_asked(result.test)}" for result in failing)
    tail = f": {text}" if (text := margin(check) or check.reason) else ""
    nearest = f"; the nearest is the {_ordinal(number)}" if count > 1 else ""
    return f"{name}: none of {count} ways is met{nearest}, where {' and '.join(broken)}{tail}"


def _ordinal(number: int) -> str:
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number, 'th') }"
