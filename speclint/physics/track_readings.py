"""What is read of a run on a track, with the errors that its readings have of their own and share."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log
from operator import mul
from typing import Final

from speclint.physics.least_squares import Matrix
from speclint.physics.prediction import Prediction, PreparedRun, RunConditions, VehicleModel

READING_U_K: Final = 1.5
"""Standard uncertainty of a can temperature from a hand-held thermometer: spot and moment (estimate)."""

SHARED_U_K: Final = 2.0
"""The same of what all readings of one thermometer share: how it sees a shiny can (estimate)."""

DAYS: Final = ("day_speed_factor", "day_cooling_factor")
"""Names of the constants by which one day differs from another: each run has its own."""

CHARGED_U: Final = 0.04
"""Relative standard uncertainty of what a charger says that it put back: pack and efficiency (estimate)."""

CHARGE_EFFICIENCY: Final = 0.98
"""Charge that a cell gives over the charge that was put into it (lithium cells: 0.98 to 0.99, handbooks)."""

CURRENT_U: Final = 0.06
"""The same of the mean current that a speed control logs (estimate)."""

BEST_LAP: Final = 0.975
BEST_LAP_U: Final = 0.02
"""A run's best lap beside its mean lap, and how far that differs (estimate)."""

TOP_SPEED_U: Final = 0.03
"""Relative standard uncertainty of a logged top speed: tyre growth, spin, a moment (estimate)."""

LEAST_RISE_K: Final = 3.0
"""A can less warmer than this than the air says nothing."""

_LEAST_PREDICTED_K: Final = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackReadings:
    """One run with what was read of it.

    Attributes:
        conditions: Where and how long.
        ratio: Final drive ratio.
        can_c: Can, read some time after the stop.
        after_s: How long after.
        reading_u_k: Standard uncertainty of that reading alone.
        returned_mah: What the charger put back afterwards.
        current_a: Mean current out of the pack.
        best_lap_s: Best lap.
        top_speed_m_per_s: Greatest speed.
        vehicle: The car in that run, where it was another than the one asked about.
    """

    conditions: RunConditions
    ratio: float
    can_c: float
    after_s: float
    reading_u_k: float = READING_U_K
    returned_mah: float | None = None
    current_a: float | None = None
    best_lap_s: float | None = None
    top_speed_m_per_s: float | None = None
    vehicle: VehicleModel | None = None

    def __post_init__(self) -> None:
        """Raises ValueError unless ratio and uncertainty are above zero and the can is warmer than the air."""
        if not (self.ratio > 0 and self.reading_u_k > 0):
            raise ValueError("ratio and uncertainty must be above zero")
        if not self.can_c - self.conditions.ambient_c >= LEAST_RISE_K:
            raise ValueError("the can must be warmer than the air")


@dataclass(frozen=True, slots=True)
class LogReading:
    """One reading as the fit takes it: the logarithm of a rise, a charge, a time or a speed.

    Attributes:
        run: The run that it is of.
        is_can: Whether it is the can's rise.
        value: The logarithm.
        relative_u: Standard uncertainty of it alone.
        shared_u: Standard uncertainty that it shares with all other readings of the thermometer.
        by_day: What one standard deviation of each of `DAYS` makes of it; shared by all readings of the run.
    """

    run: int
    is_can: bool
    value: float
    relative_u: float
    shared_u: float
    by_day: tuple[float, ...]

    def covariance(self, with_reading: "LogReading") -> float:
        """What the errors of this reading and of another one have in common; its own error is no part of it."""
        of_day = sum(map(mul, self.by_day, with_reading.by_day)) if self.run == with_reading.run else 0.0
        return self.shared_u * with_reading.shared_u + of_day

    @property
    def variance(self) -> float:
        """Of all errors together."""
        return self.relative_u**2 + self.covariance(self)


def log_readings(
    index: int, run: TrackReadings, by_day: Sequence[tuple[float, ...]], expected_k: float
) -> list[LogReading]:
    """The readings of a run, in the order of `predicted_logs`.

    Args:
        index: Of the run.
        run: With what was read.
        by_day: What a day makes of each, as a usual car's predictions have it.
        expected_k: Rise of the can that is to be expected, of which errors in kelvin are a part.
    """
    read = [
        (run.can_c - run.conditions.ambient_c, run.reading_u_k / expected_k, SHARED_U_K / expected_k),
        (run.returned_mah, CHARGED_U, 0.0),
        (run.current_a, CURRENT_U, 0.0),
        (run.best_lap_s, BEST_LAP_U, 0.0),
        (run.top_speed_m_per_s, TOP_SPEED_U, 0.0),
    ]
    stated = [(log(value), own_u, shared_u) for value, own_u, shared_u in read if value is not None]
    return [
        LogReading(index, place == 0, value, own_u, shared_u, of_day)
        for place, ((value, own_u, shared_u), of_day) in enumerate(zip(stated, by_day, strict=True))
    ]


def predicted_logs(run: TrackReadings, prepared: PreparedRun, prediction: Prediction) -> list[float]:
    """What the readings of a run should be by a prediction of it, in the order of `log_readings`."""
    can_c = prepared.can_after_stop_c(prediction, prediction.end, run.after_s)
    values = [log(max(can_c - run.conditions.ambient_c, _LEAST_PREDICTED_K))]
    charge_mah = prediction.charge_c / 3.6
    if run.returned_mah is not None:
        values.append(log(charge_mah / CHARGE_EFFICIENCY))
    if run.current_a is not None:
        values.append(log(charge_mah * 0.06 / run.conditions.minutes))
    if run.best_lap_s is not None:
        values.append(log(prediction.lap.time_s * BEST_LAP))
    if run.top_speed_m_per_s is not None:
        values.append(log(prediction.lap.top_m_per_s))
    return values


def covariance(readings: Sequence[LogReading]) -> Matrix:
    """Of the readings' errors: each has its own, the thermometer's are shared by all, and a day's by those of its run."""
    return [
        [
            left.covariance(right) + (left.relative_u**2 if row == column else 0.0)
            for column, right in enumerate(readings)
        ]
        for row, left in enumerate(readings)
    ]
