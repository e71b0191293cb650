"""The fields of `gearing/1`: the start, the steps, and every pair of gears with what a run may bring."""

from collections.abc import Callable, Iterator
from typing import Any, Final, NamedTuple

from speclint.gearing.assumed import Assumed
from speclint.gearing.forecast import SAMPLES, SEED
from speclint.gearing.legality import Entered, Standing
from speclint.gearing.model_words import fit_text
from speclint.gearing.next_steps import GearStep
from speclint.gearing.plan import Plan
from speclint.gearing.start import Mark, RatedPair
from speclint.gearing.track_runs import LeftOut, UsedRun
from speclint.gearing.wording import HOW_TO_LOOK, elsewhere_text, look_text, rung_text, start_text, trial_text
from speclint.physics.assumptions import ASSUMPTIONS, Assumption
from speclint.physics.bands import COVER, Band, Outlook
from speclint.physics.fit import Factor, Fit, Residual
from speclint.physics.units import kmh, mah, rpm
from speclint.readings.exact import to_float
from speclint.readings.measured import value_of
from speclint.reports.check.fields import ENTRY_VERDICTS
from speclint.reports.fields import Field, Record, field, part, rows
from speclint.reports.places import head
from speclint.rules.wording import message, unit


class FittedRun(NamedTuple):
    """A track run that was learnt from, with what the model was off by before and after, in K."""

    run: UsedRun
    residual: Residual


class ConstantUsed(NamedTuple):
    """An assumed constant of car or track, and the value that was taken for it."""

    assumption: Assumption
    used: float


class RunMoment(NamedTuple):
    """The can at one moment of a run."""

    minutes: float
    can_c: Band


def _rounded(value: float) -> float:
    # A model's sixth digit is noise, and differs between processors.
    return float(f"{value:.4g}")


def _fitted(plan: Plan) -> Iterator[FittedRun]:
    learnt = plan.forecaster.learnt
    residuals = learnt.fit.residuals if learnt.fit is not None else ()
    return map(FittedRun, learnt.used, residuals)


def _constants(plan: Plan) -> Iterator[ConstantUsed]:
    likely = plan.forecaster.likely
    return (ConstantUsed(assumption, getattr(likely, assumption.name)) for assumption in ASSUMPTIONS)


def _teeth_fields(rated: Callable[[Any], RatedPair]) -> tuple[Field[Any], ...]:
    """Spur, pinion and ratio of a pair."""
    return (
        field("spur_teeth", "integer", "Teeth of the spur.", 96, lambda thing: rated(thing).pair.spur, minimum=1),
        field("pinion_teeth", "integer", "Teeth of the pinion.", 42, lambda thing: rated(thing).pair.pinion, minimum=1),
        field("final_drive_ratio", "number", "Motor turns for one turn of the wheel.", 4.342857142857143,
              lambda thing: to_float(rated(thing).pair.ratio), exclusiveMinimum=0),
    )  # fmt: skip


_SETUP: Final[Record[Plan]] = Record(
    "geared_setup", "The setup.",
    (
        field("file", "text", "Its file, with / between folders.", "setups/car-12.yaml",
              lambda plan: plan.car.setup.document.file),
        field("name", "text", "Its name.", "Car 12, indoor carpet", lambda plan: plan.car.setup.name),
    ),
)  # fmt: skip

_ENTRY: Final[Record[Entered]] = Record(
    "gearing_entry", "One entry whose rules were asked.",
    (
        field("ruleset", "text", "Id of the ruleset.", "harbour-city", lambda entered: entered.book.flat.ruleset.id),
        field("ruleset_version", "text", "Version of the ruleset that is in force.", "2026.2",
              lambda entered: entered.book.flat.ruleset.version),
        field("class", "text", "Id of the class.", "stock-17", lambda entered: entered.book.flat.id),
        field("on", "day", "The day of the race.", "2026-03-14", lambda entered: entered.entry.on.isoformat()),
        field("track", "text", "The track that the entry names.", "harbour-hall",
              lambda entered: str(entered.entry.keys["track"]) if entered.entry.keys.get("track") else None, null=True),
        field("not_met_elsewhere", "texts", "What is illegal or not shown whatever the gears.",
              ["mass is 1340 g; the rule asks at least 1350 g: 10 g short"],
              lambda entered: [message(check) for check in entered.elsewhere]),
    ),
)  # fmt: skip

