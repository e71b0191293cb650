"""The pairs that matter now as rows of a table: the one to go back to, the start, the fitted one, the next steps."""

from collections.abc import Callable
from typing import Final, NamedTuple

from speclint.gearing.figures import can_text, minutes_text, ratio_text, teeth_text, top_text
from speclint.gearing.next_steps import GearStep, Look
from speclint.gearing.plan import Plan
from speclint.gearing.start import Mark, RatedPair
from speclint.gearing.wording import MARKS, START_SIGN, step_notes
from speclint.rules.checks import Verdict
from speclint.rules.wording import asked

STEPS_TOLD: Final = 3
"""Steps up that are told before --full is asked for."""


class PairRow(NamedTuple):
    """A pair as a line of a table: sign, teeth, ratio, can, top speed, and what there is to say of it."""

    sign: str
    teeth: str
    ratio: str
    can: str
    top: str
    note: str


def table_rows(plan: Plan) -> tuple[PairRow, ...]:
    """The pairs that matter now, from short to tall: the one to go back to, the start, the fitted one, the next steps."""
    start = plan.start
    notes: dict[tuple[int, int], list[str]] = {}
    by_teeth = {(rated.pair.spur, rated.pair.pinion): rated for rated in plan.pairs}

    def note(rated: RatedPair, text: str) -> None:
        notes.setdefault((rated.pair.spur, rated.pair.pinion), []).append(text)

    if start is not None:
        note(start.rated, "start here")
        if start.back is not None:
            note(start.back, "go to this where the look says too hot")
        for number, step in enumerate(plan.steps[:STEPS_TOLD], start=1):
            note(step.rated, _step_note(step, number, plan.steps[0].look))
        if len(plan.steps) <= STEPS_TOLD:
            _note_stop(plan, note)
    elif plan.pairs:
        coolest = min(plan.pairs, key=lambda rated: rated.likely_c)
        note(coolest, "the coolest at hand")
    if plan.fitted is not None:
        note(plan.fitted, "fitted")
    shown = sorted((by_teeth[teeth] for teeth in notes), key=lambda rated: (-rated.pair.ratio, rated.pair.spur))
    return tuple(
        PairRow(
            START_SIGN if start is not None and rated is start.rated else _sign(rated),
            teeth_text(rated.pair),
            ratio_text(rated),
            can_text(rated.outlook),
            top_text(rated.outlook),
            "; ".join(
                dict.fromkeys(
                    [*notes[rated.pair.spur, rated.pair.pinion], *_trouble(plan, rated, fully=rated is plan.fitted)]
                )
            ),
        )
        for rated in shown
    )


def _sign(rated: RatedPair) -> str:
    return MARKS[rated.mark][0] if rated.mark in (Mark.ILLEGAL, Mark.NOT_SHOWN, Mark.HOT, Mark.WEAK, Mark.FAST) else ""


def _note_stop(plan: Plan, note: Callable[[RatedPair, str], None]) -> None:
    """Tells of the next taller pair that is no step, where it is at hand: it is where the rules stop."""
    last = plan.steps[-1].rated if plan.steps else plan.start.rated if plan.start is not None else None
    if last is None:
        return
    following = last.pair.with_pinion(last.pair.pinion + 1)
    for rated in plan.pairs:
        if rated.pair == following and rated.mark is Mark.ILLEGAL:
            note(rated, _illegal(rated))


def _illegal(rated: RatedPair) -> str:
    broken = next(standing for standing in rated.standings if standing.verdict is Verdict.ILLEGAL)
    return "illegal" if broken.check is None else f"illegal: the rule asks {asked(broken.check.rule)}"


def _trouble(plan: Plan, rated: RatedPair, *, fully: bool) -> list[str]:
    """What speaks against a pair that is in the table for another reason."""
    if rated.mark is Mark.ILLEGAL and fully:
        return [_illegal(rated)]
    if rated.mark is Mark.NOT_SHOWN:
        return ["not shown to be legal"]
    if rated.mark is Mark.HOT:
        return [f"likely to pass {plan.case.limit_c:.0f} °C"]
    if rated.mark is Mark.WEAK:
        return ["may not pull out of a corner"]
    if rated.mark is Mark.FAST:
        return ["may turn the motor too fast"]
    if rated.mark is Mark.EDGE:
        return ["the last legal tooth"]
    return []


def _step_note(step: GearStep, number: int, first_look: Look) -> str:
    parts = ["next step" if number == 1 else "then"]
    if step.look.go_on_c is None:
        parts[0] += ", with a look of its own"
    elif number > 1 and step.look == first_look:
        parts[0] += ", with the same look"
    else:
        parts.append(f"look after {minutes_text(step.look.minutes)}, up to {step.look.go_on_c} °C")
    return "; ".join([*parts, *step_notes(step)])
