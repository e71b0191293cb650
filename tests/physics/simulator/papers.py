"""What the owner of a simulated car writes down: a setup with bench run, track and track runs, as instruments and people read them."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.physics.simulator.arrays import Array
from tests.physics.simulator.constants import COPPER_ZERO_C
from tests.physics.simulator.fleet import RAD_S_PER_RPM, Fleet
from tests.physics.simulator.lap import STEADY_RPM
from tests.physics.simulator.runs import Outcome, can_after_stop, run

ON_THE_BENCH_V = (3.7, 7.4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Habits:
    """What the owners write down.

    Attributes:
        lap_time: Whether they state their mean lap time, and not the speed of the infield.
        infield_word: Whether they say how stop-and-go the infield is.
        grip: Whether they know the grip, to a tenth.
        returned: Whether a track run says what the charger put back, and how long after the run the can was read.
    """

    lap_time: bool = False
    infield_word: bool = False
    grip: bool = False
    returned: bool = False


@dataclass(frozen=True, slots=True)
class LoggedRun:
    """Track runs of all cars: one a car."""

    ratio: Array
    pinion: list[int]
    outcome: Outcome
    air_c: Array
    read_c: Array
    after_s: Array
    returned_mah: Array


def middle_pinions(cars: Fleet, share: float) -> list[int]:
    """Pinions of each class's spur for a place in its usual range of ratios: 0 its tallest, 1 its shortest."""
    pinions = []
    for car_class, turns in zip(cars.classes, cars.turns, strict=True):
        tall, short = car_class.ratios[turns]
        ratio = tall * (short / tall) ** share
        pinions.append(round(car_class.spur * car_class.internal / ratio))
    return pinions


def ratios_of(cars: Fleet, pinions: list[int]) -> Array:
    """Final drive ratios."""
    return np.array(
        [each.spur / pinion * each.internal for each, pinion in zip(cars.classes, pinions, strict=True)], dtype=float
    )


def logged_run(random: np.random.Generator, cars: Fleet, pinions: list[int], bias_k: Array) -> LoggedRun:
    """A track run of another day, read with a thermometer that is off by `bias_k` and a little by chance."""
    day = cars.another_day(random)
    ratio = ratios_of(cars, pinions)
    outcome = run(day, ratio)
    after_s = random.uniform(10.0, 50.0, len(cars))
    read = can_after_stop(day, outcome.end, after_s) + bias_k + random.normal(0.0, 1.0, len(cars))
    returned = outcome.used_mah * random.normal(1.02, 0.025, len(cars))
    return LoggedRun(
        ratio, pinions, outcome, day["air_c"] + random.normal(0.0, 0.5, len(cars)), read, after_s, returned
    )


def no_load_point(cars: Fleet, supply_v: Array, motor_c: float = 26.0) -> tuple[Array, Array]:
    """Speed per volt (rpm/V) and current of a bench run."""
    ohm = cars["winding_ohm"] * (motor_c - COPPER_ZERO_C) / (25.0 - COPPER_ZERO_C)
    speed = 0.95 * supply_v / cars["torque_nm_a"]
    current = np.zeros(len(cars))
    for _ in range(40):
        steady = cars["no_load_nm"] * cars["steady_share"]
        growing = cars["no_load_nm"] * (1.0 - cars["steady_share"]) * speed / (STEADY_RPM * RAD_S_PER_RPM)
        current = (steady + growing) / cars["torque_nm_a"]
        speed = (supply_v - current * ohm) / cars["torque_nm_a"]
    return speed / RAD_S_PER_RPM / supply_v, current


