"""The fields of `comparison/1`: bench runs held against each other, motors side by side."""

from collections.abc import Callable, Iterator
from typing import Any, Final, NamedTuple

from speclint.comparison.compared import COMPARED, ComparedQuantity
from speclint.comparison.differences import Comparison, Conclusion, QuantityChange
from speclint.comparison.drift import LimitCrossing
from speclint.comparison.equivalent import EntryVerdict, Equivalent, PinionChoice
from speclint.comparison.findings import CAUTIONS, ComparisonFindings, MotorFindings
from speclint.comparison.interpretation import Interpretation
from speclint.comparison.ranking import Candidate, Legality, NewestValue, Ranking
from speclint.comparison.runs import ComparedRun
from speclint.comparison.trend import Direction, Point, Trend
from speclint.comparison.uncertainty import expanded_uncertainty_of
from speclint.models.motors import Rebuild
from speclint.quantities.rebuilds import REBUILDS
from speclint.readings.exact import to_float, to_number
from speclint.readings.measured import Measured, Number, value_of
from speclint.reports.comparison.ruleset_fields import RULESETS
from speclint.reports.comparison.setup_fields import SETUPS
from speclint.reports.fields import Field, Record, T, field, part, record, rows
from speclint.reports.places import PROBLEM, WHERE, head
from speclint.rules.checks import FAILING, WORST_FIRST, Check
from speclint.rules.wording import message

_COMMON_C: Final = 20


class OtherMotor(NamedTuple):
    """One motor against the one that has the least of a quantity."""

    motor: Candidate
    change: QuantityChange


class MotorDifferences(NamedTuple):
    """The motors in one quantity, against the one with the least of it."""

    quantity: str
    least: Candidate
    others: tuple[OtherMotor, ...]


class MotorReading(NamedTuple):
    """The newest value of one quantity of a motor."""

    quantity: ComparedQuantity
    newest: NewestValue


class RuleNotMet(NamedTuple):
    """A rule on a motor that it does not meet, in an entry."""

    entry: str
    check: Check


def _plain(number: Number | None) -> float | int | None:
    return None if number is None else to_number(value_of(number))


def _uncertainty(number: Number | None) -> float | None:
    return expanded_uncertainty_of(number) if isinstance(number, Measured) else None


def _quantity_fields(quantity: Callable[[Any], ComparedQuantity]) -> tuple[Field[Any], ...]:
    return (
        field("quantity", "text", "What is compared.", "kv_rpm_per_v", lambda thing: quantity(thing).name,
              enum=[compared.name for compared in COMPARED]),
        field("unit", "text", "Code of the unit, as keys end in it; mnm_per_a is mNm/A.", "rpm_per_v",
              lambda thing: quantity(thing).unit),
    )  # fmt: skip


def _expanded(about: str, example: float, value: Callable[[T], float | None]) -> Field[T]:
    return field("expanded_uncertainty", "number", about, example, value, null=True, minimum=0)


_RUN: Final[Record[ComparedRun]] = record(
    "bench_run_of_report", "A bench run.",
    field("number", "integer", "Which run of the motor it is, from the oldest, 1.", 1, lambda run: run.number,
          minimum=1),
    field("date", "text", "When it was made, as the file writes it.", "2026-03-10", lambda run: str(run.record.when)),
    field("rotor", "text", "Kind of the rotor that was in the motor.", "standard", lambda run: run.rotor, null=True),
    part("where", WHERE, "Where it stands.", lambda run: run.motor.document.place(run.record.path)),
)  # fmt: skip

_REBUILD: Final[Record[Rebuild]] = record(
    "rebuild_of_report", "One rebuild.",
    field("date", "text", "When it was done.", "2026-03-11", lambda rebuild: str(rebuild.when)),
    field("did", "texts", "Kinds of rebuild.", ["rotor-swap"], lambda rebuild: rebuild.did,
          items={"type": "string", "enum": [rebuild.kind for rebuild in REBUILDS]}),
    field("note", "text", "The owner's note.", "stronger magnet", lambda rebuild: rebuild.note, null=True),
)  # fmt: skip


