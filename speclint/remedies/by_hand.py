"""What is done on the car and then measured: how far, in whose words, and never beforehand in a file."""

import math
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any, Final

from speclint.forms.limit import Limit, Target
from speclint.forms.written_unit import WrittenUnit
from speclint.places import Path
from speclint.quantities.facts import Facts
from speclint.quantities.model import Quantity, Sort
from speclint.readings.digits import with_unit
from speclint.readings.exact import decimal_text, decimals_of, round_to, rounded_inwards, to_float
from speclint.readings.measured import Measured, value_of
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
    facts: Facts, stated: Quantity, limits: Iterable[Limit], rollouts: Iterable[Limit], uncertainty: float
) -> Iterator[Option]:
    """The values at and just inside the limits on such a quantity.

    Args:
        facts: what the car states.
        stated: the quantity.
        limits: the limits on it.
        rollouts: limits on the rollout, which its tyres make.
        uncertainty: U of the reading that the rules judge, in its unit; 0 where none is known.
    """
    fact = facts.fact(stated.name)
    if not isinstance(fact.value, Fraction | Measured) or not value_of(fact.value) > 0:
        return
    old, step = value_of(fact.value), step_of(stated, fact.value)
    document, path = fact.origins[0]
    targets = {target for limit in limits for target in limit.targets(old, step)}
    if stated.name == "tyre_diameter_mm":
        targets |= _tyre_targets(facts, rollouts)
    for target in sorted(targets):
        for guard in _guards(uncertainty, target.number / old, step) if target.inward else (Fraction(0),):
            number = target.number + target.inward * guard
            if number != old and old / _FARTHEST < number < old * _FARTHEST:
                option = _option(stated, old, number, target, (document.file, path, document.get(path)))
                yield from () if option is None else (option,)


def _tyre_targets(facts: Facts, limits: Iterable[Limit]) -> frozenset[Target]:
    """Tyre diameters that bring the rollout down to its limits: rollout is in proportion to the diameter."""
    tyre, rollout = facts.fact("tyre_diameter_mm").value, facts.fact("rollout_mm").value
    if not isinstance(tyre, Fraction | Measured) or not isinstance(rollout, Fraction | Measured):
        return frozenset()
    step = _STEPS["mm"]
    share = value_of(tyre) / value_of(rollout)
    return frozenset(
        Target(math.floor(share * target.number / step) * step, -1)
        for limit in limits
        for target in limit.targets(value_of(rollout), Fraction(0))
        if target.number < value_of(rollout)
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


def _option(
    stated: Quantity, old: Fraction, number: Fraction, target: Target, home: tuple[str, Path, Any]
) -> Option | None:
    file, path, raw = home
    step, rulebook = step_of(stated, old), target.written
    by_step = decimals_of(step) or 0

    def moved(to: Fraction) -> str:
        way = abs(to - old)
        if rulebook is not None:
            return _as_written(rulebook.difference(way), 1, step, rulebook)
        return with_unit(decimal_text(way, max(decimals_of(way) or 0, by_step)), stated.unit)

    def reached(to: Fraction) -> str:
        if rulebook is not None:
            return _as_written(rulebook.value(to), target.inward, step, rulebook)
        places = decimals_of(to)
        return with_unit(decimal_text(to, 3 if places is None else max(places, by_step)), stated.unit)

    raised, lowered = _WORDS.get(stated.name, _OTHER_WORDS)
    words = raised if number > old else lowered
    if not words:
        return None
    text = words.format(by=moved(number), to=reached(number), title=stated.title)
    if number != target.number:
        text += (
            f" ({reached(target.number) if '{to}' in words else moved(target.number)} only reaches the limit itself)"
        )
    kept = {key: part for key, part in raw.items() if key != "readings"} if isinstance(raw, dict) else None
    written = int(number) if number.denominator == 1 else float(number)
    change = KeyChange(file, path, written if kept is None else {**kept, "value": written})
    measured = _MEASURED.get(stated.unit, "measure it with a named instrument")
    return Option((change,), text, abs(float(number / old) - 1), by_hand=True, measured=measured)


def _as_written(size: Fraction, inward: int, step: Fraction, rulebook: WrittenUnit) -> str:
    """A size in the rulebook's unit, with the decimals that a step has there, and never short of the limit."""
    places = rulebook.places_of(step)
    # A limit that no decimals of the quantity's own unit write stands a hair inside, and is told as it is written.
    plain = round_to(size, Fraction(1, 10 ** (places + 4)))
    return with_unit(decimal_text(rounded_inwards(plain, places, inward), places), rulebook.code)


def step_of(stated: Quantity, value: Fraction | Measured) -> Fraction:
    """The smallest change of a quantity that people can make or read: the unit's, or the last decimal that is written."""
    return _STEPS.get(stated.unit) or Fraction(1, 10 ** (decimals_of(value_of(value)) or 0))


_MOST_GUARDS: Final = 40
"""How many values inside a limit are tried at most."""

_STEPS: Final = {
    "g": Fraction(1),
    "mm": Fraction(1, 10),
    "v": Fraction(1, 100),
    "deg": Fraction(1),
    "mah": Fraction(100),
}
"""What people can set or read of a unit."""

_MEASURED: Final = {"g": "weigh it on a named scale", "kg": "weigh it on a named scale"}

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
