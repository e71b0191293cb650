"""The `json` report of a gearing: `gearing/1`, one pair a line, in an order that never changes for the same input."""

import json
from typing import Any

from speclint import __version__
from speclint.gearing.forecast import SAMPLES, SEED
from speclint.gearing.legality import Entered, Standing
from speclint.gearing.model_words import fit_text
from speclint.gearing.plan import Plan
from speclint.gearing.start import RatedPair
from speclint.gearing.wording import HOW_TO_LOOK, elsewhere_text, look_text, rung_text, start_text, trial_text
from speclint.physics.assumptions import ASSUMPTIONS
from speclint.physics.bands import COVER, Band
from speclint.physics.fit import Factor
from speclint.physics.units import kmh, mah, rpm
from speclint.readings.exact import to_float
from speclint.readings.measured import value_of
from speclint.reports import Paper
from speclint.rules.wording import message, unit


def render(plan: Plan, _paper: Paper) -> str:
    """The report as text, the same on any paper, as programs read it."""
    head: dict[str, Any] = {
        "format": "gearing/1",
        "tool": {"name": "speclint", "version": __version__},
        "setup": {"file": plan.car.setup.document.file, "name": plan.car.setup.name},
        "entries": [_entry(one) for one in plan.entered],
        "run": _run(plan),
        "gears": _gears(plan),
        "band": {"low_share": COVER[0], "high_share": COVER[1], "samples": SAMPLES, "seed": SEED},
        "start": None if plan.start is None else _teeth(plan.start),
        "start_words": list(start_text(plan)),
        "first_look": "" if plan.start_look is None else look_text(plan.start_look, plan.forecaster.case.limit_c),
        "no_start": list(plan.no_start_reasons),
        "trial": None
        if plan.trial is None
        else {**_teeth(plan.trial.rated), "minutes": plan.trial.minutes, "message": trial_text(plan)},
        "steps": [
            {
                **_teeth(step.rated),
                "look_after_minutes": step.look.minutes,
                "go_on_c": step.look.go_on_c,
                "message": rung_text(step),
            }
            for step in plan.steps
        ],
        "stop": plan.stop,
        "how_to_look": HOW_TO_LOOK,
        "notices": [*plan.notices, *elsewhere_text(plan)],
        "track_runs": _track_runs(plan),
        "assumed": [
            {"what": one.what, "value": one.value, "why": one.why, "source": one.source}
            for one in plan.forecaster.case.assumed
        ],
        "cautions": list(plan.cautions),
    }
    parts = [f"{json.dumps(key)}: {_dumped(value)}" for key, value in head.items()]
    rows = {
        "constants": [_constant(plan, index) for index in range(len(ASSUMPTIONS))],
        "pairs": [_pair(rated) for rated in plan.pairs],
        "course": [{"minutes": minutes, "can_c": _band(band)} for minutes, band in plan.course],
    }
    for key, values in rows.items():
        lines = ",\n".join(f"  {_dumped(value)}" for value in values)
        parts.append(f'"{key}": [\n{lines}\n ]' if lines else f'"{key}": []')
    return "{" + ",\n ".join(parts) + "}\n"