def _change_fields(change: Callable[[Any], QuantityChange]) -> tuple[Field[Any], ...]:
    return (
        *_quantity_fields(lambda thing: change(thing).quantity),
        field("first", "number", "Value in the first run, at common conditions.", 2433.1,
              lambda thing: _plain(change(thing).first), null=True),
        field("second", "number", "Value in the second run, at common conditions.", 2341.2,
              lambda thing: _plain(change(thing).second), null=True),
        field("difference", "number", "Second less first.", -91.9, lambda thing: _plain(change(thing).difference),
              null=True),
        field("percent", "number", "The difference in percent of the first value.", -3.8,
              lambda thing: None if (percent := change(thing).percent) is None else to_float(percent), null=True),
        _expanded("Half-width that the scatter of the bench makes by itself, at 5 % of false alarms for the whole table.",
                  24, lambda thing: change(thing).expanded_uncertainty),
        field("conclusion", Conclusion, "What that shows.", "changed", lambda thing: change(thing).conclusion),
        field("reason", "text", "Why nothing can be told.", "no instrument is named",
              lambda thing: change(thing).reason, null=True),
        field("shared_instruments", "texts", "Instruments that both values were read on.", ["motor-bench"],
              lambda thing: change(thing).shares),
    )  # fmt: skip


_CHANGE: Final[Record[QuantityChange]] = record(
    "bench_change", "One quantity in two runs.", *_change_fields(lambda change: change)
)

_COMPARISON: Final[Record[Comparison]] = record(
    "bench_comparison", "Two runs of the motor held against each other.",
    part("first", _RUN, "The first run.", lambda comparison: comparison.first),
    part("second", _RUN, "The second run.", lambda comparison: comparison.second),
    field("why", "text", "Why these two.", "the runs around the last rebuild, of 11 March 2026",
          lambda comparison: comparison.why),
    rows("rebuilds", _REBUILD, "What was done to the motor between them.", lambda comparison: comparison.rebuilds),
    field("supply_v", "number", "Common supply voltage.", 3.7,
          lambda comparison: _plain(comparison.conditions.supply_v), null=True),
    field("temperature_c", "number", "Common temperature of winding and magnet.", _COMMON_C, lambda _: _COMMON_C),
    rows("changes", _CHANGE, "Every quantity in both runs.", lambda comparison: comparison.changes),
    field("assumptions", "texts", "What is taken for what nobody stated.", ["the motor was clamped anew between them"],
          lambda comparison: comparison.assumptions),
    field("notes", "texts", "What else there is to say.", ["the winding is taken at the can's temperature"],
          lambda comparison: comparison.notes),
)  # fmt: skip

_MEANING: Final[Record[Interpretation]] = record(
    "meaning", "One thing that the changes mean.",
    field("id", "text", "Which one it is.", "stronger-magnet", lambda meaning: meaning.id),
    field("message", "text", "The meaning in words.", "speed per volt is down by 3.8 %: a stronger magnet",
          lambda meaning: meaning.message),
    field("source", "text", "Where that is known from.", "common practice", lambda meaning: meaning.source),
    field("warns", "boolean", "Whether to look into it before the motor runs again.", False,
          lambda meaning: meaning.warns),
)  # fmt: skip

_JUDGED: Final[Record[EntryVerdict]] = record(
    "bench_judged", "What the rules on the gearing of one entry say.",
    field("entry", "text", "Ruleset, class and day.", "harbour-city/stock-17, 14 March 2026",
          lambda judged: judged.label),
    field("verdict", WORST_FIRST, "What came out.", "legal", lambda judged: judged.verdict),
    field("message", "text", "About the rule that decides.", "final drive ratio is 4.24; 0.04 to spare",
          lambda judged: judged.message, null=True),
)  # fmt: skip

_GEAR: Final[Record[PinionChoice]] = record(
    "bench_gear", "A pinion beside the equivalent ratio.",
    field("pinion_teeth", "integer", "Teeth of the pinion.", 43, lambda gear: gear.pinion_teeth, minimum=1),
    field("ratio", "number", "Final drive ratio with it.", 4.2418605, lambda gear: to_float(gear.ratio)),
    field("off_percent", "number", "How far that is from the equivalent ratio; above zero it is shorter.", 1.5,
          lambda gear: to_float(gear.off_percent)),
    rows("judged", _JUDGED, "What the entries say of it.", lambda gear: gear.judged),
)  # fmt: skip

