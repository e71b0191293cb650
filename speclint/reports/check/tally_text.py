"""The end of the text: problems, what was not judged, how many of everything, and who has the last word."""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from speclint.findings import Tally
from speclint.moments import day_text
from speclint.plain import counted, first_few
from speclint.reports import LAST_WORD
from speclint.reports.check.remarks import problem_remarks
from speclint.reports.layout import Layout, Line, Span, Style


def problem_parts(tally: Tally, layout: Layout) -> Iterator[list[Line]]:
    """What is wrong with files, then the setups without a verdict; of either only where there is some."""
    return (part for part in ([*_problem_lines(tally, layout)], [*_unjudged_lines(tally, layout)]) if part)


def _problem_lines(tally: Tally, layout: Layout) -> Iterator[Line]:
    if tally.problems:
        yield from layout.wrapped(Span("Problems with files", Style.FAIL))
    for remark in problem_remarks(tally):
        yield from layout.wrapped(f"{remark.place}: {remark.text}", "  ", "    ")


def _unjudged_lines(tally: Tally, layout: Layout) -> Iterator[Line]:
    problem_messages = {problem.message for problem in tally.problems}
    files: dict[str, list[str]] = {}
    for setup in tally.not_judged:
        files.setdefault("see above" if setup.reason in problem_messages else setup.reason, []).append(setup.file)
    for reason, names in files.items():
        yield from layout.wrapped(
            f"not judged: {first_few(tuple(dict.fromkeys(names)), _MOST_NAMES)}: {reason}", "", "  "
        )
    for setup in tally.not_entered:
        yield from layout.wrapped(f"{setup.file}: {setup.reason}", "", "  ")
    for inspection in tally.set_aside:
        yield from layout.wrapped(f"not judged: {inspection.file}: {inspection.reason}", "", "  ")


_MOST_NAMES: Final = 10
"""Files that are named for one reason; the problems above name all."""


def tally_lines(tally: Tally, layout: Layout, *, until: Sequence[date], hidden: str) -> Iterator[Line]:
    """How many of everything; `until` are the days up to which legal entries stay so, `hidden` what is not told here."""
    counts = tally.counts
    verdicts = ((counts.legal, "legal"), (counts.illegal, "illegal"), (counts.not_shown, "not shown"))
    parts = ", ".join(f"{count} {word}" for count, word in verdicts if count)
    marked = [
        counted(counts.close_calls, "close call") if counts.close_calls else "",
        *(_until(until)),
        f"{counted(counts.to_inspect, 'thing')} to inspect" if counts.to_inspect else "",
        counted(len(tally.problems), "problem") if tally.problems else "",
        f"{len(tally.not_judged)} not judged" if tally.not_judged else "",
        f"{counted(len(tally.not_entered), 'setup')} without an entry" if tally.not_entered else "",
        f"{counted(tally.past, 'earlier entry', 'earlier entries')} not judged" if tally.past else "",
    ]
    more = ", ".join(part for part in marked if part)
    counts_text = "; ".join(part for part in (parts, more) if part)
    entries = counted(counts.entries, "entry", "entries")
    for holding in tally.holdings:
        yield from layout.wrapped(Span(f"{holding.name}: {holding.text}", Style.HEAD), "", "  ")
    if not tally.holdings or counts_text:
        yield from layout.wrapped(Span(f"{entries}: {counts_text}" if counts_text else entries, Style.HEAD), "", "  ")
    if hidden:
        yield from layout.wrapped(Span(hidden, Style.SOFT), "", "  ")
    yield from layout.wrapped(LAST_WORD)


def _until(days: Sequence[date]) -> Iterator[str]:
    if days:
        which = (
            f"until {day_text(min(days))}" if len(set(days)) == 1 else f"for now, the first until {day_text(min(days))}"
        )
        yield f"{len(days)} legal {which}"