_RUN: Final[Record[Plan]] = Record(
    "gearing_run", "What the prediction is for.",
    (
        field("track", "text", "Id of the track.", "harbour-hall", lambda plan: plan.forecaster.case.track or None,
              null=True),
        field("minutes", "number", "Length of the run.", 5, lambda plan: plan.forecaster.case.run.minutes,
              exclusiveMinimum=0),
        field("ambient_c", "number", "Temperature of the air.", 19, lambda plan: plan.forecaster.case.run.ambient_c),
        field("lap_m", "number", "Length of a lap.", 162, lambda plan: plan.forecaster.case.run.track.lap_m),
        field("straight_m", "number", "Length of the longest straight.", 24,
              lambda plan: plan.forecaster.case.run.track.straight_m),
        field("infield_speed_kmh", "number", "Mean speed off the straight.", 19,
              lambda plan: _rounded(kmh(plan.forecaster.case.run.track.corner_m_per_s))),
        field("grip", "number", "Coefficient of friction of tyre on track.", 1.6,
              lambda plan: plan.forecaster.case.run.grip, null=True),
        field("motor", "text", "Where the motor's numbers come from.", "the bench run of 12 March 2026",
              lambda plan: plan.forecaster.case.motor.origin),
        field("motor_measured", "boolean", "Whether all of them are from readings that count.", True,
              lambda plan: plan.forecaster.case.motor.measured),
        field("limit_c", "number", "Limit for the can's temperature.", 71, lambda plan: plan.forecaster.case.limit_c),
        field("limit_source", "text", "Where that limit comes from.", "as asked for",
              lambda plan: plan.forecaster.case.limit_origin),
        field("limit_rpm", "number", "Limit for the motor's speed.", 40000, lambda plan: plan.forecaster.case.limit_rpm),
        field("limit_rpm_source", "text", "Where that limit comes from.", "as asked for",
              lambda plan: plan.forecaster.case.limit_rpm_origin),
        field("starting_ratio", "numbers", "Lowest and highest final drive ratio that the maker suggests to start with.",
              [4.2, 5],
              lambda plan: plan.forecaster.case.starting and [to_float(end) for end in plan.forecaster.case.starting],
              null=True),
    ),
)  # fmt: skip

_GEARS: Final[Record[Plan]] = Record(
    "gears", "The gears that were looked at.",
    (
        field("spurs_teeth", "integers", "Spurs, each by its teeth.", [93, 96], lambda plan: list(plan.parts.spurs)),
        field("pinions_teeth", "integers", "Pinions, each by its teeth.", [40, 41, 42],
              lambda plan: list(plan.parts.pinions)),
        field("origin", "text", "Where they come from.", "the gears of the setup's parts box",
              lambda plan: plan.parts.origin),
        field("tooth_sum", "integers", "Least and greatest sum of teeth that counts as fitting.", [132, 144],
              lambda plan: plan.parts.sums and list(plan.parts.sums), null=True),
        field("tooth_sum_origin", "text", "Where that range comes from.", "as asked for",
              lambda plan: plan.parts.sum_origin),
        field("internal_ratio", "number", "Fixed reduction between spur and wheel.", 1.9,
              lambda plan: to_float(plan.forecaster.case.internal)),
    ),
)  # fmt: skip

_BAND_MAKING: Final[Record[Any]] = Record(
    "band_making", "How bands are made: sets of constants drawn from their ranges.",
    (
        field("low_share", "number", "Share of the sets below a band.", 0.05, lambda _: COVER[0]),
        field("high_share", "number", "Share of the sets below its upper end.", 0.95, lambda _: COVER[1]),
        field("samples", "integer", "Sets that were drawn.", 200, lambda _: SAMPLES),
        field("seed", "integer", "Seed of the draw.", 20260314, lambda _: SEED),
    ),
)  # fmt: skip

_START: Final[Record[RatedPair]] = Record("gearing_start", "The safe start.", _teeth_fields(lambda rated: rated))

_TRIAL: Final[Record[Plan]] = Record(
    "gearing_trial", "A first short run to measure by, where no pair is safe for the whole one.",
    (
        *_teeth_fields(lambda plan: plan.trial.rated),
        field("minutes", "number", "How long, and no longer.", 2, lambda plan: plan.trial and plan.trial.minutes),
        field("message", "text", "The run in words.", "run spur 96 with pinion 42 for 2 minutes", trial_text),
    ),
)  # fmt: skip

