"""A gearing in words: sentences and rows that every report of it shares."""

from collections.abc import Iterator
from typing import Final

from speclint.gearing.assumed import WINDING_LIMIT_C
from speclint.gearing.figures import (
    current_band,
    degrees,
    degrees_band,
    lap_band,
    minutes_text,
    ratio_text,
    rollout_text,
    teeth_text,
    whole_band,
)
from speclint.gearing.model_words import learnt_text, left_out_text
from speclint.gearing.next_steps import GearStep, Look
from speclint.gearing.plan import Plan, Start
from speclint.gearing.start import AS_COOL_K, Mark, RatedPair, Reason
from speclint.moments import day_text
from speclint.physics.units import kmh, mah, rpm
from speclint.readings.digits import plain_text, with_unit
from speclint.rules.checks import Verdict
from speclint.rules.wording import asks, margin, message

MARKS: Final = {
    Mark.SAFE: ("", "legal with a tooth to spare, and nine of ten cans stay below the limit"),
    Mark.LOOK: ("l", "look first: legal, and the can likely stays below the limit, but may pass it"),
    Mark.EDGE: ("e", "edge: legal and likely cool enough, but one pinion tooth more is not legal"),
    Mark.HOT: ("h", "hot: legal, but the can likely passes the limit"),
    Mark.FAST: ("f", "fast: legal, but the motor may turn faster than its limit"),
    Mark.WEAK: ("w", "weak: legal, but the motor may not pull the car out of a corner"),
    Mark.UNRATED: ("", "legal with a tooth to spare; nothing is predicted"),
    Mark.NOT_SHOWN: ("?", "not shown to be legal"),
    Mark.ILLEGAL: ("x", "illegal in an entry"),
}
"""What stands behind a ratio in the chart, and what it means."""

START_SIGN: Final = "*"
STEP_SIGN: Final = "+"
NINE_IN_TEN: Final = "nine of ten cars and tracks like this"


def answer_text(plan: Plan) -> str:
    """The answer in a sentence or two: the pair to begin with and the look, or that there is none and why."""
    start, case = plan.start, plan.case
    if start is None:
        return f"There is no start to recommend. {plan.no_start_reasons[0]}"
    figures = ", ".join(text for text in (f"ratio {ratio_text(start.rated)}", _rollout(start.rated)) if text)
    return f"Start with {teeth_text(start.rated.pair)} ({figures}). {look_text(start.look, case.limit_c, start.back)}"


def _rollout(rated: RatedPair) -> str:
    shown = rollout_text(rated)
    return f"rollout {shown}" if shown else ""


def look_text(look: Look, limit_c: float, back: RatedPair | None) -> str:
    """When to stop and look, and what to do then."""
    where = (
        f"go to {teeth_text(back.pair)}"
        if back is not None
        else "stop there: a fan, less timing or a shorter run helps"
    )
    if look.go_on_c is None:
        return f"Read the can after {minutes_text(look.minutes)}: under {limit_c:.0f} °C it may stay, above {where}."
    return f"Stop after {minutes_text(look.minutes)} and read the can: up to {look.go_on_c} °C go on, above {where}."


def step_notes(step: GearStep) -> tuple[str, ...]:
    """What is to be known of a step, in a few words each."""
    return (
        *(["likely cooler"] if step.cooler else []),
        *(["it may pass the limit"] if step.may_pass else []),
        *(["another spur"] if step.new_spur else []),
        *(["taller than the motor's sheet starts"] if step.taller_than_maker else []),
    )


def step_text(step: GearStep) -> str:
    """A step up in a sentence."""
    rated = step.rated
    parts = [f"{rated.pair.text}: ratio {ratio_text(rated)}"]
    if rated.outlook is not None:
        parts.append(f"can {degrees_band(rated.outlook.can_c)}, likely {degrees(rated.outlook.can_c.median)}")
    if step.look.go_on_c is not None:
        parts.append(f"go on past {minutes_text(step.look.minutes)} at up to {step.look.go_on_c} °C")
    parts += step_notes(step)
    parts += ["the last legal tooth"] if rated.is_legal and not rated.spare else []
    return "; ".join(parts)