def _dumped(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _entry(one: Entered) -> dict[str, Any]:
    ruleset = one.book.flat.ruleset
    return {
        "ruleset": ruleset.id,
        "ruleset_version": ruleset.version,
        "class": one.book.flat.id,
        "on": one.entry.on.isoformat(),
        "track": str(one.entry.keys["track"]) if one.entry.keys.get("track") else None,
        "not_met_elsewhere": [message(check) for check in one.elsewhere],
    }


def _run(plan: Plan) -> dict[str, Any]:
    case = plan.forecaster.case
    track = case.run.track
    return {
        "track": case.track or None,
        "minutes": case.run.minutes,
        "ambient_c": case.run.ambient_c,
        "lap_m": track.lap_m,
        "straight_m": track.straight_m,
        "infield_speed_kmh": _rounded(kmh(track.corner_m_per_s)),
        "grip": case.run.grip,
        "motor": case.motor.origin,
        "motor_measured": case.motor.measured,
        "limit_c": case.limit_c,
        "limit_source": case.limit_origin,
        "limit_rpm": case.limit_rpm,
        "limit_rpm_source": case.limit_rpm_origin,
        "starting_ratio": None if case.starting is None else [to_float(end) for end in case.starting],
    }


def _gears(plan: Plan) -> dict[str, Any]:
    parts = plan.parts
    return {
        "spurs_teeth": list(parts.spurs),
        "pinions_teeth": list(parts.pinions),
        "origin": parts.origin,
        "tooth_sum": None if parts.sums is None else list(parts.sums),
        "tooth_sum_origin": parts.sum_origin,
        "internal_ratio": to_float(plan.forecaster.case.internal),
    }


def _teeth(rated: RatedPair) -> dict[str, Any]:
    return {
        "spur_teeth": rated.pair.spur,
        "pinion_teeth": rated.pair.pinion,
        "final_drive_ratio": to_float(rated.pair.ratio),
    }


def _pair(rated: RatedPair) -> dict[str, Any]:
    outlook = rated.outlook
    return {
        **_teeth(rated),
        "spur_pinion_ratio": to_float(rated.pair.spur_pinion),
        "tooth_sum": rated.pair.tooth_sum,
        "rollout_mm": _rounded(to_float(value_of(rated.rollout))),
        "word": rated.mark.value,
        "tooth_to_spare": rated.spare,
        "rules": [_standing(each) for each in rated.standings],
        "outlook": None
        if outlook is None
        else {
            "can_c": _band(outlook.can_c),
            "likely_can_c": _rounded(outlook.likely.can_c),
            "winding_c": _band(outlook.winding_c),
            "top_speed_kmh": _band(outlook.top_m_per_s, kmh),
            "motor_rpm": _band(outlook.top_motor_rad_per_s, rpm),
            "lap_s": _band(outlook.lap_s),
            "charge_mah": _band(outlook.charge_c, mah),
        },
    }


def _standing(each: Standing) -> dict[str, Any]:
    check = each.check
    return {
        "verdict": each.verdict.value,
        "rule": None if check is None else check.rule.id,
        "margin": None if each.margin is None else to_float(each.margin),
        "unit": "" if check is None else unit(check) or "1",
        "ratio_limit": None if each.ratio_limit is None else _rounded(to_float(each.ratio_limit)),
    }


def _band(band: Band, by: Any = None) -> dict[str, float]:
    low, median, high = (each if by is None else by(each) for each in (band.low, band.median, band.high))
    return {"low": _rounded(low), "median": _rounded(median), "high": _rounded(high)}


def _rounded(value: float) -> float:
    # A model's sixth digit is noise, and differs between processors.
    return float(f"{value:.4g}")


def _constant(plan: Plan, index: int) -> dict[str, Any]:
    one = ASSUMPTIONS[index]
    return {
        "name": one.name,
        "value": one.value,
        "low": one.low,
        "high": one.high,
        "used": _rounded(getattr(plan.forecaster.likely, one.name)),
        "unit": one.unit,
        "meaning": one.meaning,
        "source": one.source,
    }


def _track_runs(plan: Plan) -> dict[str, Any]:
    learnt = plan.forecaster.learnt
    fit = learnt.fit
    residuals = fit.residuals if fit is not None else ()
    return {
        "used": [
            {
                "date": used.when.day.isoformat(),
                "spur_teeth": used.pair.spur,
                "pinion_teeth": used.pair.pinion,
                "minutes": used.run.run.minutes,
                "ambient_c": used.run.run.ambient_c,
                "measured_can_c": used.run.can_c,
                "predicted_before_c": _rounded(residual.measured_c - residual.before_k),
                "predicted_after_c": _rounded(residual.measured_c - residual.after_k),
            }
            for used, residual in zip(learnt.used, residuals, strict=True)
        ],
        "left_out": [{"date": one.when.day.isoformat(), "reason": one.reason} for one in learnt.left_out],
        "fit": None
        if fit is None
        else {
            "cooling": _factor(fit.cooling),
            "load": _factor(fit.load),
            "correlation": _rounded(fit.correlation),
            "off_before_k": _rounded(fit.before_k),
            "off_after_k": _rounded(fit.after_k),
            "words": list(fit_text(plan)),
        },
    }


def _factor(factor: Factor) -> dict[str, Any]:
    return {
        "constant": factor.name,
        "factor": _rounded(factor.factor),
        "relative_uncertainty": _rounded(factor.relative_u),
    }