_EQUIVALENT: Final[Record[Equivalent]] = record(
    "equivalent_gearing", "The gearing that keeps the car's top speed.",
    field("setup", "text", "Name of the car.", "Car 12, indoor carpet", lambda equivalent: equivalent.setup),
    field("file", "text", "The car's file.", "setups/car-12.yaml", lambda equivalent: equivalent.file),
    field("old_ratio", "number", "Final drive ratio that the setup states.", 4.3428571,
          lambda equivalent: to_float(equivalent.old_ratio)),
    field("ratio", "number", "The equivalent ratio.", 4.178, lambda equivalent: _plain(equivalent.ratio)),
    _expanded("Expanded uncertainty of the equivalent ratio.", 0.042,
              lambda equivalent: equivalent.expanded_uncertainty),
    field("change_shown", "boolean", "Whether a change of the speed per volt is shown at all.", True,
          lambda equivalent: equivalent.changed),
    field("spur_teeth", "integer", "Teeth of the spur, which stays.", 96, lambda equivalent: equivalent.spur_teeth,
          minimum=1),
    field("fitted_pinion_teeth", "integer", "Teeth of the pinion that is fitted.", 42,
          lambda equivalent: equivalent.fitted, minimum=1),
    rows("judged", _JUDGED, "What the entries say of that ratio.", lambda equivalent: equivalent.judged),
    part("closest", _GEAR, "The pinion that comes closest.", lambda equivalent: equivalent.closest),
    part("closest_legal", _GEAR, "The closest pinion that every entry takes.",
         lambda equivalent: equivalent.closest_legal, null=True),
    field("from_parts_box", "boolean", "Whether only pinions of a parts box were looked at.", True,
          lambda equivalent: equivalent.from_box),
)  # fmt: skip

_POINT: Final[Record[Point]] = record(
    "trend_point",
    "One run of a trend.",
    field("run", "integer", "Its number.", 1, lambda point: point.run.number, minimum=1),
    field("date", "text", "When it was made.", "2026-03-10", lambda point: str(point.run.record.when)),
    field("value", "number", "The value at common conditions.", 21.4, lambda point: _plain(point.value)),
    _expanded("Expanded uncertainty of the value.", 0.15, lambda point: _uncertainty(point.value)),
)

_TREND: Final[Record[Trend]] = record(
    "bench_trend", "One quantity over the runs between two rebuilds that end it.",
    *_quantity_fields(lambda trend: trend.quantity),
    field("direction", Direction, "What is shown of the slope.", "rising", lambda trend: trend.direction),
    field("reason", "text", "Why there is no line.", "2 runs with this reading; a trend takes 3",
          lambda trend: trend.reason, null=True),
    field("since", "text", "The rebuild that it begins after.", "2026-03-01",
          lambda trend: None if trend.since is None else str(trend.since.when), null=True),
    field("until", "text", "The rebuild that ended it.", "2026-06-01",
          lambda trend: None if trend.until is None else str(trend.until.when), null=True),
    field("slope_per_day", "number", "Slope of the line.", 0.0134,
          lambda trend: None if trend.line is None else to_float(trend.line.slope), null=True),
    field("slope_expanded_uncertainty", "number", "Expanded uncertainty of the slope.", 0.0026,
          lambda trend: None if trend.line is None else trend.line.slope_uncertainty, null=True, minimum=0),
    field("scatter", "number", "Standard deviation of the runs about the line.", 0.05,
          lambda trend: None if trend.line is None else trend.line.scatter, null=True, minimum=0),
    rows("points", _POINT, "The runs.", lambda trend: trend.points),
)  # fmt: skip

