"""Other gears: a pinion, a spur, or the two counts the right way round."""

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from speclint.models.cars import Car
from speclint.models.parts import SUM_EITHER_WAY, PartsBox
from speclint.quantities.facts import Facts
from speclint.remedies.options import Lever, Option
from speclint.rules.checks import KeyChange

GEARS: Final = frozenset({"pinion_teeth", "spur_teeth"})

_REACH: Final = 20
"""How many teeth away another gear is looked for where no parts box says which there are."""


def gear_levers(car: Car, facts: Facts, names: frozenset[str], parts: PartsBox) -> Iterator[Lever]:
    """The swap, where the pinion is the larger of the two; else each gear that is asked for."""
    if names >= GEARS and is_swapped(facts):
        yield _swap(car, facts)
        return
    for name, title, listed in (
        ("pinion_teeth", "pinion", parts.pinions_teeth),
        ("spur_teeth", "spur", parts.spurs_teeth),
    ):
        fitted = teeth(facts, name)
        if name in names and fitted is not None:
            near = range(max(1, fitted - _REACH), fitted + _REACH + 1)
            others = sorted({count for count in (near if listed is None else listed) if count != fitted})
            yield Lever(name, frozenset({name}), tuple(_gear(car, name, title, fitted, count) for count in others))


def is_swapped(facts: Facts) -> bool:
    """Whether the pinion has more teeth than the spur, which nobody builds."""
    spur, pinion = teeth(facts, "spur_teeth"), teeth(facts, "pinion_teeth")
    return spur is not None and pinion is not None and pinion > spur


def fits(before: Facts, after: Facts) -> bool:
    """Whether the motor mount takes the gears, as far as those that are fitted say how far it reaches."""
    sums = [facts.fact("tooth_sum").value for facts in (before, after)]
    fitted, tried = (value if isinstance(value, Fraction) else None for value in sums)
    return fitted is None or tried is None or abs(tried - fitted) <= SUM_EITHER_WAY


def teeth(facts: Facts, name: str) -> int | None:
    """How many teeth a gear has, where that is stated."""
    value = facts.fact(name).value
    return int(value) if isinstance(value, Fraction) else None


def _gear(car: Car, name: str, title: str, fitted: int, count: int) -> Option:
    change = KeyChange(car.setup.document.file, ("car", name), count)
    return Option((change,), f"{title} {count} instead of {fitted}", abs(math.log(count / fitted)))


def _swap(car: Car, facts: Facts) -> Lever:
    spur, pinion = teeth(facts, "pinion_teeth"), teeth(facts, "spur_teeth")
    file = car.setup.document.file
    changes = KeyChange(file, ("car", "spur_teeth"), spur), KeyChange(file, ("car", "pinion_teeth"), pinion)
    words = f"spur {spur} and pinion {pinion}: the two counts stand the wrong way round"
    return Lever("swapped gears", GEARS, (Option(changes, words, 0.0),))
