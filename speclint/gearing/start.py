"""The recommended start: what is said of every pair, and which of them to begin with."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import isfinite
from typing import Final

from speclint.gearing.assumed import WINDING_LIMIT_C
from speclint.gearing.case import GearingCase
from speclint.gearing.legality import Standing
from speclint.gearing.pairs import GearPair
from speclint.physics.bands import Outlook
from speclint.physics.units import rpm
from speclint.readings.measured import Number
from speclint.rules.checks import Verdict

AS_COOL_K: Final = 2.0
"""Pairs that are likely this close to the coolest one count as cool as it: a day differs from another by more."""


COOLER_BY_K: Final = (2.0, 1.0)
"""How much cooler a pair should likely be to be worth going to, and what does where there is none."""

FARTHEST_BACK: Final = 1.2
"""A ratio farther off than this is another car, not a step back."""

EVEN_K: Final = 6.0
"""A pair that is likely this much too hot at most is about as likely cool enough, as far as a model without runs knows."""


class Mark(Enum):
    """What is said of a pair in one word or two; the first that applies counts."""

    ILLEGAL = "illegal"
    NOT_SHOWN = "not shown"
    WEAK = "cannot pull"
    HOT = "too hot"
    FAST = "over-revs"
    EDGE = "last tooth"
    LOOK = "look first"
    SAFE = "safe"
    UNRATED = "not predicted"


class Reason(Enum):
    """Why a pair is the one to begin with."""

    FOUR_OF_FIVE = "the tallest with which four of five cars stay below the limits"
    COOLEST = "the tallest that is likely about as cool as the coolest at hand"
    EVEN = "the coolest at hand, which is about as likely too hot as not"
    SHEET = "from the motor's sheet"
    USUAL = "from what is usual in the class"
    SHORTEST = "the shortest at hand"


@dataclass(frozen=True, slots=True)
class RatedPair:
    """A pair with everything that is known of it.

    Attributes:
        pair: Spur and pinion.
        rollout: Way for one motor turn in mm; None where the tyre is not stated.
        outlook: What a run may bring; None where the car may not even move, or nothing can be predicted.
        standings: What the rules of each entry say, in the order of the entries.
        spare: Whether one more pinion tooth is legal too, in every entry.
        mark: In a word.
    """

    pair: GearPair
    rollout: Number | None
    outlook: Outlook | None
    standings: tuple[Standing, ...]
    spare: bool
    mark: Mark

    @property
    def is_legal(self) -> bool:
        """Whether it is legal in every entry."""
        return legal(self.standings)

    @property
    def likely_c(self) -> float:
        """The can's likely temperature after the run; infinite where there is none."""
        return float("inf") if self.outlook is None else self.outlook.can_c.median


def legal(standings: Iterable[Standing]) -> bool:
    """Whether all of these are legal; where there is no entry, nothing forbids."""
    return all(standing.verdict is Verdict.LEGAL for standing in standings)


def reaches(value_c: float, limit_c: float) -> bool:
    """Whether a temperature reaches a limit, in whole degrees as it is printed."""
    # Written so that a temperature that is not a number reaches it.
    return not (isfinite(value_c) and round(value_c) < limit_c)


def mark_of(case: GearingCase, outlook: Outlook | None, standings: Sequence[Standing], *, spare: bool) -> Mark:
    """What is said of a pair in a word."""
    verdicts = {standing.verdict for standing in standings}
    if Verdict.ILLEGAL in verdicts:
        return Mark.ILLEGAL
    if Verdict.NOT_SHOWN in verdicts:
        return Mark.NOT_SHOWN
    if case.model is None:
        return Mark.UNRATED if spare else Mark.EDGE
    if outlook is None:
        return Mark.WEAK
    if reaches(outlook.can_c.median, case.limit_c):
        return Mark.HOT
    if not rpm(outlook.top_motor_rad_per_s.high) <= case.limit_rpm:
        return Mark.FAST
    if not spare:
        return Mark.EDGE
    return Mark.LOOK if reaches(outlook.can_c.high, case.limit_c) else Mark.SAFE


