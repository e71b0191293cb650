"""What one bench run says of a motor at common conditions: one supply voltage, copper and magnet at one temperature.

The model is the direct-current one of `speclint.physics.motor`. A bench reads speed over supply voltage; the drop I₀·R
is given back, since n₀ = k_n·(U − I₀·R), and taken again at the common voltage. The no-load current goes with the
no-load torque, a part of which grows with speed and a part does not. Copper follows the resistance method of
IEC 60034-1, the magnet's flux its published coefficient; what is assumed stands in `speclint.physics.assumptions` and
blurs the result.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from speclint.comparison.compared import COMPARED, Level
from speclint.comparison.recorded import Recorded, RunRecord
from speclint.comparison.runs import Run
from speclint.physics.assumptions import assumption
from speclint.places import Path, dotted
from speclint.quantities import rebuilds
from speclint.readings.copper import K_COPPER, at_temperature, spread_percent
from speclint.readings.exact import PI, exact
from speclint.readings.measured import Influence, Measured, Number, mean_of, spread_of, value_of

REFERENCE_C: Final = Fraction(20)
"""The temperature in °C to which winding and magnet are taken."""

MAGNET_HALF_WIDTH_K: Final = 5.0
"""How far a magnet may be from the can around it after a short run without load (from memory)."""

COPPER_HALF_WIDTH_K: Final = 1.0
"""How far the copper may be from the spot that the thermometer touched after an hour's rest (from memory)."""

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
class Levels:
    """All quantities of one run at common conditions, by name, and what had to be assumed."""

    run: Run
    by_name: dict[str, Level]
    notes: tuple[str, ...] = field(default=())


def common_conditions(runs: Iterable[Run]) -> Conditions:
    """The mean of the runs' supply voltages, so that no run is favoured and their order does not matter."""
    listed = tuple(runs)
    supplies = [run.readings.value(("supply_v",)) for run in listed]
    stated = [value_of(one.number) for one in supplies if one is not None and value_of(one.number) > 0]
    supply = sum(stated, Fraction(0)) / len(stated) if stated and len(stated) == len(listed) else None
    known = all(_winding(run) is not None and run.readings.value(("current_a",)) is not None for run in listed)
    return Conditions(supply, drop_known=supply is not None and known)


def supply_of(run: Run) -> Fraction | None:
    """The supply voltage of a run as read, in V; None where it states none above zero."""
    found = run.readings.value(("supply_v",))
    return None if found is None or not value_of(found.number) > 0 else value_of(found.number)


def levels_of(run: Run, conditions: Conditions) -> Levels:
    """Every quantity of a run at the conditions."""
    notes: list[str] = []
    found = {**_windings(run), **_as_read(run)}
    found.update(_electric(run, conditions, notes))
    return Levels(run, {one.name: found[one.name] for one in COMPARED}, tuple(notes))


# --- the winding


@dataclass(frozen=True, slots=True)
class _Winding:
    """Three line-to-line readings in mΩ, and the temperature that they were taken at."""

    phases: tuple[Recorded, ...]
    at_c: Recorded
    copper_c: Number
    whence: str

    def mean_at(self, to_c: Number) -> Number:
        """The mean in mΩ at another temperature."""
        return at_temperature(mean_of([one.number for one in self.phases]), self.copper_c, to_c)


def _winding(run: Run) -> _Winding | None:
    """The run's own winding, else the nearest one in time that no rebuild parts from it, else the factory sheet's."""
    own = _winding_in(run.readings, "")
    if own is not None:
        return own
    motor, era = run.motor, run.era(rebuilds.WINDING)
    others = [
        Run(
            motor,
            record,
            0,
            tuple(one for one in motor.rebuilds if record.when.certainly_after(one.when)),
            run.instruments,
        )
        for record in motor.bench_runs
        if record != run.record
    ]
    near = sorted(others, key=lambda other: (abs((other.day - run.day).days), other.record.path))
    for other in near:
        found = (
            _winding_in(other.readings, f"the bench run of {other.title}")
            if other.era(rebuilds.WINDING) == era
            else None
        )
        if found is not None:
            return found
    if era == 0:
        sheet: Path = (*motor.prefix, "factory_sheet")
        return _winding_in(RunRecord(motor.document, sheet, run.day, run.instruments), "the factory sheet")
    return None


