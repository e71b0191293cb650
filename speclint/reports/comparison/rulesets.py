"""Two rulesets held against each other, as text: the answer, what changed class by class, and whom it hits."""

from collections.abc import Iterator, Sequence
from typing import Final

from speclint.comparison.of_rulesets import RulesetComparison
from speclint.comparison.ruleset_changes import ClassChanges
from speclint.comparison.ruleset_entries import ChangedEntry, ChangedRule
from speclint.comparison.setups import RuleOutcome
from speclint.moments import day_text
from speclint.reports.comparison.layout import heading, section
from speclint.reports.layout import Column, Layout, Line, Span, Style
from speclint.rules.checks import Verdict


def ruleset_blocks(comparison: RulesetComparison, layout: Layout) -> Iterator[list[Line]]:
    """The parts of the sheet, one after another."""
    yield layout.wrapped(Span(comparison.answer, Style.DO), "", "  ")
    for changes in comparison.classes:
        yield section(class_heading(changes), changes.texts, layout)
    if comparison.entries is not None and comparison.entries.changed:
        yield _hit_table(comparison.entries.changed, layout)


def class_heading(changes: ClassChanges) -> str:
    """The title of a class with its id, which may be the same."""
    return changes.title if changes.title == changes.id else f"{changes.title} ({changes.id})"


HIT_HEADING: Final = "Whom it hits, worst first"
HIT_COLUMNS: Final = ("car", "entered in", "verdict", "what", "before", "now")
"""What is told of an entry; of its further rules the last three alone."""

_COLUMNS: Final = tuple(
    Column(heading, least, yields)
    for heading, least, yields in zip(HIT_COLUMNS, (10, 14, 9, 10, 9, 9), (2, 1, 3, 4, 5, 6), strict=True)
)


def hit_rows(entry: ChangedEntry) -> list[tuple[str, ...]]:
    """The rules that the car does not meet, or else all that come to something else, a row each."""
    after = "no such class" if entry.after is None else _plain(entry.after.value)
    before = _plain(entry.before.value)
    follows = ", if it follows" if entry.follows else ""
    head = (
        f"{entry.name} ({entry.file})",
        f"{entry.race}, {day_text(entry.on)}{follows}",
        before if before == after else f"{before} → {after}",
    )
    rules = [
        (
            f"{rule.title} ({rule.clause})" if rule.clause else rule.title,
            _outcome_text(rule.before),
            _outcome_text(rule.after),
        )
        for rule in _told(entry)
    ]
    first, *others = rules or [("", "", "")]
    return [(*head, *first), *(("", "", "", *cells) for cells in others)]


def hit_notes(entry: ChangedEntry) -> Iterator[str]:
    """What else there is to say of an entry: rules that have no row, and what later days bring."""
    left_out = len(entry.rules) - len(_told(entry))
    if left_out:
        yield f"{left_out} more {'rule comes' if left_out == 1 else 'rules come'} to something else"
    yield from (f"later: {warning}" for warning in entry.warnings)


def _hit_table(entries: Sequence[ChangedEntry], layout: Layout) -> list[Line]:
    """A row for each rule of each entry, and its notes below; where the columns do not fit, a few lines an entry."""
    lines = heading(HIT_HEADING, layout)
    rows_of_entries = [[tuple(map(Span, cells)) for cells in hit_rows(entry)] for entry in entries]
    rows = [row for of_entry in rows_of_entries for row in of_entry]
    widths = layout.widths(_COLUMNS, rows, len(_INDENT))
    if widths is None:
        return [*lines, *(line for entry in entries for line in layout.wrapped(_entry_text(entry), "  - ", _INDENT))]
    lines += layout.row([Span(name, Style.SOFT) for name in HIT_COLUMNS], widths, (Span(_INDENT),))
    for entry, of_entry in zip(entries, rows_of_entries, strict=True):
        for i, row in enumerate(of_entry):
            mark = Span(f"  {_MARKS.get(entry.after, ' ') if i == 0 else ' '} ", _STYLES.get(entry.after, Style.PLAIN))
            lines += layout.row(row, widths, (mark,))
        lines += (line for note in hit_notes(entry) for line in layout.wrapped(note, f"{_INDENT}  ", f"{_INDENT}    "))
    return lines


_INDENT: Final = "    "
_MARKS: Final[dict[Verdict | None, str]] = {Verdict.ILLEGAL: "x", Verdict.NOT_SHOWN: "?", None: "x"}
_STYLES: Final[dict[Verdict | None, Style]] = {
    Verdict.ILLEGAL: Style.FAIL,
    Verdict.NOT_SHOWN: Style.ASK,
    None: Style.FAIL,
}


def _entry_text(entry: ChangedEntry) -> str:
    """An entry that comes out otherwise, in words."""
    (car, race, verdict, *_), *_ = rows = hit_rows(entry)
    rules = (f"{what} {now} (before: {before})" for *_, what, before, now in rows if what)
    return "; ".join((f"{car}, {race}: {verdict}", *rules, *hit_notes(entry)))


def _told(entry: ChangedEntry) -> Sequence[ChangedRule]:
    failing = [rule for rule in entry.rules if rule.after is not None and rule.after.verdict in _FAILING]
    return failing or entry.rules


_FAILING: Final = (Verdict.ILLEGAL.value, Verdict.NOT_SHOWN.value)


def _outcome_text(outcome: RuleOutcome | None) -> str:
    """The margin, with the verdict where that does not go without saying."""
    if outcome is None:
        return "not asked"
    verdict = _plain(outcome.verdict)
    if not outcome.margin:
        return f"{outcome.has}, {verdict}" if outcome.has else verdict
    is_met = "to spare" in outcome.margin
    usual = Verdict.LEGAL if is_met else Verdict.ILLEGAL
    return outcome.margin if outcome.verdict == usual.value else f"{outcome.margin}, {verdict}"


def _plain(verdict: str) -> str:
    return verdict.replace("-", " ")
