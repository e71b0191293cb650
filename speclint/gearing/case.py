"""What a gearing is worked out for: the car and its limits, and the model of it where enough is known for one."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from speclint.gearing import assumed as standing_in
from speclint.gearing.assumed import Assumed
from speclint.gearing.known_motor import ClassWinding, KnownMotor, known_motor, positive
from speclint.gearing.options import GearingOptions
from speclint.gearing.run_conditions import KnownTrack, known_track, run_conditions
from speclint.models.cars import Car
from speclint.models.garages import GarageTrack
from speclint.physics.assumptions import NO_FAN, OFF_ROAD, OFF_ROAD_TYRE_M, Assumption, narrowed
from speclint.physics.prediction import RunConditions, VehicleModel
from speclint.quantities.facts import Facts
from speclint.readings.exact import exact, to_float
from speclint.readings.measured import Number, value_of

USUAL_RATIO: Final = 4.5
"""Ratio with which a track's speed is taken to have been read where no pair is fitted (touring cars: estimate)."""

_DEFAULT_LIMIT: Final = (
    "the lower end of the 71 to 79 °C that published gearing advice gives after five minutes;"
    " --limit-c or the motor's limit_c take the maker's"
)
_DEFAULT_RPM: Final = (
    "assumed: bearings of 5 mm bore are listed up to 40,000 to 60,000 rpm; --limit-rpm or the motor's limit_rpm take the"
    " maker's"
)


@dataclass(frozen=True, slots=True)
class CarModel:
    """Everything that a prediction needs but the ratio.

    Attributes:
        vehicle: The car.
        motor: Its motor.
        conditions: The run.
        assumptions: The assumed constants, some of them narrowed by what is known of this car and track.
    """

    vehicle: VehicleModel
    motor: KnownMotor
    conditions: RunConditions
    assumptions: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GearingCase:
    """Car, limits and run.

    Attributes:
        model: The model of the car; None where too little is stated for one.
        lacking: The keys without which there is no model.
        internal: The chassis's own ratio.
        tyre: Diameter of the driven tyres in mm; None where that is not stated.
        spur: Teeth of the spur that is fitted, where that is stated.
        pinion: The same of the pinion.
        minutes: Length of the run.
        track: The track, as far as it is known.
        limit_c: Limit for the can.
        limit_origin: Where that comes from, in words.
        limit_rpm: Limit for the motor's speed.
        limit_rpm_origin: Where that comes from, in words.
        capacity_mah: Of the pack, where that is stated.
        starting: The maker's lowest and highest final drive ratio to start with, for this car's tyre.
        usual: The class's usual lowest and highest final drive ratio, where a class states them.
        assumed: What nobody stated.
    """

    model: CarModel | None
    lacking: tuple[str, ...]
    internal: Fraction
    tyre: Number | None
    spur: int | None
    pinion: int | None
    minutes: float
    track: KnownTrack
    limit_c: float
    limit_origin: str
    limit_rpm: float
    limit_rpm_origin: str
    capacity_mah: float | None
    starting: tuple[Fraction, Fraction] | None
    usual: tuple[Fraction, Fraction] | None
    assumed: tuple[Assumed, ...]


def case_of(
    car: Car,
    facts: Facts,
    tracks: Mapping[str, GarageTrack],
    entry_track: str | None,
    options: GearingOptions,
    *,
    class_winding: ClassWinding | None,
    usual: tuple[Fraction, Fraction] | None,
) -> GearingCase | None:
    """The case; None where the internal ratio is not stated, without which no gearing can be worked out.

    Args:
        car: The car as its files state it.
        facts: Its facts on the day.
        tracks: The garage's tracks by id.
        entry_track: The track that the entry names.
        options: What the command line says; a track that it names is one of `tracks`.
        class_winding: What the rules ask of a winding.
        usual: The class's usual final drive ratios.
    """
    internal = facts.fact("internal_ratio").value
    if not isinstance(internal, Fraction):
        return None
    tyre = facts.fact("tyre_diameter_mm").value
    stated_tyre = tyre if isinstance(tyre, Number) and value_of(tyre) > 0 else None
    spur, pinion = _teeth(facts, "spur_teeth"), _teeth(facts, "pinion_teeth")
    ratio = USUAL_RATIO if spur is None or pinion is None else float(Fraction(spur, pinion) * internal)
    track = known_track(options.track or entry_track or "", tracks)
    conditions, assumed = run_conditions(track, options, ratio)
    motor = known_motor(car, facts, class_winding)
    vehicle, vehicle_assumed = _vehicle(facts, stated_tyre)
    model = None
    if vehicle is not None and motor is not None:
        model = CarModel(vehicle, motor, conditions, _assumptions(car, vehicle, motor, track))
        assumed = (*motor.assumed, *vehicle_assumed, *track.assumed, *assumed)
    own_c, own_rpm = (None, None) if car.motor is None else (car.motor.limit_c, car.motor.limit_rpm)
    limit_c, limit_origin = _limit(options.limit_c, own_c, "limit_c", (standing_in.CAN_LIMIT_C, _DEFAULT_LIMIT))
    limit_rpm, limit_rpm_origin = _limit(options.limit_rpm, own_rpm, "limit_rpm", (standing_in.LIMIT_RPM, _DEFAULT_RPM))
    return GearingCase(
        model=model,
        lacking=_lacking(stated_tyre, vehicle, motor),
        internal=internal,
        tyre=stated_tyre,
        spur=spur,
        pinion=pinion,
        minutes=options.minutes,
        track=track,
        limit_c=limit_c,
        limit_origin=limit_origin,
        limit_rpm=limit_rpm,
        limit_rpm_origin=limit_rpm_origin,
        capacity_mah=positive(facts.fact("battery_capacity_mah")),
        starting=_starting(car, stated_tyre),
        usual=usual,
        assumed=assumed,
    )


