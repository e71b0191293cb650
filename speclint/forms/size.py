"""Limits of size: what bounds, a window and a nominal value have in common once they are read."""

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.forms.limit import Circumstances, Judgement, Misfit, Names, Target
from speclint.forms.matching import not_a_number
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.words import value_text
from speclint.forms.written_unit import WrittenUnit
from speclint.limits.decisions import Decision, Limits, Outcome, Ruling, decide
from speclint.quantities.facts import Fact, Value
from speclint.quantities.model import Quantity, Sort
from speclint.readings.digits import plain_text, supported_places, with_unit
from speclint.readings.exact import (
    decimal_text,
    decimals_of,
    exact,
    places_to_tell,
    rounded,
    rounded_down,
    rounded_up,
    text_beside,
    to_float,
)
from speclint.readings.measured import Measured, Number, value_of

_MOST_PLACES: Final = 12
_WRITABLE_PLACES: Final = 6


class Size(NamedTuple):
    """The value lies between two bounds, or on the right side of one.

    `places` is how many decimals the rulebook writes, so that a limit is printed as its readers know it; `nominal`
    is the value that is meant, with its tolerance if it has one, in words, where the rulebook says it so, and `source`
    where a value that was looked up comes from. `written` is there where the rulebook writes another unit: words are
    in that unit, the bounds in the quantity's.
    """

    bounds: Limits
    places: int
    nominal: str = ""
    source: str = ""
    written: WrittenUnit | None = None

    def written_in(self, unit: WrittenUnit) -> "Size":
        """The limit of which these bounds are in the rulebook's unit."""
        return self._replace(bounds=unit.reversed.limits(self.bounds), written=unit)

    def _as_written(self, unit: str) -> "tuple[Size, str]":
        if self.written is None:
            return self, unit
        return self._replace(bounds=self.written.limits(self.bounds), written=None), self.written.code

    def _finely_written(self, unit: WrittenUnit) -> "tuple[Size, str]":
        """The same for the words of a value, of which a single step of the quantity's own unit is to be seen."""
        size, code = self._as_written(unit.code)
        return size._replace(places=max(size.places, unit.places_of(Fraction(1)) - 1)), code

    @property
    def requirement(self) -> object:
        """The bounds, however they are written."""
        return self.bounds

    @property
    def lead(self) -> str:
        """Nothing."""
        return ""

    @property
    def _is_exact(self) -> bool:
        """Whether the rulebook names one value, and allows no other."""
        return bool(self.nominal) and self.bounds.low == self.bounds.high

    def misfits(self, quantity: Quantity, key: str) -> Iterator[Misfit]:
        """A quantity that has no size, and bounds that leave nothing between them."""
        if not quantity.numeric and not quantity.is_open:
            yield Misfit(
                "limit-unfit",
                f"{quantity.name} is {quantity.sort.value}, which has no size: use one_of, none_of, equals or listed_in"
                f" where this rule says {key}",
                key,
            )
        bounds = self.bounds
        if bounds.low is None or bounds.high is None:
            return
        strict = bounds.low_strict or bounds.high_strict
        if bounds.low > bounds.high or (bounds.low == bounds.high and strict):
            low = f"{'above' if bounds.low_strict else 'at least'} {plain_text(bounds.low)}"
            high = f"{'below' if bounds.high_strict else 'at most'} {plain_text(bounds.high)}"
            yield Misfit(
                "limit-contradicts", f"no value can meet this limit: it would have to be {low} and {high}", key
            )

    def judge(self, fact: Fact, decision: Decision, circumstances: Circumstances) -> Judgement:
        """What the decision rule makes of the value; of several things, of the one that is worst off."""
        return judge_sizes(self, fact, decision, circumstances, is_exact=fact.quantity.exact)

    def asked(self, unit: str) -> str:
        """The bounds in words."""
        size, unit = self._as_written(unit)
        return size._with_source(size._asked(unit, _MOST_PLACES))

    def asked_beside(self, unit: str, value_text: str) -> str:
        """The bounds in words beside a value: with its digits, where the rulebook's own number stands in brackets."""
        size, unit = self._as_written(unit)
        most = _MOST_PLACES
        if size.nominal:
            number = value_text.split(" ", maxsplit=1)[0].rstrip("°")
            places = max(size.places, len(number.partition(".")[2]))
            bounds = [bound for bound in (size.bounds.low, size.bounds.high) if bound is not None]
            most = places if all(decimal_text(bound, places) != number for bound in bounds) else most
        return size._with_source(size._asked(unit, most))

    def _with_source(self, text: str) -> str:
        return f"{text} ({self.source})" if self.source else text

    def _asked(self, unit: str, most: int) -> str:
        bounds, places = self.bounds, self.places
        low, high = bounds.low, bounds.high
        if low is not None and high is not None:
            if self._is_exact:
                return f"exactly {with_unit(decimal_text(low, places), unit)}"
            exact_places = max((decimals_of(bound) or 0) for bound in (low, high))
            places = min(max(places, exact_places), places + 3, most)
            low_text, high_text = decimal_text(low, places), with_unit(decimal_text(high, places), unit)
            if bounds.low_strict or bounds.high_strict:
                return f"{_LOW[bounds.low_strict]} {low_text} and {_HIGH[bounds.high_strict]} {high_text}"
            return f"{low_text} to {high_text}{f' ({self.nominal})' if self.nominal else ''}"
        if low is not None:
            return f"{_LOW[bounds.low_strict]} {with_unit(decimal_text(low, places), unit)}"
        return f"{_HIGH[bounds.high_strict]} {with_unit(decimal_text(high, places), unit)}" if high is not None else ""

    def has(self, fact: Fact, value: Value, outcome: Outcome | None, unit: str) -> str:
        """The value with the digits that tell on which side of the limit it lies; of several things, which one it is."""
        if value in fact.values:
            return (
                f"{self._has(fact, value, outcome, unit)} (number {fact.values.index(value) + 1} of {len(fact.values)})"
            )
        return self._has(fact, value, outcome, unit)

    def _has(self, fact: Fact, value: Value, outcome: Outcome | None, unit: str) -> str:
        if self.written is not None:
            size, code = self._finely_written(self.written)
            told = None if outcome is None else self.written.outcome(outcome)
            text = size._has(self.written.fact(fact), self.written.of_fact(value), told, code)
            # What is read to a step of the rulebook has no such text in the quantity's unit.
            return text if fact.step is not None else f"{text} ({value_text(value, unit)})"
        if isinstance(value, Measured) and value.standard_uncertainty > 0:
            return self._reading(value, outcome, unit, fact.step)
        if isinstance(value, Number) and outcome is not None:
            number = value_of(value)
            least = _least_places(number, self.places, is_ratio=fact.quantity.sort is Sort.RATIO)
            least = least if fact.step is None else max(decimals_of(fact.step) or 0, self.places)
            return with_unit(text_beside(number, outcome.limit, least=least), unit)
        return value_text(value, unit)

    def _reading(self, value: Measured, outcome: Outcome | None, unit: str, step: Fraction | None) -> str:
        """A reading with U, with more digits than U supports only where it would seem to keep a limit that it breaks.

        One that the rulebook reads to a step has the step's digits, and its U is rounded up to them (JCGM 100 7.2.6).
        """
        expanded = value.expanded()
        step_places = None if step is None else decimals_of(step)
        if outcome is not None and math.isfinite(expanded) and step_places is not None:
            shown = text_beside(value.value, outcome.limit, least=step_places)
            return with_unit(f"{shown} ± {decimal_text(rounded_up(exact(expanded), step_places), step_places)}", unit)
        if outcome is not None and math.isfinite(expanded):
            places = supported_places(expanded)
            # Rounding moves the value by less than a step, so that only a limit nearer than that is in question.
            is_near = abs(to_float(outcome.margin)) <= 10.0**-places
            if is_near and self.bounds.met_by(rounded(value.value, places)) is not self.bounds.met_by(value.value):
                places = places_to_tell(value.value, outcome.limit, least=max(places, 0)) or max(places, 0)
                uncertainty = decimal_text(exact(expanded), places)
                return with_unit(f"{text_beside(value.value, outcome.limit, least=places)} ± {uncertainty}", unit)
        return value_text(value, unit)

    def margin(self, fact: Fact, outcome: Outcome | None, unit: str, told: str) -> str:
        """`0.15 mm to spare`, `0.055 short`, `0.02 V over`."""
        if outcome is None or (self._is_exact and outcome.margin == 0):
            return ""
        if self.written is not None:
            finely, code = self._finely_written(self.written)
            written_fact, written_outcome = self.written.fact(fact), self.written.outcome(outcome)
            return finely.margin(written_fact, written_outcome, code, told)
        if outcome.margin == 0:
            strict = self.bounds.low_strict if outcome.limit == self.bounds.low else self.bounds.high_strict
            return "on the limit itself" if not strict else "on the limit, which is not enough"
        is_told = outcome.value == fact.value  # beside another reading it is blurred by that one's uncertainty as well
        shown = told if is_told else self._has(fact, outcome.value, outcome, unit)
        size = with_unit(_margin_number(outcome.margin, shown), unit)
        if outcome.margin > 0:
            return f"{size} to spare"
        # An exact value has one limit on both sides, so only the value says on which side of it the car is.
        is_low = outcome.limit == self.bounds.low and (
            outcome.limit != self.bounds.high or value_of(outcome.value) < outcome.limit
        )
        text = f"{size} {'short' if is_low else 'over'}"
        if outcome.limits == self.bounds or not outcome.limits.met_by(value_of(outcome.value)):
            return text
        moved = outcome.limits.low if is_low else outcome.limits.high
        return (
            f"{text}, inside the leeway of {with_unit(plain_text(abs((moved or outcome.limit) - outcome.limit)), unit)}"
        )

    def offered(self, example: Any, lists: DayLists) -> Scalar | None:
        """The bound next to the quantity's own example, where that does not meet the limit."""
        low, high = self.bounds.low, self.bounds.high
        if not isinstance(example, int | float) or isinstance(example, bool):
            bound = low if low is not None else high
        else:
            number = Fraction(str(example))
            bound = None if self.bounds.met_by(number) else self.bounds.nearest(number)[0]
        return None if bound is None else self._inside(bound, is_low=bound == low)

    def targets(self, value: Fraction, step: Fraction) -> frozenset[Target]:
        """The bounds, or what lies a step inside a strict one."""
        bounds, targets = self.bounds, set()
        if bounds.low is not None:
            targets.add(
                Target(
                    bounds.low + step if bounds.low_strict else self._inside(bounds.low, is_low=True), 1, self.written
                )
            )
        if bounds.high is not None:
            targets.add(
                Target(
                    bounds.high - step if bounds.high_strict else self._inside(bounds.high, is_low=False),
                    -1,
                    self.written,
                )
            )
        return frozenset(targets)

    def _inside(self, bound: Fraction, *, is_low: bool) -> Fraction:
        """The bound, or the nearest number within that can be written in the quantity's unit."""
        if self.written is None:
            return bound
        return (rounded_up if is_low else rounded_down)(bound, _WRITABLE_PLACES)

    def choices(self, lists: DayLists) -> tuple[Scalar, ...] | None:
        """None: numbers in a range cannot be counted."""
        return None

    @property
    def names(self) -> Names:
        """Nothing."""
        return Names()

    def listing(self, lists: DayLists) -> Iterator[str]:
        """Nothing."""
        return iter(())


