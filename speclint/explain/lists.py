"""What a rule's list allows on a day, and what its instrument is worth."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from speclint.forms.parts_lists import DayLists
from speclint.moments import day_text
from speclint.quantities.registry import quantity
from speclint.readings.digits import UNITS, plain_text, with_unit
from speclint.rulesets.model import FlatClass, Rule


def allowed(rule: Rule, flat: FlatClass, on: date) -> Iterator[str]:
    """What stands on the list that the rule names, in force on the day, and what does not count."""
    for test in rule.tests:
        yield from test.limit.listing(DayLists(flat.lists, on))


def tool(rule: Rule, flat: FlatClass) -> str:
    """The official instrument, and how far it can be off."""
    if rule.instrument is None:
        return ""
    described = flat.instruments.get(rule.instrument)
    if described is None:
        return f"with {rule.instrument}"
    limited = quantity(rule.quantity) if rule.quantity is not None else None
    unit = limited.unit if limited is not None and limited.unit in UNITS else ""

    def sized(value: Fraction) -> str:
        return with_unit(plain_text(value), unit)

    parts = []
    if described.accuracy_percent:
        parts.append(f"within {with_unit(plain_text(described.accuracy_percent), 'percent')} of the reading")
    if described.accuracy:
        parts.append(f"within {sized(described.accuracy)}")
    if described.resolution:
        parts.append(f"in steps of {sized(described.resolution)}")
    if described.offset:
        parts.append(f"showing {sized(described.offset)} too much")
    if described.calibrated_on is not None:
        parts.append(f"calibrated on {day_text(described.calibrated_on)}")
    return f"with {described.name}: {', '.join(parts)}" if parts else f"with {described.name}"
