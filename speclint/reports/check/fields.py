"""The fields of `report/1`: what `check` finds, entry by entry and rule by rule."""

from collections.abc import Hashable, Iterator
from typing import Any, Final, NamedTuple

from speclint.advice.model import Advice
from speclint.findings import EntryResult, Inspected, NotJudged, OfficialReading, ReadFile, Tally
from speclint.forms.size import Size
from speclint.limits.decisions import Decision
from speclint.places import pointer
from speclint.readings.exact import to_float, to_number
from speclint.readings.measured import Measured, Number, value_of
from speclint.remedies.judged_entry import CarRemedies
from speclint.reports import RunOptions
from speclint.reports.check.asked_fields import ASKED
from speclint.reports.check.coming_fields import COMING
from speclint.reports.check.holding_fields import HOLDING
from speclint.reports.check.limit_fields import LIMIT_SHAPE, TEST_SHAPE, stated_limit, stated_test
from speclint.reports.fields import Field, Record, Repeats, field, groups, part, record, rows
from speclint.reports.places import PROBLEM, WHERE, head
from speclint.rules.checks import WORST_FIRST, Check, KeyChange, LaterRule, Remedy, TestResult, Verdict
from speclint.rules.wording import later_text, message, unit
from speclint.structure.shapes.garage import DIGEST, DIGEST_EXAMPLE
from speclint.structure.shapes.inspection import OUTCOMES


class Notice(NamedTuple):
    """A rule that begins to bind after the day of the race, beside the check that it will change."""

    check: Check
    later: LaterRule


class _RuleReading(NamedTuple):
    """What officials read of one rule's quantity."""

    rule: str
    official: OfficialReading


def plain(value: Any) -> Any:
    """A value as JSON can hold it: numbers without their uncertainty, several values as a list."""
    if isinstance(value, Number):
        return to_number(value_of(value))
    if isinstance(value, tuple):
        return [plain(member) for member in value]
    return value


def judged_values(check: Check) -> Any:
    """All values of several things that a check judged, in their order; None where there is one at most."""
    fact = check.fact
    return plain(fact.values) if fact is not None and fact.values and fact.quantity.name == check.quantity else None


def judged_value(check: Check) -> Any:
    """The value that a check judged; None where there is none."""
    fact = check.fact
    return plain(fact.value) if fact is not None and fact.quantity.name == check.quantity else None


def declared_value(entry: EntryResult, check: Check) -> Any:
    """The value that the setup declares where officials read another; None where they did not."""
    reading = None if entry.inspected is None else entry.inspected.by_rule.get(check.rule.id)
    return None if reading is None or reading.declared is None else judged_value(reading.declared)


def unit_code(check: Check) -> str:
    """The unit of a check's numbers: 1 for a ratio, "" for text."""
    return unit(check) or ("" if check.outcome is None else "1")


def margin(check: Check) -> float | None:
    """The distance to the nearest limit, below zero where it is broken."""
    return None if check.outcome is None else to_float(check.outcome.margin)


def _kind_of_check(check: Check) -> tuple[object, Hashable] | None:
    """What all that is told of a plainly legal check follows from, but for its place; None of any other."""
    fact, test = check.fact, check.test
    if check.verdict is not Verdict.LEGAL or check.near or check.reason or fact is None or test is not check.rule.body:
        return None
    value = fact.value
    if isinstance(value, Number):
        # What other limits hold a number against may be the car's own, and the parts of a sum are told.
        if not isinstance(test.limit, Size) or fact.values or fact.quantity.declared_by:
            return None
        number, influences = value_of(value), value.contributions.items() if isinstance(value, Measured) else ()
        blur = tuple((part, influence.degrees_of_freedom) for influence, part in influences)
        return check.rule, (check.decision, fact.complete, number.numerator, number.denominator, blur)
    return (check.rule, value) if isinstance(value, str | bool) else None


def notices(entry: EntryResult) -> Iterator[Notice]:
    """What will change the verdicts of an entry later."""
    return (Notice(check, later) for check in entry.checks for later in check.later)


