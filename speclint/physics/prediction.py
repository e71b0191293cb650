"""Temperature, currents and speed of a car after a run on one final drive ratio."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, expm1
from typing import Final

from speclint.physics.assumptions import Parameters
from speclint.physics.battery import CELL_REST_V, Supply, mean_rest_v
from speclint.physics.drive import drive_of, greatest_speed_m_per_s
from speclint.physics.infield import Infield, Track, infield
from speclint.physics.lap import Lap, lap
from speclint.physics.motor import COPPER_K, MotorModel, RunningMotor, running
from speclint.physics.thermal import Heat, Network, Temperatures, after, copper_heat
from speclint.physics.vehicle import (
    Road,
    drag_factor_n_s2_per_m2,
    rolling_resistance_n,
    scaled_area_m2,
    traction_n,
)

_SETTLED_K: Final = 0.05
_MOST_ROUNDS: Final = 40

CEILING: Final = Temperatures(400.0, 250.0)
"""Mean temperatures past which a lap is not made slower still: insulation and magnet are long gone, and a number that a
prediction gives there says "far too hot" and nothing more."""

COOLING_M_PER_S: Final = 6.0
"""Mean speed of a car at which the cooling of its motor is stated."""

MAGNET_IRON_SHARE: Final = 0.12
"""Part of the iron's loss that falls in the rotor's magnet, 0.05 to 0.25 (estimate)."""

SKIN_S: Final = 10.0
"""Time in which the can's skin nears its stator after the stop: 30 J/K behind 0.3 K/W (estimate)."""

MOST_USE: Final = 2.0
"""Of a pack's charge, past which its voltage falls no further: a number there says "empty long before" and nothing more."""

FIRST_USE: Final = 0.12
"""Part of a pack's charge that a run is first taken to use, until the lap says better."""


@dataclass(frozen=True, slots=True)
class VehicleModel:
    """What is known of the car.

    Attributes:
        mass_kg: Ready to race.
        tyre_diameter_m: Of the driven wheels.
        pack_v: Pack as it goes to the start.
        cells: Cells in a row.
        capacity_mah: Of the pack, as printed on it.
    """

    mass_kg: float
    tyre_diameter_m: float
    pack_v: float
    cells: int
    capacity_mah: float

    def __post_init__(self) -> None:
        """Raises ValueError unless all are above zero."""
        figures = (self.mass_kg, self.tyre_diameter_m, self.pack_v, self.cells, self.capacity_mah)
        if not all(figure > 0 for figure in figures):
            raise ValueError("mass, tyre diameter, pack voltage, cells and capacity must be above zero")


@dataclass(frozen=True, slots=True)
class RunConditions:
    """Where and how long the car runs.

    Attributes:
        track: The lap.
        minutes: Length of the run.
        ambient_c: Temperature of the air, and of the motor at the start.
        reference_ratio: Final drive ratio with which the track's speed or lap time was read.
    """

    track: Track
    minutes: float
    ambient_c: float
    reference_ratio: float

    def __post_init__(self) -> None:
        """Raises ValueError for a run that cannot be."""
        if not (self.minutes > 0 and self.reference_ratio > 0 and self.ambient_c > -COPPER_K):
            raise ValueError("minutes and ratio must be above zero, and the air warmer than copper's zero")


@dataclass(frozen=True, slots=True)
class Prediction:
    """A run as predicted from one set of parameters.

    Attributes:
        lap: A lap at the mean temperatures of the run.
        end: Winding and the can's skin at the end of the run, averaged over a lap; within a lap the winding swings by some
            kelvin more.
        mean: Both, averaged over the run; of the can the middle, not the skin.
        charge_c: Taken out of the pack in the run.
        network: Heat stores and resistances, driving.
        heat: What flows into them.
        skin_share: Rise of the can's skin over that of its middle, driving.
    """

    lap: Lap
    end: Temperatures
    mean: Temperatures
    charge_c: float
    network: Network
    heat: Heat
    skin_share: float


