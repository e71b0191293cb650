"""Where no pair makes a safe start: why, and what would help."""

from collections.abc import Callable, Sequence

from speclint.gearing.case import Case
from speclint.gearing.figures import degrees
from speclint.gearing.legality import Standing
from speclint.gearing.pairs import SMALLEST_GEAR, Pair, Parts
from speclint.gearing.start import Mark, RatedPair, legal
from speclint.rules.checks import Verdict
from speclint.rules.wording import message

_WIDEST_SEARCH = 20


def no_start_reasons(
    case: Case, parts: Parts, every: Sequence[RatedPair], judged: Callable[[Pair], tuple[Standing, ...]]
) -> tuple[str, ...]:
    """Why no pair qualifies and what would help, a sentence each.

    Args:
        case: The case.
        parts: The gears that were looked at.
        every: All pairs, each with its mark.
        judged: What the rules say of a pair that is not among them.
    """
    if not every:
        return (
            "No spur and pinion at hand fit together within the sum of teeth"
            + (f" of {parts.sums[0]} to {parts.sums[1]}" if parts.sums is not None else "")
            + ": --tooth-sum LOW-HIGH takes what the chassis allows.",
        )
    by_mark = {mark: [each for each in every if each.mark is mark] for mark in Mark}
    said: list[str] = []
    if by_mark[Mark.NOT_SHOWN] and not any(each.is_legal for each in every):
        check = next(one.check for one in by_mark[Mark.NOT_SHOWN][0].standings if one.verdict is Verdict.NOT_SHOWN)
        said.append(
            f"No pair can be shown to be legal: {message(check) if check is not None else 'see speclint check'}."
        )
    elif not any(each.is_legal for each in every):
        said.append(_all_illegal(every))
    elif not any(each.is_legal and each.spare for each in every):
        shown = ", ".join(f"{each.pair.spur}/{each.pair.pinion}" for each in by_mark[Mark.EDGE][:4]) or "some pairs"
        said.append(f"No legal pair has a tooth to spare ({shown}: one pinion tooth more would be illegal).")
    said.extend(_heat(case, by_mark))
    if by_mark[Mark.FAST]:
        said.append(
            f"{_count(len(by_mark[Mark.FAST]))} would let the motor turn faster than {case.limit_rpm:,.0f} rpm: a taller"
            " gearing, or the maker's own limit by --limit-rpm, helps."
        )
    if by_mark[Mark.WEAK]:
        said.append(f"{_count(len(by_mark[Mark.WEAK]))} may be too tall to pull the car out of a corner.")
    if case.starting is not None and by_mark[Mark.SAFE]:
        said.append(
            f"Safe pairs there are, but all are taller than {float(case.starting[0]):g}, where the maker's range to start"
            " with begins."
        )
    help_ = _gear_to_get(parts, every, judged)
    return (*said, *([help_] if help_ else []))


def _all_illegal(every: Sequence[RatedPair]) -> str:
    nearest = max(every, key=lambda each: min((one.margin or 0 for one in each.standings), default=0))
    one = next(one for one in nearest.standings if one.verdict is not Verdict.LEGAL)
    why = f": {message(one.check)}" if one.check is not None else ""
    return f"No pair at hand is legal. Spur {nearest.pair.spur} with pinion {nearest.pair.pinion} comes nearest{why}."


def _heat(case: Case, by_mark: dict[Mark, list[RatedPair]]) -> list[str]:
    hot = by_mark[Mark.HOT]
    if not hot:
        return []
    coolest = min(hot, key=lambda each: each.can_high_c)
    pair = coolest.pair
    return [
        f"{_count(len(hot))} may take the can to {case.limit_c:.0f} °C or more within {case.run.minutes:g} minutes; the"
        f" coolest of them is spur {pair.spur} with pinion {pair.pinion}, at up to {degrees(coolest.can_high_c)}.",
        "A shorter run, cooler air, less timing on the end bell or more air on the motor help; a bench run and two or"
        " three measured track runs of different gearing make the band narrower.",
    ]


def _gear_to_get(parts: Parts, every: Sequence[RatedPair], judged: Callable[[Pair], tuple[Standing, ...]]) -> str:
    """The nearest pinion that nobody has and that would be legal with a tooth to spare on a spur at hand."""
    if any(each.is_legal and each.spare for each in every):
        return ""
    internal = every[0].pair.internal
    spur = parts.fitted[0] if parts.fitted is not None else parts.spurs[-1]
    smallest = min(each.pair.pinion for each in every)
    for teeth in range(smallest, max(SMALLEST_GEAR, smallest - _WIDEST_SEARCH) - 1, -1):
        pair = Pair(spur, teeth, internal)
        if teeth not in parts.pinions and legal(judged(pair)) and legal(judged(pair.with_pinion(teeth + 1))):
            return f"A pinion with {teeth} teeth on the spur with {spur} would be legal with a tooth to spare."
    return ""


def _count(number: int) -> str:
    return "One legal pair" if number == 1 else f"{number} legal pairs"
