"""Whether a car that meets one rule meets another as well, of the same text or of another one; what is not proved is not so."""

from collections.abc import Mapping
from datetime import date
from typing import Final, NamedTuple, assert_never

from speclint.forms.bodies import AnyOf, LimitTest, Option, Table, ToInspect, Withdrawn
from speclint.forms.conditions import When
from speclint.forms.inclusion import includes
from speclint.forms.parts_lists import DayLists
from speclint.forms.size import Size
from speclint.limits.decisions import Decision
from speclint.quantities.declared import readings_of
from speclint.quantities.keys import corrected_for_temperature, from_bench
from speclint.quantities.registry import quantity
from speclint.readings.instruments import Instrument
from speclint.rulesets.model import FlatClass, Instruments, Rule, Waiver


class BindingRule(NamedTuple):
    """A rule that binds on a day, in its class."""

    rule: Rule
    flat: FlatClass
    on: date

    @property
    def lists(self) -> DayLists:
        """The lists of its class on the day."""
        return DayLists(self.flat.lists, self.on, self.flat.known_on)

    @property
    def decision(self) -> Decision:
        """How a close value is decided."""
        return self.rule.decision or self.flat.decision


def implies(stricter: BindingRule, looser: BindingRule) -> bool:
    """Whether every car that is legal by the stricter rule is legal by the looser one, or spared by it."""
    if stricter.rule.look and not looser.rule.look:
        return False
    if not _names_alike(stricter, looser):
        return False
    return _spares_no_more(stricter.rule, looser.rule) and _asks_no_less(stricter, looser)


def _names_alike(first: BindingRule, second: BindingRule) -> bool:
    """Whether what both rules name is declared alike in both texts."""
    if first.flat.quantities is second.flat.quantities:
        return True
    in_both = {str(name) for name in first.rule.named & second.rule.named}
    declared = (readings_of(name for name in rule.named if name in in_both) for rule in (first.rule, second.rule))
    return len(set(declared)) == 1


def _spares_no_more(stricter_rule: Rule, looser_rule: Rule) -> bool:
    """Whether the stricter rule applies wherever the looser one does."""
    return when_implies(looser_rule.when, stricter_rule.when) and all(
        any(when_implies(spared, kept) and when_implies(kept, spared) for kept in looser_rule.unless)
        for spared in stricter_rule.unless
    )


def when_implies(held: When, needed: When) -> bool:
    """Whether some conditions hold for every car for which others do."""
    return all(
        any(
            narrower.quantity == condition.quantity and includes(condition.limit, narrower.limit, _NO_LISTS, _NO_LISTS)
            for narrower in held
        )
        for condition in needed
    )


_NO_LISTS: Final = DayLists({}, date.min)
"""A condition looks into no list."""


def _asks_no_less(stricter: BindingRule, looser: BindingRule) -> bool:
    """Whether each way to meet the stricter rule is one to meet the looser one."""
    needed, asked = _ways(stricter.rule), _ways(looser.rule)
    if not needed or not asked:
        return stricter.rule.body == looser.rule.body
    return _LENIENCY[stricter.decision] <= _LENIENCY[looser.decision] and all(
        any(_way_implies(way, other, stricter, looser) for other in asked) for way in needed
    )


def _ways(rule: Rule) -> tuple[Option, ...]:
    """The ways to meet a rule, each by all of its tests; none of a rule that tests nothing."""
    match rule.body:
        case LimitTest() as test:
            return ((test,),)
        case AnyOf(options=options):
            return options
        case Table() | ToInspect() | Withdrawn():
            return ()
        case _ as body:
            assert_never(body)


def _way_implies(way: Option, other: Option, stricter: BindingRule, looser: BindingRule) -> bool:
    return all(any(_test_implies(test, asked, stricter, looser) for test in way) for asked in other)


def _test_implies(test: LimitTest, asked: LimitTest, stricter: BindingRule, looser: BindingRule) -> bool:
    test, asked = _as_decided(test), _as_decided(asked)
    # Steps of °F and °C are not read alike.
    written = asked.written if test.read_to is None else test.written
    alike = test._replace(
        limit=asked.limit, written=written, taken=asked.taken, reference_c=asked.reference_c, path=asked.path,
        keys=asked.keys,
    )  # fmt: skip
    return (
        alike == asked
        and _takes_no_more(test, asked)
        and _reads_alike(test, asked, stricter.flat, looser.flat)
        and includes(asked.limit, test.limit, looser.lists, stricter.lists)
    )


_LENIENCY: Final = {Decision.MUST_SHOW: 0, Decision.AS_READ: 1, Decision.BENEFIT_OF_DOUBT: 2}


def _as_decided(test: LimitTest) -> LimitTest:
    """The test with the limits that decide: a leeway moves them outwards."""
    if test.leeway is None or not isinstance(test.limit, Size):
        return test
    return test._replace(limit=test.limit._replace(bounds=test.leeway.around(test.limit.bounds)), leeway=None)


def _takes_no_more(test: LimitTest, asked: LimitTest) -> bool:
    """Whether a reading that counts for a test counts for the other one as well, and is the one that decides there."""
    if test.taken == asked.taken:
        return True
    limited = quantity(test.quantity)
    # Of several bench runs another one may be the newest that was taken so.
    if limited is None or from_bench(limited):
        return False
    return when_implies(*(tuple(condition.condition for condition in terms.taken) for terms in (test, asked)))


def _reads_alike(test: LimitTest, asked: LimitTest, first: FlatClass, second: FlatClass) -> bool:
    """Whether two classes take the same value for a reading: by the same instruments, at the same temperature."""
    limited = quantity(test.quantity)
    if limited is not None and limited.exact:
        return True
    depends = limited is None or corrected_for_temperature(limited)
    reference_c = test.corrected_to(first.reference_c), asked.corrected_to(second.reference_c)
    if depends and not test.uncorrected and reference_c[0] != reference_c[1]:
        return False
    return first is second or same_instruments(first.instruments, second.instruments)


def same_instruments(first: Instruments, second: Instruments) -> bool:
    """Whether two texts describe the official instruments alike, the days of calibration apart."""
    return _bare(first) == _bare(second)


def _bare(instruments: Instruments) -> Mapping[str, Instrument]:
    return {name: _of_no_file(instrument) for name, instrument in instruments.items()}


def _of_no_file(instrument: Instrument) -> Instrument:
    parts = tuple((unit, _of_no_file(part)) for unit, part in instrument.per_unit)
    return instrument._replace(described_in="", calibrated_on=None, per_unit=parts)


def spares_as_many(waiver: Waiver, other: Waiver) -> bool:
    """Whether another waiver of the same rule spares every car that one spares."""
    return waiver.rule == other.rule and when_implies(waiver.when, other.when)
