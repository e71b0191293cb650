"""Limits of size with values that are looked up."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.forms.limit import Circumstances, InItem, Judgement, Misfit, Names, Places
from speclint.forms.looked_up import (
    LookedUp,
    Lookup,
    OfItem,
    OfQuantity,
    listed_lines,
    looked_up,
    of_misfits,
    of_words,
    read_lookup,
)
from speclint.forms.one_of import OneOf
from speclint.forms.parts_lists import DayLists
from speclint.forms.size import Size, judge_sizes, worst_first
from speclint.forms.unsized import Unsized
from speclint.forms.words import shown
from speclint.forms.written_unit import WrittenUnit
from speclint.limits.decisions import Decision, Limits, Ruling
from speclint.quantities.facts import Fact, Value
from speclint.quantities.model import Quantity
from speclint.readings.digits import with_unit
from speclint.readings.exact import decimal_text, decimals_of, exact
from speclint.readings.measured import Measured, Number, value_of

_ASKED: Final = {
    "at_least": "at least",
    "above": "above",
    "at_most": "at most",
    "below": "below",
    "equals": "exactly",
    "nominal": "",
}


class Tolerance(NamedTuple):
    """How far from a nominal value; in percent of it, or so much upwards and downwards."""

    percent: Fraction | None
    plus: Fraction
    minus: Fraction
    words: str

    def around(self, nominal: Fraction) -> Limits:
        """The bounds around a nominal value."""
        if self.percent is None:
            return Limits(low=nominal - self.minus, high=nominal + self.plus)
        width = abs(nominal) * self.percent / 100
        return Limits(low=nominal - width, high=nominal + width)


class _Side(NamedTuple):
    """One side as it is for a car: what it is held against, and what the other value adds to the doubt."""

    limit: Size | OneOf
    fact: Fact
    is_exact: bool


class _Compared(NamedTuple):
    sides: tuple[tuple[str, Fraction | LookedUp], ...]
    places: int
    tolerance: Tolerance | None = None
    written: WrittenUnit | None = None


class Compared(_Compared, Unsized):
    """The value beside others, of which at least one is looked up; each side is judged alone, the lower verdict counts.

    Attributes:
        sides: by the key of the rule, what stands there.
        places: how many decimals the rulebook writes.
        tolerance: that of a nominal value.
        written: the unit that the rulebook writes, where it is not the quantity's: all of this is in it.
    """

    __slots__ = ()

    def written_in(self, unit: WrittenUnit) -> "Compared":
        """The same limit, written in the rulebook's unit."""
        return self._replace(written=unit)

    @property
    def requirement(self) -> object:
        """What is looked up, and where."""
        return self.sides, None if self.tolerance is None else self.tolerance[:3], self.written

    def misfits(self, quantity: Quantity, key: str) -> Iterator[Misfit]:
        """A quantity that has no size, or that cannot be compared with the other."""
        if not quantity.numeric and key != "equals" and not quantity.is_open:
            yield Misfit("limit-unfit", f"{quantity.name} is {quantity.sort.value}, which has no size", key)
        for side, value in self.sides:
            if not isinstance(value, Fraction):
                yield from of_misfits(value, quantity, side)

    def judge(self, fact: Fact, decision: Decision, circumstances: Circumstances) -> Judgement:
        """What each side makes of the value; the lower verdict, then the smaller margin."""
        lookups = self._lookups(fact, circumstances)
        for lookup in lookups.values():
            if not lookup.values:
                return Judgement(Ruling.NOT_SHOWN, lookup.fact, reason=lookup.reason, missing=lookup.fact.missing)
        source = ", ".join(dict.fromkeys(lookup.words for lookup in lookups.values()))
        sides = [side for key, value in self.sides for side in self._sides(key, value, lookups.get(key), fact, source)]
        judged = [_judged(side, decision, circumstances) for side in sides]
        worst = min(judged, key=worst_first)
        return worst._replace(fact=_told(worst.fact, fact), limit=_whole([side.limit for side in sides], worst.limit))

    def on_car(self, fact: Fact, circumstances: Circumstances) -> Iterator[Size]:
        """Its sides as limits of size on this car; none where a value that it looks up is not known."""
        lookups = self._lookups(fact, circumstances)
        if all(lookup.values for lookup in lookups.values()):
            sides = (side for key, value in self.sides for side in self._sides(key, value, lookups.get(key), fact, ""))
            yield from (side.limit for side in sides if isinstance(side.limit, Size))

    def on_compared(self, compared_with: Quantity, fact: Fact) -> Iterator[Size]:
        """What it asks of a quantity that it is compared with, where what it limits stays as it is."""
        written = self.written or WrittenUnit(fact.quantity.unit, fact.quantity.unit)
        values = fact.value if isinstance(fact.value, tuple) else (fact.value,)
        numbers = [value_of(written.number(value)) for value in values if isinstance(value, Number)]
        for key, side in self.sides:
            if isinstance(side, OfQuantity) and side.quantity == compared_with.name:
                to_own = WrittenUnit(compared_with.unit, written.code)
                for number in numbers:
                    turned = _moved(self._turned(key, number), -side.shift, 1 / side.times)
                    yield Size(to_own.limits(turned), 0)

    def _turned(self, key: str, number: Fraction) -> Limits:
        """Where the other value may lie, its factor and shift counted, so that a number keeps to the limit."""
        match key:
            case "at_least" | "above":
                return Limits(high=number, high_strict=key == "above")
            case "at_most" | "below":
                return Limits(low=number, low_strict=key == "below")
            case "nominal" if self.tolerance is not None and self.tolerance.percent is not None:
                share = self.tolerance.percent / 100
                return Limits(low=number / (1 + share), high=None if share >= 1 else number / (1 - share))
            case "nominal" if self.tolerance is not None:
                return Limits(low=number - self.tolerance.plus, high=number + self.tolerance.minus)
        return Limits(low=number, high=number)

    def _lookups(self, fact: Fact, circumstances: Circumstances) -> dict[str, Lookup]:
        unit = fact.quantity.unit if self.written is None else self.written.code
        return {key: looked_up(v, circumstances, unit) for key, v in self.sides if not isinstance(v, Fraction)}

    def _sides(
        self, key: str, value: Fraction | LookedUp, lookup: Lookup | None, fact: Fact, source: str
    ) -> Iterator[_Side]:
        if isinstance(value, Fraction):
            yield _Side(self.size(key, value, ""), fact, is_exact=fact.quantity.exact)
            return
        for other in lookup.values if lookup is not None else ():
            if not isinstance(other, Number):
                allowed = other if isinstance(other, str | bool) else shown(other)
                yield _Side(OneOf((allowed,), source), fact, is_exact=True)
                continue
            times, shift = (value.times, value.shift) if isinstance(value, OfQuantity) else (Fraction(1), Fraction(0))
            limit = self.size(key, times * value_of(other) + shift, source)
            if isinstance(value, OfItem) or lookup is None:
                yield _Side(limit, fact, is_exact=fact.quantity.exact)
            else:
                complete = fact.complete and lookup.fact.complete
                is_exact = fact.quantity.exact and lookup.fact.quantity.exact
                doubt = other if self.written is None else self.written.reversed.number(other)
                blurred = _blurred(fact._replace(complete=complete), doubt, times)
                yield _Side(limit, blurred, is_exact=is_exact)

    def size(self, key: str, number: Fraction, source: str = "") -> Size:
        """The limit that a number at a key makes, in the rulebook's unit."""
        places = max(self.places, min(decimals_of(number) or 0, self.places + 3))
        match key:
            case "at_least" | "above":
                bounds, nominal = Limits(low=number, low_strict=key == "above"), ""
            case "at_most" | "below":
                bounds, nominal = Limits(high=number, high_strict=key == "below"), ""
            case "nominal" if self.tolerance is not None:
                bounds = self.tolerance.around(number)
                nominal = f"{decimal_text(number, places)} {self.tolerance.words}"
            case _:
                bounds, nominal = Limits(low=number, high=number), decimal_text(number, places)
        size = Size(bounds, places, nominal, source)
        return size if self.written is None else size.written_in(self.written)

    def asked(self, unit: str) -> str:
        """What is looked up, in words."""
        unit = unit if self.written is None else self.written.code
        parts = []
        for key, value in self.sides:
            says = (
                with_unit(decimal_text(value, self.places), unit)
                if isinstance(value, Fraction)
                else of_words(value, unit)
            )
            tolerance = f" {self.tolerance.words}" if key == "nominal" and self.tolerance is not None else ""
            parts.append(f"{_ASKED[key]} {says}{tolerance}".strip())
        return " and ".join(parts)

    @property
    def names(self) -> Names:
        """The other quantities, and the lists."""
        lookups = [(key, value) for key, value in self.sides if not isinstance(value, Fraction)]
        return Names(
            tuple(
                ((key, "item"), value.item) if isinstance(value, OfItem) else ((key, "of"), value.quantity)
                for key, value in lookups
            ),
            tuple(((key, "list"), value.list_id) for key, value in lookups if isinstance(value, OfItem)),
            tuple(value.quantity for _, value in lookups if isinstance(value, OfQuantity)),
            tuple(
                InItem(value.list_id, value.under, key != "equals")
                for key, value in lookups
                if isinstance(value, OfItem)
            ),
        )

    def listing(self, lists: DayLists) -> Iterator[str]:
        """What each item asks for."""
        for _, value in self.sides:
            if isinstance(value, OfItem):
                yield from listed_lines(value, lists)