def _new_value(change: KeyChange) -> Any:
    value = change.value
    return value["value"] if isinstance(value, dict) else value


_CHANGE: Final[Record[KeyChange]] = record(
    "change", "One value to put in the place of another.",
    field("file", "text", "The file that holds it.", "setups/car-12.yaml", lambda change: change.file),
    field("pointer", "text", "JSON pointer (RFC 6901) to it.", "/car/pinion_teeth", lambda change: pointer(change.path),
          pattern="^(/[^\\x00]*)$"),
    field("to", "scalar", "The new value; of what is measured the number alone.", 43, _new_value),
)  # fmt: skip

_REMEDY: Final[Record[Remedy]] = record(
    "remedy", "A smallest change that makes it legal.",
    rows("changes", _CHANGE, "What changes in the files.", lambda remedy: remedy.changes),
    field("by_hand", "boolean", "Whether it is done on the car and then measured, so that what the files are to say"
          " is not known before: no program writes it.", False, lambda remedy: remedy.by_hand),
    field("rebuilds", "texts", "The kinds of rebuild that it is.", ["rotor-swap"], lambda remedy: remedy.rebuilds),
    field("result", "number", "The value of the quantity after it.", 4.2418605,
          lambda remedy: None if remedy.result is None else to_number(remedy.result), null=True),
    field("message", "text", "The change in words.", "pinion 43 instead of 44", lambda remedy: remedy.message),
)  # fmt: skip

_TEST: Final[Record[TestResult]] = record(
    "test", "One limit on one quantity, as it is one of several in a rule.",
    field("quantity", "text", "The quantity that is limited.", "motor_turns", lambda result: result.test.quantity),
    field("verdict", WORST_FIRST, "What came out.", "legal", lambda result: result.verdict),
    field("value", "scalar", "The value that was judged.", 10.5, lambda result: plain(result.fact.value), null=True),
    field("margin", "number", "Distance to the nearest limit, negative outside.", 1,
          lambda result: None if result.outcome is None else to_float(result.outcome.margin), null=True),
    field("close_call", "boolean", "Whether the limit lies inside the expanded uncertainty.", False,
          lambda result: result.close_call),
    field("limit", "object", "The limit, in the ruleset's own words.", {"at_least": 9.5},
          lambda result: stated_test(result.test), properties=TEST_SHAPE, additionalProperties=False),
    field("missing", "texts", "The keys to add.", ["motor.turns"], lambda result: result.missing),
)  # fmt: skip

_CHECK: Final[Record[Check]] = record(
    "check", "One rule held against one setup.",
    field("rule", "text", "Id of the rule.", "final-drive", lambda check: check.rule.id),
    field("quantity", "text", "The quantity that is limited.", "final_drive_ratio", lambda check: check.quantity,
          null=True),
    field("verdict", Verdict, "What came out.", "illegal", lambda check: check.verdict),
    field("value", "scalar", "The value that was judged, in the unit beside it.", 4.1454545, judged_value, null=True),
    field("values", "scalars", "All values of several things, where the worst of them was judged.",
          [5.2, 5.1, 5.2, 4.9], judged_values, null=True),
    field("unit", "string",
          "Unit of the value and the margin, and of a limit that names no other: 1 for a ratio, empty for text.", "1",
          unit_code),
    field("expanded_uncertainty", "number", "Expanded uncertainty of the value, k = 2, in its unit.", 1.4,
          lambda check: None if check.outcome is None else check.outcome.expanded_uncertainty, null=True, minimum=0),
    field("probability_legal", "number", "Probability that the true value meets the limit, from 0 to 1.", 0.98,
          lambda check: check.probability, null=True, minimum=0, maximum=1),
    field("close_call", "boolean", "Whether the limit lies inside the expanded uncertainty.", False,
          lambda check: check.close_call),
    field("margin", "number", "Distance to the nearest limit, in the unit of the value: positive inside, negative"
          " outside.", -0.0545455, margin, null=True),
    field("limit", "object", "The limit, in the ruleset's own words.", {"at_least": 4.2}, stated_limit,
          properties=LIMIT_SHAPE, additionalProperties=False),
    groups("options", _TEST, "Each way to meet the rule, with its tests, where it has several.",
           lambda check: check.ways),
    field("told", "integer", "Which of the ways decides and is told, counted from 1.", 1,
          lambda check: check.told + 1 if check.ways else None, null=True, minimum=1),
    field("row", "text", "What chose the row of the rule's table.", "motor part M-17A", lambda check: check.row,
          null=True),
    field("decision", Decision, "How a close value is decided.", "as-read", lambda check: check.decision),
    field("cite", "text", "The clause of the rulebook.", "4.3", lambda check: check.rule.cite, null=True),
    field("message", "text", "The outcome in words.", "final drive ratio is 4.145; the rule asks at least 4.2",
          message),
    field("because", "text", "Why the rule is there.", "Keeps lap speeds level.", lambda check: check.rule.because,
          null=True),
    part("where", WHERE, "Where to edit.", lambda check: check.place),
    rows("remedies", _REMEDY, "The smallest changes that make it legal, the best first.", lambda check: check.remedies),
    repeats=Repeats(_kind_of_check, "where"),
)  # fmt: skip

