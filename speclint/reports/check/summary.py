"""The end of the sheet: what to mend, car by car, how many of everything, and who has the last word."""

from collections.abc import Iterator
from typing import Final

from speclint.findings import EntryResult, Findings
from speclint.moments import day_text
from speclint.reports import LAST_WORD
from speclint.reports.text_layout import TextLayout
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import asked, margin, title

_WORST_FIRST: Final = (Verdict.ILLEGAL, Verdict.NOT_SHOWN)


def summary(findings: Findings, layout: TextLayout) -> list[str]:
    """What was found, in short: the worst first, the counts last, as they are read first on a terminal."""
    return [
        *(line for said in _each(findings) for line in layout.wrapped(said, "", "  ")),
        *layout.wrapped(_counts(findings)),
        *layout.wrapped(LAST_WORD),
    ]


def counted(count: int, one: str, many: str = "") -> str:
    """A number with its noun: `1 problem`, `2 problems`."""
    return f"{count} {one if count == 1 else many or f'{one}s'}"


def _each(findings: Findings) -> Iterator[str]:
    for verdict in _WORST_FIRST:
        for entry in findings.entries:
            if entry.verdict is verdict:
                failing = (check for check in entry.checks if check.verdict is verdict)
                yield f"{verdict.value}: {_head(entry)}: {'; '.join(_brief(check) for check in failing)}"
    for entry in findings.entries:
        changes = [said for check in entry.checks for said in _later(check)] if entry.verdict is Verdict.LEGAL else []
        if changes:
            yield f"legal, for now: {_head(entry)}: {'; '.join(changes)}"
    for one in findings.not_judged:
        yield f"not judged: {one.file}: {one.reason}"
    for one in findings.not_entered:
        yield f"{one.file}: {one.reason}"


def _head(entry: EntryResult) -> str:
    name = f"{entry.name[:79]}…" if len(entry.name) > 80 else entry.name
    return f"{name}, {entry.flat.ruleset.id}/{entry.flat.id}, {day_text(entry.on)}"


def _brief(check: Check) -> str:
    """A failing check and the first thing that mends it."""
    if check.verdict is Verdict.NOT_SHOWN:
        if check.missing and not check.reason:
            return f"{title(check)} (add {' and '.join(check.missing)})"
        if check.outcome is not None:
            return f"{title(check)} (too near the limit for this reading)"
        return f"{title(check)} (measure it again)" if check.fact is not None and check.fact.record else title(check)
    said = f"{title(check)} {margin(check)}".rstrip() if margin(check) else _with_reason(check)
    return f"{said} (mend: {_first_clause(check.remedies[0].message)})" if check.remedies else said


def _with_reason(check: Check) -> str:
    return f"{title(check)} ({check.reason})" if check.reason else title(check)


def _first_clause(remedy: str) -> str:
    """The change itself, without what comes of it."""
    return remedy.partition(": ")[0]


def _later(check: Check) -> Iterator[str]:
    for later in check.later:
        if later.verdict is Verdict.ILLEGAL:
            yield f"illegal from {day_text(later.on)}, when {title(check)} must be {asked(later.rule)}"


def _counts(findings: Findings) -> str:
    counts = findings.counts
    entries = counted(counts.entries, "entry", "entries")
    by_word = ((counts.legal, "legal"), (counts.illegal, "illegal"), (counts.not_shown, "not-shown"))
    verdicts = [f"{count} {word}" for count, word in by_word if count]
    more = (
        (counts.to_inspect, counted(counts.to_inspect, "thing") + " to inspect"),
        (counts.close_calls, counted(counts.close_calls, "close call")),
        (len(findings.problems), counted(len(findings.problems), "problem")),
        (len(findings.not_judged), f"{len(findings.not_judged)} not judged"),
        (len(findings.not_entered), f"{counted(len(findings.not_entered), 'setup')} without an entry"),
    )
    parts = [", ".join(verdicts), ", ".join(said for count, said in more if count)]
    said = "; ".join(part for part in parts if part)
    return f"{entries}: {said}" if said else entries
