"""A gearing in words: sentences that every report of it shares."""

from collections.abc import Iterator
from typing import Final

from speclint.gearing.figures import (
    current_band,
    degrees_band,
    lap_band,
    minutes_text,
    pair_text,
    ratio_text,
    rollout_text,
    whole_band,
)
from speclint.gearing.next_steps import GearStep, Look
from speclint.gearing.plan import Plan
from speclint.gearing.start import Mark, RatedPair
from speclint.moments import day_text
from speclint.physics.units import kmh, mah, rpm
from speclint.readings.digits import plain_text, with_unit
from speclint.rules.wording import asked, margin, message

MARKS: Final = {
    Mark.SAFE: ("", "safe: legal with a tooth to spare, and the can stays below the limit over the whole band"),
    Mark.EDGE: ("e", "edge: legal and cool enough, but one pinion tooth more is not legal"),
    Mark.HOT: ("h", "hot: legal, but the can may reach the limit"),
    Mark.FAST: ("f", "fast: legal, but the motor may turn faster than its limit"),
    Mark.WEAK: ("w", "weak: legal, but the motor may not pull the car out of a corner"),
    Mark.NOT_SHOWN: ("?", "not shown to be legal"),
    Mark.ILLEGAL: ("x", "illegal in an entry"),
}
"""What stands behind a ratio in the chart, and what it means."""

START_SIGN: Final = "*"
STEP_SIGN: Final = "+"

NINE_IN_TEN: Final = "nine of ten cars and tracks like this"


def start_text(plan: Plan) -> tuple[str, ...]:
    """The safe start, a sentence or two each; none where there is none."""
    start, case = plan.start, plan.forecaster.case
    if start is None or start.outlook is None:
        return ()
    outlook = start.outlook
    return (
        f"Start with spur {start.pair.spur} and pinion {start.pair.pinion}: final drive ratio {ratio_text(start)}, rollout {rollout_text(start)}.{_change(plan, start)}",
        *_legal_text(plan, start),
        f"After {minutes_text(case.run.minutes)} in air of {case.run.ambient_c:.0f} °C the can should be at"
        f" {degrees_band(outlook.can_c)} ({NINE_IN_TEN}); the limit is {case.limit_c:.0f} °C.",
        f"At the end of the straight the car does {whole_band(kmh(outlook.top_m_per_s.low), kmh(outlook.top_m_per_s.high), 'kmh')}"
        f" and the motor {whole_band(rpm(outlook.top_motor_rad_per_s.low), rpm(outlook.top_motor_rad_per_s.high), 'rpm', 100)};"
        f" a lap takes {lap_band(outlook.lap_s)}, and the pack gives {current_band(plan, outlook.charge_c)} on average,"
        f" {whole_band(mah(outlook.charge_c.low), mah(outlook.charge_c.high), 'mah', 10)} in the run{_of_pack(plan)}.",
        *_maker_text(plan, start),
    )


def _change(plan: Plan, start: RatedPair) -> str:
    fitted = plan.parts.fitted
    if fitted is None:
        return ""
    spur, pinion = fitted
    if (start.pair.spur, start.pair.pinion) == fitted:
        return " That is the pair that is fitted."
    if start.pair.spur == spur:
        return f" The spur stays; the pinion that is fitted has {pinion} teeth."
    return f" Spur {spur} with pinion {pinion} is fitted."


def _of_pack(plan: Plan) -> str:
    capacity = plan.forecaster.case.capacity_mah
    return "" if capacity is None else f" out of {with_unit(f'{capacity:.0f}', 'mah')}"


def _legal_text(plan: Plan, start: RatedPair) -> Iterator[str]:
    if not plan.entered:
        yield "The setup has no entry, so no rules were asked: the start is safe for the motor, and may be illegal."
        return
    for one, standing in zip(plan.entered, start.standings, strict=True):
        head = f"Legal with a tooth to spare by {one.label} on {day_text(one.entry.on)}"
        if standing.check is None:
            yield f"{head}: no rule there limits the gearing."
        else:
            cite = f" (clause {standing.check.rule.cite})" if standing.check.rule.cite else ""
            yield f"{head}: {margin(standing.check)}; the rule asks {asked(standing.check.rule)}{cite}."


def _maker_text(plan: Plan, start: RatedPair) -> Iterator[str]:
    starting = plan.forecaster.case.starting
    if starting is None:
        return
    low, high = (plain_text(end) for end in starting)
    tail = ""
    if start.pair.ratio > starting[1]:
        tail = "; the start here is shorter, as heat or rules ask for"
    yield f"The motor's sheet suggests {low} to {high} to start with{tail}."