def _winding_in(record: RunRecord, whence: str) -> _Winding | None:
    phases = tuple(
        one for name in _PHASES if (one := record.value(("winding", name), named=_METER)) is not None
    )  # fmt: skip
    at_c = record.value(("winding", "winding_c"), named=_THERMOMETER)
    if len(phases) < len(_PHASES) or at_c is None or not _sound(phases, at_c):
        return None
    return _Winding(phases, at_c, _near(at_c.number, COPPER_HALF_WIDTH_K, "copper", record), whence)


def _windings(run: Run) -> dict[str, Level]:
    record = run.readings
    phases = [record.value(("winding", name), named=_METER) for name in _PHASES]
    missing = tuple(dotted(("winding", name)) for name, one in zip(_PHASES, phases, strict=True) if one is None)
    read = tuple(one for one in phases if one is not None)
    at_c = record.value(("winding", "winding_c"), named=_THERMOMETER)
    if missing:
        return {"winding_mean_mohm": Level(None, (), missing), "winding_spread_percent": Level(None, (), missing)}
    if not _sound(read, at_c):
        useless = Level(None, (), ("readings that are above zero once the instrument's offset is taken off",))
        return {"winding_mean_mohm": useless, "winding_spread_percent": useless}
    numbers = [one.number for one in read]
    spread = Level(spread_percent(numbers), read)
    if at_c is None:
        return {"winding_mean_mohm": Level(None, (), ("winding.winding_c",)), "winding_spread_percent": spread}
    copper_c = _near(at_c.number, COPPER_HALF_WIDTH_K, "copper", record)
    mean = at_temperature(mean_of(numbers), copper_c, REFERENCE_C)
    return {"winding_mean_mohm": Level(mean, (*read, at_c)), "winding_spread_percent": spread}


def _sound(phases: tuple[Recorded, ...], at_c: Recorded | None) -> bool:
    """Whether these are resistances of copper at all: an offset that is taken off can bring a reading below zero."""
    warm = at_c is None or value_of(at_c.number) > -K_COPPER
    return warm and all(value_of(one.number) > 0 for one in phases)


def _near(at_c: Number, half_width_k: float, what: str, record: RunRecord) -> Number:
    """A temperature that was taken beside the thing itself: what lies between is new in every run."""
    name = Influence(f"{what} temperature:{record.document.file}:{dotted(record.path)}", f"temperature of the {what}")
    return at_c + Measured(Fraction(0), {name: half_width_k / math.sqrt(3)})


# --- what is taken as it was read


def _as_read(run: Run) -> dict[str, Level]:
    record = run.readings
    sensors = record.sensors(("timing_deg",))
    timing = [one.number for one in sensors]
    lacking = Level(None, (), ("timing_deg",))
    one_only = Level(None, (), ("timing_deg (one value for each sensor)",))
    found = {
        "timing_mean_deg": Level(mean_of(timing), sensors) if timing else lacking,
        "timing_spread_deg": Level(spread_of(timing), sensors) if len(timing) > 1 else one_only if timing else lacking,
    }
    for name in ("sensor_spread_percent", "pole_difference_percent"):
        one = record.value((name,))
        found[name] = Level(None, (), (name,)) if one is None else Level(one.number, (one,))
    return found


# --- speed, torque and current


