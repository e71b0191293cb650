"""The motor of a car as its newest valid bench run shows it, or as its turns suggest where none counts."""

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from speclint.gearing.assumed import UNMEASURED_DRAG, UNMEASURED_FAST, UNMEASURED_SLOW, Assumed
from speclint.models.bench import BenchRun, Measurement
from speclint.models.cars import Car
from speclint.models.stated import StatedReading
from speclint.moments import day_text
from speclint.physics.assumptions import NO_LOAD_TORQUE_NM, typical_motor
from speclint.physics.motor import (
    COPPER_K,
    Motor,
    copper_resistance_ohm,
    motor_from_bench,
    torque_constant_nm_per_a,
)
from speclint.physics.units import ohm, rad_per_s
from speclint.quantities.facts import Fact, Facts
from speclint.quantities.written import written
from speclint.readings.digits import plain_text
from speclint.readings.exact import exact, to_float
from speclint.readings.instruments import reading
from speclint.readings.measured import Measured, Number, value_of

ROOM_C: Final = 25.0
"""Temperature of a motor of which none is written down."""

_TORQUE_SOURCE: Final = "from memory: 2.5 to 4 A at 7.4 V in a 17.5"
_TURNS_SOURCE: Final = (
    "published club limits of 39,000 to 41,000 rpm/V times turns; resistance with the square of the turns"
)


@dataclass(frozen=True, slots=True)
class KnownMotor:
    """A motor to predict with.

    Attributes:
        motors: The most likely one first; the others are as much slower and faster as it may be.
        measured: Whether speed, current and winding all come from readings that count.
        origin: Where its numbers come from, in words.
        assumed: What stands in for readings.
    """

    motors: tuple[Motor, ...]
    measured: bool
    origin: str
    assumed: tuple[Assumed, ...]


def known_motor(car: Car, facts: Facts) -> KnownMotor | None:
    """The motor, or None where neither a bench run nor the turns say anything of it."""
    turns = positive(facts.fact("motor_turns"))
    typical = typical_motor(turns) if turns else None
    speed = facts.fact("kv_rpm_per_v")
    if speed.value is None and not speed.reason:
        speed = facts.fact("no_load_speed_rpm")
    record = speed.record
    supply_v = _supply_v(car, record) if speed.value is not None else None
    found_speed = positive(speed)
    if found_speed and supply_v and speed.quantity.unit == "rpm":
        found_speed /= supply_v
    if not found_speed or not supply_v or record is None:
        if typical is None:
            return None
        lacking = speed.reason or (
            "no bench run states kv_rpm_per_v" if found_speed is None else "its bench run states no supply_v"
        )
        return _by_turns(typical, turns or 0.0, facts, lacking)
    return _by_bench(typical, turns, facts, found_speed, supply_v, _warmth(car, record), record)


def _by_turns(typical: Motor, turns: float, facts: Facts, lacking: str) -> KnownMotor:
    assumed = [
        Assumed(
            "speed per volt and no-load current",
            f"typical of {plain_text(exact(turns))} turns at zero timing, up to a fifth faster and twice the friction",
            f"{lacking}; a bench run makes the band narrower",
            f"{_TURNS_SOURCE}; timing adds up to a fifth, and doubles the no-load torque (from memory)",
        )
    ]
    resistance, at_c = _winding(facts, typical, turns, assumed)
    likely = replace(typical, resistance_ohm=copper_resistance_ohm(resistance, at_c, typical.measured_c, COPPER_K))
    others = tuple(
        replace(
            likely,
            torque_constant_nm_per_a=likely.torque_constant_nm_per_a / factor,
            no_load_speed_rad_per_s=likely.no_load_speed_rad_per_s * factor,
            no_load_torque_nm=likely.no_load_torque_nm * drag,
        )
        for factor, drag in ((UNMEASURED_SLOW, 1.0), (UNMEASURED_FAST, UNMEASURED_DRAG))
    )
    origin = f"typical values for {plain_text(exact(turns))} turns, not measured"
    return KnownMotor((likely, *others), False, origin, tuple(assumed))


