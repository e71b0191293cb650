"""What a prediction is made for: the car, its motor and a run on a track, with all that nobody stated."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from speclint.gearing import assumed as standing_in
from speclint.gearing.assumed import Assumed
from speclint.gearing.bench_motor import KnownMotor, known_motor, positive
from speclint.models.cars import Car
from speclint.models.garages import GarageTrack
from speclint.models.stated import mean_of_stated
from speclint.physics.lap import Track
from speclint.physics.prediction import Car as PhysicsCar
from speclint.physics.prediction import Run, corner_speed_m_per_s, drivable
from speclint.physics.units import m_per_s
from speclint.quantities.facts import Facts
from speclint.readings.exact import to_float
from speclint.readings.measured import Measured, Number, value_of

_MEMORY: Final = "from memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the command line says of the run.

    Attributes:
        track: Id of a track, in place of the entry's.
        ambient_c: Temperature of the air, in place of the track's.
        minutes: Length of the run.
        limit_c: Limit for the can, in place of the motor's own.
        limit_rpm: Limit for the motor's speed.
        sums: Range of the sum of teeth.
    """

    track: str | None = None
    ambient_c: float | None = None
    minutes: float = 5.0
    limit_c: float | None = None
    limit_rpm: float | None = None
    sums: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Car, motor and run.

    Attributes:
        car: The car.
        motor: The motor.
        run: The run.
        internal: The chassis's own ratio.
        tyre: Diameter of the driven tyres in mm.
        spur: Teeth of the spur that is fitted, where that is stated.
        pinion: The same of the pinion.
        track: How the track is called; empty where nothing is known of any.
        limit_c: Limit for the can.
        limit_origin: Where that comes from, in words.
        limit_rpm: Limit for the motor's speed.
        limit_rpm_origin: Where that comes from, in words.
        capacity_mah: Of the pack, where that is stated.
        starting: The maker's lowest and highest final drive ratio to start with.
        assumed: What nobody stated.
    """

    car: PhysicsCar
    motor: KnownMotor
    run: Run
    internal: Fraction
    tyre: Number
    spur: int | None
    pinion: int | None
    track: str
    limit_c: float
    limit_origin: str
    limit_rpm: float
    limit_rpm_origin: str
    capacity_mah: float | None
    starting: tuple[Fraction, Fraction] | None
    assumed: tuple[Assumed, ...]


def case_of(
    car: Car, facts: Facts, tracks: Mapping[str, GarageTrack], entry_track: str | None, wanted: Wanted
) -> Case | tuple[str, ...]:
    """The case, or the keys without which no gearing can be worked out.

    Args:
        car: The car as its files state it.
        facts: Its facts on the day.
        tracks: The garage's tracks by id.
        entry_track: The track that the entry names.
        wanted: What the command line says; a track that it names is one of `tracks`.
    """
    assumed: list[Assumed] = []
    internal, tyre = facts.fact("internal_ratio").value, facts.fact("tyre_diameter_mm").value
    if positive(facts.fact("tyre_diameter_mm")) is None:
        tyre = None
    motor = known_motor(car, facts)
    pack = _pack(facts, assumed)
    lacking = [
        *([] if isinstance(internal, Fraction) else ["car.internal_ratio"]),
        *([] if isinstance(tyre, Fraction | Measured) else ["car.tyre_diameter_mm"]),
        *([] if pack is not None else ["battery.cells or battery.voltage_v"]),
        *([] if motor is not None else ["motor.turns, or a bench run with speed, current and winding"]),
    ]
    if not isinstance(internal, Fraction) or not isinstance(tyre, Fraction | Measured) or pack is None or motor is None:
        return tuple(lacking)
    mass_g = positive(facts.fact("mass_g"))
    if mass_g is None:
        mass_g = standing_in.MASS_G
        assumed.append(
            Assumed("mass", f"{mass_g:.0f} g", "car.mass_g is missing", f"a car at the heavy end ({_MEMORY})")
        )
    physics = PhysicsCar(mass_g / 1000.0, to_float(value_of(tyre)) / 1000.0, *pack)
    spur, pinion = _teeth(facts, "spur_teeth"), _teeth(facts, "pinion_teeth")
    name = wanted.track or entry_track or ""
    ratio = None if spur is None or pinion is None else float(Fraction(spur, pinion) * internal)
    run = _run(name, tracks, wanted, assumed, physics, motor, ratio)
    limit_c, limit_origin = _limit(car, wanted)
    rpm = wanted.limit_rpm if wanted.limit_rpm is not None else standing_in.LIMIT_RPM
    rpm_origin = (
        "as asked for"
        if wanted.limit_rpm is not None
        else "assumed: bearings of 5 mm bore are listed up to 40,000 to 60,000 rpm (from memory); --limit-rpm takes the maker's"
    )
    sheet = car.motor.factory_sheet if car.motor is not None else None
    starting = sheet.starting_ratio if sheet is not None else None
    return Case(
        car=physics,
        motor=motor,
        run=run,
        internal=internal,
        tyre=tyre,
        spur=spur,
        pinion=pinion,
        track=name if name in tracks else "",
        limit_c=limit_c,
        limit_origin=limit_origin,
        limit_rpm=rpm,
        limit_rpm_origin=rpm_origin,
        capacity_mah=positive(facts.fact("battery_capacity_mah")),
        starting=None if not starting else (min(starting), max(starting)),
        assumed=(*motor.assumed, *assumed),
    )


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


def _run(
    name: str,
    tracks: Mapping[str, GarageTrack],
    wanted: Wanted,
    assumed: list[Assumed],
    car: PhysicsCar,
    motor: KnownMotor,
    ratio: float | None,
) -> Run:
    track = tracks.get(name, _NO_TRACK)
    if name in tracks:
        why = f"the garage's track {name} does not state"
    elif name:
        why = f"the garage has no track {name}, so it lacks"
    else:
        why = "no track is named, so there is no"

    lap_m = track.lap_m
    if lap_m is None:
        lap_m = standing_in.LAP_M
        assumed.append(Assumed("lap", f"{lap_m:.0f} m", f"{why} lap_m", f"a club hall, 70 to 150 m ({_MEMORY})"))
    straight_m = track.straight_m
    if straight_m is None:
        straight_m = lap_m * standing_in.STRAIGHT_SHARE
        assumed.append(
            Assumed(
                "longest straight",
                f"{straight_m:.0f} m",
                f"{why} straight_m",
                f"a quarter of the lap, 0.15 to 0.3 ({_MEMORY})",
            )
        )
    straight_m = min(straight_m, lap_m)
    ambient_c = wanted.ambient_c
    if ambient_c is None:
        ambient_c = mean_of_stated(track.ambient_c)
    if ambient_c is None:
        ambient_c = standing_in.AMBIENT_C
        assumed.append(
            Assumed(
                "air", f"{ambient_c:.0f} °C", f"{why} ambient_c; --ambient-c takes it", "a warm hall, on the safe side"
            )
        )
    corner = track.infield_speed_kmh or None
    fast = m_per_s(standing_in.CORNER_KMH if corner is None else float(corner))
    grip = None if track.grip is None else float(track.grip)
    run = Run(Track(float(lap_m), float(straight_m), fast), wanted.minutes, ambient_c, grip)
    if corner is not None:
        return run
    lap_s = track.lap_s
    if lap_s is not None and ratio is not None and drivable(car, motor.motors[0], run, ratio):
        found = corner_speed_m_per_s(car, motor.motors[0], run, ratio, lap_s)
        if found is not None:
            assumed.append(
                Assumed(
                    "speed off the straight",
                    f"{found * 3.6:.0f} km/h",
                    f"{why} infield_speed_kmh",
                    f"the speed with which this car laps in {lap_s:g} s",
                )
            )
            return replace(run, track=replace(run.track, corner_m_per_s=found))
    assumed.append(
        Assumed(
            "speed off the straight",
            f"{standing_in.CORNER_KMH:.0f} km/h",
            f"{why} infield_speed_kmh",
            f"a fast stock class, 18 to 32 km/h ({_MEMORY})",
        )
    )
    return run


_NO_TRACK: Final = GarageTrack(None, None, None, None, None, None, None, None, None)


def _limit(car: Car, wanted: Wanted) -> tuple[float, str]:
    if wanted.limit_c is not None:
        return wanted.limit_c, "as asked for"
    limit_c = car.motor.limit_c if car.motor is not None else None
    if limit_c is not None:
        return float(limit_c), "the motor's own limit_c"
    return (
        standing_in.CAN_LIMIT_C,
        "the lower end of the 71 to 79 °C that published gearing advice gives after five minutes;"
        " --limit-c or the motor's limit_c take the maker's",
    )


def _teeth(facts: Facts, name: str) -> int | None:
    value = facts.fact(name).value
    return int(value) if isinstance(value, Fraction) else None
