"""Two rulesets held against each other, as text: the answer, what changed class by class, and whom it hits."""

from collections.abc import Iterator, Sequence
from typing import Final

from speclint.comparison.of_rulesets import RulesetComparison
from speclint.comparison.ruleset_changes import ClassChanges
from speclint.comparison.ruleset_entries import ChangedEntry, ChangedRule
from speclint.comparison.setups import RuleOutcome
from speclint.moments import day_text
from speclint.plain import counted
from speclint.reports.comparison.layout import heading, section
from speclint.reports.layout import Column, Layout, Line, Span, Style
from speclint.rules.checks import FAILING, Verdict


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
"""What is told of an entry in a table; of its further rules the last three alone."""

_RULE_COLUMNS: Final = (Column("what", 12, 1), Column("before", 9, 3), Column("now", 9, 2))


def hit_rows(entry: ChangedEntry) -> list[tuple[str, ...]]:
    """The rules that the car does not meet, or else all that come to something else, a row each."""
    after = "no such class" if entry.after is None else entry.after.words
    before = entry.before.words
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
        yield f"{counted(left_out, 'more rule comes', 'more rules come')} to something else"
    yield from (f"later: {warning}" for warning in entry.warnings)


def _hit_table(entries: Sequence[ChangedEntry], layout: Layout) -> list[Line]:
    """A line for each entry, a row for each of its rules below, and its notes."""
    lines = heading(HIT_HEADING, layout)
    rows_of_entries = [hit_rows(entry) for entry in entries]
    rules_of_entries = [[tuple(map(Span, row[3:])) for row in rows if row[3]] for rows in rows_of_entries]
    rules = [rule for of_entry in rules_of_entries for rule in of_entry]
    widths = layout.widths(_RULE_COLUMNS, rules, len(_RULE_INDENT))
    if rules and widths is not None:
        lines += layout.headings(_RULE_COLUMNS, widths, len(_RULE_INDENT))
    for entry, rows, of_entry in zip(entries, rows_of_entries, rules_of_entries, strict=True):
        car, race, verdict = rows[0][:3]
        style = _STYLES.get(entry.after, Style.PLAIN)
        text = (Span(f"{car}, {race}:"), Span(verdict, style))
        lines += layout.wrapped(text, f"  {_MARKS.get(entry.after, ' ')} ", _INDENT, style)
        for rule in of_entry:
            if widths is None:
                title, before, now = (span.text for span in rule)
                lines += layout.wrapped(f"{title}: {now} (before: {before})", _RULE_INDENT, f"{_RULE_INDENT}  ")
            else:
                lines += layout.row(rule, widths, (Span(_RULE_INDENT),))
        lines += (line for note in hit_notes(entry) for line in layout.wrapped(note, _RULE_INDENT, f"{_RULE_INDENT}  "))
    return lines


_INDENT: Final = "    "
_RULE_INDENT: Final = "      "
_MARKS: Final[dict[Verdict | None, str]] = {Verdict.ILLEGAL: "x", Verdict.NOT_SHOWN: "?", None: "x"}
_STYLES: Final[dict[Verdict | None, Style]] = {
    Verdict.ILLEGAL: Style.FAIL,
    Verdict.NOT_SHOWN: Style.ASK,
    None: Style.FAIL,
}


def _told(entry: ChangedEntry) -> Sequence[ChangedRule]:
    failing = [rule for rule in entry.rules if rule.after is not None and rule.after.verdict in FAILING]
    return failing or entry.rules


def _outcome_text(outcome: RuleOutcome | None) -> str:
    """The margin, with the verdict where that does not go without saying."""
    if outcome is None:
        return "not asked"
    verdict = outcome.verdict.words
    if not outcome.margin:
        return f"{outcome.has}, {verdict}" if outcome.has else verdict
    is_met = "to spare" in outcome.margin
    usual = Verdict.LEGAL if is_met else Verdict.ILLEGAL
    return outcome.margin if outcome.verdict is usual else f"{outcome.margin}, {verdict}"
