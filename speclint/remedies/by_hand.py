"""What is done on the car and then measured: how far, in whose words, and never beforehand in a file."""

import math
from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.forms.limit import Limit, Target
from speclint.forms.written_unit import WrittenUnit
from speclint.places import Path
from speclint.quantities.facts import Fact, Facts, Value
from speclint.quantities.model import Quantity, Sort
from speclint.readings.digits import with_unit
from speclint.readings.exact import decimal_text, decimals_of, rounded, rounded_down, rounded_up, to_float, to_number
from speclint.readings.measured import Measured, Number, value_of
from speclint.readings.units import in_unit
from speclint.remedies.options import Option
from speclint.rules.checks import KeyChange

_FARTHEST: Final = 5
"""A value that would have to become this many times as large or as small was written wrongly, not built wrongly."""


def is_done_by_hand(stated: Quantity) -> bool:
    """Whether a quantity is changed on the car itself: what the trade has words for, and what only a ruleset knows."""
    return stated.name in _WORDS or (
        stated.name.startswith("extra.") and (stated.is_open or stated.sort is Sort.MEASURED)
    )


def by_hand(
    facts: Facts, fact: Fact, old: Fraction, limits: Iterable[Limit], rollouts: Iterable[Limit], uncertainty: float
) -> Iterator[Option]:
    """The values at and just inside the limits on such a quantity.

    Args:
        facts: what the car states.
        fact: what it states of the quantity.
        old: the value of that.
        limits: the limits on it.
        rollouts: limits on the rollout, which its tyres make.
        uncertainty: U of the reading that the rules judge, in its unit; 0 where none is known.
    """
    stated = fact.quantity
    document, path = fact.origins[0]
    place = _Place(document.file, path, document.get(path), old, stated.unit)
    more = (
        _tyre_targets(old, facts.fact("rollout_mm").value, rollouts)
        if stated.name == "tyre_diameter_mm"
        else frozenset()
    )
    for number, target in _numbers(stated, old, limits, uncertainty, more):
        option = _option(stated, old, number, target, place)
        yield from () if option is None else (option,)


def of_parts(facts: Facts, derived: Quantity, limits: Iterable[Limit], uncertainty: float) -> Iterator[Option]:
    """The same of a sum or a count that a ruleset declares: how far it has to move, whichever of its parts does.

    In a trial one part moves after the other, so that no rule on a part is broken.
    """
    fact = facts.fact(derived.name)
    if not isinstance(fact.value, Number):
        return
    old = value_of(fact.value)
    parts = [facts.fact(name) for name in derived.inputs if isinstance(name, str) and not name.startswith("entry.")]
    titles = " or ".join(part.quantity.title for part in parts)
    for number, target in _numbers(derived, old, limits, uncertainty):
        for part in parts:
            document, path = part.origins[0]
            value = value_of(part.value) if isinstance(part.value, Number) else Fraction(0)
            place = _Place(document.file, path, document.get(path), value, part.quantity.unit)
            option = _option(derived, old, number, target, place)
            if option is not None:
                yield replace(option, words=f"{option.words}, in {titles}") if len(parts) > 1 else option


class _Place(NamedTuple):
    """Where a value stands that a trial changes: what is written there, and what that is in its unit."""

    file: str
    path: Path
    raw: Any
    value: Fraction
    unit: str

    def moved(self, way: Fraction, stated: Quantity) -> Any:
        """What is to be written there where the quantity moves so far; None where that cannot be."""
        if stated.counts:
            things = self.raw if isinstance(self.raw, list) else [self.raw]
            return [*things, *things[-1:] * int(way)][: len(things) + int(way)] if things else None
        number = self.value + value_of(in_unit(way, stated.unit, self.unit))
        written = to_number(number)
        if not isinstance(self.raw, dict):
            return written
        return {**{key: part for key, part in self.raw.items() if key != "readings"}, "value": written}


def _numbers(
    stated: Quantity, old: Fraction, limits: Iterable[Limit], uncertainty: float, more: Set[Target] = frozenset()
) -> Iterable[tuple[Fraction, Target]]:
    """The numbers at and just inside the limits that are within reach, each with the last limit that is met on the way."""
    step = step_of(stated, old)
    pairs = [
        (number, target)
        for target in dict.fromkeys((*more, *(target for limit in limits for target in limit.targets(old, step))))
        for guard in (_guards(uncertainty, target.number / old, step) if target.inward and old else (Fraction(0),))
        if (number := target.number + target.inward * guard) != old
        and (_is_within_reach(number, old) or (stated.counts and number >= 0))
    ]

    def lateness(pair: tuple[Fraction, Target]) -> tuple[bool, Fraction]:
        number, target = pair
        return target.inward * (number - old) > 0, -abs(number - target.number)

    return dict(sorted(pairs, key=lateness)).items()


def _is_within_reach(number: Fraction, old: Fraction) -> bool:
    return old != 0 and Fraction(1, _FARTHEST) < number / old < _FARTHEST