def judge_sizes(
    size: Size, fact: Fact, decision: Decision, circumstances: Circumstances, *, is_exact: bool
) -> Judgement:
    """What the decision rule makes of the value; of several things, of the one that is worst off.

    `is_exact` says that no instrument blurs it, nor what it is compared with.
    """
    if isinstance(fact.value, tuple):
        alone = (fact._replace(value=value, values=fact.value) for value in fact.value)
        judged = [judge_sizes(size, single, decision, circumstances, is_exact=is_exact) for single in alone]
        return min(judged, key=worst_first)
    value = fact.value
    if not isinstance(value, Number):
        return Judgement(Ruling.NOT_SHOWN, fact, reason=not_a_number(value))
    is_exact = is_exact or (fact.complete and not isinstance(value, Measured))
    leeway = circumstances.leeway
    limits = size.bounds if leeway is None else leeway.around(size.bounds)
    outcome = decide(value, limits, decision, exact=is_exact, complete=fact.complete, ways=circumstances.ways)
    if leeway is not None:
        # The leeway decides; what is told is how the value stands to the limit that the rulebook prints.
        limit, margin, _ = size.bounds.measure(value_of(value))
        outcome = outcome._replace(limit=limit, margin=margin)
    reason = _why_not_shown(fact, outcome.expanded_uncertainty) if outcome.ruling is Ruling.NOT_SHOWN else ""
    return Judgement(outcome.ruling, fact, outcome, reason)


