"""What the track runs and the assumed constants say, in words."""

from typing import Final

from speclint.gearing.figures import minutes_text, ratio_plain
from speclint.gearing.plan import Plan
from speclint.moments import day_text
from speclint.physics.assumptions import Assumption


def used_run_text(plan: Plan, index: int) -> str:
    """A track run that was learnt from: measured, predicted, and how far the model was off."""
    learnt = plan.forecaster.learnt
    used = learnt.used[index]
    head = (
        f"{day_text(used.when.day)}, {used.pair.spur}/{used.pair.pinion} ({ratio_plain(used.pair.ratio)}),"
        f" {minutes_text(used.run.run.minutes)} at {used.run.run.ambient_c:g} °C: measured {used.run.can_c:g} °C"
    )
    if learnt.fit is None:
        return head
    residual = learnt.fit.residuals[index]
    return (
        f"{head}; predicted {residual.measured_c - residual.before_k:.0f} °C before the fit ({_off(residual.before_k)}),"
        f" {residual.measured_c - residual.after_k:.0f} °C after it ({_off(residual.after_k)})"
    )


def _off(kelvin: float) -> str:
    size = f"{abs(kelvin):.0f}"
    return "right" if size == "0" else f"{size} K too {'low' if kelvin > 0 else 'high'}"


def fit_text(plan: Plan) -> tuple[str, ...]:
    """What the track runs say of the model, a sentence each."""
    learnt = plan.forecaster.learnt
    fit = learnt.fit
    if fit is None:
        return ()
    count = len(learnt.used)
    said = [
        f"Over {'one run' if count == 1 else f'{count} runs'} the model was off by {fit.before_k:.1f} K before the fit and is off by"
        f" {fit.after_k:.1f} K after it (root mean square).",
        f"Fitted: thermal resistance from can to air {_factor(fit.cooling.factor, fit.cooling.relative_u)} times the assumed one,"
        f" load in corners {_factor(fit.load.factor, fit.load.relative_u)} times.",
    ]
    if count == 1:
        said.append("One run cannot tell cooling from load; runs with other gearing or of other length can.")
    if learnt.strained:
        said.append(
            "The runs lie farther from the model than their readings explain: look for a slip in a run's gears, minutes or"
            " temperatures, and don't lean on the band."
        )
    return tuple(said)


def _factor(factor: float, relative_u: float) -> str:
    return f"{factor:.2f} ± {2.0 * relative_u * factor:.2f}"


def constant_text(assumption: Assumption, used: float) -> str:
    """An assumed constant with its range."""
    unit = "" if assumption.unit == "1" else f" {_UNITS.get(assumption.unit, assumption.unit)}"
    shown = f"{assumption.value:g}{unit} ({assumption.low:g} to {assumption.high:g})"
    moved = f", fitted to {used:.3g}" if abs(used / assumption.value - 1.0) > 1e-9 else ""
    return f"{assumption.meaning}: {shown}{moved}"


_UNITS: Final = {"ohm": "Ω"}
