"""The fields of `comparison/1` for rulesets that are held against each other."""

from typing import Final

from speclint.comparison.of_rulesets import RulesetComparison
from speclint.comparison.ruleset_changes import ChangeKind, ClassChanges, RulesetChange, Step
from speclint.comparison.ruleset_entries import ChangedEntries, ChangedEntry, ChangedRule
from speclint.reports.comparison.setup_fields import RULE_OUTCOME
from speclint.reports.fields import Record, field, part, record, rows
from speclint.rules.checks import Verdict

_CHANGE: Final[Record[RulesetChange]] = record(
    "ruleset_change", "What became of a rule.",
    field("kind", ChangeKind, "What became of it.", "tightened", lambda change: change.kind),
    field("step", Step, "The step that it asks of the version: major where a legal car can become illegal.", "major",
          lambda change: change.step),
    field("rule", "text", "Its id; of an amendment that of the rule that is amended.", "final-drive",
          lambda change: change.rule),
    field("title", "text", "What it is on.", "final drive ratio", lambda change: change.title),
    field("cite", "string", "The clause.", "4.3", lambda change: change.clause),
    field("from", "day", "First day on which it is so; null where the new text is in force from then on.", "2026-06-01",
          lambda change: change.days.start, null=True),
    field("until", "day", "Last day on which it is so; null where that is the last day of the new text.", "2026-08-31",
          lambda change: change.days.end, null=True),
    field("before", "texts", "What was asked, a sentence for each rule.",
          ["The final drive ratio is at least 4.2, clause 4.3."], lambda change: change.before),
    field("after", "texts", "What is asked, a sentence for each rule.",
          ["The final drive ratio is at least 4.4, clause 4.3."], lambda change: change.after),
    field("details", "texts", "What differs that no sentence says.", ["List motors, new: M-17D."],
          lambda change: change.details),
)  # fmt: skip

_CLASS: Final[Record[ClassChanges]] = record(
    "class_changes", "What became of a class.",
    field("class", "text", "Its id.", "stock-17", lambda changes: changes.id),
    field("title", "text", "Its title.", "17.5 touring, stock", lambda changes: changes.title),
    field("kind", "text", "Whether the class itself came or went.", "added",
          lambda changes: None if changes.kind is None else changes.kind.value, enum=["added", "withdrawn"], null=True),
    rows("changes", _CHANGE, "What became of its rules.", lambda changes: changes.changes),
)  # fmt: skip

_CHANGED_RULE: Final[Record[ChangedRule]] = record(
    "changed_rule",
    "A rule that comes to something else for an entry.",
    field("title", "text", "What it is on.", "final drive ratio", lambda rule: rule.title),
    field("cite", "string", "The clause.", "4.3", lambda rule: rule.clause),
    part("before", RULE_OUTCOME, "What it came to by the old text.", lambda rule: rule.before, null=True),
    part("after", RULE_OUTCOME, "What it comes to by the new text.", lambda rule: rule.after, null=True),
)

_ENTRY: Final[Record[ChangedEntry]] = record(
    "changed_entry", "An entry that comes out otherwise by the new text.",
    field("file", "text", "The setup's file.", "cars/car-12.yaml", lambda entry: entry.file),
    field("name", "text", "What its owner calls it.", "Car 12", lambda entry: entry.name),
    field("class", "text", "Ruleset and class.", "harbour-city/stock-17", lambda entry: entry.race),
    field("on", "day", "The day.", "2026-06-14", lambda entry: entry.on),
    field("before", Verdict, "The verdict by the old text.", "legal", lambda entry: entry.before),
    field("after", Verdict, "The verdict by the new text; null where it has no such class.", "illegal",
          lambda entry: entry.after, null=True),
    rows("rules", _CHANGED_RULE, "The rules that come to something else.", lambda entry: entry.rules),
    field("warnings", "texts", "What the new text says of later days that the old one did not.",
          ["final drive ratio: from 1 June 2026 this rule asks at least 4.40: the car with 4.242 will be illegal"],
          lambda entry: entry.warnings),
    field("follows", "boolean",
          "Whether its own ruleset only builds on the one that changes, and is taken to follow it.", False,
          lambda entry: entry.follows),
)  # fmt: skip

_ENTRIES: Final[Record[ChangedEntries]] = record(
    "changed_entries",
    "Whom a change of a ruleset hits.",
    field(
        "judged", "integer", "How many entries were judged by both texts.", 9, lambda entries: entries.judged, minimum=0
    ),
    rows("changed", _ENTRY, "Those that come out otherwise, the worst first.", lambda entries: entries.changed),
)

RULESETS: Final[Record[RulesetComparison]] = record(
    "compared_rulesets", "Two rulesets held against each other.",
    field("answer", "text", "What it comes to.", "harbour-city@2026.2 against harbour-city@2026.1: 1 rule tightened.",
          lambda comparison: comparison.answer),
    field("old", "text", "The old one.", "harbour-city@2026.1", lambda comparison: comparison.old),
    field("new", "text", "The new one.", "harbour-city@2026.2", lambda comparison: comparison.new),
    field("old_digest", "text", "Digest of the old one.", "sha256:0f3c", lambda comparison: comparison.old_digest),
    field("new_digest", "text", "Digest of the new one.", "sha256:77ab", lambda comparison: comparison.new_digest),
    field("step", Step, "The step that the version needs; the names are those of semver.org.", "major",
          lambda comparison: comparison.step),
    field("edited_in_place", "boolean", "Whether both have one name, and what can turn a verdict differs.", False,
          lambda comparison: comparison.edited_in_place),
    rows("classes", _CLASS, "The classes that changed.", lambda comparison: comparison.classes),
    part("entries", _ENTRIES, "Whom it hits, where cars were named.", lambda comparison: comparison.entries, null=True),
)  # fmt: skip
"""The rulesets of a comparison."""
