"""What one bench run says of a motor at common conditions: one supply voltage, copper and magnet at one temperature.

The model is the direct-current one of `speclint.physics.motor`. A bench reads speed over supply voltage; the drop I₀·R
is given back, since n₀ = k_n·(U − I₀·R), and taken again at the common voltage. The no-load current goes with the
no-load torque, a part of which grows with speed and a part does not. Copper follows the resistance method of
IEC 60034-1, the magnet's flux its published coefficient; what is assumed stands in `speclint.physics.assumptions` and
makes the result uncertain.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from speclint.comparison.compared import COMPARED, CommonValue
from speclint.comparison.recorded import RecordedValue, RunRecord
from speclint.comparison.runs import ComparedRun, runs_of
from speclint.copper import K_COPPER
from speclint.physics.assumptions import BENCH_FRICTION_SHARE, Assumption, assumption
from speclint.places import Path, dotted
from speclint.quantities import rebuilds
from speclint.readings.copper import REFERENCE_C, at_temperature, copper_temperature, spread_percent
from speclint.readings.exact import PI, exact, to_float
from speclint.readings.measured import Influence, Measured, Number, mean_of, spread_of, value_of

MAGNET_HALF_WIDTH_K: Final = 2.0
"""How far a magnet may be from where its can lets it be expected, new in every run (estimate)."""

MAGNET_LAG: Final = 0.3
"""The magnet of one motor, run in the same way each time, lags the can by up to this part of its rise over 20 °C, or
runs ahead of it by as much (estimate). The part is the same in every run, so that it cancels between equally warm ones.
"""

UNKNOWN_C: Final = (Fraction(30), 15.0)
"""Temperature of a motor on a bench that nobody measured, and its half-width: from a cold room to a warm can."""

_PHASES: Final = ("ab_mohm", "bc_mohm", "ca_mohm")
_METER: Final = ("winding", "instrument")
_THERMOMETER: Final = ("winding", "thermometer")
_NEWTON_METRES: Final = 60_000 / (2 * PI)
"""k_M·k_n = 60/2π, with k_M in mNm/A."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """What runs are taken to: `supply_v` is None where a run does not state its own.

    `drop_known` says that every run gives current and resistance, so that I₀·R can be taken out of the speed.
    """

    supply_v: Fraction | None
    drop_known: bool


@dataclass(frozen=True, slots=True)
class CommonValues:
    """All quantities of one run at common conditions, by name, and what had to be assumed."""

    run: ComparedRun
    by_name: dict[str, CommonValue]
    notes: tuple[str, ...] = field(default=())


def common_conditions(runs: Iterable[ComparedRun]) -> Conditions:
    """The mean of the runs' supply voltages, so that no run is favoured and their order does not matter."""
    listed = tuple(runs)
    stated = [supply for run in listed if (supply := supply_of(run)) is not None]
    supply = sum(stated, Fraction(0)) / len(stated) if stated and len(stated) == len(listed) else None
    drop_known = all(_winding(run) is not None and run.readings.value(("current_a",)) is not None for run in listed)
    return Conditions(supply, drop_known=supply is not None and drop_known)


def supply_of(run: ComparedRun) -> Fraction | None:
    """The supply voltage of a run as read, in V; None where it states none above zero."""
    supply = run.readings.value(("supply_v",))
    return None if supply is None or not value_of(supply.number) > 0 else value_of(supply.number)


def common_values_of(run: ComparedRun, conditions: Conditions) -> CommonValues:
    """Every quantity of a run at the conditions."""
    notes: list[str] = []
    values = {**_windings(run), **_as_read(run)}
    values.update(_electric(run, conditions, notes))
    return CommonValues(run, {quantity.name: values[quantity.name] for quantity in COMPARED}, tuple(notes))


# --- the winding


@dataclass(frozen=True, slots=True)
class _Winding:
    """Three line-to-line readings in mΩ, how warm the copper was, and whose they are, "" for the run's own."""

    phases: tuple[RecordedValue, ...]
    copper_c: Number
    whence: str

    def mean_at(self, to_c: Number) -> Number:
        """The mean in mΩ at another temperature."""
        return at_temperature(mean_of([phase.number for phase in self.phases]), self.copper_c, to_c)


