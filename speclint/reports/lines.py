"""The `lines` report: one line for each thing to mend, `file:line:column: message`, never wrapped, never coloured.

The form is that of the GNU Coding Standards, section 4.4 (Formatting Error Messages).
"""

from typing import Final

from speclint.findings import EntryResult, Findings
from speclint.plain import clipped, in_ascii, one_line
from speclint.reports import Paper
from speclint.rules.checks import Check, Verdict

_LONGEST: Final = 4000
"""Signs of one line that are shown; a value that makes it longer is somebody's mistake."""


def render(findings: Findings, paper: Paper) -> str:
    """Problems, then what is illegal, not shown or a close call, then advice; nothing where all is well."""
    lines = [f"{problem.place}: problem: {problem.message}" for problem in findings.problems]
    for entry in findings.entries:
        lines.extend(line for check in entry.checks for line in _lines(entry, check))
    lines.extend(f"{advice.place}: advice: {advice.message}" for advice in findings.advice)
    text = "".join(f"{one_line(clipped(line, _LONGEST))}\n" for line in lines)
    return in_ascii(text) if paper.ascii_only else text


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