_MEETING: Final[Record[LimitCrossing]] = record(
    "bench_meeting", "When a trend meets a limit that it goes towards.",
    *_quantity_fields(lambda crossing: crossing.trend.quantity),
    field("limit", "number", "The limit at the trend's conditions, in the unit beside it.", 22.256,
          lambda crossing: to_float(crossing.limit)),
    field("rule", "text", "Whose limit it is.", "winding 4.6 of harbour-city/stock-17, 14 March 2026",
          lambda crossing: crossing.bound.label),
    field("on", "day", "The day on which the line meets it.", "2026-05-04", lambda crossing: crossing.on),
    field("earliest", "day", "The same for the steepest slope that the runs allow.", "2026-04-27",
          lambda crossing: crossing.earliest),
    field("latest", "day", "The same for the flattest, where that is no more than two years on.", "2026-05-14",
          lambda crossing: crossing.latest, null=True),
    field("passed", "boolean", "Whether the line has met it already.", False, lambda crossing: crossing.passed),
)  # fmt: skip

_MOTOR: Final[Record[MotorFindings]] = record(
    "motor_over_runs", "One motor over its runs.",
    field("name", "text", "What the owner calls it.", "club stock, no. 417", lambda motor: motor.name),
    field("file", "text", "Its file.", "motors/00417.yaml", lambda motor: motor.file),
    field("answer", "string", "What the two runs come to.",
          "After the rotor swap of 1 March 2026: less speed, more torque.", lambda motor: motor.answer),
    part("comparison", _COMPARISON, "Two of its runs held against each other.", lambda motor: motor.comparison,
         null=True),
    rows("meanings", _MEANING, "What the changes mean.", lambda motor: motor.interpretations),
    part("equivalent_gearing", _EQUIVALENT, "The gearing that keeps the car's top speed.",
         lambda motor: motor.equivalent if isinstance(motor.equivalent, Equivalent) else None, null=True),
    field("no_equivalent_because", "text", "Why there is no equivalent gearing.",
          "no setup of the repository names this motor",
          lambda motor: motor.equivalent if motor.equivalent and isinstance(motor.equivalent, str) else None,
          null=True),
    rows("trends", _TREND, "The motor over time.", lambda motor: motor.trends),
    rows("meetings", _MEETING, "Trends that go towards a limit.", lambda motor: motor.crossings),
    field("instruments_from", "texts", "Files whose instruments were used.", ["garage.yaml"],
          lambda motor: motor.instruments_from),
)  # fmt: skip

_READING: Final[Record[MotorReading]] = record(
    "motor_reading", "The newest value of one quantity that still counts.",
    *_quantity_fields(lambda reading: reading.quantity),
    field("value", "number", "The value at common conditions.", 36.56,
          lambda reading: _plain(reading.newest.level.number), null=True),
    _expanded("Expanded uncertainty of the value.", 0.15, lambda reading: _uncertainty(reading.newest.level.number)),
    field("run", "integer", "The run that it is of.", 2,
          lambda reading: None if reading.newest.run is None else reading.newest.run.number, null=True),
    field("reason", "text", "Why there is no value.", "not measured since the rotor swap",
          lambda reading: reading.newest.reason, null=True),
)  # fmt: skip

_NOT_MET: Final[Record[RuleNotMet]] = record(
    "rule_not_met", "A rule on the motor that it does not meet.",
    field("entry", "text", "Ruleset, class and day.", "harbour-city/stock-17, 14 March 2026",
          lambda unmet: unmet.entry),
    field("rule", "text", "Id of the rule.", "winding", lambda unmet: unmet.check.rule.id),
    field("verdict", WORST_FIRST, "What came out.", "illegal", lambda unmet: unmet.check.verdict),
    field("message", "text", "The outcome in words.", "winding, mean is 34.13 mΩ: 1.01 mΩ short",
          lambda unmet: message(unmet.check)),
)  # fmt: skip


def _not_met(candidate: Candidate) -> Iterator[RuleNotMet]:
    for label, check in candidate.checks:
        if check.verdict in FAILING:
            yield RuleNotMet(label, check)