def _winding(run: ComparedRun) -> _Winding | None:
    """The run's own winding, else the nearest one in time that no rebuild parts from it, else the factory sheet's."""
    own_winding = _winding_in(run.readings, "")
    if own_winding is not None:
        return own_winding
    motor, era = run.motor, run.era(rebuilds.WINDING)
    others = [
        other_run
        for other_run in runs_of(motor, run.instruments)
        if other_run.record != run.record and other_run.era(rebuilds.WINDING) == era
    ]
    for other_run in sorted(others, key=lambda candidate: (abs((candidate.day - run.day).days), candidate.record.path)):
        winding = _winding_in(other_run.readings, f"the bench run of {other_run.title}")
        if winding is not None:
            return winding
    if era == 0:
        sheet: Path = (*motor.prefix, "factory_sheet")
        return _winding_in(RunRecord(motor.document, sheet, run.day, run.instruments), "the factory sheet")
    return None


def _winding_in(record: RunRecord, whence: str) -> _Winding | None:
    phases = tuple(
        reading for name in _PHASES if (reading := record.value(("winding", name), named=_METER)) is not None
    )
    at_c = record.value(("winding", "winding_c"), named=_THERMOMETER)
    if len(phases) < len(_PHASES) or at_c is None or not _is_copper(phases, at_c):
        return None
    return _Winding(phases, _copper_c(at_c, record), whence)


def _windings(run: ComparedRun) -> dict[str, CommonValue]:
    record = run.readings
    phases = [record.value(("winding", name), named=_METER) for name in _PHASES]
    missing = tuple(dotted(("winding", name)) for name, phase in zip(_PHASES, phases, strict=True) if phase is None)
    read = tuple(phase for phase in phases if phase is not None)
    at_c = record.value(("winding", "winding_c"), named=_THERMOMETER)
    if missing:
        return {
            "winding_mean_mohm": CommonValue(None, (), missing),
            "winding_spread_percent": CommonValue(None, (), missing),
        }
    if not _is_copper(read, at_c):
        useless = CommonValue(None, (), ("readings that are above zero once the instrument's offset is taken off",))
        return {"winding_mean_mohm": useless, "winding_spread_percent": useless}
    numbers = [phase.number for phase in read]
    spread = CommonValue(spread_percent(numbers), read)
    if at_c is None:
        return {"winding_mean_mohm": CommonValue(None, (), ("winding.winding_c",)), "winding_spread_percent": spread}
    copper_c = _copper_c(at_c, record)
    mean = at_temperature(mean_of(numbers), copper_c, REFERENCE_C)
    return {"winding_mean_mohm": CommonValue(mean, (*read, at_c)), "winding_spread_percent": spread}


def _is_copper(phases: tuple[RecordedValue, ...], at_c: RecordedValue | None) -> bool:
    """Whether these are resistances of copper at all: an offset that is taken off can bring a reading below zero."""
    warm = at_c is None or value_of(at_c.number) > -K_COPPER
    return warm and all(value_of(phase.number) > 0 for phase in phases)


def _copper_c(at_c: RecordedValue, record: RunRecord) -> Number:
    if at_c.states_uncertainty:
        return at_c.number
    return copper_temperature(at_c.number, f"{record.document.file}:{dotted(record.path)}")


def _beside_the_magnet(at_c: Number, half_width_k: float, record: RunRecord) -> Number:
    """A temperature that was taken beside the magnet: what lies between is new in every run."""
    name = Influence(f"magnet temperature:{record.document.file}:{dotted(record.path)}", "temperature of the magnet")
    return at_c + Measured(Fraction(0), {name: half_width_k / math.sqrt(3)})


# --- what is taken as it was read


def _as_read(run: ComparedRun) -> dict[str, CommonValue]:
    record = run.readings
    sensors = record.sensors(("timing_deg",))
    timing = [sensor.number for sensor in sensors]
    lacking = CommonValue(None, (), ("timing_deg",))
    one_only = CommonValue(None, (), ("timing_deg (one value for each sensor)",))
    values = {"timing_mean_deg": lacking, "timing_spread_deg": lacking}
    if timing:
        values["timing_mean_deg"] = CommonValue(mean_of(timing), sensors)
        values["timing_spread_deg"] = CommonValue(spread_of(timing), sensors) if len(timing) > 1 else one_only
    for name in ("sensor_spread_percent", "pole_difference_percent"):
        reading = record.value((name,))
        values[name] = CommonValue(None, (), (name,)) if reading is None else CommonValue(reading.number, (reading,))
    return values


# --- speed, torque and current


