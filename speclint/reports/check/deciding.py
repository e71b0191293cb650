"""What decides an entry, in a line: its worst rule, the closest call, or the limit that lies nearest."""

from fractions import Fraction
from typing import Final

from speclint.findings import EntryResult
from speclint.moments import day_text
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import asked, has, margin, message, title

_FAILING: Final = (Verdict.ILLEGAL, Verdict.NOT_SHOWN)


def deciding_text(result: EntryResult) -> str:
    """What decides the entry's verdict; "" where no limit of size comes near."""
    for verdict in _FAILING:
        failing = [check for check in result.checks if check.verdict is verdict]
        if failing:
            more = f" (+{len(failing) - 1} more)" if len(failing) > 1 else ""
            return f"{_why(failing[0])}{more}"
    close = [check for check in result.checks if check.close_call]
    if close:
        return f"{_why(close[0])}: a close call"
    for check in result.checks:
        for later in check.later:
            if later.verdict is Verdict.ILLEGAL:
                return f"from {day_text(later.on)} {title(check)} {asked(later.rule)}"
    sized = [check for check in result.checks if check.verdict is Verdict.LEGAL and margin(check)]
    nearest = min(sized, key=_nearness, default=None)
    return "" if nearest is None else f"nearest: {title(nearest)}, {margin(nearest)}"


def _why(check: Check) -> str:
    clause = f" ({check.rule.cite})" if check.rule.cite else ""
    if check.verdict is Verdict.NOT_SHOWN or not margin(check):
        return f"{message(check)}{clause}"
    return f"{title(check)} {has(check)}, {asked(check.rule)}: {margin(check)}{clause}"


def _nearness(check: Check) -> Fraction:
    """The margin as a share of the limit."""
    outcome = check.outcome
    if outcome is None:
        return Fraction(1)
    return abs(outcome.margin / outcome.limit) if outcome.limit else abs(outcome.margin)
