"""Spur and pinion pairs: which of them the parts at hand and the chassis allow."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from speclint.models.parts import SUM_EITHER_WAY, PartsBox

PINIONS_EITHER_WAY: Final = 8
"""Pinion teeth to look at either way of the one that is fitted, where there is no parts box."""

SPURS_EITHER_WAY: Final = 6
"""Spur teeth to look at either way of the one that is fitted, where there is no parts box."""

SMALLEST_GEAR: Final = 8
"""Fewer teeth than this are not cut: the pinion would not go over its shaft."""


@dataclass(frozen=True, slots=True)
class GearPair:
    """A spur and a pinion on one chassis; all that follows from their teeth is exact."""

    spur: int
    pinion: int
    internal: Fraction

    @property
    def ratio(self) -> Fraction:
        """Final drive ratio (common practice)."""
        return Fraction(self.spur, self.pinion) * self.internal

    @property
    def spur_pinion(self) -> Fraction:
        """Spur teeth for one pinion tooth."""
        return Fraction(self.spur, self.pinion)

    @property
    def tooth_sum(self) -> int:
        """Teeth of both, which set the distance between motor and spur (module × sum ÷ 2)."""
        return self.spur + self.pinion

    @property
    def text(self) -> str:
        """Spur and pinion in words."""
        return f"spur {self.spur} with pinion {self.pinion}"

    def with_pinion(self, teeth: int) -> "GearPair":
        """The same spur with another pinion."""
        return GearPair(self.spur, teeth, self.internal)


@dataclass(frozen=True, slots=True)
class GearChoice:
    """The gears to choose from.

    Attributes:
        pinions: Teeth, in rising order.
        spurs: Teeth, in rising order.
        sums: Least and greatest sum of teeth that counts as fitting; None where nothing limits it.
        fitted: The pair that the setup states, where it states both.
        boxed: Whether the gears are those of a parts box.
        origin: Where they come from, in words.
        sum_origin: Where the range of the sum comes from, in words.
    """

    pinions: tuple[int, ...]
    spurs: tuple[int, ...]
    sums: tuple[int, int] | None
    fitted: tuple[int, int] | None
    boxed: bool
    origin: str
    sum_origin: str

    def fits(self, pair: GearPair) -> bool:
        """Whether the chassis takes the pair, as far as its sum of teeth says."""
        return self.sums is None or self.sums[0] <= pair.tooth_sum <= self.sums[1]

    def pairs(self, internal: Fraction) -> tuple[GearPair, ...]:
        """Every pair that fits, by spur and then by pinion."""
        every = (GearPair(spur, pinion, internal) for spur in self.spurs for pinion in self.pinions)
        return tuple(pair for pair in every if pair.pinion < pair.spur and self.fits(pair))


def gear_choice(
    boxes: Iterable[tuple[str, PartsBox]],
    spur: int | None,
    pinion: int | None,
    sums: tuple[int, int] | None = None,
) -> GearChoice | None:
    """The gears to choose from; None where neither a parts box nor the car names any.

    Args:
        boxes: Parts boxes with whose they are, in words; the first one with gears in it counts.
        spur: Teeth of the spur that is fitted, where that is known.
        pinion: Teeth of the pinion that is fitted, where that is known.
        sums: Range of the sum of teeth, where somebody asks for one.
    """
    fitted = None if spur is None or pinion is None else (spur, pinion)
    boxed = next(((whose, box) for whose, box in boxes if box.pinions_teeth or box.spurs_teeth), None)
    if boxed is not None:
        whose, box = boxed
        pinions, spurs = set(box.pinions_teeth or ()), set(box.spurs_teeth or ())
        pinions |= {pinion} if pinion is not None else set()
        spurs |= {spur} if spur is not None else set()
        origin = f"the gears of {whose}, and those that are fitted"
    elif fitted is not None:
        pinions = set(range(fitted[1] - PINIONS_EITHER_WAY, fitted[1] + PINIONS_EITHER_WAY + 1))
        spurs = set(range(fitted[0] - SPURS_EITHER_WAY, fitted[0] + SPURS_EITHER_WAY + 1))
        origin = (
            f"no parts box: pinions {PINIONS_EITHER_WAY} teeth and spurs {SPURS_EITHER_WAY} teeth either way"
            " of those that are fitted"
        )
    else:
        return None
    if not pinions or not spurs:
        return None
    return _choice(pinions, spurs, fitted, sums, boxed=boxed is not None, origin=origin)


def _choice(
    pinions: set[int],
    spurs: set[int],
    fitted: tuple[int, int] | None,
    sums: tuple[int, int] | None,
    *,
    boxed: bool,
    origin: str,
) -> GearChoice:
    sum_origin = "as asked for"
    if sums is None and fitted is not None:
        sums = (sum(fitted) - SUM_EITHER_WAY, sum(fitted) + SUM_EITHER_WAY)
        sum_origin = (
            f"assumed: {SUM_EITHER_WAY} teeth either way of the {sum(fitted)} that are fitted; the chassis manual knows"
            " better, and --tooth-sum takes it"
        )
    elif sums is None:
        sum_origin = "not limited: the setup does not state both gears; --tooth-sum takes what the chassis allows"
    return GearChoice(
        tuple(sorted(teeth for teeth in pinions if teeth >= SMALLEST_GEAR)),
        tuple(sorted(teeth for teeth in spurs if teeth >= SMALLEST_GEAR)),
        sums,
        fitted,
        boxed,
        origin,
        sum_origin,
    )