def reason_text(plan: Plan) -> str:
    """Why the start is the one to begin with, in a sentence; empty where there is none."""
    start, case = plan.start, plan.case
    if start is None:
        return ""
    match start.reason:
        case Reason.FOUR_OF_FIVE:
            why = f"it is the tallest{_spur(plan, start)}{_bounds(plan, start)} with which four of five cars stay below {case.limit_c:.0f} °C"
        case Reason.COOLEST:
            why = (
                f"with none do four of five cars stay below {case.limit_c:.0f} °C, and it is the tallest{_spur(plan, start)} that is"
                f" likely within {AS_COOL_K:.0f} °C of the coolest; the look decides"
            )
        case Reason.EVEN:
            why = (
                f"even the coolest pair at hand is about as likely to pass {case.limit_c:.0f} °C as not, so the look decides;"
                " a fan, less timing, a shorter run or a cooler day help"
            )
        case Reason.SHEET:
            ends = " to ".join(f"{float(end):.2f}" for end in case.starting or ())
            why = f"it is from the motor's sheet, which suggests {ends} for this tyre"
        case Reason.USUAL:
            ends = " to ".join(plain_text(end) for end in case.usual or ())
            why = f"it is from what is usual in the class, {ends}"
        case Reason.SHORTEST:
            why = "it is the shortest at hand, since nothing says how hot this motor runs"
    return f"Why this one: {why}{_spare(start)}."


def _spur(plan: Plan, start: Start) -> str:
    """The fitted spur stays where another one gains less than a whole pinion tooth, though that may be a little taller."""
    return " on the fitted spur" if start.rated.pair.spur == plan.case.spur else ""


def _bounds(plan: Plan, start: Start) -> str:
    """Among which pairs the start is the tallest, where heat alone would allow taller ones."""
    bounds = []
    if start.rated.spare and start.rated.standings:
        bounds.append("a legal tooth to spare")
    if any(step.taller_than_maker for step in plan.steps):
        bounds.append("no taller a ratio than the motor's sheet starts with")
    return f" with {' and '.join(bounds)}," if bounds else ""


def _spare(start: Start) -> str:
    if start.rated.mark is Mark.NOT_SHOWN:
        return "; it is not shown to be legal"
    return "" if start.rated.spare or not start.rated.standings else "; it has no legal tooth to spare"


def sure_text(plan: Plan) -> str:
    """How sure it all is, and what would make it surer."""
    case = plan.case
    if case.model is None or plan.forecaster is None:
        return f"How sure: not at all. Nothing is predicted without {' and without '.join(case.lacking)}."
    learnt = plan.forecaster.learnt
    left_out = f" {left_out_text(learnt)}".rstrip()
    if learnt.fit is not None:
        off = f"{learnt.fit.after_k:.1f} °C"
        count = (
            f"one run of this car, which the model meets within {off}"
            if len(learnt.used) == 1
            else f"{len(learnt.used)} runs of this car, which the model misses by {off} on average"
        )
        strained = (
            " They lie farther from the model than their readings explain: look for a slip in gears, minutes or"
            " temperatures."
            if learnt.strained
            else ""
        )
        return (
            f"How sure: learnt from {count}. The band holds nine of ten runs, another day's differences included."
            f"{strained}{left_out}"
        )
    motor = case.model.motor
    advice = ["one logged run of this car (`speclint log … track`) halves the band"]
    if not motor.measured:
        advice.append("a bench run with speed, current and winding shows the motor")
    if case.track.name and case.track.infield is None:
        advice.append("`infield: flowing`, `mixed` or `stop-go` in the garage's track tells how it is driven")
    elif motor.measured and not motor.two_points:
        advice.append("a second no-load point on the bench tells friction from iron")
    return (
        f"How sure: not very. It rests on {motor.origin}, and on assumed ranges for car and track, not on measured cars."
        f"{left_out} What helps: {'; '.join(advice)}."
    )