def look_text(look: Look, limit_c: float) -> str:
    """When to stop and look, and what to do then."""
    if look.go_on_c is None:
        return f"Measure the can after {minutes_text(look.minutes)}: below {limit_c:.0f} °C it may stay."
    return f"Stop after {minutes_text(look.minutes)}: up to {look.go_on_c} °C at the can go on to the whole run, above that go back."


HOW_TO_LOOK: Final = (
    "On every step stop after two or three minutes first. Measure within a minute of stopping, at several spots of the can,"
    " and keep the highest; a shiny can shows an infrared thermometer too little. Change one tooth at a time and nothing else"
    " with it. Above the limit, or where the motor smells or the throttle fades or cuts out, go back a tooth."
)


def rung_text(step: GearStep) -> str:
    """A step up in a sentence."""
    rated = step.rated
    parts = [f"{pair_text(rated)}: ratio {ratio_text(rated)}"]
    if rated.outlook is not None:
        parts.append(f"can {degrees_band(rated.outlook.can_c)}")
    if step.look.go_on_c is not None:
        parts.append(f"go on past {minutes_text(step.look.minutes)} at up to {step.look.go_on_c} °C")
    parts += rung_notes(step)
    return "; ".join(parts)


def rung_notes(step: GearStep) -> tuple[str, ...]:
    """What is to be known of a step, in a few words each."""
    return (
        *(["it may pass the limit"] if step.may_pass else []),
        *(["the last legal tooth"] if step.rated.is_legal and not step.rated.spare else []),
        *(["another spur"] if step.new_spur else []),
        *(["taller than the motor's sheet suggests to start with"] if step.taller_than_maker else []),
    )


def trial_text(plan: Plan) -> str:
    """A first run to measure by; empty where there is none."""
    if plan.trial is None:
        return ""
    case = plan.forecaster.case
    return (
        f"To measure by, run {pair_text(plan.trial.rated)} (ratio {ratio_text(plan.trial.rated)}) for"
        f" {minutes_text(plan.trial.minutes)} and no longer: so long the can should stay below {case.limit_c:.0f} °C. Log that as"
        " a track run and ask again."
    )


def case_text(plan: Plan) -> tuple[tuple[str, str], ...]:
    """What the prediction is for, as label and text."""
    case = plan.forecaster.case
    run = case.run
    track = case.track or "no track known"
    speed = f"{kmh(run.track.corner_m_per_s):.0f} km/h off the straight"
    stated = f"lap {run.track.lap_m:.0f} m, straight {run.track.straight_m:.0f} m, {speed}"
    grip = f", grip {run.grip:g}" if run.grip is not None else ""
    return (
        ("run", f"{minutes_text(run.minutes)} on {track}: {stated}{grip}, air {run.ambient_c:.0f} °C"),
        ("motor", case.motor.origin),
    )


def limits_text(plan: Plan) -> tuple[tuple[str, str], ...]:
    """The limits and the gears that were looked at, as label and text."""
    case, parts = plan.forecaster.case, plan.parts
    sums = f"{parts.sums[0]} to {parts.sums[1]}, {parts.sum_origin}" if parts.sums else parts.sum_origin
    return (
        ("limit for the can", f"{case.limit_c:.0f} °C, {case.limit_origin}"),
        ("limit for the motor's speed", f"{case.limit_rpm:,.0f} rpm, {case.limit_rpm_origin}"),
        ("gears", f"{parts.origin}; {_pitch(plan)}"),
        ("sum of teeth", sums),
    )


def _pitch(plan: Plan) -> str:
    gears = plan.car.setup.gears
    if gears.gear_pitch_dp is not None:
        return f"all must be of {gears.gear_pitch_dp:g} dp, which a parts box does not say"
    if gears.gear_module_mm is not None:
        return f"all must be of module {gears.gear_module_mm:g}, which a parts box does not say"
    return "the setup does not state the pitch; both gears must have the same"


def elsewhere_text(plan: Plan) -> tuple[str, ...]:
    """What is not legal or not shown whatever the gears, and which entries are run on another track."""
    said = [
        f"{one.label}, {day_text(one.entry.on)}: whatever the gearing, {message(check)}"
        for one in plan.entered
        for check in one.elsewhere
    ]
    case = plan.forecaster.case
    for index, one in enumerate(plan.entered, start=1):
        track = one.entry.keys.get("track")
        if track and track != case.track and len(plan.entered) > 1:
            said.append(f"{one.label}, {day_text(one.entry.on)}, is run on {track}: --entry {index} predicts for that.")
    return tuple(said)
