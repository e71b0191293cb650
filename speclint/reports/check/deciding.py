"""What decides an entry, in a line: its worst rule, the closest call, what comes, or the limit that lies nearest."""

import re
from collections.abc import Iterable, Sequence
from datetime import date
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.findings import EntryResult
from speclint.moments import day_text
from speclint.reports.check.inspected_text import differing, is_without_setup
from speclint.rules.checks import FAILING, Check, LaterRule, Verdict
from speclint.rules.wording import asked, asks, has, later_text, margin, title

ILLEGAL, NOT_SHOWN, CLOSE, LATER, INSPECT = MARKS = "x?~›i"
"""The signs in the margin: illegal, not shown, a close call, another verdict later, to inspect."""

A_CLOSE_CALL: Final = ", a close call"

_PLAIN: Final = " "

_UNCERTAINTY: Final = re.compile(r" ± [\d.,]+")
_TOLERANCE: Final = re.compile(r" \([^()]*±[^()]*\)")
"""What a row can do without where nothing hangs on it: how sure a reading is, and how a window was written."""

_ANSWERS: Final = ("yes", "no")
"""What a rule asks that says nothing behind the same words about the car."""


class Deciding(NamedTuple):
    """What decides: a sign for the margin, the rule in words, and its clause."""

    mark: str
    text: str
    clause: str = ""


def deciding(result: EntryResult, among: Iterable[Check] | None = None) -> Deciding:
    """What decides the entry's verdict, or what the rules among its checks that are asked about say."""
    decides = _deciding(result, among)
    differ = ", ".join(differing(result))
    if not differ:
        return decides
    return decides._replace(text=f"{f'{decides.text}; ' if decides.text else ''}declared otherwise: {differ}")


def _deciding(result: EntryResult, among: Iterable[Check] | None) -> Deciding:
    if result.reason and among is None:
        return Deciding(NOT_SHOWN, result.reason)
    checks = result.checks if among is None else tuple(among)
    decides = _worst(result, checks) or _first_close_call(checks)
    if decides is None and among is not None and checks:
        return Deciding(mark_of(checks[0]), in_short(checks[0]), checks[0].rule.cite)
    return decides or _first_to_come(result, checks) or _nearest_limit(checks)


def _worst(result: EntryResult, checks: Sequence[Check]) -> Deciding | None:
    """The first rule of the worst verdict, and how many more have it; None where none fails."""
    for verdict in FAILING:
        failing = [check for check in checks if check.verdict is verdict]
        if failing and is_without_setup(result) and all(check.missing for check in failing):
            return Deciding(NOT_SHOWN, f"{len(failing)} rules not read" if len(failing) > 1 else in_short(failing[0]))
        if failing:
            more = f" (+{len(failing) - 1} more)" if len(failing) > 1 else ""
            return Deciding(mark_of(failing[0]), f"{in_short(failing[0])}{more}", failing[0].rule.cite)
    return None


def _first_close_call(checks: Sequence[Check]) -> Deciding | None:
    close = next((check for check in checks if check.close_call), None)
    return None if close is None else Deciding(CLOSE, f"{in_short(close)}{A_CLOSE_CALL}", close.rule.cite)


def _first_to_come(result: EntryResult, checks: Sequence[Check]) -> Deciding | None:
    """The earliest rule that will take the verdict of the car as it is."""
    coming = [(later, check) for check in checks for later in check.later if turns_out_worse(later)]
    if not coming:
        return None
    later, check = min(coming, key=lambda pair: pair[0].on)
    text = f"from {_near_day(later.on, result.on)} {title(check)} {asked(later.rule)}"
    return Deciding(LATER, text, later.rule.cite)


def _nearest_limit(checks: Sequence[Check]) -> Deciding:
    """The limit of size with the least margin; nothing where no rule has one."""
    sized = [check for check in checks if check.verdict is Verdict.LEGAL and margin(check)]
    if not sized:
        return Deciding(_PLAIN, "")
    nearest = min(sized, key=_nearness)
    return Deciding(_PLAIN, f"nearest: {title(nearest)}, {margin(nearest)}", nearest.rule.cite)


def _near_day(day: date, race_day: date) -> str:
    """A day beside that of the race, whose year goes without saying."""
    return day_text(day).removesuffix(f" {race_day.year}")


def deciding_text(result: EntryResult) -> str:
    """What decides the entry's verdict, with the clause behind it; "" where no limit of size comes near."""
    _, text, clause = deciding(result)
    return f"{text} ({clause})" if text and clause else text


def rank_of(verdict: Verdict) -> int:
    """Where a verdict stands among others, the worst first."""
    return FAILING.index(verdict) if verdict in FAILING else len(FAILING)


def mark_of(check: Check) -> str:
    """The sign in the margin of a rule, a space where all is plain."""
    match check.verdict:
        case Verdict.ILLEGAL:
            return ILLEGAL
        case Verdict.NOT_SHOWN:
            return NOT_SHOWN
        case Verdict.TO_INSPECT:
            return INSPECT
    if check.close_call:
        return CLOSE
    return LATER if any(turns_out_worse(later) for later in check.later) else _PLAIN


def turns_out_worse(later: LaterRule) -> bool:
    """Whether a later rule takes the verdict of the car as it is."""
    return later.verdict in FAILING and not later.ends


def in_short(check: Check) -> str:
    """A check without its clause: `mass 1344 g, at least 1350 g: 6 g short`, `mass: not stated`."""
    if check.verdict is Verdict.NOT_SHOWN and (check.outcome is None or not has(check)):
        return f"{title(check)}: {why_not_shown(check)}"
    if check.verdict is Verdict.TO_INSPECT:
        return f"{title(check)}: {check.reason or 'to inspect'}"
    if not has(check):
        return f"{title(check)}: {check.reason or check.verdict.value}"
    ask = "" if check.reason and not margin(check) else _TOLERANCE.sub("", asks(check))
    tail = margin(check) or check.reason
    value = has(check) if check.close_call else _UNCERTAINTY.sub("", has(check))
    asked_text = f", the rule asks {ask}" if ask in _ANSWERS else f", {ask}" if ask else ""
    return f"{title(check)} {value}{asked_text}{f': {tail}' if tail else ''}"


def why_not_shown(check: Check) -> str:
    """Why a value does not count, in a few words where none is stated at all."""
    if check.missing and not check.reason:
        return "not stated"
    return check.reason or "what the setup states cannot decide it"


def later_in_short(check: Check) -> tuple[str, ...]:
    """What later rules ask instead, a sentence each."""
    return tuple(later_text(later) for later in check.later)


def _nearness(check: Check) -> Fraction:
    """The margin as a share of the limit."""
    outcome = check.outcome
    if outcome is None:
        return Fraction(1)
    return abs(outcome.margin / outcome.limit) if outcome.limit else abs(outcome.margin)
