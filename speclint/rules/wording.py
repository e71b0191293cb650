"""What is said of a check, in words and numbers: what the rule asks, what the car has, by how much, and why."""

import math
from fractions import Fraction
from typing import Any, Final

from speclint.limits.decisions import Decision
from speclint.limits.forms import Inspect, ListedFor, ListedIn, NoneOf, OneOf, Size, Stated
from speclint.moments import day_text
from speclint.quantities.model import Sort
from speclint.quantities.registry import quantity
from speclint.quantities.working import working
from speclint.readings.digits import plain_text, reading_text, supported_places, with_unit
from speclint.readings.exact import decimal_text, decimals_of, exact, places_to_tell, text_beside
from speclint.readings.measured import Measured, value_of
from speclint.rules.checks import Check, LaterRule, Verdict
from speclint.rules.judge import words
from speclint.rulesets.model import Rule


def title(check: Check) -> str:
    """The quantity's name for people, or the rule's id where it has none."""
    return rule_title(check.rule)


def rule_title(rule: Rule) -> str:
    """The same, of a rule before it is checked."""
    known = quantity(rule.quantity) if rule.quantity is not None else None
    return known.title if known is not None else rule.id


def unit(check: Check) -> str:
    """The unit code of the rule's quantity, "" where it has none."""
    return _unit(check.rule)


def asked(rule: Rule) -> str:
    """What a rule asks: `at least 4.20`, `36 to 40°`, `one of standard, torque`."""
    limit, code = rule.limit, _unit(rule)
    match limit:
        case Size():
            return _size_asked(limit, code)
        case OneOf(values):
            return words(values) if len(values) == 1 else f"one of {words(values, ', ')}"
        case NoneOf(values):
            return f"not {words(values)}"
        case ListedIn(list_id):
            return f"on the list {list_id}"
        case ListedFor(list_id, item):
            owner = quantity(item)
            return f"listed in {list_id} for this {owner.title if owner is not None else item}"
        case Inspect(what):
            return what
        case Stated():
            return "stated"
    return ""


def has(check: Check) -> str:
    """What the car has, with its unit and the digits that its uncertainty supports; "" where nothing is shown."""
    fact = check.fact
    if fact is None or fact.value is None:
        return ""
    return _value(fact.value, check)


def margin(check: Check) -> str:
    """By how much a limit of size is met or broken: `0.15 mm to spare`, `0.055 short`, `0.02 V over`."""
    outcome, limit = check.outcome, check.rule.limit
    if outcome is None or not isinstance(limit, Size):
        return ""
    if limit.nominal is not None and limit.bounds.low == limit.bounds.high and outcome.margin == 0:
        return ""
    if outcome.margin == 0:
        strict = limit.bounds.low_strict if outcome.limit == limit.bounds.low else limit.bounds.high_strict
        return "on the limit itself" if not strict else "on the limit, which is not enough"
    size = with_unit(_margin_number(check), unit(check))
    if outcome.margin > 0:
        return f"{size} to spare"
    # An exact value has one limit on both sides, so only the value says on which side of it the car is.
    is_low = outcome.limit == limit.bounds.low and (
        outcome.limit != limit.bounds.high or _number_of(check) < outcome.limit
    )
    return f"{size} {'short' if is_low else 'over'}"


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
    if not has(check):
        return f"{name}: {check.verdict.value}"
    sentence = f"{name} is {has(check)}; the rule asks {_for(check.rule)}{asked(check.rule)}"
    tail = margin(check) or check.reason
    return f"{sentence}: {tail}" if tail else sentence


def explanation(check: Check) -> tuple[str, ...]:
    """How the value came about, and what the uncertainty does to the verdict, a line each."""
    fact = check.fact
    if fact is None:
        return tuple(_doubt(check))
    if fact.unrounded is None or fact.unrounded == fact.value or check.rule.read_to is None:
        return (*working(fact, has(check)), *_doubt(check))
    before = reading_text(fact.unrounded, unit(check))
    step = with_unit(plain_text(check.rule.read_to), unit(check))
    lines = working(fact._replace(value=fact.unrounded), before)
    return (*lines, f"{before} is read to {step}, as the rule says: {has(check)}", *_doubt(check))


def later_text(later: LaterRule) -> str:
    """What a rule that begins later will ask, and what that means for the car as it is."""
    ask = f"from {day_text(later.on)} this rule asks {_for(later.rule)}{asked(later.rule)}"
    clause = f", by {later.rule.cite}" if later.rule.cite else ""
    value = has(later.check)
    now = f" with {value}" if value else ""
    match later.verdict:
        case Verdict.LEGAL:
            return f"{ask}{clause}: the car{now} stays legal"
        case Verdict.ILLEGAL:
            return f"{ask}{clause}: the car{now} will be illegal"
        case Verdict.NOT_SHOWN:
            return f"{ask}{clause}: the setup does not show that"
    return f"{ask}{clause}"


