"""The fields of `gearing/1`: the start, the steps, and every pair of gears with what a run may bring."""

from collections.abc import Callable, Iterator
from typing import Any, Final, NamedTuple

from speclint.gearing.assumed import Assumed
from speclint.gearing.case import CarModel
from speclint.gearing.forecast import SAMPLES, SEED
from speclint.gearing.legality import EntryRules, Standing
from speclint.gearing.model_words import fit_text
from speclint.gearing.next_steps import GearStep
from speclint.gearing.plan import Plan, Start
from speclint.gearing.start import Mark, RatedPair, Reason
from speclint.gearing.track_runs import Learnt, LeftOut, UsedRun
from speclint.gearing.wording import HOW_TO_LOOK, answer_text, elsewhere_text, start_text, step_text, sure_text
from speclint.physics.assumptions import Assumption
from speclint.physics.bands import COVER, Band, EarlyLook, Outlook
from speclint.physics.fit import FittedConstant, Residual
from speclint.physics.units import kmh, mah, rpm
from speclint.readings.exact import to_float
from speclint.readings.measured import value_of
from speclint.reports.fields import Field, Record, field, part, record, rows
from speclint.reports.places import head
from speclint.rules.checks import WORST_FIRST
from speclint.rules.wording import message, unit


class FittedRun(NamedTuple):
    """A track run that was learnt from, with what the model was off by before and after, in K."""

    run: UsedRun
    residual: Residual


class RunMoment(NamedTuple):
    """The can at one moment of a run."""

    minutes: float
    can_c: Band


def _rounded(value: float) -> float:
    # A model's sixth digit is noise, and differs between processors.
    return float(f"{value:.4g}")


def _learnt(plan: Plan) -> Learnt | None:
    return None if plan.forecaster is None else plan.forecaster.learnt


def _fitted(learnt: Learnt) -> Iterator[FittedRun]:
    return map(FittedRun, learnt.used, learnt.fit.residuals if learnt.fit is not None else ())


def _teeth_fields(rated: Callable[[Any], RatedPair]) -> tuple[Field[Any], ...]:
    """Spur, pinion and ratio of a pair."""
    return (
        field("spur_teeth", "integer", "Teeth of the spur.", 96, lambda thing: rated(thing).pair.spur, minimum=1),
        field("pinion_teeth", "integer", "Teeth of the pinion.", 42, lambda thing: rated(thing).pair.pinion, minimum=1),
        field("final_drive_ratio", "number", "Motor turns for one turn of the wheel.", 4.342857142857143,
              lambda thing: to_float(rated(thing).pair.ratio), exclusiveMinimum=0),
    )  # fmt: skip


_SETUP: Final[Record[Plan]] = record(
    "geared_setup", "The setup.",
    field("file", "text", "Its file, with / between folders.", "setups/car-12.yaml",
          lambda plan: plan.car.setup.document.file),
    field("name", "text", "Its name.", "Car 12, indoor carpet", lambda plan: plan.car.setup.name),
)  # fmt: skip

_ENTRY: Final[Record[EntryRules]] = record(
    "gearing_entry", "One entry whose rules were asked.",
    field("ruleset", "text", "Id of the ruleset.", "harbour-city", lambda rules: rules.book.flat.ruleset.id),
    field("ruleset_version", "text", "Version of the ruleset that is in force.", "2026.2",
          lambda rules: rules.book.flat.ruleset.version),
    field("class", "text", "Id of the class.", "stock-17", lambda rules: rules.book.flat.id),
    field("on", "day", "The day of the race.", "2026-03-14", lambda rules: rules.entry.on),
    field("track", "text", "The track that the entry names.", "harbour-hall", lambda rules: rules.entry.track,
          null=True),
    field("not_met_elsewhere", "texts", "What is illegal or not shown whatever the gears.",
          ["mass is 1340 g; the rule asks at least 1350 g: 10 g short"],
          lambda rules: [message(check) for check in rules.elsewhere]),
)  # fmt: skip

