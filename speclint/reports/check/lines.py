"""The `lines` report: one line for each thing to mend, `file:line:column: message`, never wrapped, never coloured.

The form is that of the GNU Coding Standards, section 4.4 (Formatting Error Messages).
"""

from collections.abc import Iterable
from typing import Final

from speclint.findings import EntryResult, Tally
from speclint.plain import clipped, in_ascii, one_line
from speclint.reports import Order, Paper
from speclint.rules.checks import Check, Verdict

_LONGEST: Final = 4000
"""Signs of one line that are shown; a value that makes it longer is somebody's mistake."""


class Lines:
    """Writes what is illegal, not shown or a close call as it comes, then problems and advice; nothing where all is well."""

    def __init__(self, paper: Paper) -> None:
        self._ascii_only = paper.ascii_only

    def entry(self, result: EntryResult) -> str:
        """A line for each thing to mend."""
        rules = f"{result.flat.ruleset.id}/{result.flat.id}, {result.on}"
        alone = [f"{result.place}: {result.verdict.value}: {result.reason} ({rules})"] if result.reason else []
        differ = (line for check in result.checks for line in _differing(result, check))
        return self._text((*alone, *(line for check in result.checks for line in _lines(result, check)), *differ))

    def end(self, tally: Tally) -> str:
        """A line for each problem and each piece of advice."""
        problems = (f"{problem.place}: problem: {problem.message}" for problem in tally.problems)
        advice = (f"{advice.place}: advice: {advice.message}" for advice in tally.advice)
        return self._text((*problems, *advice))

    def _text(self, lines: Iterable[str]) -> str:
        text = "".join(f"{one_line(clipped(line, _LONGEST))}\n" for line in lines)
        return in_ascii(text) if self._ascii_only else text


def begin(order: Order) -> Lines:
    """The report."""
    return Lines(order.paper)


def _lines(entry: EntryResult, check: Check) -> list[str]:
    if check.verdict in (Verdict.ILLEGAL, Verdict.NOT_SHOWN):
        word = check.verdict.value
    elif check.close_call:
        word = "close call"
    else:
        return []
    from speclint.rules.wording import message  # a run with nothing to mend never needs it

    clause = f", {check.rule.cite}" if check.rule.cite else ""
    rule = f"{entry.flat.ruleset.id}/{entry.flat.id}/{check.rule.id}{clause}, {entry.on}"
    remedies = "".join(f"; or {remedy.message}" for remedy in check.remedies).replace("; or", "; to mend it:", 1)
    return [f"{check.place}: {word}: {message(check)} ({rule}){remedies}"]


def _differing(entry: EntryResult, check: Check) -> list[str]:
    """A line where officials read something else than the setup declares."""
    reading = None if entry.inspected is None else entry.inspected.by_rule.get(check.rule.id)
    if reading is None or not reading.disagrees or reading.declared is None:
        return []
    from speclint.rules.wording import has, title

    by = f": {reading.difference}" if reading.difference else ""
    rule = f"{entry.flat.ruleset.id}/{entry.flat.id}/{check.rule.id}, {entry.on}"
    return [f"{check.place}: differs: {title(check)} is {has(check)}, declared {has(reading.declared)}{by} ({rule})"]