def write_setups(
    folder: Path,
    seed: int,
    cars: Fleet,
    habits: Habits,
    logged: tuple[LoggedRun, ...] = (),
) -> tuple[str, ...]:
    """A setup and a garage a car, written into a folder; the names of the setups."""
    random = np.random.default_rng(seed)
    count = len(cars)
    fitted = middle_pinions(cars, 0.5)
    seen = run(cars, ratios_of(cars, fitted), minutes=np.full(count, 1.0))
    infield_kmh = seen.infield_m_s * 3.6 * random.normal(1.0, 0.03, count)
    grip = cars["grip"] * cars["corner_use"] * random.normal(1.0, 0.1, count)
    supply_v = np.array([ON_THE_BENCH_V[index % 2] for index in range(count)])
    speed_per_volt, current = no_load_point(cars, supply_v)
    speed_per_volt = speed_per_volt * random.normal(1.0, 0.003, count)
    current = current * random.normal(1.0, 0.02, count)
    ohm = cars["winding_ohm"] * random.normal(1.0, 0.004, (3, count))
    air_c = cars["air_c"] + random.normal(0.0, 0.5, count)
    lap_s = seen.mean_lap_s * random.normal(1.0, 0.01, count)
    names = []
    for index in range(count):
        circuit, car_class = cars.circuits[index], cars.classes[index]
        track = [
            f"lap_m: {circuit.lap_m:.0f}",
            f"straight_m: {circuit.straight_m:.0f}",
            f"lap_s: {lap_s[index]:.1f}" if habits.lap_time else f"infield_speed_kmh: {infield_kmh[index]:.1f}",
            f"ambient_c: {air_c[index]:.0f}",
        ]
        if habits.grip:
            track.append(f"grip: {grip[index]:.2f}")
        if habits.infield_word:
            track.append(f"infield: {circuit.kind}")
        (folder / f"garage-{index}.yaml").write_text(
            f"format: garage/1\ntracks: {{here: {{{', '.join(track)}}}}}\n", encoding="utf-8"
        )
        a, b, c = ohm[:, index] * 1000.0
        bench = (
            f"{{date: 2026-02-20, supply_v: {supply_v[index]}, current_a: {current[index]:.2f},"
            f" kv_rpm_per_v: {speed_per_volt[index]:.0f}, can_c: 26,"
            f" winding: {{ab_mohm: {a:.2f}, bc_mohm: {b:.2f}, ca_mohm: {c:.2f}, winding_c: 25}}}}"
        )
        low, high = car_class.pinions
        lines = [
            "format: setup/1",
            f"name: {car_class.name} {index}",
            f"garage: garage-{index}.yaml",
            "car:",
            f"  mass_g: {cars['mass'][index] * 1000:.0f}",
            f"  internal_ratio: {car_class.internal}",
            f"  spur_teeth: {car_class.spur}",
            f"  pinion_teeth: {fitted[index]}",
            f"  tyre_diameter_mm: {cars['tyre'][index] * 1000:.1f}",
            f"battery: {{cells: {car_class.cells}, voltage_v: {cars['charged_v'][index]:.2f},"
            f" capacity_mah: {cars['capacity_mah'][index]:.0f}}}",
            f"motor: {{turns: {cars.turns[index]}, bench_runs: [{bench}]}}",
            f"parts_box: {{pinions_teeth: [{', '.join(map(str, range(low, high + 1)))}], spurs_teeth: [{car_class.spur}]}}",
        ]
        if logged:
            lines.append("track_runs:")
        for day, each in enumerate(logged, start=1):
            more = ""
            if habits.returned:
                more = f", after_s: {each.after_s[index]:.0f}, returned_mah: {each.returned_mah[index]:.0f}"
            lines.append(
                f"  - {{date: 2026-02-2{day}, track: here, spur_teeth: {car_class.spur}, pinion_teeth: {each.pinion[index]},"
                f" minutes: {cars['minutes'][index]:.0f}, ambient_c: {each.air_c[index]:.1f},"
                f" can_c: {each.read_c[index]:.1f}{more}}}"
            )
        name = f"car-{index}.yaml"
        (folder / name).write_text("\n".join([*lines, ""]), encoding="utf-8")
        names.append(name)
    return tuple(names)