def _moved(limits: Limits, shift: Fraction, times: Fraction) -> Limits:
    """Limits with so much added to them, and then so many times as large."""
    low, high = (None if bound is None else (bound + shift) * times for bound in (limits.low, limits.high))
    return replace(limits, low=low, high=high)


def _judged(side: _Side, decision: Decision, circumstances: Circumstances) -> Judgement:
    if isinstance(side.limit, OneOf):
        return side.limit.judge(side.fact, decision, circumstances)._replace(limit=side.limit)
    judged = judge_sizes(side.limit, side.fact, decision, circumstances, is_exact=side.is_exact)
    return judged._replace(limit=side.limit)


def _told(judged: Fact, fact: Fact) -> Fact:
    """The fact as it was read: what the other value adds to the doubt is no part of it."""
    if judged.values and isinstance(judged.value, Measured) and isinstance(fact.value, tuple):
        read = next(value for value, blurred in zip(fact.value, judged.values, strict=True) if blurred == judged.value)
        return fact._replace(value=read, values=fact.value, complete=judged.complete)
    return judged if judged.values else fact._replace(complete=judged.complete)


def _blurred(fact: Fact, other: Number, times: Fraction) -> Fact:
    """The fact with the doubt of its difference to the other: accuracies count as independent, one reading as one."""
    value = fact.value
    if isinstance(value, tuple):
        return fact._replace(value=tuple(_with_doubt(part, other, times) for part in value))
    return fact if value is None else fact._replace(value=_with_doubt(value, other, times))


