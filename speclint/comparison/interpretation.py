"""What the changes between two runs mean for the motor, in words, and where that is known from."""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from speclint.comparison.differences import Comparison, Conclusion, QuantityChange
from speclint.comparison.obstacles import TIMING_SLACK_DEG
from speclint.moments import day_text
from speclint.readings.copper import wire_mohm
from speclint.readings.exact import decimal_text
from speclint.readings.measured import value_of

PRACTICE: Final = "common practice"
IDENTITY: Final = "common practice, and kM × kn = 60/2π"

_PROMISE: Final = re.compile(r"\b(strong|stronger|torque|torquier|more\s+magnet)\b", re.IGNORECASE)
_NEW_MAGNET: Final = frozenset({"rotor-swap"})
_NEW_WINDING: Final = frozenset({"rewind", "stator-swap"})
_FRICTION: Final = frozenset({"clean", "shim", "bearing"})


LEAD_DIAMETER_MM: Final = Fraction("1.83")
"""Copper of the leads of a motor of this size: AWG 13 (common practice)."""

LEAD_SLACK_MM: Final = 20
"""Where the clips of a meter sit on a lead is repeated no better than this, so that less shows nothing of the motor (estimate)."""


@dataclass(frozen=True, slots=True)
class Interpretation:
    """One thing that the changes mean. `warns` marks what a person should look into before the motor runs again."""

    id: str
    message: str
    source: str = PRACTICE
    warns: bool = False


def interpretations_of(comparison: Comparison) -> tuple[Interpretation, ...]:
    """Everything that the changes from an older run to a newer one mean, the magnet first."""
    interpretations = [
        *_speed(comparison),
        *_promise(comparison),
        *_current(comparison),
        *_winding(comparison),
        *_sensors(comparison),
    ]
    doubtful = [change for change in comparison.changes if change.conclusion is Conclusion.CANNOT_TELL]
    if not interpretations and len(doubtful) == len(comparison.changes):
        interpretations.append(Interpretation("nothing-told", "the bench shows nothing yet: see below what is missing"))
    elif not interpretations and any(change.quantity.name in _TELLING for change in doubtful):
        interpretations.append(
            Interpretation("partly-told", "what can be told is as it was; see above what cannot be told yet, and why")
        )
    elif not interpretations:
        interpretations.append(Interpretation("nothing-shown", "as far as this bench can see, the motor is as it was"))
    interpretations.extend(_as_read(comparison))
    return tuple(interpretations)


def _as_read(comparison: Comparison) -> Iterator[Interpretation]:
    """What the speeds would mean if their instruments were known to be good enough; an obstacle leaves nothing to say."""
    speed = comparison.change("kv_rpm_per_v")
    percent = speed.percent
    if speed.sign is None and speed.difference is not None and speed.expanded_uncertainty is None and percent:
        obstacle_text = any(speed.quantity.family in obstacle.families for obstacle in comparison.obstacles)
        if not obstacle_text and comparison.did & _NEW_MAGNET and not comparison.did & _NEW_WINDING:
            yield Interpretation(
                "as-read",
                f"as read, speed per volt is {_way(percent > 0)} by {decimal_text(abs(percent), 1)} %. That would be a"
                f" {'weaker' if percent > 0 else 'stronger'} magnet, if the instruments are good enough to tell",
                IDENTITY,
            )


_TELLING: Final = frozenset({"kv_rpm_per_v", "current_a", "winding_mean_mohm"})


def promised_torque(comparison: Comparison) -> str:
    """Why more torque per ampere was to be expected of the second run, in words; "" where nothing says so."""
    if not comparison.did & _NEW_MAGNET:
        return ""
    older, newer = comparison.first, comparison.second
    for rebuild in comparison.rebuilds:
        note = rebuild.note or ""
        if "rotor-swap" in rebuild.did and _PROMISE.search(note):
            return f'the note of {day_text(rebuild.when.day)} says "{note}"'
    kind = newer.rotor or _rotor_now(comparison)
    if kind == "torque" and older.rotor != "torque":
        return f"the new rotor is of the kind {kind}"
    return ""


def _rotor_now(comparison: Comparison) -> str:
    """The kind of rotor that the motor states, where the newer run is its newest and so speaks of it."""
    motor = comparison.second.motor
    if motor.rotor is None or len(motor.bench_runs) != comparison.second.number:
        return ""
    return motor.rotor.kind or ""


