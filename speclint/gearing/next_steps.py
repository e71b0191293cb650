"""The next pairs up from the start, a tooth at a time, to where the rules or the heat stop it."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, floor
from typing import Final

from speclint.gearing.assumed import WINDING_LIMIT_C
from speclint.gearing.case import GearingCase
from speclint.gearing.pairs import GearChoice, GearPair
from speclint.gearing.start import Mark, RatedPair, reaches
from speclint.physics.bands import EarlyLook
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import message

THERMOMETER_K: Final = 3.0
"""What a thermometer may read too low, in nineteen of twenty: taken off every reading that says go on."""

MINUTES_WITHOUT_MODEL: Final = {True: 2.0, False: 1.0}
"""When to look where nothing can be predicted: with a suggestion by sheet or class, and without."""


@dataclass(frozen=True, slots=True)
class Look:
    """When to stop and look on the first run with a pair.

    Attributes:
        minutes: After which the can is measured.
        go_on_c: Highest temperature then with which the whole run should stay below the limit; None where the whole
            run is no longer than this.
    """

    minutes: float
    go_on_c: int | None


@dataclass(frozen=True, slots=True)
class GearStep:
    """One step up.

    Attributes:
        rated: The pair.
        look: When to stop and look.
        may_pass: Whether the band reaches the limit, so that only a measurement can say.
        cooler: Whether it is likely to be cooler than the step before.
        taller_than_maker: Whether it is taller than the maker suggests to start with.
        new_spur: Whether it takes another spur than the step before.
    """

    rated: RatedPair
    look: Look
    may_pass: bool
    cooler: bool
    taller_than_maker: bool
    new_spur: bool


def look(rated: RatedPair, case: GearingCase) -> Look:
    """When to stop and look: as late in the first minutes as can and winding leave time for."""
    if rated.outlook is None:
        suggested = case.starting is not None or case.usual is not None
        minutes = min(MINUTES_WITHOUT_MODEL[suggested], case.minutes)
        air_c = _AIR_C if case.track.ambient_c is None else case.track.ambient_c
        rise_k = _RESERVE * (case.limit_c - air_c) * _warmed(minutes) / _warmed(max(case.minutes, _LONG_RUN_MIN))
        return Look(minutes, floor(air_c + rise_k - THERMOMETER_K) if minutes < case.minutes else None)
    looks = rated.outlook.looks
    if not looks or case.minutes < _SHORTEST_RUN_MIN:
        return Look(case.minutes, None)
    timely = [early for early in looks if _in_time(early, case)] or [looks[0]]
    return Look(timely[-1].minutes, floor(timely[-1].go_on_c - THERMOMETER_K))


def _warmed(minutes: float) -> float:
    """The part of its final rise that a can has after a time."""
    return 1.0 - exp(-max(60.0 * minutes - _LAG_S, 0.0) / _WARMS_IN_S)


_AIR_C: Final = 25.0
_WARMS_IN_S: Final = 210.0
_LAG_S: Final = 12.0
"""How a can warms: 90 J/K behind 2.3 K/W, a winding's delay after it (estimates, as in the model)."""
_RESERVE: Final = 0.85
"""Part of the rise to the limit that a can may be on its way to where nothing is predicted (estimate)."""
_LONG_RUN_MIN: Final = 3.0
_SHORTEST_RUN_MIN: Final = 2.0


def _in_time(early: EarlyLook, case: GearingCase) -> bool:
    return early.can_high_c < case.limit_c and early.winding_high_c < WINDING_LIMIT_C


def next_steps(
    start: RatedPair, every: Sequence[RatedPair], choice: GearChoice, case: GearingCase
) -> tuple[tuple[GearStep, ...], str]:
    """The steps up from the start, and why there is none after them, in words."""
    by_pair = {rated.pair: rated for rated in every}
    steps: list[GearStep] = []
    current = start
    while True:
        following = _next(current, every, by_pair)
        if following is None:
            return tuple(steps), _no_more(current, choice)
        stop = _stop(following, case)
        if stop:
            return tuple(steps), stop
        lowest = case.starting[0] if case.starting is not None else None
        steps.append(
            GearStep(
                following,
                look(following, case),
                following.outlook is not None and reaches(following.outlook.can_c.high, case.limit_c),
                round(following.likely_c) < round(current.likely_c) if following.outlook is not None else False,
                lowest is not None and following.pair.ratio < lowest,
                following.pair.spur != current.pair.spur,
            )
        )
        current = following


def _next(current: RatedPair, every: Sequence[RatedPair], by_pair: dict[GearPair, RatedPair]) -> RatedPair | None:
    """The same spur with one pinion tooth more; where that is not at hand, the pair nearest to that step."""
    one_more = current.pair.with_pinion(current.pair.pinion + 1)
    if one_more in by_pair:
        return by_pair[one_more]
    half = (current.pair.ratio + one_more.ratio) / 2
    taller = [rated for rated in every if rated.pair.ratio <= half and rated.is_legal] or [
        rated for rated in every if rated.pair.ratio <= half
    ]

    def away(rated: RatedPair) -> tuple[Fraction, int]:
        ratio = rated.pair.ratio / one_more.ratio
        return max(ratio, 1 / ratio), abs(rated.pair.spur - current.pair.spur)

    return min(taller, key=away, default=None)


def _stop(following: RatedPair, case: GearingCase) -> str:
    """Why a pair is no step up; empty where it is one."""
    name = following.pair.text
    for standing in following.standings:
        if standing.verdict is Verdict.ILLEGAL:
            return f"{name} is illegal{_because(standing.check)}"
        if standing.verdict is Verdict.NOT_SHOWN:
            return f"{name} is not shown to be legal{_because(standing.check)}"
    if case.model is None:
        return ""
    if following.outlook is None:
        return f"with {name} the motor may not pull the car out of a corner"
    if reaches(following.likely_c, case.limit_c):
        return f"{name} would be likely to pass the limit for the can"
    if following.mark is Mark.FAST:
        return f"with {name} the motor may turn too fast"
    return ""


def _because(check: Check | None) -> str:
    return "" if check is None else f": {message(check)}"


def _no_more(current: RatedPair, choice: GearChoice) -> str:
    more = current.pair.with_pinion(current.pair.pinion + 1)
    if not choice.fits(more) and more.pinion in choice.pinions:
        return f"{more.text} has {more.tooth_sum} teeth together, more than the chassis is taken to allow"
    if choice.boxed:
        return f"the parts box has no taller pair; the next step would be a pinion with {more.pinion} teeth on spur {more.spur}"
    return "no taller pair was looked at"