def _with_doubt(value: Value, other: Number, times: Fraction) -> Value:
    if not isinstance(other, Measured) or not isinstance(value, Number):
        return value
    parts = dict(value.contributions) if isinstance(value, Measured) else {}
    for influence, part in other.contributions.items():
        apart = influence._replace(id=f"{influence.id}, of the other") if influence.is_common else influence
        parts[apart] = parts.get(apart, 0.0) - part * float(times)
    return Measured(value_of(value), parts)


def _whole(limits: list[Size | OneOf], deciding: Any) -> Any:
    """All sides as one limit, as a sentence tells them."""
    sizes = [limit for limit in limits if isinstance(limit, Size)]
    lows = [size for size in sizes if size.bounds.low is not None and size.bounds.high is None]
    highs = [size for size in sizes if size.bounds.high is not None and size.bounds.low is None]
    if len(limits) != 2 or len(lows) != 1 or len(highs) != 1:
        return deciding
    low, high = lows[0].bounds, highs[0].bounds
    bounds = Limits(low=low.low, low_strict=low.low_strict, high=high.high, high_strict=high.high_strict)
    source = lows[0].source or highs[0].source
    return Size(bounds, max(lows[0].places, highs[0].places), source=source, written=lows[0].written)


def compared(keys: Mapping[str, Any], places: Places, tolerance: Tolerance | None = None) -> Compared:
    """The limit that keys of a rule state, of which at least one is looked up."""
    sides = tuple((key, read_lookup(value) if isinstance(value, dict) else exact(value)) for key, value in keys.items())
    steps = [(key, part) for key, value in keys.items() if isinstance(value, dict) for part in ("plus", "minus")]
    written = [places(*step) for step in steps if step[1] in keys[step[0]]]
    written += [places(key) for key, value in keys.items() if not isinstance(value, dict)]
    return Compared(sides, max(written, default=0), tolerance)