def _assumptions(car: Car, vehicle: VehicleModel, motor: KnownMotor, track: KnownTrack) -> tuple[Assumption, ...]:
    """The assumed constants, some of them narrowed by what is known of this car and track."""
    fan = [] if car.motor is not None and car.motor.fan else [NO_FAN]
    ground = [OFF_ROAD] if vehicle.tyre_diameter_m > OFF_ROAD_TYRE_M else []
    return narrowed([*fan, *ground, *track.ranges, *motor.ranges])


def _lacking(tyre: Number | None, vehicle: VehicleModel | None, motor: KnownMotor | None) -> tuple[str, ...]:
    """The keys without which there is no model."""
    keys = []
    if tyre is None:
        keys.append("car.tyre_diameter_mm")
    elif vehicle is None:
        keys.append("battery.cells or battery.voltage_v")
    if motor is None:
        keys.append("motor.turns, or a bench run with speed, current and winding")
    return tuple(keys)


def _vehicle(facts: Facts, tyre: Number | None) -> tuple[VehicleModel | None, tuple[Assumed, ...]]:
    """The car as a body with a pack, and what nobody stated of it; None where tyre or pack are not known."""
    assumed: list[Assumed] = []
    pack = _pack(facts, assumed)
    if tyre is None or pack is None:
        return None, ()
    mass_g = positive(facts.fact("mass_g"))
    if mass_g is None:
        mass_g = standing_in.MASS_G
        assumed.append(Assumed("mass", f"{mass_g:.0f} g", "car.mass_g is missing", "a car at the heavy end: estimate"))
    capacity = positive(facts.fact("battery_capacity_mah"))
    if capacity is None:
        capacity = standing_in.CAPACITY_MAH
        why = "battery.capacity_mah is missing"
        assumed.append(Assumed("capacity of the pack", f"{capacity:.0f} mAh", why, "4000 to 8000 mAh: estimate"))
    tyre_m = to_float(value_of(tyre)) / 1000.0
    return VehicleModel(mass_g / 1000.0, tyre_m, *pack, capacity_mah=capacity), tuple(assumed)


def _pack(facts: Facts, assumed: list[Assumed]) -> tuple[float, int] | None:
    """Voltage and cells of the pack; one follows from the other where only one is stated."""
    volts, cells = positive(facts.fact("battery_voltage_v")), _teeth(facts, "battery_cells")
    if volts is None and cells is None:
        return None
    source = "a lithium polymer cell as charged, 4.2 V"
    if cells is None and volts is not None:
        cells = max(1, round(volts / standing_in.CELL_V))
        assumed.append(Assumed("cells", f"{cells} in a row", "battery.cells is missing", source))
    elif volts is None and cells is not None:
        volts = cells * standing_in.CELL_V
        assumed.append(Assumed("pack voltage", f"{volts:.1f} V", "battery.voltage_v is missing", source))
    return (volts, cells) if volts is not None and cells is not None else None


def _starting(car: Car, tyre: Number | None) -> tuple[Fraction, Fraction] | None:
    """The maker's ratios to start with, for this tyre: the same rollout as with the tyre that the sheet is for."""
    sheet = car.motor.factory_sheet if car.motor is not None else None
    if sheet is None or sheet.starting_ratio is None:
        return None
    scale = Fraction(1)
    if tyre is not None:
        sheet_tyre = standing_in.STARTING_TYRE_MM if sheet.starting_tyre_mm is None else sheet.starting_tyre_mm
        scale = Fraction(value_of(tyre)) / exact(sheet_tyre)
    return min(sheet.starting_ratio) * scale, max(sheet.starting_ratio) * scale


def _limit(asked: float | None, of_motor: float | None, key: str, default: tuple[float, str]) -> tuple[float, str]:
    """A limit and where it comes from: the one that was asked for, else the motor's own, else the usual one."""
    if asked is not None:
        return asked, "as asked for"
    return default if of_motor is None else (float(of_motor), f"the motor's own {key}")


def _teeth(facts: Facts, name: str) -> int | None:
    value = facts.fact(name).value
    return int(value) if isinstance(value, Fraction) else None