class PreparedRun:
    """One car on one track with one set of constants: everything that does not change with the ratio, worked out once."""

    def __init__(
        self, vehicle: VehicleModel, motor: MotorModel, conditions: RunConditions, parameters: Parameters
    ) -> None:
        self._parameters, self._conditions, self._vehicle = parameters, conditions, vehicle
        self._motor = scaled_motor(motor, parameters)
        self._usual_road = _road(vehicle, parameters)
        on_day = parameters.day_speed_factor**2
        self._road = replace(
            self._usual_road, traction_n=self._usual_road.traction_n * on_day, brake_n=self._usual_road.brake_n * on_day
        )
        self._seconds = conditions.minutes * 60.0
        self._infield: Infield | None = None

    def can_move(self, ratio: float) -> bool:
        """Whether the motor moves the car even at its hottest; `predict` raises nothing where it does."""
        if not ratio > 0:
            return False
        try:
            drive = drive_of(self._running(CEILING, 0.0), self._supply(MOST_USE), self._road, ratio)
            greatest_speed_m_per_s(drive.stretches, self._road.rolling_n, self._road.drag_n_s2_per_m2)
        except ValueError:
            return False
        return True

    @property
    def infield(self) -> Infield:
        """The corners, as fast as the track's stated speed or lap time says of this car on the reference ratio, by the day.

        Raises:
            ValueError: The motor cannot move the car on that ratio.
        """
        if self._infield is None:
            ambient, ratio = self._conditions.ambient_c, self._conditions.reference_ratio
            motor = self._running(Temperatures(ambient + 40.0, ambient + 25.0), 0.0)
            drive = drive_of(motor, self._supply(FIRST_USE), self._usual_road, ratio)
            usual = infield(drive, track=self._conditions.track, parameters=self._parameters)
            self._infield = replace(usual, corner_m_per_s=usual.corner_m_per_s * self._parameters.day_speed_factor)
        return self._infield

    def predict(self, ratio: float, guess: Prediction | None = None) -> Prediction:
        """The run on one ratio.

        Resistance and magnet follow the temperature, the voltage follows the charge used, the lap follows all three, and
        they follow the lap. The lap is taken at the mean temperatures of the run and repeated until these stop moving;
        within the run the copper's heat follows the winding exactly. Against a run lap by lap, each at its own
        temperatures, a can that stays below 80 °C ends less than 1 K off.

        Args:
            ratio: Final drive ratio, above zero.
            guess: A prediction near this one, to start from.

        Raises:
            ValueError: The ratio is not above zero, or the motor cannot move the car.
        """
        if not ratio > 0:
            raise ValueError("the final drive ratio must be above zero")
        parameters, road, ambient = self._parameters, self._road, self._conditions.ambient_c
        track = self._conditions.track
        start = Temperatures(ambient, ambient)
        capacity_c = self._vehicle.capacity_mah * 3.6 * parameters.capacity_factor
        mean = Temperatures(ambient + 40.0, ambient + 25.0) if guess is None else guess.mean
        magnet_k = 0.0 if guess is None else self._magnet_k(guess.heat, guess.end.can_c)
        used = FIRST_USE if guess is None else guess.charge_c / capacity_c
        near = None if guess is None else guess.lap
        for _ in range(_MOST_ROUNDS):
            motor = self._running(mean, magnet_k)
            drive = drive_of(motor, self._supply(used), road, ratio)
            driven = lap(drive, self.infield, straight_m=track.straight_m, parameters=parameters, near=near)
            near = driven
            heat = copper_heat(
                driven.square_current_a2, motor.resistance_ohm, mean.winding_c, COPPER_K, can_w=driven.no_load_w
            )
            network, skin_share = self._network(track.lap_m / driven.time_s)
            end, new = after(network, heat, ambient, start, self._seconds)
            new = Temperatures(min(new.winding_c, CEILING.winding_c), min(new.can_c, CEILING.can_c))
            charge = driven.battery_c * self._seconds / driven.time_s
            magnet_k, used = self._magnet_k(heat, end.can_c), charge / capacity_c
            moved = max(abs(new.winding_c - mean.winding_c), abs(new.can_c - mean.can_c))
            if moved < _SETTLED_K:
                break
            # Steps that large come only from a motor far past its end, which is led there slowly.
            part = 1.0 if moved < 60.0 else 0.5
            mean = Temperatures(
                mean.winding_c + part * (new.winding_c - mean.winding_c), mean.can_c + part * (new.can_c - mean.can_c)
            )
        return Prediction(driven, self._at_skin(end, skin_share), new, charge, network, heat, skin_share)

    def course(self, prediction: Prediction, minutes: Sequence[float]) -> tuple[Temperatures, ...]:
        """Temperatures at given minutes of a predicted run, averaged over a lap each."""
        ambient = self._conditions.ambient_c
        start = Temperatures(ambient, ambient)
        return tuple(
            self._at_skin(
                after(prediction.network, prediction.heat, ambient, start, minute * 60.0)[0],
                prediction.skin_share,
            )
            for minute in minutes
        )

    def can_after_stop_c(self, prediction: Prediction, at: Temperatures, after_s: float) -> float:
        """The can's skin some time after the car stopped: winding and stator still feed it, and the air stands.

        Args:
            prediction: Of the run.
            at: Winding and skin when it stopped.
            after_s: Time since then.
        """
        parameters, ambient = self._parameters, self._conditions.ambient_c
        skin = parameters.can_skin_k_per_w
        still_air = 1.0 / (1.0 / parameters.still_air_k_per_w + parameters.fan_w_per_k)
        still = Network(
            parameters.winding_j_per_k, parameters.can_j_per_k, parameters.winding_can_k_per_w, still_air + skin
        )
        middle = ambient + (at.can_c - ambient) / prediction.skin_share
        later = after(still, Heat(0.0, 0.0, 0.0), ambient, Temperatures(at.winding_c, middle), after_s)[0].can_c
        # The skin nears the middle with a time constant of its own, from as far below it as it was while driving.
        standing = (later - ambient) * skin / (still_air + skin)
        driving = middle - at.can_c
        return later - standing - (driving - standing) * exp(-after_s / SKIN_S)

    def _at_skin(self, at: Temperatures, skin_share: float) -> Temperatures:
        """Winding and the can's skin."""
        ambient = self._conditions.ambient_c
        return Temperatures(at.winding_c, ambient + skin_share * (at.can_c - ambient))

    def _supply(self, used_share: float) -> Supply:
        vehicle, parameters = self._vehicle, self._parameters
        above_full = vehicle.pack_v / vehicle.cells - CELL_REST_V[-1][1]
        cell_v = mean_rest_v(min(used_share, MOST_USE)) * parameters.cell_rest_factor + above_full
        return Supply(
            vehicle.cells * max(cell_v, 0.5),
            vehicle.cells * parameters.cell_ohm + parameters.wiring_ohm,
            parameters.controller_ohm,
            parameters.current_limit_a,
        )

    def _running(self, mean: Temperatures, magnet_k: float) -> RunningMotor:
        return running(
            self._motor,
            winding_c=mean.winding_c,
            magnet_c=mean.can_c + magnet_k,
            friction_share=self._parameters.friction_share,
            magnet_per_k=self._parameters.magnet_per_k,
        )

    def _magnet_k(self, heat: Heat, can_end_c: float) -> float:
        """How much warmer the magnet is than the can on average: its part of the iron's loss warms it, and it lags.

        From C·dx/dt = P − x/R − C·s for the difference x, with a can that warms by an even s.
        """
        parameters = self._parameters
        lag_s = parameters.magnet_j_per_k * parameters.magnet_can_k_per_w
        warming_k_per_s = (min(can_end_c, CEILING.can_c) - self._conditions.ambient_c) / self._seconds
        settled_k = MAGNET_IRON_SHARE * heat.can_w * parameters.magnet_can_k_per_w - lag_s * warming_k_per_s
        return min(settled_k, 60.0) * (1.0 + expm1(-self._seconds / lag_s) * lag_s / self._seconds)

    def _network(self, speed_m_per_s: float) -> tuple[Network, float]:
        """The heat stores at a mean speed, and what of the can's rise shows at its skin."""
        parameters = self._parameters
        can_air = parameters.can_air_k_per_w * parameters.day_cooling_factor
        moving = (speed_m_per_s / COOLING_M_PER_S) ** parameters.air_speed_power / can_air
        air = 1.0 / (max(moving, 1.0 / parameters.still_air_k_per_w) + parameters.fan_w_per_k)
        skin = parameters.can_skin_k_per_w
        network = Network(
            parameters.winding_j_per_k, parameters.can_j_per_k, parameters.winding_can_k_per_w, air + skin
        )
        return network, air / (air + skin)


def scaled_motor(motor: MotorModel, parameters: Parameters) -> MotorModel:
    """The motor as it may truly be, beside what is known of it.

    A faster motor of the same friction has the same no-load torque: the bench's no-load current then is what differs.
    """
    return replace(
        motor,
        torque_constant_nm_per_a=motor.torque_constant_nm_per_a / parameters.speed_factor,
        resistance_ohm=motor.resistance_ohm * parameters.winding_factor,
        no_load_torque_nm=motor.no_load_torque_nm * parameters.no_load_factor,
    )


def _road(vehicle: VehicleModel, parameters: Parameters) -> Road:
    limit = traction_n(parameters.traction_coefficient, vehicle.mass_kg)
    return Road(
        vehicle.mass_kg,
        vehicle.mass_kg * parameters.inertia_factor,
        vehicle.tyre_diameter_m / 2.0,
        parameters.driveline_efficiency,
        rolling_resistance_n(parameters.rolling_coefficient, vehicle.mass_kg),
        drag_factor_n_s2_per_m2(
            parameters.air_density_kg_per_m3, scaled_area_m2(parameters.drag_area_m2, vehicle.mass_kg)
        ),
        limit,
        limit * parameters.brake_share,
    )