_NOTICE: Final[Record[Notice]] = record(
    "notice", "A rule that begins to bind after the day of the race.",
    field("rule", "text", "Id of the rule that it takes the place of, or its own.", "final-drive",
          lambda notice: notice.check.rule.id),
    field("date", "day", "The day from which it binds.", "2026-06-01", lambda notice: notice.later.on),
    field("verdict", Verdict, "What it will say of the car as it is.", "illegal", lambda notice: notice.later.verdict),
    field("message", "text", "The change in words.", "from 1 June this rule asks at least 4.4",
          lambda notice: later_text(notice.later)),
)  # fmt: skip

_WAIVER: Final[Record[Check]] = record(
    "waiver", "An exception from a rule that the club has granted.",
    field("rule", "text", "Id of the rule.", "weight", lambda check: check.rule.id),
    field("message", "text", "By whose leave, and until when.", "waived until 30 April 2026 (minutes of 3 March)",
          lambda check: check.waived),
)  # fmt: skip

_READ_FILE: Final[Record[ReadFile]] = record(
    "read_file", "A file that an entry rests on.",
    field("file", "text", "Its name, with / between folders.", "setups/car-12.yaml", lambda read: read.file),
    field("sha256", "text", "SHA-256 of its bytes, in hexadecimal digits.", "0123456789abcdef" * 4,
          lambda read: read.sha256, pattern="^[0-9a-f]{64}$"),
)  # fmt: skip

_OFFICIAL_READING: Final[Record[_RuleReading]] = record(
    "official_reading", "What officials read of the quantity of one rule, beside what the setup declares.",
    field("rule", "text", "Id of the rule.", "weight", lambda reading: reading.rule),
    field("instrument", "text", "The official instrument.", "tech-scale", lambda reading: reading.official.instrument,
          null=True),
    field("declared", "scalar", "The value that the setup declares, in the unit of the check.", 1354,
          lambda reading: None if reading.official.declared is None else judged_value(reading.official.declared),
          null=True),
    field("declared_verdict", Verdict, "What would come out of the declared value.", "legal",
          lambda reading: reading.official.declared and reading.official.declared.verdict, null=True),
    field("difference", "text", "The official value minus the declared one, with the ± of both together.",
          "−5.0 ± 2.4 g", lambda reading: reading.official.difference, null=True),
    field("disagrees", "boolean", "Whether it differs by more than both uncertainties together.", True,
          lambda reading: reading.official.disagrees),
)  # fmt: skip

_SEEN: Final[Record[tuple[str, str]]] = record(
    "looked_at",
    "What officials looked at.",
    field("rule", "text", "Id of the rule.", "body", lambda seen: seen[0]),
    field("outcome", "text", "Whether it passed.", "passed", lambda seen: seen[1], enum=list(OUTCOMES)),
)