def legal_text(plan: Plan) -> Iterator[str]:
    """Under which rules the start is legal, a sentence an entry."""
    start = plan.start
    if not plan.entries:
        yield "The setup has no entry, so no rules were asked: the pairs here may be illegal."
        return
    if start is None:
        return
    for entry_rules, standing in zip(plan.entries, start.rated.standings, strict=True):
        where = f"by {entry_rules.label} on {day_text(entry_rules.entry.on)}"
        if standing.verdict is not Verdict.LEGAL:
            why = "" if standing.check is None else f": {message(standing.check)}"
            yield f"Not shown to be legal {where}{why}."
        elif standing.check is None:
            yield f"Legal {where}: no rule there limits the gearing."
        else:
            cite = f" (clause {standing.check.rule.cite})" if standing.check.rule.cite else ""
            spare = "Legal with a tooth to spare" if start.rated.spare else "Legal, by the last tooth,"
            yield f"{spare} {where}: {margin(standing.check)}; the rule asks {asks(standing.check)}{cite}."


def start_text(plan: Plan) -> tuple[str, ...]:
    """The start with all that is to be said of it, a sentence or two each; none where there is none."""
    start = plan.start
    if start is None:
        return ()
    return (
        f"{answer_text(plan)}{_change(plan, start.rated)}",
        reason_text(plan),
        *legal_text(plan),
        *details_text(plan),
    )


def details_text(plan: Plan) -> tuple[str, ...]:
    """What a run with the start may bring, and what the motor's sheet says of it; none where there is no start."""
    start = plan.start
    return () if start is None else (*_run_text(plan, start.rated), *_maker_text(plan, start.rated))


def _run_text(plan: Plan, rated: RatedPair) -> Iterator[str]:
    outlook, case = rated.outlook, plan.case
    if outlook is None or case.model is None:
        return
    yield (
        f"After {minutes_text(case.minutes)} in air of {case.model.conditions.ambient_c:.0f} °C the can should be at"
        f" {degrees_band(outlook.can_c)} ({NINE_IN_TEN}), likely {degrees(outlook.can_c.median)}; the limit is"
        f" {case.limit_c:.0f} °C."
    )
    yield (
        f"At the end of the straight the car does {whole_band(kmh(outlook.top_m_per_s.low), kmh(outlook.top_m_per_s.high), 'kmh')}"
        f" and the motor {whole_band(rpm(outlook.top_motor_rad_per_s.low), rpm(outlook.top_motor_rad_per_s.high), 'rpm', 100)};"
        f" a lap takes {lap_band(outlook.lap_s)}, and the pack gives {current_band(plan, outlook.charge_c)} on average,"
        f" {whole_band(mah(outlook.charge_c.low), mah(outlook.charge_c.high), 'mah', 10)} in the run{_of_pack(plan)}."
    )


def _change(plan: Plan, rated: RatedPair) -> str:
    fitted = plan.choice.fitted
    if fitted is None:
        return ""
    spur, pinion = fitted
    if (rated.pair.spur, rated.pair.pinion) == fitted:
        return " That is the pair that is fitted."
    if rated.pair.spur == spur:
        return f" The spur stays; the pinion that is fitted has {pinion} teeth."
    return f" Spur {spur} with pinion {pinion} is fitted."


def _of_pack(plan: Plan) -> str:
    capacity = plan.case.capacity_mah
    return "" if capacity is None else f" out of {with_unit(f'{capacity:.0f}', 'mah')}"


def pack_text(plan: Plan) -> str:
    """That the run takes more than the pack has, where it likely does; empty where not."""
    start, capacity = plan.start, plan.case.capacity_mah
    if start is None or start.rated.outlook is None or capacity is None:
        return ""
    used = mah(start.rated.outlook.charge_c.median)
    if used < 0.8 * capacity:
        return ""
    return (
        f"The run likely takes {whole_band(used, used, 'mah', 50)} of the pack's {with_unit(f'{capacity:.0f}', 'mah')}: a"
        " shorter run, or a larger pack; never run a lithium pack empty."
    )