def _tyre_targets(tyre_mm: Fraction, rollout: Value | None, limits: Iterable[Limit]) -> frozenset[Target]:
    """Tyre diameters that bring the rollout down to its limits: rollout is in proportion to the diameter."""
    if not isinstance(rollout, Number):
        return frozenset()
    step, rollout_mm = _STEPS["mm"], value_of(rollout)
    return frozenset(
        Target(math.floor(tyre_mm / rollout_mm * target.number / step) * step, -1)
        for limit in limits
        for target in limit.targets(rollout_mm, Fraction(0))
        if target.number < rollout_mm
    )


def _guards(uncertainty: float, growth: Fraction, step: Fraction) -> tuple[Fraction, ...]:
    """How far inside a limit to look: nothing, and whole steps through what the uncertainty of the next reading may be.

    It may grow with the value, and shrink where repeats of the last reading scattered.
    """
    if not 0 < uncertainty < math.inf:
        return (Fraction(0),)
    most = math.ceil(uncertainty * max(1.0, to_float(growth)) / float(step)) + 2
    stride = max(1, most // _MOST_GUARDS)
    return tuple(step * count for count in range(0, most + stride, stride))


def _option(stated: Quantity, old: Fraction, number: Fraction, target: Target, place: _Place) -> Option | None:
    step, rulebook = step_of(stated, old), target.written
    by_step = decimals_of(step) or 0

    def moved(to: Fraction) -> str:
        way = abs(to - old)
        if rulebook is not None:
            return _as_written(rulebook.difference(way), step, rulebook, up=True)
        places = decimals_of(way)
        if places is None:
            # What no decimal writes, such as a sum of pounds and grams, is told never short of the limit.
            way, places = rounded_up(way, by_step), by_step
        return with_unit(decimal_text(way, max(places, by_step)), stated.unit)

    def reached(to: Fraction) -> str:
        if rulebook is not None:
            return _as_written(rulebook.value(to), step, rulebook, up=target.inward > 0)
        return with_unit(decimal_text(to, max(decimals_of(to) or 0, by_step)), stated.unit)

    raised, lowered = _WORDS.get(stated.name, _OTHER_WORDS)
    words = raised if number > old else lowered
    if not words:
        return None
    text = words.format(by=moved(number), to=reached(number), title=stated.title)
    if number != target.number:
        text += (
            f" ({reached(target.number) if '{to}' in words else moved(target.number)} only reaches the limit itself)"
        )
    change = KeyChange(place.file, place.path, place.moved(number - old, stated))
    measured = "" if stated.counts else _MEASURED.get(stated.unit, "measure it with a named instrument")
    effort = abs(float(number / old) - 1) if old else 1.0
    return Option((change,), text, effort, by_hand=True, measured=measured) if change.value is not None else None


def _as_written(size: Fraction, step: Fraction, rulebook: WrittenUnit, *, up: bool) -> str:
    """A size in the rulebook's unit, with the decimals that a step has there, and never short of the limit."""
    places = rulebook.places_of(step)
    # A limit that no decimals of the quantity's own unit write stands a hair inside, and is told as it is written.
    plain = rounded(size, places + 4)
    return with_unit(decimal_text((rounded_up if up else rounded_down)(plain, places), places), rulebook.code)


def step_of(stated: Quantity, value: Fraction | Measured) -> Fraction:
    """The smallest change of a quantity that people can make or read: the unit's, or the last decimal that is written."""
    decimals = decimals_of(value_of(value))
    return _STEPS.get(stated.unit) or Fraction(1, 10 ** (_PLACES if decimals is None else decimals))


def places_of(stated: Quantity, value: Fraction | Measured) -> int:
    """How many decimals of a quantity people can set or read; two at least where its unit does not say."""
    places = decimals_of(step_of(stated, value)) or 0
    return places if stated.unit in _STEPS or stated.sort is Sort.COUNT else max(places, 2)


_MOST_GUARDS: Final = 40
"""How many values inside a limit are tried at most."""

_PLACES: Final = 3
"""The decimals of a value that none write exactly."""

_STEPS: Final = {
    "g": Fraction(1),
    "mm": Fraction(1, 10),
    "v": Fraction(1, 100),
    "deg": Fraction(1),
    "mah": Fraction(100),
}
"""What people can set or read of a unit."""

_MEASURED: Final = dict.fromkeys(("g", "kg", "oz", "lb"), "weigh it on a named scale")

_WORDS: Final[Mapping[str, tuple[str, str]]] = {
    "mass_g": ("add {by} of ballast", "take {by} off the car"),
    "ride_height_mm": ("raise the chassis by {by}, to {to}", "lower the chassis by {by}, to {to}"),
    "width_mm": ("make the car wider by {by}, to {to}", "make the car narrower by {by}, to {to}"),
    "length_mm": ("make the car longer by {by}, to {to}", "make the car shorter by {by}, to {to}"),
    "wheelbase_mm": ("lengthen the wheelbase by {by}, to {to}", "shorten the wheelbase by {by}, to {to}"),
    "tyre_diameter_mm": ("fit tyres of {to}", "true the tyres down to {to}"),
    "battery_voltage_v": ("", "let the pack down to {to} before the run"),
}
"""What to say where a value must rise, and where it must fall; nothing where that is no remedy."""

_OTHER_WORDS: Final = ("raise {title} by {by}, to {to}", "lower {title} by {by}, to {to}")