_INSPECTED: Final[Record[Inspected]] = record(
    "inspected", "What an inspection says of an entry; the official readings are what was judged.",
    part("where", WHERE, "Where the inspection says it.", lambda inspected: inspected.place),
    field("event", "text", "The race.", "Round 3", lambda inspected: inspected.event, null=True),
    field("number", "text", "The number of the car.", "12", lambda inspected: inspected.number, null=True),
    field("at", "text", "The time of day.", "10:40", lambda inspected: inspected.at, null=True),
    field("by", "text", "Who inspected.", "chief inspector", lambda inspected: inspected.by, null=True),
    field("ruling", "text", "What the officials decided.", "passed", lambda inspected: inspected.ruling, null=True,
          enum=list(OUTCOMES)),
    field("note", "text", "What they noted.", "weighed twice", lambda inspected: inspected.note, null=True),
    field("declared_verdict", WORST_FIRST, "What would come out of what the setup declares.", "legal",
          lambda inspected: inspected.declared, null=True),
    rows("readings", _OFFICIAL_READING, "What they read, by rule.",
         lambda inspected: (_RuleReading(*pair) for pair in inspected.by_rule.items())),
    rows("looked_at", _SEEN, "What they looked at, by rule.", lambda inspected: inspected.looked_at.items()),
)  # fmt: skip

ENTRY: Final[Record[EntryResult]] = record(
    "judged_entry", "One setup entered in one class for one day.",
    field("file", "text", "The setup's file, with / between folders.", "setups/car-12.yaml", lambda entry: entry.file),
    field("name", "text", "Name of the setup.", "Car 12, indoor carpet", lambda entry: entry.name, null=True),
    field("ruleset", "text", "Id of the ruleset.", "harbour-city", lambda entry: entry.flat.ruleset.id),
    field("ruleset_version", "text", "Version of the ruleset that is in force.", "2026.2",
          lambda entry: entry.flat.ruleset.version),
    field("ruleset_digest", "text", "SHA-256 of all in the ruleset that can turn a verdict, as canonical JSON"
          " (RFC 8785).", DIGEST_EXAMPLE, lambda entry: entry.digest, pattern=DIGEST),
    field("class", "text", "Id of the class.", "stock-17", lambda entry: entry.flat.id),
    field("on", "day", "The day of the race.", "2026-03-14", lambda entry: entry.on),
    field("verdict", WORST_FIRST, "Illegal if any check is, else not-shown if any is, else legal.", "illegal",
          lambda entry: entry.verdict),
    field("reason", "text", "Why it has this verdict, where no check says so.",
          "nothing was judged: no rule of stock-17 binds on 14 March 2026", lambda entry: entry.reason, null=True),
    field("notes", "texts", "What else is to be known of the rules that it was judged by.",
          ["harbour-city@2026.1 builds on coastal-league@2025.2, which was in force until 31 December 2025"],
          lambda entry: entry.notes),
    rows("files", _READ_FILE, "Everything that it rests on: setup, motor, garage and rulesets.",
         lambda entry: entry.files),
    rows("checks", _CHECK, "Every rule, in the ruleset's order.", lambda entry: entry.checks),
    rows("notices", _NOTICE, "What will change later.", notices),
    rows("waivers", _WAIVER, "The exceptions that counted.",
         lambda entry: (check for check in entry.checks if check.waived)),
    part("inspected", _INSPECTED, "What officials found.", lambda entry: entry.inspected, null=True),
)  # fmt: skip

_WHOLE_CAR: Final[Record[CarRemedies]] = record(
    "whole_car", "What makes a car legal in all of its entries at once.",
    field("file", "text", "The setup's file.", "setups/car-12.yaml", lambda car: car.file),
    field("name", "text", "Its name.", "Car 12, indoor carpet", lambda car: car.name),
    rows("remedies", _REMEDY, "Whole sets of changes, the best first; `check --apply` counts them from 1.",
         lambda car: car.remedies),
    field("reason", "text", "Why there is none.", "another motor is needed", lambda car: car.reason, null=True),
)  # fmt: skip