def _maker_text(plan: Plan, rated: RatedPair) -> Iterator[str]:
    starting = plan.case.starting
    if starting is None:
        return
    low, high = (f"{float(end):.2f}" for end in starting)
    tail = "; the start here is shorter, as heat or rules ask for" if rated.pair.ratio > starting[1] else ""
    yield f"The motor's sheet suggests {low} to {high} to start with on this tyre{tail}."


HOW_TO_LOOK: Final = (
    "On every step stop for the look first. Measure within half a minute of stopping, at several spots of the can, and keep"
    " the highest; a shiny can shows an infrared thermometer too little. Change one tooth at a time and nothing else with it."
    " Above the limit, or where the motor smells or the throttle fades or cuts out, go to the cooler pair."
)


def stop_text(plan: Plan) -> str:
    """Where the steps end, and why."""
    return f"{'Then stop' if plan.steps else 'Stop here'}: {plan.stop}."


def runs_text(plan: Plan) -> tuple[str, ...]:
    """What the setup's own track runs come to, a line each; none where there is nothing to predict with."""
    return () if plan.forecaster is None else learnt_text(plan.forecaster.learnt)


def conditions_text(plan: Plan) -> str:
    """What the prediction is for, on one line."""
    case = plan.case
    air = "" if case.model is None else f" · air {case.model.conditions.ambient_c:.0f} °C"
    track = case.track.name or "no track known"
    return f"limit {case.limit_c:.0f} °C at the can{air} · {track}, {minutes_text(case.minutes)}"


def case_text(plan: Plan) -> tuple[tuple[str, str], ...]:
    """What the prediction is for, as label and text."""
    case = plan.case
    model = case.model
    if model is None:
        return (("run", minutes_text(case.minutes)),)
    track = model.conditions.track
    name = case.track.name or "no track known"
    speed = (
        f"laps in {track.lap_s:g} s"
        if track.lap_s is not None
        else f"{kmh(track.infield_m_per_s):.0f} km/h off the straight"
    )
    stated = f"lap {track.lap_m:.0f} m, straight {track.straight_m:.0f} m, {speed}"
    infield = f", {case.track.infield}" if case.track.infield else ""
    corners = f", {track.corners} corners" if track.corners else ""
    grip = f", grip {case.track.grip:g}" if case.track.grip is not None else ""
    air = f"air {model.conditions.ambient_c:.0f} °C"
    return (
        ("run", f"{minutes_text(case.minutes)} on {name}: {stated}{infield}{corners}{grip}, {air}"),
        ("motor", model.motor.origin),
    )


def limits_text(plan: Plan) -> tuple[tuple[str, str], ...]:
    """The limits and the gears that were looked at, as label and text."""
    case, choice = plan.case, plan.choice
    sums = f"{choice.sums[0]} to {choice.sums[1]}, {choice.sum_origin}" if choice.sums else choice.sum_origin
    return (
        ("limit for the can", f"{case.limit_c:.0f} °C, {case.limit_origin}"),
        ("limit for the winding", f"{WINDING_LIMIT_C:.0f} °C, insulation of thermal class E (IEC 60085)"),
        ("limit for the motor's speed", f"{case.limit_rpm:,.0f} rpm, {case.limit_rpm_origin}"),
        ("gears", f"{choice.origin}; {_pitch(plan)}"),
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
    sentences = [
        f"{entry_rules.label}, {day_text(entry_rules.entry.on)}: whatever the gearing, {message(check)}"
        for entry_rules in plan.entries
        for check in entry_rules.elsewhere
    ]
    for index, entry_rules in enumerate(plan.entries, start=1):
        track = entry_rules.entry.track
        if track and track != plan.case.track.name and len(plan.entries) > 1:
            sentences.append(
                f"{entry_rules.label}, {day_text(entry_rules.entry.on)}, is run on {track}: --entry {index} predicts for that."
            )
    return tuple(sentences)
