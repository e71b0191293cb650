"""Temperature, currents and speed of a car after a run on one final drive ratio."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from speclint.physics import assumptions
from speclint.physics.assumptions import NOMINAL, Parameters
from speclint.physics.battery import Supply
from speclint.physics.drive import greatest_speed_m_per_s, stretches
from speclint.physics.lap import Energies, Lap, Track, lap
from speclint.physics.motor import COPPER_K, Motor, RunningMotor, running
from speclint.physics.thermal import Heat, Network, Temperatures, after, copper_heat, steady_state
from speclint.physics.vehicle import Road, rollout_m

_SETTLED_K = 0.01
_MOST_ROUNDS = 60

CEILING = Temperatures(400.0, 250.0)
"""Mean temperatures past which a lap is not made slower still: insulation and magnet are long gone, and a number that a
prediction gives there says "far too hot" and nothing more."""


@dataclass(frozen=True, slots=True)
class Car:
    """What is known of the car.

    Attributes:
        mass_kg: Ready to race.
        tyre_diameter_m: Of the driven wheels.
        pack_v: Pack as it goes to the start.
        cells: Cells in a row.
    """

    mass_kg: float
    tyre_diameter_m: float
    pack_v: float
    cells: int

    def __post_init__(self) -> None:
        """Raises ValueError unless all are above zero."""
        if not (self.mass_kg > 0 and self.tyre_diameter_m > 0 and self.pack_v > 0 and self.cells > 0):
            raise ValueError("mass, tyre diameter, pack voltage and cells must be above zero")


@dataclass(frozen=True, slots=True)
class Run:
    """Where and how long the car runs.

    Attributes:
        track: The lap.
        minutes: Length of the run.
        ambient_c: Temperature of the air, and of the motor at the start.
        grip: Largest tyre force over weight, where it is known.
    """

    track: Track
    minutes: float
    ambient_c: float
    grip: float | None = None

    def __post_init__(self) -> None:
        """Raises ValueError for a run that cannot be."""
        if not (self.minutes > 0 and self.ambient_c > -COPPER_K and (self.grip is None or self.grip > 0)):
            raise ValueError("minutes and grip must be above zero, and the air warmer than copper's zero")


@dataclass(frozen=True, slots=True)
class Prediction:
    """A run as predicted from one set of parameters.

    Attributes:
        ratio: Final drive ratio.
        rollout_m: Distance of one motor turn.
        lap: A lap at the mean temperatures of the run.
        can_c: Can at the end of the run, averaged over a lap.
        winding_c: Winding at the end, averaged over a lap; within a lap it swings by some kelvin more.
        mean: Both, averaged over the run.
        rest: Where both would come to rest in a longer run; None in runaway.
        charge_c: Taken out of the pack in the run.
    """

    ratio: float
    rollout_m: float
    lap: Lap
    can_c: float
    winding_c: float
    mean: Temperatures
    rest: Temperatures | None
    charge_c: float

    @property
    def runaway(self) -> bool:
        """Whether the copper would go on heating for ever."""
        return self.rest is None

    @property
    def losses_w(self) -> Energies:
        """Mean power by kind over a lap, in watt."""
        time = self.lap.time_s
        energies = self.lap.energies
        return Energies(*(getattr(energies, name) / time for name in energies.__slots__))


@dataclass(frozen=True, slots=True)
class _Settled:
    lap: Lap
    heat: Heat
    network: Network
    end: Temperatures
    mean: Temperatures


def predict(
    car: Car,
    motor: Motor,
    run: Run,
    ratio: float,
    parameters: Parameters = NOMINAL,
    *,
    guess: Temperatures | None = None,
) -> Prediction:
    """Predict one run on one ratio.

    Resistance and magnet follow the temperature, the lap follows both, and the temperature follows the lap. The lap
    is taken at the mean temperatures of the run and repeated until these stop moving; within the run the copper's heat
    follows the winding exactly. Against a run lap by lap, each at its own temperatures, a can that stays below 80 °C
    ends less than 1 K off.

    Args:
        car: The car.
        motor: As measured.
        run: Where and how long.
        ratio: Final drive ratio, above zero.
        parameters: One set of assumed constants.
        guess: Mean temperatures to start from, such as those of the next ratio.

    Raises:
        ValueError: The ratio is not above zero, or the motor cannot move the car.
    """
    settled = _settle(car, motor, run, ratio, parameters, guess=guess)
    seconds = run.minutes * 60.0
    driven = settled.lap
    return Prediction(
        ratio,
        rollout_m(car.tyre_diameter_m, ratio),
        driven,
        settled.end.can_c,
        settled.end.winding_c,
        settled.mean,
        steady_state(settled.network, settled.heat, run.ambient_c),
        driven.battery_c * seconds / driven.time_s,
    )


def drivable(car: Car, motor: Motor, run: Run, ratio: float, parameters: Parameters = NOMINAL) -> bool:
    """Whether the motor moves the car through a corner even at its hottest; `predict` raises nothing where it does."""
    if not ratio > 0:
        return False
    hot = _running(motor, CEILING, parameters)
    road = _road(car, run, parameters)
    try:
        drive = stretches(hot, _supply(car, parameters), road, ratio)
        greatest_speed_m_per_s(drive, road.rolling_n + road.scrub_n, road.drag_n_s2_per_m2)
    except ValueError:
        return False
    return True


def course(
    car: Car, motor: Motor, run: Run, ratio: float, minutes: Sequence[float], *, parameters: Parameters = NOMINAL
) -> tuple[Temperatures, ...]:
    """Temperatures at given minutes of the run, averaged over a lap each.

    Raises:
        ValueError: As for `predict`.
    """
    settled = _settle(car, motor, run, ratio, parameters, guess=None)
    start = Temperatures(run.ambient_c, run.ambient_c)
    return tuple(after(settled.network, settled.heat, run.ambient_c, start, each * 60.0)[0] for each in minutes)


def _settle(
    car: Car, motor: Motor, run: Run, ratio: float, parameters: Parameters, *, guess: Temperatures | None
) -> _Settled:
    if not ratio > 0:
        raise ValueError("the final drive ratio must be above zero")
    supply, road = _supply(car, parameters), _road(car, run, parameters)
    network = assumptions.network(parameters)
    ambient = run.ambient_c
    start = Temperatures(ambient, ambient)
    seconds = run.minutes * 60.0
    mean = guess or Temperatures(ambient + 40.0, ambient + 30.0)
    for _ in range(_MOST_ROUNDS):
        hot = _running(motor, mean, parameters)
        driven = lap(hot, supply, road, ratio, run.track, pulse_share=parameters.pulse_share)
        heat = copper_heat(
            driven.square_current_a2,
            hot.resistance_ohm,
            mean.winding_c,
            COPPER_K,
            other_w=parameters.brake_heat_share * driven.energies.brake / driven.time_s,
            can_w=driven.energies.no_load / driven.time_s,
        )
        end, new = after(network, heat, ambient, start, seconds)
        new = Temperatures(min(new.winding_c, CEILING.winding_c), min(new.can_c, CEILING.can_c))
        moved = max(abs(new.winding_c - mean.winding_c), abs(new.can_c - mean.can_c))
        if moved < _SETTLED_K:
            break
        # Steps that large come only from a motor far past its end, which is led there slowly.
        part = 1.0 if moved < 60.0 else 0.5
        mean = Temperatures(
            mean.winding_c + part * (new.winding_c - mean.winding_c), mean.can_c + part * (new.can_c - mean.can_c)
        )
    return _Settled(driven, heat, network, end, new)


def _supply(car: Car, parameters: Parameters) -> Supply:
    return assumptions.supply(parameters, pack_v=car.pack_v, cells=car.cells)


def _road(car: Car, run: Run, parameters: Parameters) -> Road:
    return assumptions.road(parameters, mass_kg=car.mass_kg, tyre_diameter_m=car.tyre_diameter_m, grip=run.grip)


def _running(motor: Motor, mean: Temperatures, parameters: Parameters) -> RunningMotor:
    """The rotor has no node of its own: its magnet is taken to be as warm as the can."""
    return running(
        motor,
        winding_c=mean.winding_c,
        magnet_c=mean.can_c,
        friction_share=parameters.friction_share,
        magnet_per_k=parameters.magnet_per_k,
    )


def corner_speed_m_per_s(
    car: Car, motor: Motor, run: Run, ratio: float, lap_s: float, *, parameters: Parameters = NOMINAL
) -> float | None:
    """Corner speed with which this car would lap in a given time; None where none does.

    For a track of which the lap time is known and the corner speed is not. The run's own corner speed is not used.

    Raises:
        ValueError: As for `predict`.
    """

    def time_s(speed: float) -> float:
        there = replace(run, track=replace(run.track, corner_m_per_s=speed))
        return predict(car, motor, there, ratio, parameters).lap.time_s

    low, high = 0.05 * run.track.lap_m / lap_s, 3.0 * run.track.lap_m / lap_s
    if time_s(high) > lap_s or time_s(low) < lap_s:
        return None
    for _ in range(60):
        middle = (low + high) / 2.0
        if time_s(middle) > lap_s:
            low = middle
        else:
            high = middle
        if high - low < 1e-6:
            break
    return high
