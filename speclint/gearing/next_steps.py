"""The ladder: the next pairs up from the safe start, a tooth at a time, to where the rules or the heat stop it."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from speclint.gearing.case import Case
from speclint.gearing.forecast import Forecaster
from speclint.gearing.pairs import Pair, Parts
from speclint.gearing.start import Mark, RatedPair, reaches
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import message


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
        geared: The pair.
        look: When to stop and look.
        may_pass: Whether the band reaches the limit, so that only a measurement can say.
        taller_than_maker: Whether it is taller than the maker suggests to start with.
        new_spur: Whether it takes another spur than the step before.
    """

    rated: RatedPair
    look: Look
    may_pass: bool
    taller_than_maker: bool
    new_spur: bool


def look(forecaster: Forecaster, pair: Pair) -> Look:
    """When to stop and look: after two or three minutes of a run that is longer."""
    case = forecaster.case
    minutes = case.run.minutes
    early = 3.0 if minutes >= 4.5 else 2.0
    if minutes <= early:
        return Look(minutes, None)
    return Look(early, floor(forecaster.reading_at(float(pair.ratio), early)))


def next_steps(
    start: RatedPair, every: Sequence[RatedPair], parts: Parts, forecaster: Forecaster
) -> tuple[tuple[GearStep, ...], str]:
    """The steps up from the start, and why there is none after them, in words."""
    case = forecaster.case
    by_pair = {each.pair: each for each in every}
    steps: list[GearStep] = []
    now = start
    while True:
        found = _next(now, every, by_pair)
        if found is None:
            return tuple(steps), _no_more(now, parts)
        stop = _stop(found, case)
        if stop:
            return tuple(steps), stop
        lowest = case.starting[0] if case.starting is not None else None
        steps.append(
            GearStep(
                found,
                look(forecaster, found.pair),
                reaches(found.can_high_c, case.limit_c),
                lowest is not None and found.pair.ratio < lowest,
                found.pair.spur != now.pair.spur,
            )
        )
        now = found


def _next(now: RatedPair, every: Sequence[RatedPair], by_pair: dict[Pair, RatedPair]) -> RatedPair | None:
    """The same spur with one pinion tooth more; where that is not at hand, the pair nearest to that step."""
    one_more = now.pair.with_pinion(now.pair.pinion + 1)
    if one_more in by_pair:
        return by_pair[one_more]
    half = (now.pair.ratio + one_more.ratio) / 2
    taller = [each for each in every if each.pair.ratio <= half and each.is_legal] or [
        each for each in every if each.pair.ratio <= half
    ]

    def away(each: RatedPair) -> tuple[Fraction, int]:
        ratio = each.pair.ratio / one_more.ratio
        return max(ratio, 1 / ratio), abs(each.pair.spur - now.pair.spur)

    return min(taller, key=away, default=None)


def _stop(found: RatedPair, case: Case) -> str:
    """Why a pair is no step of the ladder; empty where it is one."""
    name = f"spur {found.pair.spur} with pinion {found.pair.pinion}"
    for each in found.standings:
        if each.verdict is not Verdict.LEGAL:
            return f"{name} is {_verdict_words(each.verdict)}{_because(each.check)}"
    if found.outlook is None:
        return f"with {name} the motor may not pull the car out of a corner"
    if not found.outlook.likely.can_c < case.limit_c:
        return f"{name} would be likely to pass the limit for the can"
    if found.mark is Mark.FAST:
        return f"with {name} the motor may turn too fast"
    return ""


def _verdict_words(verdict: Verdict) -> str:
    return "not shown to be legal" if verdict is Verdict.NOT_SHOWN else verdict.value


def _because(check: Check | None) -> str:
    return "" if check is None else f": {message(check)}"


def _no_more(now: RatedPair, parts: Parts) -> str:
    more = now.pair.with_pinion(now.pair.pinion + 1)
    if not parts.fits(more) and more.pinion in parts.pinions:
        return f"spur {more.spur} with pinion {more.pinion} has {more.tooth_sum} teeth together, more than the chassis is taken to allow"
    if parts.boxed:
        return f"the parts box has no taller pair; the next step would be a pinion with {more.pinion} teeth on spur {more.spur}"
    return "no taller pair was looked at"