def _by_bench(
    typical: Motor | None,
    turns: float | None,
    facts: Facts,
    kv: float,
    supply_v: float,
    warmth: float | None,
    record: Measurement,
) -> KnownMotor | None:
    assumed: list[Assumed] = []
    if warmth is None:
        warmth = ROOM_C
        assumed.append(
            Assumed(
                "motor temperature on the bench",
                f"{ROOM_C:.0f} °C",
                "the bench run states no can_c",
                "a motor at rest in a room",
            )
        )
    current = facts.fact("current_a")
    torque = None
    if current.value is None or current.record is None or current.record.path != record.path:
        why = current.reason or "the bench run states no current_a"
        torque = NO_LOAD_TORQUE_NM
        assumed.append(Assumed("no-load torque", f"{torque * 1000:.0f} mN m", why, _TORQUE_SOURCE))
        no_load_a = torque / torque_constant_nm_per_a(kv)
    else:
        no_load_a = positive(current) or 0.0
    if facts.fact("winding_mean_mohm").value is None and typical is None and _raw_winding(facts) is None:
        return None
    resistance, at_c = _winding(facts, typical, turns, assumed)
    warm_ohm = copper_resistance_ohm(resistance, at_c, warmth, COPPER_K)
    if supply_v <= no_load_a * warm_ohm:
        return None
    motor = motor_from_bench(
        kv_rpm_per_v=kv, supply_v=supply_v, current_a=no_load_a, resistance_ohm=warm_ohm, measured_c=warmth
    )
    if torque is not None:
        motor = replace(motor, no_load_torque_nm=torque, no_load_speed_rad_per_s=rad_per_s(kv * 7.4))
    lacks = [each.what for each in assumed if each.what != "motor temperature on the bench"]
    origin = f"the bench run of {day_text(record.when.day)}"
    if lacks:
        origin += f", with typical values for {' and '.join(lacks)}"
    return KnownMotor((motor,), not lacks, origin, tuple(assumed))


def _winding(facts: Facts, typical: Motor | None, turns: float | None, assumed: list[Assumed]) -> tuple[float, float]:
    """Resistance between two leads in ohm, and the temperature in °C that it holds at."""
    corrected = facts.fact("winding_mean_mohm")
    value = positive(corrected)
    if value:
        return ohm(value), to_float(facts.reference_c)
    raw = _raw_winding(facts)
    if raw:
        assumed.append(
            Assumed(
                "winding temperature on the bench",
                f"{ROOM_C:.0f} °C",
                "the winding's reading states no winding_c",
                "a motor at rest in a room",
            )
        )
        return ohm(raw), ROOM_C
    if typical is None or turns is None:
        raise ValueError("a motor without a winding and without turns cannot be predicted")
    why = corrected.reason or "no bench run and no factory sheet states the winding"
    shown = f"{typical.resistance_ohm * 1000:.1f} mΩ at {typical.measured_c:.0f} °C"
    assumed.append(Assumed("winding", f"{shown}, typical of {plain_text(exact(turns))} turns", why, _TURNS_SOURCE))
    return typical.resistance_ohm, typical.measured_c


def _raw_winding(facts: Facts) -> float | None:
    fact = facts.fact("winding_mean_mohm", uncorrected=True)
    return None if fact.reason else positive(fact)


def _supply_v(car: Car, record: Measurement | None) -> float | None:
    value = reading_of(record.supply_v, car, "supply_v", record.instrument) if isinstance(record, BenchRun) else None
    volts = 0.0 if value is None else to_float(value_of(value))
    return volts if volts > 0 else None


def _warmth(car: Car, record: Measurement) -> float | None:
    """Temperature of the motor in its bench run: of the can, else of the winding."""
    can = record.can_c if isinstance(record, BenchRun) else None
    for stated in (can, record.winding.winding_c if record.winding is not None else None):
        value = reading_of(stated, car, "can_c", None)
        if value is not None:
            return to_float(value_of(value))
    return None


def reading_of(stated: StatedReading | None, car: Car, key: str, named: str | None) -> Number | None:
    """A measured value in any of its forms, an instrument's offset taken off; None where there is none.

    Args:
        stated: What stands at the key.
        car: Knows the instruments.
        key: The identity of the reading.
        named: The instrument that the whole record names; counts where it states its unit as this key's.
    """
    if stated is None:
        return None
    values, uncertainty, instrument = written(stated, key, named, car.instruments, for_whole_record=True)
    return reading(values, instrument, key=key, standard_uncertainty=uncertainty)


def positive(fact: Fact) -> float | None:
    """A fact's value; an offset that leaves nothing above zero makes it no value at all."""
    value = to_float(value_of(fact.value)) if isinstance(fact.value, Fraction | Measured) else 0.0
    return value if value > 0 else None
