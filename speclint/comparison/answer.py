"""What two runs come to, in a sentence or two: what changed, and the legal pinion that keeps the top speed."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final

from speclint.comparison.differences import Comparison, Conclusion, QuantityChange
from speclint.comparison.equivalent import Equivalent
from speclint.moments import day_text
from speclint.quantities.rebuilds import REBUILDS_BY_KIND
from speclint.readings.exact import decimal_text
from speclint.readings.measured import value_of

_WORDS: Final[Mapping[str, tuple[str, str]]] = {
    "kv_rpm_per_v": ("more speed", "less speed"),
    "torque_mnm_per_a": ("more torque", "less torque"),
    "current_a": ("more no-load current", "less no-load current"),
    "winding_mean_mohm": ("a higher winding", "a lower winding"),
    "winding_spread_percent": ("a more uneven winding", "a more even winding"),
    "timing_mean_deg": ("more timing", "less timing"),
    "timing_spread_deg": ("timings further apart", "timings closer together"),
    "sensor_spread_percent": ("more uneven sensor signals", "more even sensor signals"),
    "pole_difference_percent": ("more uneven poles", "more even poles"),
}


def answer_of(comparison: Comparison, equivalent: Equivalent | str) -> str:
    """The answer of a comparison; `equivalent` is the gearing that goes with it, or why there is none."""
    return f"{_since(comparison)}: {_changed(comparison)}. {_gearing(comparison, equivalent)}".strip()


def _since(comparison: Comparison) -> str:
    """What the runs lie on both sides of."""
    rebuilds = comparison.rebuilds
    if not rebuilds:
        return f"From {comparison.first.title} to {comparison.second.title}, with no rebuild between"
    did = " and ".join(dict.fromkeys(REBUILDS_BY_KIND[kind].title for rebuild in rebuilds for kind in rebuild.did))
    days = " and ".join(dict.fromkeys(day_text(rebuild.when.day) for rebuild in rebuilds))
    return f"After the {did} of {days}"


def _changed(comparison: Comparison) -> str:
    changed = {change.quantity.name: change for change in comparison.changes if change.conclusion is Conclusion.CHANGED}
    if changed:
        return ", ".join(_word(name, changed[name]) for name in _WORDS if name in changed)
    if any(change.conclusion is Conclusion.NO_CHANGE for change in comparison.changes):
        return "no change that is larger than the bench's scatter"
    reasons = dict.fromkeys(change.reason for change in comparison.changes if change.reason)
    return f"nothing can be told yet, {next(iter(reasons), 'as no quantity stands in both runs')}"


def _word(name: str, change: QuantityChange) -> str:
    more, less = _WORDS[name]
    return more if change.sign == 1 else less


def _gearing(comparison: Comparison, equivalent: Equivalent | str) -> str:
    speed = comparison.change("kv_rpm_per_v")
    if speed.sign is None:
        return ""
    if not speed.sign:
        return "The gearing can stay as it is."
    if isinstance(equivalent, str):
        return ""
    return "".join(_pinion(equivalent))


def _pinion(equivalent: Equivalent) -> Iterator[str]:
    exact_teeth = equivalent.old_ratio * equivalent.fitted / value_of(equivalent.ratio)
    match = f"{decimal_text(exact_teeth, 1)} would match exactly"
    choice, closest = equivalent.closest_legal, equivalent.closest
    if choice is None:
        box = "of the parts box " if equivalent.from_box else ""
        yield f"No pinion {box}that keeps the top speed is legal in every entry ({match})."
        return
    legal = f"{'legal' if choice.judged else 'not judged'}{_off(choice.off_percent)}"
    details = f"{legal}; {match}{'' if choice is closest else f', and {closest.pinion_teeth} is not legal'}"
    if choice.pinion_teeth == equivalent.fitted:
        yield f"The fitted {choice.pinion_teeth} on {equivalent.spur_teeth} keeps the top speed best ({details})."
    else:
        yield f"Keep the top speed with {choice.pinion_teeth} on {equivalent.spur_teeth} ({details})."


def _off(percent: Fraction) -> str:
    """How far a pinion is from the exact ratio, where that is more than half a percent."""
    if abs(percent) <= Fraction(1, 2):
        return ""
    return f", {decimal_text(abs(percent), 1)} % {'shorter' if percent > 0 else 'taller'}"
