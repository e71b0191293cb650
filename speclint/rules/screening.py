"""Screening: which rules a car plainly meets, told from what it states and no more.

Most rules of most cars are met with room to spare, and a report of what is to be mended asks no more of them. A screen passes
only where the whole judgement (`judge`) says legal and no close call; what is missing, computed, near a limit, surer than any
instrument or odd in any other way it leaves to that one.
"""

import math
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final, Protocol

from speclint.forms.item_values import ItemValues
from speclint.forms.limit import Limit
from speclint.forms.listed_in import ListedIn
from speclint.forms.looked_up import under
from speclint.forms.one_of import OneOf
from speclint.forms.parts_lists import DayLists
from speclint.forms.size import Size
from speclint.limits.decisions import Decision, Limits
from speclint.quantities.facts import Facts
from speclint.quantities.model import EXACT_SORTS, Quantity, Sort
from speclint.quantities.registry import quantity
from speclint.readings.exact import exact, to_float
from speclint.readings.instruments import FINEST, Instrument, most_off
from speclint.rulesets.model import FlatClass, Rule
from speclint.spelling import says_nothing


class Screen(Protocol):
    """What passes a car that plainly meets one limit."""

    def passes(self, facts: Facts) -> bool:
        """Whether the car plainly meets it."""
        ...


class Screens:
    """The screens of a class on a day, made when the first car comes."""

    __slots__ = ("_flat", "_lists", "_of_rules")

    def __init__(self, flat: FlatClass, lists: DayLists) -> None:
        self._flat = flat
        self._lists = lists
        self._of_rules: dict[int, tuple[Rule, tuple[Screen, ...]]] = {}

    def pass_rule(self, rule: Rule, facts: Facts) -> bool:
        """Whether a car plainly meets a rule of the class, which plainly applies to it."""
        kept = self._of_rules.get(id(rule))
        # In a copy that another process has, rules have other identities, and one may have that of another rule.
        if kept is None or kept[0] is not rule:
            kept = self._of_rules[id(rule)] = (rule, _screens_of(rule, self._flat, self._lists))
        screens = kept[1]
        for screen in screens:
            if not screen.passes(facts):
                return False
        return bool(screens)


def _screens_of(rule: Rule, flat: FlatClass, lists: DayLists) -> tuple[Screen, ...]:
    """One for each condition of a rule and one for its test; none where one of these cannot be screened."""
    test = rule.test
    if test is None or rule.unless or test.read_to is not None or test.leeway is not None or test.taken:
        return ()
    screens = [_limit_screen(condition.quantity, condition.limit, lists) for condition in rule.when]
    limited = quantity(test.quantity)
    if limited is not None and limited.sort is Sort.MEASURED and limited.is_stated and isinstance(test.limit, Size):
        instrument = None if test.instrument is None else flat.instruments.get(test.instrument)
        screens.append(_Reading(limited, test.limit.bounds, rule.decision or flat.decision, instrument))
    else:
        screens.append(_limit_screen(test.quantity, test.limit, lists))
    whole = tuple(screen for screen in screens if screen is not None)
    return whole if len(whole) == len(screens) else ()


def _limit_screen(name: str, limit: Limit, lists: DayLists) -> Screen | None:
    """The screen for a limit on what no instrument reads: a word, a flag, or a number that is counted or set."""
    limited = quantity(name)
    if limited is None or limited.formula is not None or limited.counts:
        return None
    if limited.sort is Sort.TEXT:
        return _word_screen(limited, limit, lists)
    if not limited.is_stated:
        return None
    if limited.sort is Sort.FLAG and isinstance(limit, OneOf):
        return _Among(limited, {bool: frozenset(limit.values)})
    if limited.sort in EXACT_SORTS and isinstance(limit, Size):
        return _Within(limited, limit.bounds)
    return None


def _word_screen(limited: Quantity, limit: Limit, lists: DayLists) -> Screen | None:
    if isinstance(limit, OneOf | ListedIn):
        return _Among(limited, {str: _words(limit.choices(lists) or (), limited)})
    if not isinstance(limit, ItemValues) or limit.is_barred:
        return None
    owner = quantity(limit.where.item)
    if owner is None or owner.sort is not Sort.TEXT or owner.formula is not None:
        return None
    approved: dict[str, frozenset[object]] = {}
    for item in lists.counting(limit.where.list_id):
        words = _words(under(limit.where, item), limited)
        approved[item.id] = approved.get(item.id, frozenset()) | words
    return _Approved(limited, owner, {word: approved[str(word)] for word in _words(approved, owner)})


