"""The motor of a car as its newest valid bench run shows it, or as its turns suggest where none counts."""

from dataclasses import dataclass, replace
from typing import Final, TypeVar

from speclint.forms.size import Size
from speclint.gearing.assumed import Assumed
from speclint.models.bench import BenchRun, Measurement
from speclint.models.cars import Car
from speclint.models.stated import StatedReading
from speclint.moments import day_text
from speclint.physics.assumptions import Assumption, assumption
from speclint.physics.motor import (
    MotorModel,
    copper_resistance_ohm,
    friction_share,
    motor_from_bench,
    torque_constant_nm_per_a,
)
from speclint.physics.typical import (
    NO_CURRENT,
    NO_LOAD_TORQUE_NM,
    RATED_V,
    UNMEASURED,
    UNMEASURED_WINDING,
    known_winding,
    typical_motor,
)
from speclint.physics.units import ohm, rad_per_s
from speclint.quantities.facts import Fact, Facts, ReadingTerms
from speclint.quantities.registry import unit_of_key
from speclint.quantities.written import written
from speclint.readings.digits import plain_text
from speclint.readings.exact import exact, to_float
from speclint.readings.instruments import reading
from speclint.readings.measured import Number, value_of
from speclint.rules.rulebook import Rulebook
from speclint.rules.wording import asked

Stated = TypeVar("Stated", Assumption, Assumed)

ROOM_C: Final = 25.0
"""Temperature of a motor of which none is written down."""

_TORQUE_SOURCE: Final = "2.5 to 4 A at 7.4 V in a 17.5: estimate"
_TURNS_SOURCE: Final = "published club limits of 39,000 to 41,000 rpm/V times turns, and timing adds up to a fifth"
_WINDING_SOURCE: Final = (
    "published least windings of 35.4 mΩ for 17.5 and 20.6 mΩ for 13.5 turns, with the turns squared"
)
_WINDINGS: Final = frozenset({"winding_mean_mohm", "winding_lowest_mohm"})
_WARMTH: Final = "motor temperature on the bench"
_WINDING_WARMTH: Final = "winding temperature on the bench"


@dataclass(frozen=True, slots=True)
class ClassWinding:
    """The winding that a class asks for: its nominal value or its lower limit.

    Attributes:
        mohm: Resistance.
        at_c: Temperature that it holds at.
        rule: The rule, in words.
    """

    mohm: float
    at_c: float
    rule: str


@dataclass(frozen=True, slots=True)
class KnownMotor:
    """A motor to predict with.

    Attributes:
        model: The most likely one.
        ranges: How far it may be from that, where this is not the usual bench's scatter.
        measured: Whether speed, current and winding all come from readings that count.
        two_points: Whether two no-load points tell friction from iron.
        origin: Where its numbers come from, in words.
        assumed: What stands in for readings.
    """

    model: MotorModel
    ranges: tuple[Assumption, ...]
    measured: bool
    two_points: bool
    origin: str
    assumed: tuple[Assumed, ...]


def known_motor(car: Car, facts: Facts, class_winding: ClassWinding | None) -> KnownMotor | None:
    """The motor, or None where neither a bench run nor the turns say anything of it.

    Args:
        car: The car as its files state it.
        facts: Its facts on the day.
        class_winding: What the rules ask of a winding; stands in where nobody has measured this one.
    """
    turns = positive(facts.fact("motor_turns"))
    typical = typical_motor(turns) if turns else None
    speed = facts.fact("kv_rpm_per_v")
    if speed.value is None and not speed.reason:
        speed = facts.fact("no_load_speed_rpm")
    record = speed.record
    supply_v = _supply_v(car, record) if speed.value is not None else None
    per_volt = positive(speed)
    if per_volt and supply_v and speed.quantity.unit == "rpm":
        per_volt /= supply_v
    winding = _winding(facts, turns, typical, class_winding)
    if winding is None:
        return None
    if not per_volt or not supply_v or record is None:
        if typical is None:
            return None
        lacking = speed.reason or (
            "no bench run states kv_rpm_per_v" if per_volt is None else "its bench run states no supply_v"
        )
        return _by_turns(typical, turns or 0.0, winding, lacking)
    return _by_bench(car, facts, record, per_volt, supply_v, winding)


@dataclass(frozen=True, slots=True)
class _Winding:
    """Resistance between two leads, the temperature that it holds at, and where it comes from."""

    ohm: float
    at_c: float
    range: Assumption | None
    assumed: Assumed | None


def _by_turns(typical: MotorModel, turns: float, winding: _Winding, lacking: str) -> KnownMotor:
    named = f"{plain_text(exact(turns))} turns"
    assumed = Assumed(
        "speed per volt and no-load current",
        f"typical of {named} with a little timing",
        f"{lacking}; a bench run makes the band narrower",
        _TURNS_SOURCE,
    )
    resistance = copper_resistance_ohm(winding.ohm, winding.at_c, typical.measured_c)
    return KnownMotor(
        replace(typical, resistance_ohm=resistance),
        _stated(*UNMEASURED, winding.range),
        False,
        False,
        f"typical values for {named}, not measured",
        _stated(assumed, winding.assumed),
    )