_MODEL: Final[Record[CarModel]] = record(
    "gearing_model", "What a prediction is made from.",
    field("ambient_c", "number", "Temperature of the air.", 19, lambda model: model.conditions.ambient_c),
    field("lap_m", "number", "Length of a lap.", 162, lambda model: model.conditions.track.lap_m),
    field("straight_m", "number", "Length of the longest straight.", 24,
          lambda model: model.conditions.track.straight_m),
    field("infield_speed_kmh", "number", "Mean speed off the straight.", 19,
          lambda model: None if model.conditions.track.lap_s is not None else _rounded(kmh(model.conditions.track.infield_m_per_s)),
          null=True),
    field("lap_s", "number", "Lap time of the car, where no infield speed is known.", 16.5,
          lambda model: model.conditions.track.lap_s, null=True),
    field("motor", "text", "Where the motor's numbers come from.", "the bench run of 12 March 2026",
          lambda model: model.motor.origin),
    field("motor_measured", "boolean", "Whether all of them are from readings that count.", True,
          lambda model: model.motor.measured),
)  # fmt: skip

_RUN: Final[Record[Plan]] = record(
    "gearing_run", "What the gearing is for.",
    field("track", "text", "Id of the track.", "harbour-hall", lambda plan: plan.case.track.name, null=True),
    field("infield", "text", "How stop-and-go its infield is.", "mixed", lambda plan: plan.case.track.infield,
          null=True),
    field("grip", "number", "Coefficient of friction of tyre on track.", 1.6, lambda plan: plan.case.track.grip,
          null=True),
    field("minutes", "number", "Length of the run.", 5, lambda plan: plan.case.minutes, exclusiveMinimum=0),
    part("model", _MODEL, "What a prediction is made from.", lambda plan: plan.case.model, null=True),
    field("lacking", "texts", "The keys without which nothing can be predicted.", ["car.tyre_diameter_mm"],
          lambda plan: plan.case.lacking),
    field("limit_c", "number", "Limit for the can's temperature.", 71, lambda plan: plan.case.limit_c),
    field("limit_source", "text", "Where that limit comes from.", "as asked for", lambda plan: plan.case.limit_origin),
    field("limit_rpm", "number", "Limit for the motor's speed.", 40000, lambda plan: plan.case.limit_rpm),
    field("limit_rpm_source", "text", "Where that limit comes from.", "as asked for",
          lambda plan: plan.case.limit_rpm_origin),
    field("starting_ratio", "numbers", "Lowest and highest final drive ratio that the maker suggests to start with,"
          " for this car's tyre.", [4.2, 5],
          lambda plan: plan.case.starting and [_rounded(to_float(end)) for end in plan.case.starting], null=True),
    field("usual_ratio", "numbers", "Lowest and highest final drive ratio that is usual in the class.", [4.2, 5.2],
          lambda plan: plan.case.usual and [to_float(end) for end in plan.case.usual], null=True),
)  # fmt: skip

_GEARS: Final[Record[Plan]] = record(
    "gears", "The gears that were looked at.",
    field("spurs_teeth", "integers", "Spurs, each by its teeth.", [93, 96], lambda plan: plan.choice.spurs),
    field("pinions_teeth", "integers", "Pinions, each by its teeth.", [40, 41, 42], lambda plan: plan.choice.pinions),
    field("origin", "text", "Where they come from.", "the gears of the setup's parts box",
          lambda plan: plan.choice.origin),
    field("tooth_sum", "integers", "Least and greatest sum of teeth that counts as fitting.", [132, 144],
          lambda plan: plan.choice.sums, null=True),
    field("tooth_sum_origin", "text", "Where that range comes from.", "as asked for",
          lambda plan: plan.choice.sum_origin),
    field("internal_ratio", "number", "Fixed reduction between spur and wheel.", 1.9,
          lambda plan: to_float(plan.case.internal)),
)  # fmt: skip

_BAND_MAKING: Final[Record[Any]] = record(
    "band_making",
    "How bands are made: sets of constants drawn from their ranges.",
    field("low_share", "number", "Share of the sets below a band.", 0.05, lambda _: COVER[0]),
    field("high_share", "number", "Share of the sets below its upper end.", 0.95, lambda _: COVER[1]),
    field("samples", "integer", "Sets that were drawn.", 200, lambda _: SAMPLES),
    field("seed", "integer", "Seed of the draw.", 20260314, lambda _: SEED),
)

_START: Final[Record[Start]] = record(
    "gearing_start", "The recommended start.",
    *_teeth_fields(lambda start: start.rated),
    field("reason", Reason, "Why this pair.", Reason.FOUR_OF_FIVE.value, lambda start: start.reason),
    field("look_after_minutes", "number", "When to stop and read the can.", 3, lambda start: start.look.minutes),
    field("go_on_c", "integer", "Highest can temperature then with which the whole run should stay below the limit; a"
          " thermometer's usual error is taken off.", 52, lambda start: start.look.go_on_c, null=True),
    part("back", record("gearing_back", "A pair.", *_teeth_fields(lambda rated: rated)),
         "The pair to go to where the look says too hot.", lambda start: start.back, null=True),
)  # fmt: skip