def _words(values: Iterable[object], of: Quantity) -> frozenset[object]:
    """The values that a quantity of words can have: one that says nothing counts as not stated."""
    return frozenset(
        value
        for value in values
        if isinstance(value, str) and not says_nothing(value) and (not of.choices or value in of.choices)
    )


class _Among:
    """A value that is written just as one that is allowed; by the class of what is written, as True is 1 to Python."""

    __slots__ = ("_allowed", "_limited")

    def __init__(self, limited: Quantity, allowed: Mapping[type, frozenset[object]]) -> None:
        self._limited = limited
        self._allowed = allowed

    def passes(self, facts: Facts) -> bool:
        """Whether it is."""
        written = facts.written(self._limited)
        allowed = self._allowed.get(written.__class__)
        return allowed is not None and written in allowed


class _Approved:
    """A word that a list has for the item that another word names."""

    __slots__ = ("_approved", "_limited", "_owner")

    def __init__(self, limited: Quantity, owner: Quantity, approved: Mapping[object, frozenset[object]]) -> None:
        self._limited = limited
        self._owner = owner
        self._approved = approved

    def passes(self, facts: Facts) -> bool:
        """Whether it has."""
        word, owner = facts.written(self._limited), facts.written(self._owner)
        return word.__class__ is str and owner.__class__ is str and word in self._approved.get(owner, ())


class _Span:
    """Limits in floats: what lies within these lies within those.

    Of two numbers of at most 15 digits the floats have the same order; a bound that is longer is itself left out.
    """

    __slots__ = ("_high", "_low", "_takes_high", "_takes_low")

    def __init__(self, limits: Limits) -> None:
        self._low, self._takes_low = _end(limits.low, -math.inf, is_strict=limits.low_strict)
        self._high, self._takes_high = _end(limits.high, math.inf, is_strict=limits.high_strict)

    def holds(self, least: float, most: float) -> bool:
        """Whether all between these two numbers lies within."""
        low, high = self._low, self._high
        return (least > low or (least == low and self._takes_low)) and (
            most < high or (most == high and self._takes_high)
        )


def _end(bound: Fraction | None, nowhere: float, *, is_strict: bool) -> tuple[float, bool]:
    """A bound as a float, and whether that one lies within."""
    if bound is None:
        return nowhere, False
    end = to_float(bound)
    return end, not is_strict and math.isfinite(end) and exact(end) == bound


class _Within:
    """A number that is counted or set, between the bounds of a limit."""

    __slots__ = ("_limited", "_span")

    def __init__(self, limited: Quantity, bounds: Limits) -> None:
        self._limited = limited
        self._span = _Span(bounds)

    def passes(self, facts: Facts) -> bool:
        """Whether it is there."""
        written = facts.written(self._limited)
        return written.__class__ in _NUMBERS and self._span.holds(written, written)


class _Reading:
    """What an instrument reads, farther inside the bounds of a limit than it can be off.

    Args:
        limited: what is read.
        bounds: those of the limit.
        decision: without an instrument a reading is taken as it is, which shows nothing under `must-show`.
        instrument: what it counts as read on where it names none.
    """

    __slots__ = ("_decision", "_finest", "_instrument", "_limited", "_span")

    def __init__(self, limited: Quantity, bounds: Limits, decision: Decision, instrument: Instrument | None) -> None:
        self._limited = limited
        self._span = _Span(bounds)
        self._decision = decision
        # Twice: what `most_off` says is up to half as much again as the expanded uncertainty.
        self._finest = 2 * FINEST.get(limited.unit, 0.0)
        self._instrument = None if instrument is None else instrument.in_unit(limited.unit)

    def passes(self, facts: Facts) -> bool:
        """Whether it is there, and as far inside."""
        written, instrument = facts.written(self._limited), self._instrument
        if written.__class__ is dict:
            if written.keys() != _ON_AN_INSTRUMENT:
                return False
            instrument = facts.instrument(self._limited, written["instrument"])
            if instrument is None or instrument.per_unit or instrument.contradicts(self._limited.unit):
                return False
            written = written["value"]
        if written.__class__ not in _NUMBERS:
            return False
        if instrument is None:
            return self._decision is not Decision.MUST_SHOW and self._span.holds(written, written)
        reach = most_off(written, instrument)
        return reach is not None and reach >= self._finest and self._span.holds(written - reach, written + reach)


_NUMBERS: Final = (int, float)
_ON_AN_INSTRUMENT: Final = {"value", "instrument"}
"""The keys of a reading that names its instrument and says no more."""
