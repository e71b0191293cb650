"""What a rule's list allows on a day, and what its instrument is worth."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from speclint.limits.forms import ListedFor, ListedIn
from speclint.moments import day_text
from speclint.quantities.registry import quantity
from speclint.readings.digits import UNITS, plain_text, with_unit
from speclint.rules.judge import words
from speclint.rulesets.model import FlatClass, ListItem, PartsList, Rule


def allowed(rule: Rule, flat: FlatClass, on: date) -> Iterator[str]:
    """What stands on the list that the rule names, in force on the day, and what does not count."""
    limit = rule.limit
    if isinstance(limit, ListedIn):
        parts = flat.lists.get(limit.list_id)
        if parts is not None:
            counting = [item.id for item in parts.items if not parts.standing(item, on, None)]
            yield f"on the list {parts.id} on {day_text(on)}: {', '.join(counting) or 'nothing'}"
            yield from _others(parts, on)
    elif isinstance(limit, ListedFor):
        parts = flat.lists.get(limit.list_id)
        if parts is not None:
            for item in parts.items:
                if not parts.standing(item, on, None):
                    yield f"for {item.id}: {_under(item, limit.under)}"
            yield from _others(parts, on)


def _under(item: ListItem, key: str) -> str:
    values = item.keys.get(key, ())
    return words(values, ", ") if values else "nothing"


def _others(parts: PartsList, on: date) -> Iterator[str]:
    left_out = [(item.id, standing) for item in parts.items if (standing := parts.standing(item, on, None))]
    if left_out:
        yield f"not counted: {'; '.join(f'{item} {standing}' for item, standing in left_out)}"


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