_STEP: Final[Record[GearStep]] = record(
    "gearing_step", "One step up from the start.",
    *_teeth_fields(lambda step: step.rated),
    field("look_after_minutes", "number", "When to stop and measure first.", 3, lambda step: step.look.minutes),
    field("go_on_c", "integer", "Highest can temperature then with which the whole run should stay below the limit.",
          56, lambda step: step.look.go_on_c, null=True),
    field("message", "text", "The step in words.", "spur 96 with pinion 43: ratio 4.242", step_text),
)  # fmt: skip

_FITTED_RUN: Final[Record[FittedRun]] = record(
    "fitted_run", "A track run that was learnt from.",
    field("date", "day", "When it was run.", "2026-03-13", lambda fitted: fitted.run.when.day),
    field("spur_teeth", "integer", "Teeth of the spur.", 96, lambda fitted: fitted.run.pair.spur, minimum=1),
    field("pinion_teeth", "integer", "Teeth of the pinion.", 42, lambda fitted: fitted.run.pair.pinion, minimum=1),
    field("minutes", "number", "How long it lasted.", 5, lambda fitted: fitted.run.readings.conditions.minutes),
    field("ambient_c", "number", "Temperature of the air.", 19,
          lambda fitted: fitted.run.readings.conditions.ambient_c),
    field("measured_can_c", "number", "Can at its end as measured.", 61, lambda fitted: fitted.run.readings.can_c),
    field("predicted_before_c", "number", "The same as predicted before the fit.", 50,
          lambda fitted: _rounded(fitted.residual.read_c - fitted.residual.before_k)),
    field("predicted_after_c", "number", "The same as predicted after it.", 59,
          lambda fitted: _rounded(fitted.residual.read_c - fitted.residual.after_k)),
)  # fmt: skip

_LEFT_OUT: Final[Record[LeftOut]] = record(
    "run_left_out",
    "A track run that does not count.",
    field("date", "day", "When it was run.", "2026-03-13", lambda run: run.when.day),
    field("reason", "text", "Why it does not.", "it states no can_c", lambda run: run.reason),
)

_CONSTANT_LEARNT: Final[Record[FittedConstant]] = record(
    "constant_learnt",
    "A constant that the runs say much of.",
    field("name", "text", "The constant.", "can_air_k_per_w", lambda constant: constant.assumption.name),
    field("value", "number", "Most likely value now.", 2.6, lambda constant: _rounded(constant.value)),
    field("low", "number", "Lower end of its range now.", 2.1, lambda constant: _rounded(constant.low)),
    field("high", "number", "Upper end of its range now.", 3.2, lambda constant: _rounded(constant.high)),
)

_FIT: Final[Record[Learnt]] = record(
    "gearing_fit", "What the runs say of the assumed constants.",
    rows("constants", _CONSTANT_LEARNT, "The constants that the runs say most of.",
         lambda learnt: () if learnt.fit is None else learnt.fit.constants),
    field("off_before_k", "number", "What the model was off by before the fit, in kelvin.", 10.6,
          lambda learnt: learnt.fit and _rounded(learnt.fit.before_k)),
    field("off_after_k", "number", "The same after it, in kelvin.", 2.4,
          lambda learnt: learnt.fit and _rounded(learnt.fit.after_k)),
    field("words", "texts", "The same in words.", ["the model is off by 2 K after the fit"], fit_text),
)  # fmt: skip

_TRACK_RUNS: Final[Record[Learnt]] = record(
    "gearing_track_runs", "The setup's own runs, and what the model learnt from them.",
    rows("used", _FITTED_RUN, "Runs that were learnt from.", _fitted),
    rows("left_out", _LEFT_OUT, "The others.", lambda learnt: learnt.left_out),
    part("fit", _FIT, "What the runs say of the assumed constants.",
         lambda learnt: None if learnt.fit is None else learnt, null=True),
)  # fmt: skip

