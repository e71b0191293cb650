"""The fields of `comparison/1` for setups that are held against each other."""

from typing import Final, NamedTuple

from speclint.comparison.setups import (
    EntryChange,
    FittedForecast,
    RuleChange,
    RuleOutcome,
    SetupComparison,
    SetupState,
    ValueChange,
)
from speclint.reports.fields import Record, field, part, record, rows
from speclint.rules.checks import Verdict

_VALUE_CHANGE: Final[Record[ValueChange]] = record(
    "setup_value", "A quantity that is not alike in all setups.",
    field("quantity", "text", "Its name; records go by theirs.", "pinion_teeth", lambda change: change.name),
    field("title", "text", "Its name for people.", "pinion", lambda change: change.title),
    field("values", "strings", "What each setup has, with its unit; empty where it states nothing.",
          ["44 teeth", "43 teeth"], lambda change: change.texts),
    field("follows", "boolean", "Whether it is computed from others.", False, lambda change: change.follows),
)  # fmt: skip

RULE_OUTCOME: Final[Record[RuleOutcome]] = record(
    "setup_rule_outcome", "What a rule comes to for one setup.",
    field("verdict", Verdict, "What came out.", "legal", lambda outcome: outcome.verdict),
    field("has", "string", "What the car has.", "4.242", lambda outcome: outcome.has),
    field("margin", "string", "By how much, in words.", "0.042 to spare", lambda outcome: outcome.margin),
)  # fmt: skip


class OutcomeAt(NamedTuple):
    """What a rule comes to for the setup of a label; None where it has no such entry or rule."""

    label: str
    outcome: RuleOutcome | None


_OUTCOME_AT: Final[Record[OutcomeAt]] = record(
    "setup_outcome_at",
    "What a rule comes to for the setup of a label.",
    field("setup", "text", "The setup's label.", "cars/car-12.yaml", lambda at: at.label),
    part("outcome", RULE_OUTCOME, "What it comes to.", lambda at: at.outcome, null=True),
)


class RuleChangeOf(NamedTuple):
    """A rule that changed, with the labels of the setups."""

    change: RuleChange
    labels: tuple[str, ...]


_RULE_CHANGE: Final[Record[RuleChangeOf]] = record(
    "setup_rule",
    "A rule that does not come to the same in all setups.",
    field("class", "text", "Ruleset and class.", "harbour-city/stock-17", lambda of: of.change.race),
    field("rule", "text", "Its id.", "final-drive", lambda of: of.change.rule),
    field("title", "text", "What it is on.", "final drive ratio", lambda of: of.change.title),
    field("cite", "string", "The clause.", "4.3", lambda of: of.change.clause),
    rows(
        "outcomes",
        _OUTCOME_AT,
        "What it comes to for each setup.",
        lambda of: [OutcomeAt(*pair) for pair in zip(of.labels, of.change.outcomes, strict=True)],
    ),
)

_ENTRY_CHANGE: Final[Record[EntryChange]] = record(
    "setup_entry", "A class that any of the setups is entered in.",
    field("class", "text", "Ruleset and class.", "harbour-city/stock-17", lambda entry: entry.race),
    field("verdicts", "strings", "The verdict on each setup; empty where it is not entered.", ["illegal", "legal"],
          lambda entry: ("" if verdict is None else verdict.value for verdict in entry.verdicts)),
)  # fmt: skip

_FORECAST: Final[Record[FittedForecast]] = record(
    "setup_forecast", "What the fitted pair does in a run: from, likely and to, for nine in ten cars.",
    field("minutes", "number", "Length of the run.", 5, lambda forecast: forecast.minutes),
    field("can_c", "numbers", "Can at the end.", [48, 55, 64], lambda forecast: forecast.can_c),
    field("winding_c", "numbers", "Winding at the end.", [60, 72, 88], lambda forecast: forecast.winding_c),
    field("top_speed_kmh", "numbers", "Speed at the braking point.", [51, 53, 55], lambda forecast: forecast.top_kmh),
    field("lap_s", "numbers", "Lap time.", [15.1, 15.8, 16.4], lambda forecast: forecast.lap_s),
)  # fmt: skip

_SETUP_STATE: Final[Record[SetupState]] = record(
    "compared_setup", "One of the setups.",
    field("setup", "text", "Its label: the file, with the revision where it is an earlier one.", "cars/car-12.yaml",
          lambda state: state.label),
    field("file", "text", "Its file.", "cars/car-12.yaml", lambda state: state.file),
    field("name", "text", "What the owner calls it.", "Car 12, indoor carpet", lambda state: state.name),
    part("forecast", _FORECAST, "What its fitted pair does.", lambda state: state.forecast, null=True),
    field("no_forecast_because", "text", "Why nothing is predicted.", "no spur and pinion are stated",
          lambda state: state.no_forecast_because, null=True),
)  # fmt: skip


class AdviceOn(NamedTuple):
    """A piece of advice on the setup of a label."""

    label: str
    message: str


_ADVICE_ON: Final[Record[AdviceOn]] = record(
    "setup_advice",
    "A piece of advice on one of the setups.",
    field("setup", "text", "The setup's label.", "cars/car-12.yaml", lambda advice: advice.label),
    field("message", "text", "The advice.", "the gears look swapped", lambda advice: advice.message),
)

SETUPS: Final[Record[SetupComparison]] = record(
    "compared_setups", "Setups held against each other, the one that the others are held against at the front.",
    field("answer", "string", "What it comes to.",
          "Pinion 44 teeth → 43 teeth. harbour-city/stock-17: illegal → legal.", lambda comparison: comparison.answer),
    rows("setups", _SETUP_STATE, "The setups.", lambda comparison: comparison.states),
    rows("changes", _VALUE_CHANGE, "What they state differently, then what follows.",
         lambda comparison: comparison.changes),
    rows("entries", _ENTRY_CHANGE, "The verdicts, by class.", lambda comparison: comparison.entries),
    rows("rules", _RULE_CHANGE, "The rules that come to something else.",
         lambda comparison: [RuleChangeOf(change, tuple(state.label for state in comparison.states)) for change in comparison.rules]),
    field("advice_gone", "texts", "Advice on the first that none of the others gets.", ["the gears look swapped"],
          lambda comparison: comparison.advice_gone),
    rows("advice_new", _ADVICE_ON, "Advice on the others that the first does not get.",
         lambda comparison: [AdviceOn(*pair) for pair in comparison.advice_new]),
)  # fmt: skip
"""The setups of a comparison."""
