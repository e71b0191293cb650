"""The safe start: what is said of every pair, and which of them to begin with."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import isfinite

from speclint.gearing.case import Case
from speclint.gearing.legality import Standing
from speclint.gearing.pairs import Pair
from speclint.physics.bands import Outlook
from speclint.physics.units import rpm
from speclint.readings.measured import Number
from speclint.rules.checks import Verdict


class Mark(Enum):
    """What is said of a pair in one word or two; the first that applies counts."""

    ILLEGAL = "illegal"
    NOT_SHOWN = "not shown"
    WEAK = "cannot pull"
    HOT = "too hot"
    FAST = "over-revs"
    EDGE = "last tooth"
    SAFE = "safe"


@dataclass(frozen=True, slots=True)
class RatedPair:
    """A pair with everything that is known of it.

    Attributes:
        pair: Spur and pinion.
        rollout: Way for one motor turn in mm.
        outlook: What a run may bring; None where the car may not even move.
        standings: What the rules of each entry say, in the order of the entries.
        spare: Whether one more pinion tooth is legal too, in every entry.
        mark: In a word.
    """

    pair: Pair
    rollout: Number
    outlook: Outlook | None
    standings: tuple[Standing, ...]
    spare: bool
    mark: Mark

    @property
    def is_legal(self) -> bool:
        """Whether it is legal in every entry."""
        return legal(self.standings)

    @property
    def can_high_c(self) -> float:
        """Upper end of the can's temperature after the run."""
        return float("inf") if self.outlook is None else self.outlook.can_c.high


def legal(standings: Iterable[Standing]) -> bool:
    """Whether all of these are legal; where there is no entry, nothing forbids."""
    return all(each.verdict is Verdict.LEGAL for each in standings)


def reaches(high_c: float, limit_c: float) -> bool:
    """Whether the upper end of a band reaches a limit, in whole degrees as it is printed."""
    # Written so that a temperature that is not a number reaches it.
    return not (isfinite(high_c) and round(high_c) < limit_c)


def mark_of(case: Case, outlook: Outlook | None, standings: Sequence[Standing], *, spare: bool) -> Mark:
    """What is said of a pair in a word."""
    verdicts = {each.verdict for each in standings}
    if Verdict.ILLEGAL in verdicts:
        return Mark.ILLEGAL
    if Verdict.NOT_SHOWN in verdicts:
        return Mark.NOT_SHOWN
    if outlook is None:
        return Mark.WEAK
    if reaches(outlook.can_c.high, case.limit_c):
        return Mark.HOT
    if not rpm(outlook.top_motor_rad_per_s.high) <= case.limit_rpm:
        return Mark.FAST
    return Mark.SAFE if spare else Mark.EDGE


def safe_start(every: Sequence[RatedPair], *, spur: int | None, tallest: Fraction | None = None) -> RatedPair | None:
    """The tallest safe pair that the maker's range allows; None where there is none.

    The spur that is fitted stays, unless another one gains a whole pinion tooth or more.

    Args:
        every: All pairs.
        spur: Teeth of the spur that is fitted, where that is known.
        tallest: The lowest ratio that the maker suggests to start with.
    """
    safe = [each for each in every if each.mark is Mark.SAFE and (tallest is None or each.pair.ratio >= tallest)]
    if not safe:
        return None
    best = min(safe, key=lambda each: (each.pair.ratio, abs(each.pair.spur - (spur or 0))))
    kept = min((each for each in safe if each.pair.spur == spur), key=lambda each: each.pair.ratio, default=None)
    if kept is not None and kept.pair.with_pinion(kept.pair.pinion + 1).ratio < best.pair.ratio:
        return kept
    return best