def _electric(run: Run, conditions: Conditions, notes: list[str]) -> dict[str, Level]:
    record = run.readings
    supply, current = record.value(("supply_v",)), record.value(("current_a",))
    speed, kv = record.value(("speed_rpm",)), record.value(("kv_rpm_per_v",))
    magnet = _magnet_factor(run, notes)
    winding = _winding(run)
    common = conditions.supply_v
    no_current = Level(None, (), ("current_a",))
    if supply is None or common is None or not value_of(supply.number) > 0:
        lacking = Level(None, (), ("supply_v",) if supply is None or common is not None else ())
        return {"kv_rpm_per_v": lacking, "torque_mnm_per_a": lacking, "current_a": lacking if current else no_current}
    volts = supply.number
    at_common = None if current is None else _current_at(current.number, common / volts, run)
    read: Number | None = None
    sources: tuple[Recorded, ...] = ()
    if kv is not None:
        read, sources = kv.number, (kv,)
    elif speed is not None:
        read, sources = speed.number / volts, (speed, supply)
    found = {"current_a": no_current if current is None else Level(at_common, (current,))}
    if read is None:
        lacking = Level(None, (), ("kv_rpm_per_v",))
        return {**found, "kv_rpm_per_v": lacking, "torque_mnm_per_a": lacking}
    if current is None or at_common is None or winding is None:
        missing = tuple(name for name, value in (("current_a", current), ("winding", winding)) if value is None)
        return {**found, "kv_rpm_per_v": Level(read * magnet, sources), "torque_mnm_per_a": Level(None, (), missing)}
    if winding.whence:
        notes.append(f"{run.title}: the winding was not measured; that of {winding.whence} stands for it")
    drop = current.number * (winding.mean_at(_winding_c(record, winding)) / 1000) / volts
    if not value_of(drop) < 1 or not value_of(read) > 0:
        lacking = Level(None, (), ("a current, a winding and a speed that can be true together",))
        return {"kv_rpm_per_v": lacking, "torque_mnm_per_a": lacking, "current_a": lacking}
    constant = read / (1 - drop) * magnet
    drop_common = at_common * (winding.mean_at(REFERENCE_C) / 1000) / common
    per_volt = constant * (1 - drop_common) if conditions.drop_known else read * magnet
    return {
        **found,
        "kv_rpm_per_v": Level(per_volt, sources),
        "torque_mnm_per_a": Level(_NEWTON_METRES / constant, sources),
    }


def _current_at(current: Number, voltage_ratio: Number, run: Run) -> Number:
    """The no-load current at another voltage: I₀·(s + (1 − s)·U′/U), where s is the part of the torque that stays."""
    share = assumption("friction_share")
    friction = Measured(
        exact(share.value),
        {
            Influence(f"friction share:{run.motor.document.file}", "part of the no-load torque that is friction"): (
                _rectangle(share.high - share.low)
            )
        },
    )
    return current * (friction + (1 - friction) * voltage_ratio)


def _winding_c(record: RunRecord, winding: _Winding) -> Number:
    """Temperature of the copper while the motor spun: the can's, else that of the resistance measurement."""
    can = record.value(("can_c",))
    return winding.copper_c if can is None else can.number


def _magnet_factor(run: Run, notes: list[str]) -> Number:
    """What a speed constant at the magnet's temperature is multiplied by to have it at the reference temperature.

    The torque constant is proportional to the flux, the speed constant to one over it: k_n20 = k_n·(1 + α·(T − 20)).
    """
    record = run.readings
    known = record.value(("can_c",)) or record.value(("winding", "winding_c"), named=_THERMOMETER)
    value, half_width = (known.number, MAGNET_HALF_WIDTH_K) if known is not None else UNKNOWN_C
    if known is None:
        notes.append(f"{run.title}: no temperature is stated, so {value} ± {half_width:g} °C is assumed; add can_c")
    at_c = _near(value, half_width, "magnet", record)
    flux = assumption("magnet_per_k")
    coefficient = Measured(
        exact(flux.value), {Influence("magnet coefficient", "the magnet's coefficient"): _rectangle(flux.high - flux.low)}
    )  # fmt: skip
    return 1 + coefficient * (at_c - REFERENCE_C)


def _rectangle(width: float) -> float:
    """The standard uncertainty of a value that lies anywhere in a range of this width (JCGM 100 4.3.7)."""
    return width / math.sqrt(12)
