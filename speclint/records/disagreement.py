"""Readings that cannot all be true: of one bench run, of two that both count, and of the motor as it is set."""

from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.models.bench import BenchRun
from speclint.models.cars import Car
from speclint.models.motors import Motor, Rebuild
from speclint.models.stated import mean_of_stated
from speclint.moments import day_text
from speclint.problems import Problem
from speclint.quantities import rebuilds
from speclint.quantities.facts import Facts
from speclint.quantities.rebuilds import REBUILDS, REBUILDS_BY_KIND
from speclint.readings.copper import REFERENCE_C
from speclint.readings.digits import reading_text, with_unit
from speclint.readings.exact import to_float
from speclint.readings.measured import Measured, Number, expanded_of, value_of
from speclint.records.plain_floats import far_apart, winding_at_reference

# How far readings may lie apart before anybody should wonder: contacts, run-in and supply move them that much without
# a fault. Common practice, from memory. What the instruments add comes on top.
SPEED_SHARE: Final = 0.03
TIMING_DEG: Final = 5.0


class _Kind(NamedTuple):
    """One reading that two bench runs can disagree on.

    `share` is how much of the value they may differ by, `apart` how much in its unit; `unknown` is taken for `share`
    where the uncertainty of one of them is not known.
    """

    quantity: str
    title: str
    unit: str
    family: str
    key: str
    stated: Callable[[BenchRun], float | None]
    share: float
    unknown: float
    apart: float = 0.0


def speed_problems(car: Car, motor: Motor) -> Iterator[Problem]:
    """Bench runs whose speed is not their supply voltage times their speed per volt."""
    for run in motor.bench_runs:
        if run.speed_rpm is None or run.supply_v is None or run.kv_rpm_per_v is None:
            continue
        speed, supply, per_volt = run.speed_rpm.mean, run.supply_v.mean, run.kv_rpm_per_v.mean
        expected = supply * per_volt
        if not far_apart(speed, expected, SPEED_SHARE):
            continue
        allowed = SPEED_SHARE + _half_step(supply) / supply + _half_step(per_volt) / per_volt
        allowed += sum(_relative(car, motor, run, name) for name in ("no_load_speed_rpm", "kv_rpm_per_v"))
        if far_apart(speed, expected, allowed):
            yield Problem(
                "speed-differs",
                f"in the bench run of {day_text(run.when.day)}, {_plain(supply, 'v')} × {_plain(per_volt, 'rpm_per_v')} is"
                f" {round(expected)} rpm, and its speed is given as {_plain(speed, 'rpm')}: correct the one that is wrong",
                motor.document.place((*run.path, "speed_rpm")),
            )


def timing_problems(car: Car, motor: Motor) -> Iterator[Problem]:
    """The timing set on the end bell against the newest measured one, where nothing is recorded between."""
    mark = motor.timing_deg
    run = next((run for run in motor.bench_runs if run.timing_deg is not None), None)
    if mark is None or run is None or run.timing_deg is None:
        return
    if abs(mark - run.timing_deg.mean) <= TIMING_DEG or _ended(motor, run, rebuilds.TIMING):
        return
    measured = _value(car, motor, run, "timing_mean_deg")
    if measured is None or abs(mark - to_float(value_of(measured))) <= TIMING_DEG + _blur(measured):
        return
    yield Problem(
        "timing-differs",
        f"the timing is set to {_plain(mark, 'deg')} and the bench run of {day_text(run.when.day)} measured"
        f" {reading_text(_tenths(measured), 'deg')}, which is more than the {_plain(TIMING_DEG, 'deg')} that a mark on the end bell may be off:"
        " correct timing_deg, or record the timing change under rebuilds and measure again",
        motor.document.place((*motor.prefix, "timing_deg")),
    )


def repeat_problems(car: Car, motor: Motor) -> Iterator[Problem]:
    """Two bench runs with no rebuild between them that disagree by more than both can be off."""
    for kind in _KINDS:
        newer: BenchRun | None = None
        newer_seen = 0.0
        for run in motor.bench_runs:
            seen = kind.stated(run)
            if seen is None:
                continue
            if newer is not None and (
                abs(seen - newer_seen) > kind.apart if kind.apart else far_apart(seen, newer_seen, kind.share)
            ):
                yield from _repeat(kind, car, motor, newer, run)
            newer, newer_seen = run, seen