def _electric(run: ComparedRun, conditions: Conditions, notes: list[str]) -> dict[str, CommonValue]:
    record = run.readings
    supply, current = record.value(("supply_v",)), record.value(("current_a",))
    speed, kv = record.value(("speed_rpm",)), record.value(("kv_rpm_per_v",))
    magnet = _magnet_factor(run, notes)
    winding = _winding(run)
    common = conditions.supply_v
    no_current = CommonValue(None, (), ("current_a",))
    if supply is None or common is None or not value_of(supply.number) > 0:
        lacking = CommonValue(None, (), ("supply_v",) if supply is None or common is not None else ())
        return {"kv_rpm_per_v": lacking, "torque_mnm_per_a": lacking, "current_a": lacking if current else no_current}
    volts = supply.number
    at_common = None if current is None else _current_at(current.number, common / volts, run)
    read: Number | None = None
    sources: tuple[RecordedValue, ...] = ()
    if kv is not None:
        read, sources = kv.number, (kv,)
    elif speed is not None:
        read, sources = speed.number / volts, (speed, supply)
    values = {"current_a": no_current if current is None else CommonValue(at_common, (current,))}
    if read is None:
        lacking = CommonValue(None, (), ("kv_rpm_per_v",))
        return {**values, "kv_rpm_per_v": lacking, "torque_mnm_per_a": lacking}
    if current is None or at_common is None or winding is None:
        missing = tuple(name for name, value in (("current_a", current), ("winding", winding)) if value is None)
        return {
            **values,
            "kv_rpm_per_v": CommonValue(read * magnet, sources),
            "torque_mnm_per_a": CommonValue(None, (), missing),
        }
    if winding.whence:
        notes.append(f"{run.title}: the winding was not measured; that of {winding.whence} stands for it")
    drop = current.number * (winding.mean_at(_winding_c(record, winding)) / 1000) / volts
    if not value_of(drop) < 1 or not value_of(read) > 0:
        lacking = CommonValue(None, (), ("a current, a winding and a speed that can be true together",))
        return {"kv_rpm_per_v": lacking, "torque_mnm_per_a": lacking, "current_a": lacking}
    constant = read / (1 - drop) * magnet
    drop_common = at_common * (winding.mean_at(REFERENCE_C) / 1000) / common
    per_volt = constant * (1 - drop_common) if conditions.drop_known else read * magnet
    return {
        **values,
        "kv_rpm_per_v": CommonValue(per_volt, sources),
        "torque_mnm_per_a": CommonValue(_NEWTON_METRES / constant, sources),
    }


def _current_at(current: Number, voltage_ratio: Number, run: ComparedRun) -> Number:
    """The no-load current at another voltage: I₀·(s + (1 − s)·U′/U), where s is the part of the torque that stays."""
    name = Influence(f"friction share:{run.motor.document.file}", "part of the no-load torque that is friction")
    friction = _assumed(BENCH_FRICTION_SHARE, name)
    return current * (friction + (1 - friction) * voltage_ratio)


def _winding_c(record: RunRecord, winding: _Winding) -> Number:
    """Temperature of the copper while the motor spun: the can's, else that of the resistance measurement."""
    can = record.value(("can_c",))
    return winding.copper_c if can is None else can.number


def _magnet_factor(run: ComparedRun, notes: list[str]) -> Number:
    """What a speed constant at the magnet's temperature is multiplied by to have it at the reference temperature.

    The torque constant is proportional to the flux, the speed constant to one over it: k_n20 = k_n·(1 + α·(T − 20)).
    """
    record = run.readings
    temperature = record.value(("can_c",)) or record.value(("winding", "winding_c"), named=_THERMOMETER)
    if temperature is None:
        value, half_width = UNKNOWN_C
        notes.append(f"{run.title}: no temperature is stated, so {value} ± {half_width:g} °C is assumed; add can_c")
        at_c = _beside_the_magnet(value, half_width, record)
    else:
        lag = Influence(f"magnet lag:{run.motor.document.file}", "lag of the magnet behind the can")
        rise = to_float(value_of(temperature.number) - REFERENCE_C)
        lagging = temperature.number + Measured(Fraction(0), {lag: MAGNET_LAG * rise / math.sqrt(3)})
        at_c = _beside_the_magnet(lagging, MAGNET_HALF_WIDTH_K, record)
    coefficient = _assumed(assumption("magnet_per_k"), Influence("magnet coefficient", "the magnet's coefficient"))
    return 1 + coefficient * (at_c - REFERENCE_C)


def _assumed(constant: Assumption, name: Influence) -> Measured:
    """An assumed constant, which lies anywhere in its range (JCGM 100 4.3.7)."""
    return Measured(exact(constant.value), {name: (constant.high - constant.low) / math.sqrt(12)})