_STEP: Final[Record[GearStep]] = Record(
    "gearing_step", "One step up from the start.",
    (
        *_teeth_fields(lambda step: step.rated),
        field("look_after_minutes", "number", "When to stop and measure first.", 3, lambda step: step.look.minutes),
        field("go_on_c", "integer", "Highest can temperature then with which the whole run should stay below the limit.",
              56, lambda step: step.look.go_on_c, null=True),
        field("message", "text", "The step in words.", "spur 96 with pinion 43: ratio 4.242", rung_text),
    ),
)  # fmt: skip

_FITTED_RUN: Final[Record[FittedRun]] = Record(
    "fitted_run", "A track run that was learnt from.",
    (
        field("date", "day", "When it was run.", "2026-03-13", lambda fitted: fitted.run.when.day.isoformat()),
        field("spur_teeth", "integer", "Teeth of the spur.", 96, lambda fitted: fitted.run.pair.spur, minimum=1),
        field("pinion_teeth", "integer", "Teeth of the pinion.", 42, lambda fitted: fitted.run.pair.pinion, minimum=1),
        field("minutes", "number", "How long it lasted.", 5, lambda fitted: fitted.run.run.run.minutes),
        field("ambient_c", "number", "Temperature of the air.", 19, lambda fitted: fitted.run.run.run.ambient_c),
        field("measured_can_c", "number", "Can at its end as measured.", 61, lambda fitted: fitted.run.run.can_c),
        field("predicted_before_c", "number", "The same as predicted before the fit.", 50,
              lambda fitted: _rounded(fitted.residual.measured_c - fitted.residual.before_k)),
        field("predicted_after_c", "number", "The same as predicted after it.", 59,
              lambda fitted: _rounded(fitted.residual.measured_c - fitted.residual.after_k)),
    ),
)  # fmt: skip

_LEFT_OUT: Final[Record[LeftOut]] = Record(
    "run_left_out", "A track run that does not count.",
    (
        field("date", "day", "When it was run.", "2026-03-13", lambda run: run.when.day.isoformat()),
        field("reason", "text", "Why it does not.", "it states no can_c", lambda run: run.reason),
    ),
)  # fmt: skip

_FACTOR: Final[Record[Factor]] = Record(
    "gearing_factor", "A fitted factor on an assumed constant.",
    (
        field("constant", "text", "The constant.", "can_air_k_per_w", lambda factor: factor.name),
        field("factor", "number", "What it is multiplied by.", 1.26, lambda factor: _rounded(factor.factor)),
        field("relative_uncertainty", "number", "Standard uncertainty, as a part of the factor.", 0.17,
              lambda factor: _rounded(factor.relative_u)),
    ),
)  # fmt: skip


def _fit_words(plan: Plan) -> list[str]:
    return list(fit_text(plan))


def _of_fit(value: Callable[[Fit], Any]) -> Callable[[Plan], Any]:
    def of_plan(plan: Plan) -> Any:
        fit = plan.forecaster.learnt.fit
        return None if fit is None else value(fit)

    return of_plan


_FIT: Final[Record[Plan]] = Record(
    "gearing_fit", "What the runs say of the model, as factors on two constants.",
    (
        part("cooling", _FACTOR, "Factor on the resistance from can to air.", _of_fit(lambda fit: fit.cooling)),
        part("load", _FACTOR, "Factor on the load in corners.", _of_fit(lambda fit: fit.load)),
        field("correlation", "number", "Between both; near -1 where the runs can't tell them apart.", -0.7,
              _of_fit(lambda fit: _rounded(fit.correlation))),
        field("off_before_k", "number", "What the model was off by before the fit, as the root mean square in kelvin.",
              10.6, _of_fit(lambda fit: _rounded(fit.before_k))),
        field("off_after_k", "number", "The same after it, in kelvin.", 2.4, _of_fit(lambda fit: _rounded(fit.after_k))),
        field("words", "texts", "The same in words.", ["the runs are 2 K off after the fit"], _fit_words),
    ),
)  # fmt: skip

_TRACK_RUNS: Final[Record[Plan]] = Record(
    "gearing_track_runs", "The setup's own runs, and what the model learnt from them.",
    (
        rows("used", _FITTED_RUN, "Runs that were learnt from.", _fitted),
        rows("left_out", _LEFT_OUT, "The others.", lambda plan: plan.forecaster.learnt.left_out),
        part("fit", _FIT, "What the runs say of the model, as factors on two constants.",
             lambda plan: None if plan.forecaster.learnt.fit is None else plan, null=True),
    ),
)  # fmt: skip

