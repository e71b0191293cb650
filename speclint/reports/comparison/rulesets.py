"""Two rulesets held against each other, as text: the answer, what changed class by class, and whom it hits."""

from collections.abc import Iterator
from typing import Final

from speclint.comparison.of_rulesets import RulesetComparison
from speclint.comparison.ruleset_entries import ChangedEntry, ChangedRule
from speclint.comparison.setups import RuleOutcome
from speclint.moments import day_text
from speclint.reports.comparison.layout import section
from speclint.reports.layout import Layout, Line, Span, Style
from speclint.rules.checks import Verdict


def ruleset_blocks(comparison: RulesetComparison, layout: Layout) -> Iterator[list[Line]]:
    """The parts of the sheet, one after another."""
    yield layout.wrapped(Span(comparison.answer, Style.DO), "", "  ")
    for changes in comparison.classes:
        yield section(f"{changes.title} ({changes.id})", changes.texts, layout)
    if comparison.entries is not None and comparison.entries.changed:
        yield section("Whom it hits, worst first", [entry_text(entry) for entry in comparison.entries.changed], layout)


def entry_text(entry: ChangedEntry) -> str:
    """An entry that comes out otherwise, in words."""
    after = "no such class" if entry.after is None else _plain(entry.after.value)
    before = _plain(entry.before.value)
    verdict = before if before == after else f"{before} → {after}"
    follows = ", if it follows" if entry.follows else ""
    parts = [
        f"{entry.name} ({entry.file}), {entry.race}{follows}, {day_text(entry.on)}: {verdict}",
        *_rule_texts(entry),
        *(f"later: {warning}" for warning in entry.warnings),
    ]
    return "; ".join(parts)


def _rule_texts(entry: ChangedEntry) -> Iterator[str]:
    """The rules that the car does not meet, or else all; the rest of them counted."""
    failing = [rule for rule in entry.rules if rule.after is not None and rule.after.verdict in _FAILING]
    told = failing or entry.rules
    yield from map(_rule_text, told)
    left_out = len(entry.rules) - len(told)
    if left_out:
        yield f"{left_out} more {'rule comes' if left_out == 1 else 'rules come'} to something else"


_FAILING: Final = (Verdict.ILLEGAL.value, Verdict.NOT_SHOWN.value)


def _rule_text(rule: ChangedRule) -> str:
    clause = f", clause {rule.clause}" if rule.clause else ""
    was, now = (_outcome_text(outcome) for outcome in (rule.before, rule.after))
    return f"{rule.title} {now}{clause} (before: {was})"


def _outcome_text(outcome: RuleOutcome | None) -> str:
    if outcome is None:
        return "not asked"
    verdict = _plain(outcome.verdict)
    return f"{outcome.margin}, {verdict}" if outcome.margin else f"{outcome.has}, {verdict}" if outcome.has else verdict


def _plain(verdict: str) -> str:
    return verdict.replace("-", " ")