def _by_bench(
    car: Car, facts: Facts, record: Measurement, per_volt: float, supply_v: float, winding: _Winding
) -> KnownMotor | None:
    warmth = _warmth(car, record)
    assumed: list[Assumed | None] = []
    if warmth is None:
        warmth = ROOM_C
        assumed.append(
            Assumed(_WARMTH, f"{ROOM_C:.0f} °C", "the bench run states no can_c", "a motor at rest in a room")
        )
    current = facts.fact("current_a")
    torque = None
    if current.value is None or current.record is None or current.record.path != record.path:
        why = current.reason or "the bench run states no current_a"
        torque = NO_LOAD_TORQUE_NM
        assumed.append(Assumed("no-load torque", f"{torque * 1000:.0f} mN m", why, _TORQUE_SOURCE))
        no_load_a = torque / torque_constant_nm_per_a(per_volt)
    else:
        no_load_a = positive(current) or 0.0
    warm_ohm = copper_resistance_ohm(winding.ohm, winding.at_c, warmth)
    if supply_v <= no_load_a * warm_ohm:
        return None
    model = motor_from_bench(
        kv_rpm_per_v=per_volt, supply_v=supply_v, current_a=no_load_a, resistance_ohm=warm_ohm, measured_c=warmth
    )
    split = None if torque is not None else _split(car, record, model, warm_ohm, warmth)
    if torque is not None:
        model = replace(model, no_load_torque_nm=torque, no_load_speed_rad_per_s=rad_per_s(per_volt * RATED_V))
    assumed.append(winding.assumed)
    standing_in = _stated(*assumed)
    lacks = [value.what for value in standing_in if value.what not in (_WARMTH, _WINDING_WARMTH)]
    origin = f"the bench run of {day_text(record.when.day)}"
    if lacks:
        origin += f", with typical values for {' and '.join(lacks)}"
    return KnownMotor(
        model,
        _stated(winding.range, split, NO_CURRENT if torque is not None else None),
        not lacks,
        split is not None,
        origin,
        standing_in,
    )


def _split(car: Car, record: Measurement, model: MotorModel, warm_ohm: float, warmth: float) -> Assumption | None:
    """The friction share as two no-load points of one run show it; None where there is no second one that says so."""
    second = record.second_point if isinstance(record, BenchRun) else None
    if second is None:
        return None
    volts, amperes, speed = (
        reading_of(stated, car, key, None)
        for stated, key in (
            (second.supply_v, "supply_v"),
            (second.current_a, "current_a"),
            (second.speed_rpm, "speed_rpm"),
        )
    )
    if volts is None or amperes is None or speed is None:
        return None
    values = [to_float(value_of(number)) for number in (volts, amperes, speed)]
    if min(values) <= 0 or values[0] <= values[1] * warm_ohm:
        return None
    at_second = motor_from_bench(
        kv_rpm_per_v=values[2] / values[0],
        supply_v=values[0],
        current_a=values[1],
        resistance_ohm=warm_ohm,
        measured_c=warmth,
    )
    slow, fast = sorted((model, at_second), key=lambda motor: motor.no_load_speed_rad_per_s)
    share = friction_share(slow, fast)
    return None if share is None else assumption("friction_share").narrowed(share, 0.85 * share, min(1.0, 1.15 * share))


def _stated(*values: Stated | None) -> tuple[Stated, ...]:
    return tuple(value for value in values if value is not None)


def _winding(
    facts: Facts, turns: float | None, typical: MotorModel | None, class_winding: ClassWinding | None
) -> _Winding | None:
    corrected = facts.fact("winding_mean_mohm")
    value = positive(corrected)
    if value:
        return _Winding(ohm(value), to_float(facts.reference_c), None, None)
    raw = _raw_winding(facts)
    if raw:
        why = "the winding's reading states no winding_c"
        assumed = Assumed(_WINDING_WARMTH, f"{ROOM_C:.0f} °C", why, "a motor at rest in a room")
        return _Winding(ohm(raw), ROOM_C, known_winding(0.97, 1.03), assumed)
    why = corrected.reason or "no bench run and no factory sheet states the winding"
    if class_winding is not None:
        shown = f"{class_winding.mohm:.1f} mΩ at {class_winding.at_c:.0f} °C"
        assumed = Assumed("winding", shown, why, f"the class: {class_winding.rule}")
        return _Winding(ohm(class_winding.mohm), class_winding.at_c, known_winding(0.96, 1.05), assumed)
    if typical is None or turns is None:
        return None
    shown = f"{typical.resistance_ohm * 1000:.1f} mΩ at {typical.measured_c:.0f} °C"
    assumed = Assumed("winding", f"{shown}, typical of {plain_text(exact(turns))} turns", why, _WINDING_SOURCE)
    return _Winding(typical.resistance_ohm, typical.measured_c, UNMEASURED_WINDING, assumed)


def _raw_winding(facts: Facts) -> float | None:
    fact = facts.fact("winding_mean_mohm", ReadingTerms(uncorrected=True))
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
    values, uncertainty, instrument = written(stated, unit_of_key(key), named, car.instruments, for_whole_record=True)
    return reading(values, instrument, key=key, standard_uncertainty=uncertainty)


def positive(fact: Fact) -> float | None:
    """A fact's value; an offset that leaves nothing above zero makes it no value at all."""
    value = to_float(value_of(fact.value)) if isinstance(fact.value, Number) else 0.0
    return value if value > 0 else None


def class_winding(book: Rulebook) -> ClassWinding | None:
    """The winding that a class asks for: the nominal value of its rule, else the lower limit; None where it asks for none."""
    for rule in book.rules:
        if rule.test is None or rule.quantity not in _WINDINGS or not isinstance(rule.limit, Size):
            continue
        low, high = rule.limit.bounds.low, rule.limit.bounds.high
        meant = None if low is None else (low + high) / 2 if rule.limit.nominal and high is not None else low
        if meant is not None:
            words = f"{book.flat.label} asks {asked(rule)}"
            return ClassWinding(to_float(meant), to_float(rule.test.corrected_to(book.flat.reference_c)), words)
    return None