def _repeat(kind: _Kind, car: Car, motor: Motor, newer: BenchRun, older: BenchRun) -> Iterator[Problem]:
    # A winding is what it is on any supply and with any rotor.
    comparable = kind.family == rebuilds.WINDING or _alike(newer, older)
    if not comparable or _between(motor, newer, older, kind.family):
        return
    first = _value(car, motor, older, kind.quantity)
    second = _value(car, motor, newer, kind.quantity)
    if first is None or second is None:
        return
    gap = abs(to_float(value_of(second)) - to_float(value_of(first)))
    larger = max(abs(to_float(value_of(first))), abs(to_float(value_of(second))))
    both_measured = isinstance(first, Measured) and isinstance(second, Measured)
    # Not of the difference: an error that both share cancels, but what is looked for here is a slip, not a drift.
    blur = _blur(first) + _blur(second)
    floor = kind.apart or larger * (kind.share if both_measured else kind.unknown)
    if gap <= max(floor, blur):
        return
    *most, last = (rebuild.title for rebuild in REBUILDS if kind.family in rebuild.ends)
    ending = f"{', '.join(most)} or {last}"
    at = f" at {with_unit('20', 'c')}" if kind.family == rebuilds.WINDING else ""
    apart = f"{gap:.1f}°" if kind.apart else f"{100 * gap / larger:.1f} %"
    yield Problem(
        "readings-differ",
        f"the bench runs of {_when(older, newer)} contradict each other: {kind.title}{at} is"
        f" {reading_text(_tenths(first), kind.unit)} in the older and {reading_text(_tenths(second), kind.unit)} in the newer,"
        f" {apart} apart, and no {ending} is recorded between: measure again, and mend or take out the wrong one",
        motor.document.place((*newer.path, kind.key)),
    )


def _when(older: BenchRun, newer: BenchRun) -> str:
    first, second = day_text(older.when.day), day_text(newer.when.day)
    return f"{first} and {second}" if first != second else f"{first}"


def _alike(newer: BenchRun, older: BenchRun) -> bool:
    """Whether two runs were made under the same conditions, as far as they say."""
    volts = mean_of_stated(newer.supply_v), mean_of_stated(older.supply_v)
    if volts[0] is not None and volts[1] is not None and far_apart(volts[0], volts[1], 0.05):
        return False
    named = newer.rotor, older.rotor
    return named[0] is None or named[1] is None or named[0] == named[1]


def _ended(motor: Motor, run: BenchRun, family: str) -> bool:
    """Whether a rebuild may have ended a family of the run's readings since."""
    return any(not run.when.certainly_after(rebuild.when) and _ends(rebuild, family) for rebuild in motor.rebuilds)


def _between(motor: Motor, newer: BenchRun, older: BenchRun, family: str) -> bool:
    """Whether a rebuild that ends the family may lie between two runs."""
    return any(
        not older.when.certainly_after(rebuild.when)
        and not rebuild.when.certainly_after(newer.when)
        and _ends(rebuild, family)
        for rebuild in motor.rebuilds
    )


def _ends(rebuild: Rebuild, family: str) -> bool:
    return any(family in REBUILDS_BY_KIND[kind].ends for kind in rebuild.did)


def _value(car: Car, motor: Motor, run: BenchRun, name: str) -> Number | None:
    """What one bench run says of a quantity, as if it were the only record."""
    alone = motor._replace(bench_runs=(run,), rebuilds=())
    facts = Facts(car._replace(motor=alone), on=run.when.day, reference_c=REFERENCE_C, entry_keys={})
    value = facts.fact(name).value
    return value if isinstance(value, Number) else None


def _relative(car: Car, motor: Motor, run: BenchRun, name: str) -> float:
    value = _value(car, motor, run, name)
    return _blur(value) / abs(to_float(value_of(value))) if value is not None and value_of(value) else 0.0


def _blur(number: Number) -> float:
    return expanded_of(number) or 0.0


def _tenths(number: Number) -> Number:
    """A number whose digits are fit to be read: one without uncertainty is rounded to three significant figures."""
    if isinstance(number, Measured) and number.standard_uncertainty > 0:
        return number
    value = value_of(number)
    return Fraction(f"{to_float(value):.4g}")


def _half_step(value: float) -> float:
    """Half a step of the last decimal that was written; a whole number may have been meant exactly."""
    decimals = len(f"{value:.10f}".rstrip("0").partition(".")[2])
    return 0.5 * 10.0**-decimals if decimals else 0.0


def _plain(value: float, unit: str) -> str:
    return with_unit(f"{value:.6g}", unit)


_KINDS: Final = (
    _Kind("winding_mean_mohm", "the mean of the winding", "mohm", rebuilds.WINDING, "winding",
          lambda run: winding_at_reference(run.winding), share=0.02, unknown=0.05),
    _Kind("kv_rpm_per_v", "the speed per volt", "rpm_per_v", rebuilds.SPEED, "kv_rpm_per_v",
          lambda run: mean_of_stated(run.kv_rpm_per_v), share=0.04, unknown=0.06),
    _Kind("timing_mean_deg", "the measured timing", "deg", rebuilds.TIMING, "timing_deg",
          lambda run: mean_of_stated(run.timing_deg), share=0, unknown=0, apart=3.0),
)  # fmt: skip
