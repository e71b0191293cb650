"""A rule in a plain sentence, made from its data."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final, NamedTuple, assert_never

from speclint.forms.bodies import LOOKS_PER, AnyOf, LimitTest, Table, ToInspect, Withdrawn
from speclint.forms.conditions import when_text
from speclint.forms.taken import taken_text
from speclint.limits.decisions import Decision
from speclint.moments import day_text
from speclint.plain import capitalised, listed
from speclint.quantities.model import Sort
from speclint.quantities.registry import quantity
from speclint.readings.digits import UNITS, plain_text, with_unit
from speclint.readings.exact import full_text
from speclint.readings.instruments import Instrument
from speclint.rules.declared import declared_among, derived_text
from speclint.rules.wording import asked, rule_title, size_text
from speclint.rulesets.model import FlatClass, Rule, Waiver


class Sentence(NamedTuple):
    """A rule's sentence in three parts; `asked` is what it is all about."""

    lead: str
    asked: str
    tail: str

    def __str__(self) -> str:
        return f"{self.lead}{self.asked}{self.tail}"


def sentence_of(rule: Rule) -> Sentence:
    """What a rule asks, as a sentence."""
    condition = _condition(rule)
    match rule.body:
        case LimitTest(quantity=name):
            limited = quantity(name)
            if limited is not None and limited.sort is Sort.FLAG:
                text = "yes" if asked(rule) in ("true", "yes") else asked(rule).replace("false", "no")
                return Sentence(capitalised(f"{condition}{_subject(rule)}: "), text, ".")
            verb = "are" if _is_plural(rule) else "is"
            return Sentence(capitalised(f"{condition}the {_subject(rule)} {verb} "), asked(rule), ".")
        case AnyOf() as body if body.is_windows:
            verb = "are" if _is_plural(rule) else "is"
            return Sentence(capitalised(f"{condition}the {_subject(rule)} {verb} "), asked(rule), ".")
        case AnyOf(options=options):
            count = "one of these holds" if len(options) > 1 else "this holds"
            return Sentence(capitalised(f"{condition}{count}: "), asked(rule), ".")
        case Table(by=by):
            lead = capitalised(f"{condition}the {_subject(rule)}, by the {_titled(by)}: ")
            return Sentence(lead, asked(rule).removeprefix(f"by {_titled(by)} "), ".")
        case ToInspect(subject=what):
            return Sentence(
                capitalised(f"{condition}{_often(rule)}the inspector looks at this: "), what.rstrip("."), "."
            )
        case Withdrawn():
            return Sentence(capitalised(f"{condition}{rule_title(rule)}: "), "nothing is asked", ".")
        case _ as body:
            assert_never(body)


def doubt_text(rule: Rule, flat: FlatClass) -> str:
    """Whom the ± of a reading counts against; "" where nothing is read."""
    tested = [quantity(test.quantity) for test in rule.tests]
    if not any(limited is not None and limited.numeric and not limited.exact for limited in tested):
        return ""
    return DOUBT[rule.decision or flat.decision]


def terms(rule: Rule, flat: FlatClass) -> Iterator[str]:
    """How the value is read, where the rule says more than its limit."""
    yield from filter(None, map(derived_text, declared_among(rule.named) if flat.quantities else ()))
    yield from dict.fromkeys(term for test in rule.tests for term in _test_terms(test, flat))
    if rule.look:
        where = f"Where the setup does not state it, {_often(rule)}the inspector looks at this"
        yield f"{where}: {rule.look.rstrip('.')}."


def _test_terms(test: LimitTest, flat: FlatClass) -> Iterator[str]:
    limited = quantity(test.quantity)
    code = limited.unit if limited is not None else ""
    if test.read_to is not None:
        yield f"The value is first read to {size_text(test, test.read_to)}, halves away from zero."
    if test.leeway is not None:
        leeway = test.leeway
        size = f"{plain_text(leeway.size)} %" if leeway.is_percent else size_text(test, leeway.size)
        yield f"A value beyond the limit by at most {size} still passes."
    if test.taken:
        yield f"Only a reading counts that was {taken_text(test.taken)}."
    if test.uncorrected:
        yield "The reading counts as it was read, at whatever temperature."
    elif code == "mohm" or test.reference_c is not None:
        yield f"The winding counts at {full_text(test.corrected_to(flat.reference_c))} °C."
    instrument = flat.instruments.get(test.instrument) if test.instrument is not None else None
    if instrument is not None:
        parts = ", ".join(accuracy_parts(instrument, code))
        yield f"The official instrument is the {instrument.name}{f': {parts}' if parts else ''}."


def accuracy_parts(instrument: Instrument, code: str = "") -> Iterator[str]:
    """How far off an instrument can be, part by part; `code` is the unit that it reads."""
    code = instrument.unit or code

    def sized(value: Fraction) -> str:
        return with_unit(plain_text(value), code) if code in UNITS else f"{plain_text(value)} {code}".strip()

    if instrument.accuracy_percent:
        yield f"± {plain_text(instrument.accuracy_percent)} % of the reading"
    if instrument.accuracy:
        yield f"± {sized(instrument.accuracy)}"
    if instrument.resolution:
        yield f"in steps of {sized(instrument.resolution)}"
    if instrument.offset:
        yield f"shows {sized(instrument.offset)} too much"
    if instrument.calibrated_on is not None:
        yield f"calibrated on {day_text(instrument.calibrated_on)}"
    for unit, single in instrument.per_unit:
        parts = ", ".join(accuracy_parts(single, unit))
        yield f"in {UNITS[unit].sign.strip() or unit}: {parts}"


def waiver_text(waiver: Waiver, *, is_dated: bool = True) -> str:
    """Whom a waiver excuses, and for how long."""
    days = waiver.period.text if is_dated else ""
    parts = (f"{waiver.rule} where {when_text(waiver.when)}" if waiver.when else waiver.rule, days, waiver.granted)
    return ", ".join(part for part in parts if part)


DOUBT: Final = {
    Decision.AS_READ: "The reading counts as it is read.",
    Decision.MUST_SHOW: "The reading must meet the limit with its ± counted: doubt goes against the car.",
    Decision.BENEFIT_OF_DOUBT: "Doubt favours the racer: only a reading beyond the limit by more than its ± is illegal.",
}


def _condition(rule: Rule) -> str:
    if not rule.when:
        return ""
    conditions = (f"the {_titled(condition.quantity)} is {condition.asked}" for condition in rule.when)
    return f"where {listed(conditions)}, "


def _often(rule: Rule) -> str:
    return f"{LOOKS_PER[rule.per]} " if rule.per else ""


def _titled(name: str) -> str:
    limited = quantity(name)
    return limited.title if limited is not None else name.partition(".")[2]


def _subject(rule: Rule) -> str:
    """The quantity's name as it stands within a sentence: of `winding, mean` the mean winding."""
    noun, _, which = rule_title(rule).partition(", ")
    return f"{which} {noun}".strip()


def _is_plural(rule: Rule) -> bool:
    limited = quantity(rule.quantity) if rule.quantity is not None else None
    noun = rule_title(rule).partition(", ")[0]
    return noun == "shims" or (limited is not None and limited.title == limited.unit)