def recommended(every: Sequence[RatedPair], case: GearingCase, *, learnt: bool) -> tuple[RatedPair, Reason] | None:
    """The pair to begin with and why; None where even the coolest legal pair is likely too hot.

    Of the pairs that are legal with a tooth to spare, else of those that are legal at all, else of those that are not
    shown to be: the tallest with which four of five cars stay below the limits of can and winding, else the tallest that is
    likely as cool as the coolest, within some kelvin. None is taller than the maker's sheet suggests. Where the car's own
    runs have not taught better, a coolest pair that is likely a little too hot is a start as well: the look decides.

    Args:
        every: All pairs.
        case: Limits, and the fitted spur.
        learnt: Whether track runs of this car stand behind what is predicted.
    """
    tiers = (
        [rated for rated in every if rated.mark in (Mark.SAFE, Mark.LOOK, Mark.UNRATED)],
        [rated for rated in every if rated.mark is Mark.EDGE],
        [rated for rated in every if rated.mark is Mark.NOT_SHOWN],
    )
    for tier in tiers:
        allowed = _not_taller_than_maker(tier, case)
        if case.model is None:
            if allowed:
                return _without_model(allowed, case)
            continue
        cool = [rated for rated in allowed if _surely_cool(rated, case)]
        if cool:
            return tallest(cool, case.spur), Reason.FOUR_OF_FIVE
    for tier in tiers:
        likely_below = [rated for rated in tier if not reaches(rated.likely_c, case.limit_c)]
        allowed = _not_taller_than_maker(likely_below, case) or likely_below
        if allowed:
            coolest_c = min(rated.likely_c for rated in allowed)
            as_cool = [rated for rated in allowed if rated.likely_c <= coolest_c + AS_COOL_K]
            return tallest(as_cool, case.spur), Reason.COOLEST
    warm = [rated for rated in every if rated.mark is Mark.HOT and rated.likely_c < case.limit_c + EVEN_K]
    if learnt or not warm:
        return None
    return min(warm, key=lambda rated: (not rated.spare, rated.likely_c, rated.pair.ratio)), Reason.EVEN


def _surely_cool(rated: RatedPair, case: GearingCase) -> bool:
    outlook = rated.outlook
    return (
        outlook is not None
        and not reaches(outlook.can_four_of_five_c, case.limit_c)
        and not reaches(outlook.winding_four_of_five_c, WINDING_LIMIT_C)
    )


def _not_taller_than_maker(pairs: Sequence[RatedPair], case: GearingCase) -> list[RatedPair]:
    return [rated for rated in pairs if case.starting is None or rated.pair.ratio >= case.starting[0]]


def _without_model(pairs: Sequence[RatedPair], case: GearingCase) -> tuple[RatedPair, Reason]:
    """The start where nothing can be predicted: the shorter half of what sheet or class suggest, else the shortest pair."""
    for suggested, reason in ((case.starting, Reason.SHEET), (case.usual, Reason.USUAL)):
        if suggested is not None:
            low, high = suggested
            aim = (low + 3 * high) / 4
            inside = [rated for rated in pairs if low <= rated.pair.ratio <= high] or list(pairs)
            return min(inside, key=lambda rated: (_apart(rated.pair.ratio, aim), rated.pair.spur)), reason
    return max(pairs, key=lambda rated: (rated.pair.ratio, -abs(rated.pair.spur - (case.spur or 0)))), Reason.SHORTEST


def _apart(ratio: Fraction, aim: Fraction) -> Fraction:
    return max(ratio / aim, aim / ratio)


def tallest(pairs: Sequence[RatedPair], spur: int | None) -> RatedPair:
    """The tallest of some pairs; the spur that is fitted stays, unless another one gains a whole pinion tooth or more."""
    best = min(pairs, key=lambda rated: (rated.pair.ratio, abs(rated.pair.spur - (spur or 0))))
    kept = min((rated for rated in pairs if rated.pair.spur == spur), key=lambda rated: rated.pair.ratio, default=None)
    if kept is not None and kept.pair.with_pinion(kept.pair.pinion + 1).ratio < best.pair.ratio:
        return kept
    return best


def cooler(start: RatedPair, every: Sequence[RatedPair]) -> RatedPair | None:
    """The legal pair to go to where a look says too hot: the nearest one that is likely cooler by enough, else by a little.

    On the tall side of a car's curve that is a shorter pair, on the short side a taller one. Where none within a fifth of the
    ratio is cooler, gears do not help.
    """
    if start.outlook is None:
        return None
    near = [rated for rated in every if rated.is_legal and _apart(rated.pair.ratio, start.pair.ratio) < FARTHEST_BACK]
    for by_k in COOLER_BY_K:
        cooler_pairs = [rated for rated in near if rated.likely_c <= start.likely_c - by_k]
        if cooler_pairs:
            return min(
                cooler_pairs,
                key=lambda rated: (rated.pair.spur != start.pair.spur, _apart(rated.pair.ratio, start.pair.ratio)),
            )
    return None