def _speed(comparison: Comparison) -> Iterator[Interpretation]:
    speed, torque = comparison.change("kv_rpm_per_v"), comparison.change("torque_mnm_per_a")
    sign = speed.sign
    if sign is None:
        return
    swapped = bool(comparison.did & _NEW_MAGNET)
    if sign == 0:
        if swapped:
            yield Interpretation(
                "rotors-alike",
                "the speeds per volt of the two rotors are closer than this bench can tell apart",
                PRACTICE,
            )
        return
    percent, more = speed.percent, torque.percent
    by = f"by {decimal_text(abs(percent), 1)} %" if percent is not None else ""
    force = f", torque per ampere {_way(more > 0)} by {decimal_text(abs(more), 1)} %" if more is not None else ""
    timing = _timing_moved(comparison)
    observed = f"speed per volt is {_way(sign > 0)} {by}{force}"
    if comparison.did & _NEW_WINDING:
        yield Interpretation(
            "other-winding", f"{observed}: the winding is another one, so the two runs are of two motors", IDENTITY
        )
    elif timing is not None and timing == sign:
        timing_text = "more timing" if sign > 0 else "less timing"
        doubt = ", and the rotor is another one too: the bench cannot say which of the two did it" if swapped else ""
        yield Interpretation(
            timing_text.replace(" ", "-"), f"{observed}: that is what {timing_text} does{doubt}", PRACTICE
        )
    elif sign < 0 and swapped:
        yield Interpretation(
            "stronger-magnet", f"{observed}: a stronger magnet{_unless_timing(timing, sign)}", IDENTITY
        )
    elif sign > 0 and swapped:
        yield Interpretation("weaker-magnet", f"{observed}: a weaker magnet{_unless_timing(timing, sign)}", IDENTITY)
    elif sign > 0:
        yield Interpretation(
            "magnet-lost",
            f"{observed}, and no rotor swap is logged: either the timing moved, or the magnet has lost strength, which it"
            " does for good when it gets too hot. Check the timing, then measure the old motor against another one",
            IDENTITY,
            warns=True,
        )
    else:
        yield Interpretation(
            "slower-without-swap",
            f"{observed}, and no rotor swap is logged. A magnet does not grow stronger by itself: look at the timing, at the"
            " plugs and wires of the bench, and at what brakes the rotor",
            IDENTITY,
            warns=True,
        )


def _way(up: bool) -> str:
    return "up" if up else "down"


def _timing_moved(comparison: Comparison) -> int | None:
    """Which way the timing went, 0 for not at all; None where the runs do not tell.

    Without known instruments a difference counts from where a timing ring could have been set again by its marks.
    """
    change = comparison.change("timing_mean_deg")
    if change.sign is not None:
        return change.sign
    if change.difference is None:
        return None
    moved = value_of(change.difference)
    return None if abs(moved) <= TIMING_SLACK_DEG else 1 if moved > 0 else -1


def _unless_timing(timing: int | None, sign: int) -> str:
    if timing is None:
        timing_text = "more" if sign > 0 else "less"
        return f", if the timing is as it was: {timing_text} timing would do the same, and the runs do not show it"
    if timing == 0:
        return "; the timing is as it was"
    return f", though the timing went {_way(timing > 0)}, which alone would do the opposite"


def _promise(comparison: Comparison) -> Iterator[Interpretation]:
    why = promised_torque(comparison)
    torque = comparison.change("torque_mnm_per_a")
    sign = torque.sign
    if not why or sign is None:
        return
    if sign > 0:
        yield Interpretation("promise-kept", f"{why}, and the bench confirms it: more torque for each ampere", IDENTITY)
    elif sign == 0:
        yield Interpretation(
            "promise-not-shown",
            f"{why}, but the bench does not show it: the torque per ampere changed by less than it can see",
            IDENTITY,
            warns=True,
        )
    else:
        yield Interpretation(
            "promise-broken",
            f"{why}, but the bench shows less torque for each ampere: look at the part number, compare the two rotors"
            " once more, and ask whoever sold it",
            IDENTITY,
            warns=True,
        )


