"""The winding and what it makes of volts: unequal phases, drift, and a motor that is not what its label says."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from speclint.advice.model import AdviceSort, CarCase, Observation
from speclint.models.bench import Winding
from speclint.models.motors import Motor
from speclint.places import Path
from speclint.readings.copper import Connection, phases_from_lines, wire_mohm
from speclint.readings.digits import plain_text, reading_text
from speclint.readings.exact import decimal_text, exact, to_float
from speclint.readings.measured import Measured, Number, expanded_of, mean_of, value_of
from speclint.records.plain_floats import winding_at_reference

# Common practice, from memory: phases of one winding agree within about two percent, and what is left is contacts.
SPREAD_PERCENT: Final = 3
UNKNOWN_SPREAD_PERCENT: Final = 5
DRIFT_PERCENT: Final = 5

# Speed per volt times turns of one-design motors: 39,000 to 41,000 without timing, from a published limit of 19,500 rpm
# at 8.4 V for 17.5 turns and a usual 3000 rpm/V for 13; timing lifts it by up to 40 % and a strong magnet lowers it.
PRODUCT: Final = (34_000, 58_000)
_USUAL_PRODUCT: Final = 43_000
_WINDS: Final = (4.5, 5.5, 6.5, 8.5, 10.5, 13.5, 17.5, 21.5, 25.5)


def _unbalanced(case: CarCase) -> Iterator[Observation]:
    motor = case.car.motor
    if motor is None:
        return
    newest = _newest_winding(motor, case)
    seen = newest[1].phases_mohm if newest is not None else None
    if newest is None or seen is None or (max(seen) - min(seen)) * 300 <= SPREAD_PERCENT * sum(seen):
        return
    spread = case.number("winding_spread_percent")
    if spread is None or _surely(spread) <= (
        SPREAD_PERCENT if isinstance(spread, Measured) else UNKNOWN_SPREAD_PERCENT
    ):
        return
    ab, bc, ca = (f"{value:.4g}" for value in seen)
    yield Observation(
        f"the phases of the winding differ by {_percent(spread)} (AB {ab}, BC {bc}, CA {ca} mΩ), where about"
        f" {SPREAD_PERCENT} % at most is usual{_odd_phase(motor, seen)}: clean the contacts and measure again; if it stays, look for a bad joint"
        " at a lead, a broken strand or a short between turns, and do not race it before that",
        motor.document.place((*newest[0], "winding")),
    )


def _odd_phase(motor: Motor, seen: Sequence[float]) -> str:
    """Which single phase stands out behind the readings between leads, where the connection is stated."""
    stated = motor.connection
    if stated is None:
        return ""
    ab, bc, ca = (exact(value) for value in seen)
    phases = phases_from_lines(ab, bc, ca, Connection(stated))
    if phases is None:
        return ""
    mean = mean_of(phases)
    names = ("A", "B", "C") if stated == Connection.WYE.value else ("AB", "BC", "CA")
    name, phase = max(
        zip(names, phases, strict=True), key=lambda named_phase: abs(value_of(named_phase[1]) - value_of(mean))
    )
    off = (value_of(phase) / value_of(mean) - 1) * 100
    return (
        f"; in a {stated} that is one phase, {name}, {_percent(abs(off))} {'above' if off > 0 else 'below'} the mean of the"
        " three"
    )


def _drifted(case: CarCase) -> Iterator[Observation]:
    motor = case.car.motor
    sheet = motor.factory_sheet if motor is not None else None
    as_made = winding_at_reference(sheet.winding) if sheet is not None else None
    newest = _newest_winding(motor, case) if motor is not None and as_made is not None else None
    now = winding_at_reference(newest[1]) if newest is not None else None
    if motor is None or as_made is None or newest is None or now is None:
        return
    if abs(now / as_made - 1) * 100 <= DRIFT_PERCENT or any(
        implausible_value.slip for implausible_value in case.implausible
    ):
        return
    drift = case.number("winding_drift_percent")
    if drift is None or abs(to_float(value_of(drift))) - (expanded_of(drift) or 0.0) <= DRIFT_PERCENT:
        return
    is_low = value_of(drift) < 0
    means = (
        "copper does not lose resistance: another motor's sheet, a rewinding that is not recorded, or a short between turns"
        if is_low
        else "a bad joint, a damaged strand, or a meter that counts its own leads"
        f" (two of 20 cm and 1.6 mm are {decimal_text(wire_mohm(Fraction(2, 5), Fraction(8, 5)), 1)} mΩ): measure with four wires"
    )
    yield Observation(
        f"the winding is {_percent(-drift if is_low else drift)} {'below' if is_low else 'above'} the factory sheet, both at 20 °C"
        f" ({now:.4g} mΩ now, {as_made:.4g} mΩ then): {means}",
        motor.document.place((*newest[0], "winding")),
    )


def _mislabelled(case: CarCase) -> Iterator[Observation]:
    motor = case.car.motor
    if motor is None or motor.turns is None:
        return
    turns = float(motor.turns)
    run = next((run for run in motor.bench_runs if run.when.day <= case.on and run.kv_rpm_per_v is not None), None)
    if run is None or run.kv_rpm_per_v is None:
        return
    per_volt = run.kv_rpm_per_v.mean
    product = per_volt * turns
    if PRODUCT[0] <= product <= PRODUCT[1] or any(implausible_value.slip for implausible_value in case.implausible):
        return
    if case.number("kv_rpm_per_v") is None:
        return
    low, high = (round(end / turns, -2) for end in PRODUCT)
    wind = min(_WINDS, key=lambda turns: abs(per_volt * turns - _USUAL_PRODUCT))
    yield Observation(
        f"{per_volt:.6g} rpm/V is {'fast' if product > PRODUCT[1] else 'slow'} for {turns:g} turns, where the trade"
        f" meets about {low:.0f} to {high:.0f} rpm/V: it is nearer to {wind:g} turns; look whether the motor is labelled"
        " right, and the supply voltage too",
        motor.document.place((*run.path, "kv_rpm_per_v")),
    )


def _newest_winding(motor: Motor, case: CarCase) -> tuple[Path, Winding] | None:
    for run in motor.bench_runs_until(case.on):
        if run.winding is not None:
            return run.path, run.winding
    sheet = motor.factory_sheet
    return None if sheet is None or sheet.winding is None else (sheet.path, sheet.winding)


def _surely(number: Number) -> float:
    """The value less its expanded uncertainty."""
    return to_float(value_of(number)) - (expanded_of(number) or 0.0)


def _percent(number: Number) -> str:
    if isinstance(number, Measured):
        return reading_text(number, "percent")
    return f"{plain_text(Fraction(f'{to_float(number):.2g}'))} %"


_BENCH: Final = """format: setup/1
instruments: {four-wire: {accuracy_percent: 0.5, resolution: 0.01, unit: mohm}}
motor:
  turns: 17.5
  factory_sheet: {winding: {ab_mohm: 36.4, bc_mohm: 36.5, ca_mohm: 36.3, winding_c: 20}}
  bench_runs:
    - date: 2026-03-10
      kv_rpm_per_v: 2450
      winding: {ab_mohm: 37.3, bc_mohm: 37.4, ca_mohm: 37.2, winding_c: 26, instrument: four-wire}
"""

WINDINGS: Final[tuple[AdviceSort[CarCase], ...]] = (
    AdviceSort(
        id="winding-unequal",
        title="phases of the winding out of balance",
        because="One phase unlike the others points to a bad joint or a short, and heats unevenly.",
        example=(_BENCH.replace("bc_mohm: 37.4", "bc_mohm: 39.3"),),
        find=_unbalanced,
    ),
    AdviceSort(
        id="winding-drift",
        title="winding far from its factory sheet",
        because="At equal temperature the same copper has the same resistance, within what contacts and meters blur.",
        example=(
            _BENCH.replace("mohm: 37.3, bc_mohm: 37.4, ca_mohm: 37.2", "mohm: 33.9, bc_mohm: 34.0, ca_mohm: 33.8"),
        ),
        find=_drifted,
    ),
    AdviceSort(
        id="label-and-speed",
        title="speed per volt does not fit the turns",
        because="More turns are slower, and about in proportion: speed per volt times turns is nearly the same for all.",
        source="computed from published limits on no-load speed",
        example=(_BENCH.replace("2450", "3650"),),
        find=_mislabelled,
    ),
)