_ASSUMED: Final[Record[Assumed]] = Record(
    "assumed_value", "A value that no file states.",
    (
        field("what", "text", "What it is.", "mass", lambda assumed: assumed.what),
        field("value", "text", "The value with its unit.", "1500 g", lambda assumed: assumed.value),
        field("why", "text", "Why it had to be assumed.", "car.mass_g is missing", lambda assumed: assumed.why),
        field("source", "text", "Where it comes from.", "a car at the heavy end (estimate)",
              lambda assumed: assumed.source),
    ),
)  # fmt: skip

_CONSTANT: Final[Record[ConstantUsed]] = Record(
    "gearing_constant", "One assumed constant of car or track, with its range.",
    (
        field("name", "text", "Its name.", "drag_area_m2", lambda constant: constant.assumption.name),
        field("value", "number", "Most likely value.", 0.01, lambda constant: constant.assumption.value),
        field("low", "number", "Least value of its range.", 0.007, lambda constant: constant.assumption.low),
        field("high", "number", "Greatest value of its range.", 0.014, lambda constant: constant.assumption.high),
        field("used", "number", "Value after the fit to track runs; else the most likely one.", 0.01,
              lambda constant: _rounded(constant.used)),
        field("unit", "text", "Its unit.", "m2", lambda constant: constant.assumption.unit),
        field("meaning", "text", "What it stands for.", "drag coefficient times frontal area",
              lambda constant: constant.assumption.meaning),
        field("source", "text", "Where value and range come from.", "estimate",
              lambda constant: constant.assumption.source),
    ),
)  # fmt: skip


def _band_record(by: Callable[[float], float] | None = None) -> Record[Band]:
    """Three ends of a band, taken to another unit where one is given; the shape is the same for all."""
    to_unit = by or float
    return Record(
        "gearing_band", "Lower end, middle and upper end of what is likely.",
        (
            field("low", "number", "Lower end.", 53.1, lambda band: _rounded(to_unit(band.low))),
            field("median", "number", "Middle.", 58.4, lambda band: _rounded(to_unit(band.median))),
            field("high", "number", "Upper end.", 64.2, lambda band: _rounded(to_unit(band.high))),
        ),
    )  # fmt: skip


_OUTLOOK: Final[Record[Outlook]] = Record(
    "gearing_outlook", "What a run may bring.",
    (
        part("can_c", _band_record(), "Can at the end of the run.", lambda outlook: outlook.can_c),
        field("likely_can_c", "number", "The same from the most likely constants.", 57.9,
              lambda outlook: _rounded(outlook.likely.can_c)),
        part("winding_c", _band_record(), "Winding at the end of the run.", lambda outlook: outlook.winding_c),
        part("top_speed_kmh", _band_record(kmh), "Car at the braking point of the straight.",
             lambda outlook: outlook.top_m_per_s),
        part("motor_rpm", _band_record(rpm), "Motor there.", lambda outlook: outlook.top_motor_rad_per_s),
        part("lap_s", _band_record(), "Lap time.", lambda outlook: outlook.lap_s),
        part("charge_mah", _band_record(mah), "Taken out of the pack in the run.", lambda outlook: outlook.charge_c),
    ),
)  # fmt: skip

_RULE: Final[Record[Standing]] = Record(
    "gearing_rule", "What an entry's rules on the gearing say of a pair.",
    (
        field("verdict", "text", "Legal, illegal or not shown.", "legal", lambda standing: standing.verdict.value,
              enum=[verdict.value for verdict in ENTRY_VERDICTS]),
        field("rule", "text", "The rule that decides, or that has the least to spare.", "final-drive",
              lambda standing: None if standing.check is None else standing.check.rule.id, null=True),
        field("margin", "number", "Distance to its limit, below zero where it is broken.", 0.142857,
              lambda standing: None if standing.margin is None else to_float(standing.margin), null=True),
        field("unit", "string", "Unit of the margin; 1 for a ratio.", "1",
              lambda standing: "" if standing.check is None else unit(standing.check) or "1"),
        field("ratio_limit", "number", "Its limit as a final drive ratio.", 4.2,
              lambda standing: None if standing.ratio_limit is None else _rounded(to_float(standing.ratio_limit)),
              null=True),
    ),
)  # fmt: skip