def _current(comparison: Comparison) -> Iterator[Interpretation]:
    current, speed = comparison.change("current_a").sign, comparison.change("kv_rpm_per_v").sign
    timing = _timing_moved(comparison)
    if not current:
        if current == 0 and speed:
            yield Interpretation("current-alike", "no change of the no-load current is shown")
        return
    friction = sorted(comparison.did & _FRICTION)
    if timing == current and timing != 0:
        yield Interpretation("current-by-timing", f"no-load current is {_way(current > 0)}, as the timing is")
    elif speed == -current and comparison.did & _NEW_MAGNET:
        magnet, costs = ("stronger", "more") if current > 0 else ("weaker", "less")
        yield Interpretation(
            "iron-loss", f"no-load current is {_way(current > 0)} as well: a {magnet} magnet costs {costs} in the iron"
        )
    elif current < 0:
        freer = f"; {_did(friction)} can have done that" if friction else ""
        against = " against what the magnet would do" if speed == -1 else ""
        yield Interpretation("freer", f"no-load current is down{against}: the rotor runs freer{freer}")
    else:
        yield Interpretation(
            "friction",
            "no-load current is up with no magnet to blame: feel for a rotor that rubs, a tight or dry bearing, end play"
            f" that has gone, screws tightened unevenly{f'; {_did(friction)} came between' if friction else ''}",
            warns=True,
        )


_TITLES: Final = {"clean": "cleaning", "shim": "shimming", "bearing": "the bearing change"}


def _did(kinds: list[str]) -> str:
    return " and ".join(_TITLES[kind] for kind in kinds)


def _winding(comparison: Comparison) -> Iterator[Interpretation]:
    change = comparison.change("winding_mean_mohm")
    spread = comparison.change("winding_spread_percent")
    if change.sign and comparison.did & _NEW_WINDING:
        yield Interpretation(
            "winding-new", f"the winding is {'higher' if change.sign > 0 else 'lower'} at 20 °C, and it is another one"
        )
    elif change.sign and lead_mm(change) <= LEAD_SLACK_MM:
        yield Interpretation(
            "winding-by-leads",
            f"the winding is {'higher' if change.sign > 0 else 'lower'} at 20 °C by as much as {lead_mm(change)} mm of lead"
            " make up: contact it in the same place each time",
        )
    elif change.sign == 1:
        yield Interpretation(
            "winding-higher",
            "the winding is higher at 20 °C, which copper does not do by itself: look at the solder joints, the plugs and"
            " the temperature that was noted",
            "IEC 60034-1 resistance method; common practice",
            warns=True,
        )
    elif change.sign == -1:
        yield Interpretation(
            "winding-lower",
            "the winding is lower at 20 °C: either its temperature was noted too low, or turns touch each other, which ends"
            " a motor soon. Measure it again cold, all three pairs",
            "IEC 60034-1 resistance method; common practice",
            warns=True,
        )
    if spread.sign == 1 and not comparison.did & _NEW_WINDING and lead_mm(spread, change) <= LEAD_SLACK_MM:
        yield Interpretation(
            "leads-unequal",
            f"the three pairs of leads differ by as much more as {lead_mm(spread, change)} mm of lead make up: cut and contact"
            " them alike before you look for anything else",
        )
    elif spread.sign == 1 and not comparison.did & _NEW_WINDING:
        yield Interpretation(
            "winding-unequal",
            "the three pairs of leads differ more than before: one joint or one phase has changed",
            warns=True,
        )


def lead_mm(change: QuantityChange, mean: QuantityChange | None = None) -> int:
    """How much of a motor's lead has the resistance of a change, in whole mm.

    Args:
        change: of the winding, in mΩ; of its spread in percent where `mean` is given.
        mean: the winding that a percentage is of.
    """
    size = value_of(change.difference) if change.difference is not None else Fraction(0)
    if mean is not None:
        size = size / 100 * (value_of(mean.second) if mean.second is not None else Fraction(0))
    return math.ceil(abs(size) / wire_mohm(Fraction(1, 1000), LEAD_DIAMETER_MM))


def _sensors(comparison: Comparison) -> Iterator[Interpretation]:
    spread = comparison.change("timing_spread_deg").sign
    if spread == 1:
        yield Interpretation(
            "sensors-apart",
            "the sensors' timings lie further apart than before: look at the sensor board and its screws",
        )
    elif spread == -1:
        yield Interpretation("sensors-closer", "the sensors' timings lie closer together than before")
    for name, subject in (
        ("sensor_spread_percent", "sensor signals"),
        ("pole_difference_percent", "magnet's poles"),
    ):
        sign = comparison.change(name).sign
        if sign == 1:
            yield Interpretation(
                f"{name}-worse",
                f"the {subject} are less even than before: look at end play and shims, then at the magnet",
            )
        elif sign == -1:
            yield Interpretation(f"{name}-better", f"the {subject} are more even than before")