def _not_shown(check: Check) -> str:
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
        blurred = not check.fact.quantity.exact and not check.fact.complete
        return ["taken as read: no instrument is named, so its uncertainty is not known"] if blurred else []
    lines = []
    chance = (
        ""
        if outcome.probability is None
        else f"; the chance that it is really within is {percent(outcome.probability)}"
    )
    if not check.fact.complete:
        lines.append("not every reading names its instrument, so the uncertainty is a least value")
    if outcome.close_call:
        lines.append(f"close call: the limit lies inside the uncertainty of the reading{chance}")
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


def _unit(rule: Rule) -> str:
    known = quantity(rule.quantity) if rule.quantity is not None else None
    # "turns is 17.5 turns" says it twice.
    return known.unit if known is not None and known.unit != known.title else ""


def _for(rule: Rule) -> str:
    if isinstance(rule.limit, ListedIn | ListedFor):
        return "for one "
    return "that it is " if isinstance(rule.limit, Stated) else ""


def _size_asked(limit: Size, code: str) -> str:
    bounds, places = limit.bounds, limit.places

    def number(value: Fraction) -> str:
        return decimal_text(value, places)

    if limit.nominal is not None and bounds.low == bounds.high:
        return f"exactly {with_unit(number(limit.nominal), code)}"
    if bounds.low is not None and bounds.high is not None:
        exact_places = max((decimals_of(value) or 0) for value in (bounds.low, bounds.high))
        shown = min(max(places, exact_places), places + 3)
        low = decimal_text(bounds.low, shown)
        high = with_unit(decimal_text(bounds.high, shown), code)
        if limit.nominal is not None:
            return f"{low} to {high} ({number(limit.nominal)} {limit.tolerance})"
        if bounds.low_strict or bounds.high_strict:
            return f"{'above' if bounds.low_strict else 'at least'} {low} and {'below' if bounds.high_strict else 'at most'} {high}"
        return f"{low} to {high}"
    if bounds.low is not None:
        return f"{'above' if bounds.low_strict else 'at least'} {with_unit(number(bounds.low), code)}"
    if bounds.high is not None:
        return f"{'below' if bounds.high_strict else 'at most'} {with_unit(number(bounds.high), code)}"
    return ""


def _value(value: Any, check: Check) -> str:
    code = unit(check)
    if isinstance(value, Measured) and value.standard_uncertainty > 0:
        return _reading(value, check, code)
    if isinstance(value, Fraction | Measured):
        plain, limit = value_of(value), check.rule.limit
        if check.outcome is not None and isinstance(limit, Size):
            least = _least_places(
                plain, limit.places, is_ratio=check.fact is not None and check.fact.quantity.sort is Sort.RATIO
            )
            return with_unit(text_beside(plain, check.outcome.limit, least=least), code)
        return reading_text(plain, code)
    if isinstance(value, tuple):
        return ", ".join(_value(one, check) for one in value)
    return words((value,))


def _reading(value: Measured, check: Check, code: str) -> str:
    """A reading with U, with more digits than U supports only where it would seem to keep a limit that it breaks."""
    outcome, limit, expanded = check.outcome, check.rule.limit, value.expanded()
    if outcome is not None and isinstance(limit, Size) and math.isfinite(expanded):
        places = supported_places(expanded)
        if limit.bounds.met_by(exact(decimal_text(value.value, places))) is not limit.bounds.met_by(value.value):
            places = places_to_tell(value.value, outcome.limit, least=max(places, 0)) or max(places, 0)
            blur = decimal_text(exact(expanded), places)
            return with_unit(f"{text_beside(value.value, outcome.limit, least=places)} ± {blur}", code)
    return reading_text(value, code)


def _number_of(check: Check) -> Fraction:
    value = check.fact.value if check.fact is not None else None
    return value_of(value) if isinstance(value, Fraction | Measured) else Fraction(0)


def _least_places(value: Fraction, limit_places: int, *, is_ratio: bool) -> int:
    """Decimals to print at least: those of the limit, or all of a value that was written with a few more."""
    own = decimals_of(value)
    if own is not None and own <= limit_places + 2:
        return max(limit_places, own)
    # A tooth more or less moves a ratio in its second decimal; the third shows how far it is from the limit.
    return max(limit_places + 1, 3) if is_ratio else limit_places + 1


def _margin_number(check: Check) -> str:
    outcome, limit = check.outcome, check.rule.limit
    if outcome is None or not isinstance(limit, Size):
        return ""
    size = abs(outcome.margin)
    shown = has(check)
    digits = shown.partition(".")[2]
    places = next((i for i, char in enumerate(digits) if not char.isdigit()), len(digits))
    while places < _MOST_PLACES and decimal_text(size, places).strip("0.") == "":
        places += 1
    if decimal_text(size, places).strip("0.") == "":
        return f"less than {decimal_text(Fraction(1, 10**_MOST_PLACES), _MOST_PLACES)}"
    return decimal_text(size, places)


_MOST_PLACES: Final = 12
