"""What the track runs and the assumed constants say, in words."""

from typing import Final

from speclint.gearing.figures import minutes_text, ratio_plain
from speclint.gearing.track_runs import Learnt
from speclint.moments import day_text
from speclint.physics.assumptions import Assumption


def learnt_text(learnt: Learnt) -> tuple[str, ...]:
    """What the track runs come to, a line each: those that were learnt from, what that says, and the others."""
    used = (_used_run_text(learnt, index) for index in range(len(learnt.used)))
    left_out = (f"{day_text(run.when.day)}: not used, {run.reason}" for run in learnt.left_out)
    return (*used, *fit_text(learnt), *left_out)


def left_out_text(learnt: Learnt) -> str:
    """That track runs are not learnt from, with the newest and why, in a sentence; empty where all are."""
    if not learnt.left_out:
        return ""
    newest = max(learnt.left_out, key=lambda run: run.when.day)
    count = len(learnt.left_out)
    head = "One run is left out, that" if count == 1 else f"{count} runs are left out, the newest that"
    return f"{head} of {day_text(newest.when.day)}: {newest.reason}."


def _used_run_text(learnt: Learnt, index: int) -> str:
    """A track run that was learnt from: measured, predicted, and how far the model was off."""
    used = learnt.used[index]
    readings = used.readings
    head = (
        f"{day_text(used.when.day)}, {used.pair.spur}/{used.pair.pinion} ({ratio_plain(used.pair.ratio)}),"
        f" {minutes_text(readings.conditions.minutes)} at {readings.conditions.ambient_c:g} °C: measured {readings.can_c:g} °C"
        f" {readings.after_s:.0f} s after the stop"
    )
    if learnt.fit is None:
        return head
    residual = learnt.fit.residuals[index]
    return (
        f"{head}; predicted {residual.read_c - residual.before_k:.0f} °C before the fit ({_off(residual.before_k)}),"
        f" {residual.read_c - residual.after_k:.0f} °C after it ({_off(residual.after_k)})"
    )


def _off(kelvin: float) -> str:
    size = f"{abs(kelvin):.0f}"
    return "right" if size == "0" else f"{size} K too {'low' if kelvin > 0 else 'high'}"


def fit_text(learnt: Learnt) -> tuple[str, ...]:
    """What the track runs say of the model, a sentence each."""
    fit = learnt.fit
    if fit is None:
        return ()
    count = "one run" if len(learnt.used) == 1 else f"{len(learnt.used)} runs"
    sentences = [
        f"Over {count} the model was off by {fit.before_k:.1f} K before the fit and is off by {fit.after_k:.1f} K after it."
    ]
    sentences += [
        f"Learnt: {constant.assumption.meaning} is {_value(constant.value, constant.assumption)}"
        f" ({constant.low:.3g} to {constant.high:.3g}), where {_value(constant.assumption.value, constant.assumption)}"
        f" ({constant.assumption.low:.3g} to {constant.assumption.high:.3g}) was assumed."
        for constant in fit.constants
    ]
    if not any(used.readings.returned_mah for used in learnt.used):
        sentences.append(
            "What the charger put back after a run (`returned_mah`) would say most: it tells a car that works hard from one"
            " that cools badly."
        )
    if learnt.strained:
        sentences.append(
            "The runs lie farther from the model than their readings explain: look for a slip in a run's gears, minutes or"
            " temperatures, and don't lean on the band."
        )
    return tuple(sentences)


def constant_text(assumption: Assumption) -> str:
    """An assumed constant with its range."""
    return (
        f"{assumption.meaning}: {_value(assumption.value, assumption)} ({assumption.low:.3g} to {assumption.high:.3g})"
    )


def _value(value: float, assumption: Assumption) -> str:
    unit = "" if assumption.unit == "1" else f" {_UNITS.get(assumption.unit, assumption.unit)}"
    return f"{value:.3g}{unit}"


_UNITS: Final = {"ohm": "Ω"}
