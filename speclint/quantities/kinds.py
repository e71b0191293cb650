"""What stands at a key that only rules know, held to what their ruleset declares of it: its kind and its choices."""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any, Final

from speclint.places import dotted
from speclint.plain import listed
from speclint.quantities.key_reading import KeyContext, KeyReading, Value, read_open
from speclint.quantities.model import Quantity, Sort
from speclint.readings.digits import UNITS, plain_text, with_unit
from speclint.readings.exact import exact
from speclint.readings.measured import Number, value_of
from speclint.readings.units import is_never_below_zero
from speclint.spelling import nearest, says_nothing

KINDS: Final[Mapping[str, Sort]] = {
    "setting": Sort.SETTING,
    "measured": Sort.MEASURED,
    "count": Sort.COUNT,
    "flag": Sort.FLAG,
    "text": Sort.TEXT,
}
"""How a value behaves, by the word for it in a ruleset."""

QUANTITIES_KEY: Final = "quantities"
"""The key under which a ruleset declares quantities."""

SUM_KEY: Final = "sum_of"
"""The key of a declaration that names the parts of a sum."""

COUNT_KEY: Final = "count_of"
"""The key of a declaration that names what is counted."""

TAKES: Final[Mapping[Sort, str]] = {
    Sort.SETTING: "a plain number, which no instrument blurs",
    Sort.MEASURED: "a number, or a reading with its instrument",
    Sort.COUNT: "a whole number",
    Sort.FLAG: "true or false",
    Sort.TEXT: "a text",
}
"""What a key of each kind takes, in words."""


def read_open_key(written: Any, of: Quantity, context: KeyContext) -> KeyReading:
    """What a key states that only rules know. Where it is declared, what is of another kind, or no choice, does not count."""
    items = written if isinstance(written, list) else [written]
    if not items or any(item is None or (isinstance(item, str) and says_nothing(item)) for item in items):
        # An empty text or list states nothing, and what is not stated must not pass.
        return KeyReading(None, context.origins, (dotted(context.path),))
    is_reading = of.sort is Sort.MEASURED and isinstance(written, dict)
    wrong = (
        None if is_reading or not of.declared_by else next((item for item in items if not is_of_kind(item, of)), None)
    )
    if wrong is not None:
        return KeyReading(None, context.origins, reason=f"{dotted(context.path)} is {_told(wrong)}; {takes(of, wrong)}")
    read = read_open(written, of.unit, context, measured=of.sort is Sort.MEASURED)
    negative = None if _may_be_below_zero(of) else _below_zero(read.value)
    if negative is None:
        return read
    reason = f"{dotted(context.path)} is {with_unit(plain_text(negative), of.unit)}, and nothing in {UNITS[of.unit].sign.strip()} is below zero"
    return KeyReading(None, context.origins, reason=reason)


def _may_be_below_zero(of: Quantity) -> bool:
    """Whether a value may have a minus: by its unit, or since its ruleset says that such values are usual."""
    return not is_never_below_zero(of.unit) or (of.typical is not None and of.typical[0] < 0)


def _below_zero(value: Value | None) -> Fraction | None:
    """The first of one or several values that is below zero."""
    numbers = [value_of(item) for item in (value if isinstance(value, tuple) else (value,)) if isinstance(item, Number)]
    return next((number for number in numbers if number < 0), None)


def counted(written: Any, context: KeyContext) -> KeyReading:
    """How many things a key states: an empty list says that there is none, and no key says nothing."""
    if written is None or (isinstance(written, str) and says_nothing(written)):
        return KeyReading(None, context.origins, (dotted(context.path),))
    things = written if isinstance(written, list) else [written]
    doubtful = next((thing for thing in things if _is_doubtful_thing(thing)), None)
    if doubtful is not None:
        reason = f"{dotted(context.path)} is {_told(doubtful)}, which may be none or several: write a list of them, [] for none"
        return KeyReading(None, context.origins, reason=reason)
    return KeyReading(Fraction(len(things)), context.origins)


def _is_doubtful_thing(thing: Any) -> bool:
    """Whether somebody may mean another number of things than one: none by `false` or 0, several by a text with commas."""
    return isinstance(thing, bool) or thing == 0 or (isinstance(thing, str) and any(mark in thing for mark in ",;"))


def is_of_kind(value: Any, of: Quantity) -> bool:
    """Whether a plain value is one that the quantity can have."""
    if isinstance(value, bool) or of.sort is Sort.FLAG:
        return isinstance(value, bool) and of.sort is Sort.FLAG
    if isinstance(value, str) or of.sort is Sort.TEXT:
        return isinstance(value, str) and of.sort is Sort.TEXT and (not of.choices or value in of.choices)
    if not isinstance(value, int | float | Fraction):
        return False
    number = value if isinstance(value, Fraction) else exact(value)
    if of.sort is Sort.COUNT and (number.denominator != 1 or number < 0):
        return False
    return not of.choices or number in of.choices


def takes(of: Quantity, value: Any) -> str:
    """What a declared quantity takes, and the choice that was meant perhaps."""
    if not of.choices:
        return f"it takes {TAKES[of.sort]}"
    choices = [choice if isinstance(choice, str) else plain_text(choice) for choice in of.choices]
    near = nearest(str(value), choices)
    return f"it takes {listed(choices, 'or')}{f': did you mean {near}?' if near else ''}"


def _told(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a reading"
    if isinstance(value, str):
        return f'"{value}"'
    return plain_text(value if isinstance(value, Fraction) else exact(value))


def why_not_computed(of: Quantity, parts: Iterable[KeyReading]) -> str:
    """Why there is no value though all parts are read: too few for a comparison, or no number for a sum; "" where there is."""
    if of.compares_readings:
        is_enough = all(len(part.value) > 1 for part in parts if isinstance(part.value, tuple))
        return "" if is_enough else f"one value has no {of.title}: it takes a list with one value for each sensor"
    for name, part in zip(of.inputs, parts, strict=True) if of.declared_by else ():
        if isinstance(part.value, tuple):
            return f"{name} holds {len(part.value)} values, and a sum takes one of each part"
        if part.value is not None and not isinstance(part.value, Number):
            return f"{name} is {_told(part.value)}, which cannot be added: write a number"
    return ""
