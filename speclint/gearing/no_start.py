"""Where no pair makes a start: why, and what would help."""

from collections.abc import Callable, Sequence
from typing import Final

from speclint.gearing.case import GearingCase
from speclint.gearing.figures import degrees
from speclint.gearing.legality import Standing
from speclint.gearing.pairs import SMALLEST_GEAR, GearChoice, GearPair
from speclint.gearing.start import Mark, RatedPair, legal
from speclint.plain import capitalised
from speclint.rules.checks import Verdict
from speclint.rules.wording import message

_WIDEST_SEARCH: Final = 20


def no_start_reasons(
    case: GearingCase,
    choice: GearChoice,
    every: Sequence[RatedPair],
    standings: Callable[[GearPair], tuple[Standing, ...]],
) -> tuple[str, ...]:
    """Why no pair qualifies and what would help, a sentence each.

    Args:
        case: The case.
        choice: The gears that were looked at.
        every: All pairs, each with its mark.
        standings: What the rules say of a pair that is not among them.
    """
    if not every:
        return (
            "No spur and pinion at hand fit together within the sum of teeth"
            + (f" of {choice.sums[0]} to {choice.sums[1]}" if choice.sums is not None else "")
            + ": --tooth-sum LOW-HIGH takes what the chassis allows.",
        )
    fast, weak = (sum(rated.mark is mark for rated in every) for mark in (Mark.FAST, Mark.WEAK))
    sentences = [
        _all_illegal(every),
        *_heat(case, [rated for rated in every if rated.mark is Mark.HOT]),
        f"{_count(fast)} would let the motor turn faster than {case.limit_rpm:,.0f} rpm: a taller gearing, or the maker's own"
        " limit by --limit-rpm, helps."
        if fast
        else "",
        f"{_count(weak)} may be too tall to pull the car out of a corner." if weak else "",
        _gear_to_get(choice, every, standings),
    ]
    return tuple(sentence for sentence in sentences if sentence)


def _all_illegal(every: Sequence[RatedPair]) -> str:
    if any(rated.is_legal or rated.mark is Mark.NOT_SHOWN for rated in every):
        return ""
    nearest = max(every, key=lambda rated: min((standing.margin or 0 for standing in rated.standings), default=0))
    broken = next(standing for standing in nearest.standings if standing.verdict is not Verdict.LEGAL)
    why = f": {message(broken.check)}" if broken.check is not None else ""
    return f"No pair at hand is legal. {capitalised(nearest.pair.text)} comes nearest{why}."


def _heat(case: GearingCase, hot: Sequence[RatedPair]) -> list[str]:
    if not hot:
        return []
    coolest = min(hot, key=lambda rated: rated.likely_c)
    return [
        f"{_count(len(hot))} would likely take the can to {case.limit_c:.0f} °C or more within {case.minutes:g} minutes;"
        f" the coolest of them is {coolest.pair.text}, at about {degrees(coolest.likely_c)}.",
        "Less timing on the end bell, a fan on the motor, a shorter run or a cooler day help; two or three track runs on"
        " record (`speclint log … track`) say how hot this car really runs.",
    ]


def _gear_to_get(
    choice: GearChoice, every: Sequence[RatedPair], standings: Callable[[GearPair], tuple[Standing, ...]]
) -> str:
    """The nearest pinion that nobody has and that would be legal with a tooth to spare on a spur at hand."""
    if any(rated.is_legal and rated.spare for rated in every):
        return ""
    internal = every[0].pair.internal
    spur = choice.fitted[0] if choice.fitted is not None else choice.spurs[-1]
    smallest = min(rated.pair.pinion for rated in every)
    for teeth in range(smallest, max(SMALLEST_GEAR, smallest - _WIDEST_SEARCH) - 1, -1):
        pair = GearPair(spur, teeth, internal)
        if teeth not in choice.pinions and legal(standings(pair)) and legal(standings(pair.with_pinion(teeth + 1))):
            return f"A pinion with {teeth} teeth on the spur with {spur} would be legal with a tooth to spare."
    return ""


def _count(number: int) -> str:
    return "One legal pair" if number == 1 else f"{number} legal pairs"