_ASSUMED: Final[Record[Assumed]] = record(
    "assumed_value",
    "A value that no file states.",
    field("what", "text", "What it is.", "mass", lambda assumed: assumed.what),
    field("value", "text", "The value with its unit.", "1500 g", lambda assumed: assumed.value),
    field("why", "text", "Why it had to be assumed.", "car.mass_g is missing", lambda assumed: assumed.why),
    field(
        "source", "text", "Where it comes from.", "a car at the heavy end (estimate)", lambda assumed: assumed.source
    ),
)

_CONSTANT: Final[Record[Assumption]] = record(
    "gearing_constant", "One assumed constant of car or track, with its range.",
    field("name", "text", "Its name.", "drag_area_m2", lambda assumption: assumption.name),
    field("value", "number", "Most likely value.", 0.01, lambda assumption: assumption.value),
    field("low", "number", "Least value of its range.", 0.007, lambda assumption: assumption.low),
    field("high", "number", "Greatest value of its range.", 0.014, lambda assumption: assumption.high),
    field("unit", "text", "Its unit.", "m2", lambda assumption: assumption.unit),
    field("meaning", "text", "What it stands for.", "drag coefficient times frontal area",
          lambda assumption: assumption.meaning),
    field("source", "text", "Where value and range come from.", "estimate", lambda assumption: assumption.source),
)  # fmt: skip


def _band_record(by: Callable[[float], float] | None = None) -> Record[Band]:
    """Three ends of a band, taken to another unit where one is given; the shape is the same for all."""
    to_unit = by or float
    return record(
        "gearing_band",
        "Lower end, middle and upper end of what is likely.",
        field("low", "number", "Lower end.", 53.1, lambda band: _rounded(to_unit(band.low))),
        field("median", "number", "Middle.", 58.4, lambda band: _rounded(to_unit(band.median))),
        field("high", "number", "Upper end.", 64.2, lambda band: _rounded(to_unit(band.high))),
    )


_EARLY_LOOK: Final[Record[EarlyLook]] = record(
    "early_look", "A look at the can before the end of the run.",
    field("minutes", "number", "When the car is stopped.", 3, lambda look: look.minutes),
    field("true_go_on_c", "number", "Highest true temperature with which, in six of seven cars, can and winding"
          " stay below their limits to the end of the run.", 55.1, lambda look: _rounded(look.go_on_c)),
    field("can_high_c", "number", "Nineteen of twenty cans are cooler then.", 58.4,
          lambda look: _rounded(look.can_high_c)),
    field("winding_high_c", "number", "Forty-nine of fifty windings are cooler then.", 81.2,
          lambda look: _rounded(look.winding_high_c)),
)  # fmt: skip

_OUTLOOK: Final[Record[Outlook]] = record(
    "gearing_outlook", "What a run may bring.",
    part("can_c", _band_record(), "Can at the end of the run.", lambda outlook: outlook.can_c),
    field("four_of_five_can_c", "number", "Four of five cans end cooler.", 61.2,
          lambda outlook: _rounded(outlook.can_four_of_five_c)),
    part("winding_c", _band_record(), "Winding at the end of the run.", lambda outlook: outlook.winding_c),
    part("top_speed_kmh", _band_record(kmh), "Car at the braking point of the straight.",
         lambda outlook: outlook.top_m_per_s),
    part("motor_rpm", _band_record(rpm), "Motor there.", lambda outlook: outlook.top_motor_rad_per_s),
    part("lap_s", _band_record(), "Lap time.", lambda outlook: outlook.lap_s),
    part("charge_mah", _band_record(mah), "Taken out of the pack in the run.", lambda outlook: outlook.charge_c),
    rows("looks", _EARLY_LOOK, "Early looks at the can.", lambda outlook: outlook.looks),
)  # fmt: skip

_RULE: Final[Record[Standing]] = record(
    "gearing_rule", "What an entry's rules on the gearing say of a pair.",
    field("verdict", WORST_FIRST, "Legal, illegal or not shown.", "legal", lambda standing: standing.verdict),
    field("rule", "text", "The rule that decides, or that has the least to spare.", "final-drive",
          lambda standing: None if standing.check is None else standing.check.rule.id, null=True),
    field("margin", "number", "Distance to its limit, below zero where it is broken.", 0.142857,
          lambda standing: None if standing.margin is None else to_float(standing.margin), null=True),
    field("unit", "string", "Unit of the margin; 1 for a ratio.", "1",
          lambda standing: "" if standing.check is None else unit(standing.check) or "1"),
    field("ratio_limit", "number", "Its limit as a final drive ratio.", 4.2,
          lambda standing: None if standing.ratio_limit is None else _rounded(to_float(standing.ratio_limit)),
          null=True),
)  # fmt: skip