_PAIR: Final[Record[RatedPair]] = Record(
    "gearing_pair", "One spur with one pinion.",
    (
        *_teeth_fields(lambda rated: rated),
        field("spur_pinion_ratio", "number", "Motor turns for one turn of the spur.", 2.2857,
              lambda rated: to_float(rated.pair.spur_pinion)),
        field("tooth_sum", "integer", "Teeth of both.", 138, lambda rated: rated.pair.tooth_sum),
        field("rollout_mm", "number", "Way of the car for one turn of the motor.", 45.21,
              lambda rated: _rounded(to_float(value_of(rated.rollout)))),
        field("word", "text", "What is said of it; the first that applies counts.", "safe", lambda rated: rated.mark.value,
              enum=[mark.value for mark in Mark]),
        field("tooth_to_spare", "boolean", "Whether one more pinion tooth is legal too, in every entry.", True,
              lambda rated: rated.spare),
        rows("rules", _RULE, "What each entry's rules say of it, in the order of the entries.",
             lambda rated: rated.standings),
        part("outlook", _OUTLOOK, "What a run may bring, where the car can move.", lambda rated: rated.outlook, null=True),
    ),
)  # fmt: skip

_MOMENT: Final[Record[RunMoment]] = Record(
    "run_moment", "One moment of a run.",
    (
        field("minutes", "number", "Since its beginning.", 2.5, lambda moment: moment.minutes),
        part("can_c", _band_record(), "Can at that moment.", lambda moment: moment.can_c),
    ),
)  # fmt: skip


def _first_look(plan: Plan) -> str:
    return "" if plan.start_look is None else look_text(plan.start_look, plan.forecaster.case.limit_c)


REPORT: Final[Record[Plan]] = Record(
    "gearing", "The gearing of one setup. The order is stable: spur, then pinion.",
    (
        *head("gearing/1"),
        part("setup", _SETUP, "The setup.", lambda plan: plan),
        rows("entries", _ENTRY, "The entries whose rules were asked.", lambda plan: plan.entered),
        part("run", _RUN, "What the prediction is for.", lambda plan: plan),
        part("gears", _GEARS, "The gears that were looked at.", lambda plan: plan),
        part("band", _BAND_MAKING, "How bands are made: sets of constants drawn from their ranges.", lambda plan: plan),
        part("start", _START, "The safe start.", lambda plan: plan.start, null=True),
        field("start_words", "texts", "The safe start in words.", ["spur 96 with pinion 42"],
              lambda plan: list(start_text(plan))),
        field("first_look", "string", "When to stop and measure first on the start; empty where there is none.",
              "Stop after 3 minutes.", _first_look),
        field("no_start", "texts", "Where there is no safe start: why, and what would help.",
              ["every legal pair may get hotter than 71 °C"], lambda plan: list(plan.no_start_reasons)),
        part("trial", _TRIAL, "A first short run to measure by, where no pair is safe for the whole one.",
             lambda plan: None if plan.trial is None else plan, null=True),
        rows("steps", _STEP, "The next steps up, one at a time.", lambda plan: plan.steps),
        field("stop", "string", "Why there is no step after them; empty where there is no start.",
              "spur 96 with pinion 44 is illegal", lambda plan: plan.stop),
        field("how_to_look", "text", "How to measure after each step.", "Measure within a minute.", lambda _: HOW_TO_LOOK),
        field("notices", "texts", "Later rules, and what is not met whatever the gears.",
              ["from 1 June this rule asks at least 4.4"], lambda plan: [*plan.notices, *elsewhere_text(plan)]),
        part("track_runs", _TRACK_RUNS, "The setup's own runs, and what the model learnt from them.", lambda plan: plan),
        rows("assumed", _ASSUMED, "What no file states.", lambda plan: plan.forecaster.case.assumed),
        field("cautions", "texts", "What can hurt, and who has the last word.", ["A can burns from about 60 °C on."],
              lambda plan: list(plan.cautions)),
        rows("constants", _CONSTANT, "The assumed constants of car and track.", _constants),
        rows("pairs", _PAIR, "Every pair of spur and pinion.", lambda plan: plan.pairs),
        rows("course", _MOMENT, "Can temperature over a run on the start.",
             lambda plan: (RunMoment(minutes, band) for minutes, band in plan.course)),
    ),
)  # fmt: skip
"""The whole report."""