def worst_first(judgement: Judgement) -> tuple[int, Fraction]:
    """Illegal before not shown before legal; then by what is left to the limit."""
    margin = judgement.outcome.margin if judgement.outcome is not None else Fraction(0)
    return _SEVERITY.index(judgement.ruling), margin


_SEVERITY: Final = (Ruling.ILLEGAL, Ruling.NOT_SHOWN, Ruling.LEGAL)

_LOW: Final = {False: "at least", True: "above"}
_HIGH: Final = {False: "at most", True: "below"}


def _why_not_shown(fact: Fact, expanded: float | None) -> str:
    if expanded is None or not fact.complete:
        return (
            "the limit is met as read, but the rule asks to be shown so with the uncertainty counted: name the instrument"
            " of the reading, and describe it under instruments"
        )
    return "the limit is met as read, but by less than the uncertainty of the reading"


def _least_places(value: Fraction, limit_places: int, *, is_ratio: bool) -> int:
    """Decimals to print at least: those of the limit, or all of a value that was written with a few more."""
    decimals = decimals_of(value)
    if decimals is not None and decimals <= limit_places + 2:
        return max(limit_places, decimals)
    # A tooth more or less moves a ratio in its second decimal; the third shows how far it is from the limit.
    return max(limit_places + 1, 3) if is_ratio else limit_places + 1


def _margin_number(margin: Fraction, value_text: str) -> str:
    """The margin to as many decimals as the value is shown with, or as many as it takes not to look like nothing."""
    size, digits = abs(margin), value_text.partition(".")[2]
    places = next((i for i, char in enumerate(digits) if not char.isdigit()), len(digits))
    while places < _MOST_PLACES and decimal_text(size, places).strip("0.") == "":
        places += 1
    if decimal_text(size, places).strip("0.") == "":
        return f"less than {decimal_text(Fraction(1, 10**_MOST_PLACES), _MOST_PLACES)}"
    return decimal_text(size, places)