_PAIR: Final[Record[RatedPair]] = record(
    "gearing_pair", "One spur with one pinion.",
    *_teeth_fields(lambda rated: rated),
    field("spur_pinion_ratio", "number", "Motor turns for one turn of the spur.", 2.2857,
          lambda rated: to_float(rated.pair.spur_pinion)),
    field("tooth_sum", "integer", "Teeth of both.", 138, lambda rated: rated.pair.tooth_sum),
    field("rollout_mm", "number", "Way of the car for one turn of the motor.", 45.21,
          lambda rated: None if rated.rollout is None else _rounded(to_float(value_of(rated.rollout))), null=True),
    field("word", Mark, "What is said of it; the first that applies counts.", "safe", lambda rated: rated.mark),
    field("tooth_to_spare", "boolean", "Whether one more pinion tooth is legal too, in every entry.", True,
          lambda rated: rated.spare),
    rows("rules", _RULE, "What each entry's rules say of it, in the order of the entries.",
         lambda rated: rated.standings),
    part("outlook", _OUTLOOK, "What a run may bring, where the car can move.", lambda rated: rated.outlook, null=True),
)  # fmt: skip

_MOMENT: Final[Record[RunMoment]] = record(
    "run_moment",
    "One moment of a run.",
    field("minutes", "number", "Since its beginning.", 2.5, lambda moment: moment.minutes),
    part("can_c", _band_record(), "Can at that moment.", lambda moment: moment.can_c),
)


REPORT: Final[Record[Plan]] = record(
    "gearing", "The gearing of one setup. The order is stable: spur, then pinion.",
    *head("gearing/1"),
    part("setup", _SETUP, "The setup.", lambda plan: plan),
    rows("entries", _ENTRY, "The entries whose rules were asked.", lambda plan: plan.entries),
    part("run", _RUN, "What the prediction is for.", lambda plan: plan),
    part("gears", _GEARS, "The gears that were looked at.", lambda plan: plan),
    part("band", _BAND_MAKING, "How bands are made: sets of constants drawn from their ranges.", lambda plan: plan),
    field("answer", "text", "The answer in a sentence or two.", "Start with 42 on 96.", answer_text),
    part("start", _START, "The recommended start.", lambda plan: plan.start, null=True),
    field("start_words", "texts", "All there is to say of the start.", ["Start with 42 on 96."], start_text),
    field("no_start", "texts", "Where there is no start: why, and what would help.",
          ["every legal pair is likely to get hotter than 71 °C"], lambda plan: plan.no_start_reasons),
    field("sure", "text", "How sure it all is, and what would make it surer.", "How sure: from assumed ranges.",
          sure_text),
    part("fitted", _PAIR, "The pair that is fitted.", lambda plan: plan.fitted, null=True),
    rows("steps", _STEP, "The next steps up, one at a time.", lambda plan: plan.steps),
    field("stop", "string", "Why there is no step after them; empty where there is no start.",
          "spur 96 with pinion 44 is illegal", lambda plan: plan.stop),
    field("how_to_look", "text", "How to measure after each step.", "Measure within a minute.", lambda _: HOW_TO_LOOK),
    field("notices", "texts", "Later rules, and what is not met whatever the gears.",
          ["from 1 June this rule asks at least 4.4"], lambda plan: [*plan.notices, *elsewhere_text(plan)]),
    part("track_runs", _TRACK_RUNS, "The setup's own runs, and what the model learnt from them.", _learnt, null=True),
    rows("assumed", _ASSUMED, "What no file states.", lambda plan: plan.case.assumed),
    field("cautions", "texts", "What can hurt, and who has the last word.", ["A can burns from about 60 °C on."],
          lambda plan: plan.cautions),
    rows("constants", _CONSTANT, "The assumed constants of car and track, each with the range that holds nine in ten.",
         lambda plan: () if plan.case.model is None else plan.case.model.assumptions),
    rows("pairs", _PAIR, "Every pair of spur and pinion.", lambda plan: plan.pairs),
    rows("course", _MOMENT, "Can temperature over a run on the start.",
         lambda plan: (RunMoment(minutes, band) for minutes, band in plan.course)),
)  # fmt: skip
"""The whole report."""