_CANDIDATE: Final[Record[Candidate]] = record(
    "bench_candidate", "One motor beside others.",
    field("name", "text", "What the owner calls it.", "club stock, no. 417", lambda candidate: candidate.name),
    field("file", "text", "Its file.", "motors/00417.yaml", lambda candidate: candidate.file),
    field("turns", "number", "Its turns.", 17.5, lambda candidate: _plain(candidate.turns), null=True),
    field("standing", Legality, "How it stands to the rules on motors.", "legal as read",
          lambda candidate: candidate.legality),
    rows("readings", _READING, "Its newest readings that still count.",
         lambda candidate: (MotorReading(quantity, candidate.newest_values[quantity.name]) for quantity in COMPARED)),
    rows("not_met", _NOT_MET, "Rules on the motor that it does not meet.", _not_met),
)  # fmt: skip

_OTHER: Final[Record[OtherMotor]] = record(
    "other_motor",
    "One motor against the one with the least.",
    field("file", "text", "The other motor.", "motors/00455.yaml", lambda other_motor: other_motor.motor.file),
    *_change_fields(lambda other_motor: other_motor.change),
)

_DIFFERENCE: Final[Record[MotorDifferences]] = record(
    "motor_difference", "The motors in one quantity.",
    field("quantity", "text", "What is compared.", "winding_mean_mohm", lambda difference: difference.quantity,
          enum=[compared.name for compared in COMPARED]),
    field("least", "text", "File of the motor with the least of it as read.", "motors/00417.yaml",
          lambda difference: difference.least.file),
    rows("others", _OTHER, "The other motors against that one.", lambda difference: difference.others),
)  # fmt: skip


def _differences(ranking: Ranking) -> Iterator[MotorDifferences]:
    for name, against in ranking.differences.items():
        if against:
            yield MotorDifferences(name, against[0][0], tuple(OtherMotor(*pair) for pair in against[1:]))


_RANKING: Final[Record[Ranking]] = record(
    "ranking", "Several motors side by side.",
    field("supply_v", "number", "Common supply voltage.", 3.7, lambda ranking: _plain(ranking.conditions.supply_v),
          null=True),
    field("temperature_c", "number", "Common temperature of winding and magnet.", _COMMON_C, lambda _: _COMMON_C),
    field("one_spec", "boolean", "Whether all have the same turns.", True, lambda ranking: ranking.one_spec),
    field("pick", "text", "File of the motor with the lowest winding that may be chosen.", "motors/00417.yaml",
          lambda ranking: None if ranking.pick is None else ranking.pick.file, null=True),
    field("level_with", "texts", "Files of motors whose winding is not shown to differ from the pick's.",
          ["motors/00455.yaml"], lambda ranking: [candidate.file for candidate in ranking.level_with]),
    rows("motors", _CANDIDATE, "The motors, the first choice at the front.", lambda ranking: ranking.candidates),
    rows("differences", _DIFFERENCE, "Each quantity that motors are chosen by, against the least of it.", _differences),
    field("obstacles", "texts", "What keeps the motors from being compared.", ["no run states its voltage"],
          lambda ranking: ranking.obstacles),
)  # fmt: skip

_CAUTION: Final[Record[tuple[str, str]]] = record(
    "caution", "One caution.",
    field("id", "text", "Which one it is.", "magnet", lambda caution: caution[0]),
    field("message", "text", "The caution in words.", "Rotor magnets are strong and brittle.",
          lambda caution: caution[1]),
)  # fmt: skip

REPORT: Final[Record[ComparisonFindings]] = record(
    "comparison", "What one run of `compare` found.",
    *head("comparison/1"),
    part("motor", _MOTOR, "One motor over its runs.", lambda findings: findings.motor, null=True),
    part("ranking", _RANKING, "Several motors side by side.", lambda findings: findings.ranking, null=True),
    part("setups", SETUPS, "Setups held against each other.", lambda findings: findings.setups, null=True),
    part("rulesets", RULESETS, "Two rulesets held against each other.", lambda findings: findings.rulesets, null=True),
    field("notes", "texts", "What else there is to say.", ["the setup names another motor"],
          lambda findings: findings.notes),
    rows("problems", PROBLEM, "Everything wrong with the files themselves.", lambda findings: findings.problems),
    rows("cautions", _CAUTION, "What a person who measures motors should know.", lambda _: CAUTIONS),
)  # fmt: skip
"""The whole report."""