_ADVICE: Final[Record[Advice]] = record(
    "advice", "A finding that no rule asks for.",
    field("id", "text", "Which advice it is; `speclint explain` says more of it.", "winding-unequal",
          lambda advice: advice.id),
    field("message", "text", "What was seen and what to do.", "One phase reads 6 % above the others.",
          lambda advice: advice.message),
    part("where", WHERE, "Where it stands.", lambda advice: advice.place),
    field("source", "text", "Where the advice comes from.", "common practice", lambda advice: advice.source),
    field("lines", "texts", "What there is to paste, a line each.",
          ["- {class: stock-17, on: 2026-03-14, setup: {car: {mass_g: 1349}}, expect: {weight: illegal}}"],
          lambda advice: advice.lines),
)  # fmt: skip

_NOT_JUDGED: Final[Record[NotJudged]] = record(
    "not_judged",
    "A setup without a verdict.",
    field("file", "text", "The setup's file, with / between folders.", "setups/car-13.yaml", lambda setup: setup.file),
    field("reason", "text", "Why there is no verdict.", "the file has problems", lambda setup: setup.reason),
)


def _count(key: str, about: str, value: Any) -> Field[Tally]:
    return field(key, "integer", about, 1, value, minimum=0)


_SUMMARY: Final[Record[Tally]] = record(
    "summary",
    "Counts.",
    _count("files", "Files that were read.", lambda tally: tally.files),
    _count("setups", "Setups among them.", lambda tally: tally.setups),
    _count("entries", "Entries that were judged.", lambda tally: tally.counts.entries),
    _count("legal", "Entries that are legal.", lambda tally: tally.counts.legal),
    _count("illegal", "Entries that are illegal.", lambda tally: tally.counts.illegal),
    _count("not_shown", "Entries that are not shown to be legal.", lambda tally: tally.counts.not_shown),
    _count("close_calls", "Checks that are close calls.", lambda tally: tally.counts.close_calls),
    _count("to_inspect", "Things that a person has to look at.", lambda tally: tally.counts.to_inspect),
    _count("problems", "Problems with files.", lambda tally: len(tally.problems)),
    _count(
        "past",
        "Entries for days before the first that was asked about, which are not judged.",
        lambda tally: tally.past,
    ),
    _count("advice", "Pieces of advice.", lambda tally: len(tally.advice)),
)

HEAD: Final[tuple[Field[RunOptions], ...]] = (
    *head("report/1"),
    part("asked", ASKED, "What was asked for that the files do not say.", lambda asked: asked),
)
"""What stands before the entries."""

TAIL: Final[tuple[Field[Tally], ...]] = (
    rows("problems", PROBLEM, "Everything wrong with the files themselves.", lambda tally: tally.problems),
    rows("remedies", _WHOLE_CAR, "For each illegal car what makes it legal in all of its entries.",
         lambda tally: tally.car_remedies),
    rows("advice", _ADVICE, "Findings that no rule asks for.", lambda tally: tally.advice),
    rows("not_judged", _NOT_JUDGED,
         "Setups that could not be judged, or had no entry, and inspections that no path named.",
         lambda tally: sorted((*tally.not_judged, *tally.not_entered, *tally.set_aside), key=lambda setup: setup.place)),
    rows("holdings", HOLDING, "What the files hold, where no setup is among them.", lambda tally: tally.holdings),
    rows("coming", COMING, "What changes for the cars on the days that were asked about, as they are now, by day.",
         lambda tally: tally.coming),
    part("summary", _SUMMARY, "Counts.", lambda tally: tally),
)  # fmt: skip
"""What stands after them; the counts come last."""


def _no_rows(_: Any) -> tuple[EntryResult, ...]:
    return ()


REPORT: Final[Record[Any]] = record(
    "report",
    "What one run of `check` found. The order is stable: file, entry, rule.",
    *HEAD,
    rows("entries", ENTRY, "Every entry that was judged.", _no_rows),
    *TAIL,
)
"""The whole report, for its schema; the entries are written as they come."""
