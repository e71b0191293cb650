"""The band of a prediction: what the assumed constants' ranges leave open, over many ratios at once."""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log
from typing import Final

from speclint.physics.assumptions import Parameters
from speclint.physics.interpolation import monotone_cubic
from speclint.physics.motor import MotorModel
from speclint.physics.prediction import Prediction, PreparedRun, RunConditions, VehicleModel
from speclint.physics.sampling import quantile

COVER: Final = (0.05, 0.95)
"""The band holds the middle nine tenths of the sampled cars and tracks."""

FOUR_OF_FIVE: Final = 0.8

GRID: Final = 15
"""Ratios that are computed; between them the band is interpolated."""

LOOKS_MIN: Final = (1.0, 2.0, 3.0)
"""Minutes after which a first run may be stopped for a look at the can."""

READ_AFTER_S: Final = 20.0
"""A can is read this long after the car stopped, where nobody says (common practice: within the half minute)."""

_GO_ON_SHARE: Final = 0.15
"""One car of seven may pass a limit from the highest reading that says go on; the thermometer's error comes off on top."""

_WINDING_SHARE: Final = 0.98
"""A winding that is too hot is lost, and no look shows it: it is held to more than a can is."""

_CLOSE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Band:
    """Lower end, middle and upper end of a quantity."""

    low: float
    median: float
    high: float


@dataclass(frozen=True, slots=True)
class HeatLimits:
    """What the motor may reach.

    Attributes:
        can_c: At the can, at the end of the run.
        winding_c: In the winding, at any time.
    """

    can_c: float
    winding_c: float


@dataclass(frozen=True, slots=True)
class EarlyLook:
    """A look at the can before the end of the run.

    Attributes:
        minutes: When the car is stopped.
        go_on_c: Highest true reading then with which, in six of seven cars, both limits hold to the end of the run.
        can_high_c: Nineteen of twenty cans are cooler then.
        winding_high_c: Forty-nine of fifty windings are cooler then.
    """

    minutes: float
    go_on_c: float
    can_high_c: float
    winding_high_c: float


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a run on one ratio may bring.

    Attributes:
        ratio: Final drive ratio.
        can_c: Can at the end of the run.
        can_four_of_five_c: Four of five cans end cooler.
        winding_four_of_five_c: Four of five windings end cooler.
        winding_c: Winding at the end of the run.
        lap_s: Lap time.
        top_m_per_s: Speed at the braking point.
        top_motor_rad_per_s: Motor speed there.
        charge_c: Taken out of the pack in the run.
        looks: Early looks, in the order of their minutes; only those before the end of the run.
    """

    ratio: float
    can_c: Band
    can_four_of_five_c: float
    winding_four_of_five_c: float
    winding_c: Band
    lap_s: Band
    top_m_per_s: Band
    top_motor_rad_per_s: Band
    charge_c: Band
    looks: tuple[EarlyLook, ...]


class Fleet:
    """One car many times, each with a set of constants of its own: predictions of all on one ratio after another."""

    def __init__(
        self,
        vehicle: VehicleModel,
        motor: MotorModel,
        conditions: RunConditions,
        samples: Sequence[Parameters],
        limits: HeatLimits,
    ) -> None:
        """Raises ValueError where no sample is given."""
        if not samples:
            raise ValueError("a band needs at least one set of parameters")
        self._runs = [PreparedRun(vehicle, motor, conditions, parameters) for parameters in samples]
        self._conditions, self._limits = conditions, limits
        self._last: list[Prediction | None] = [None] * len(samples)

    def can_move(self, ratio: float) -> bool:
        """Whether every car moves on a ratio."""
        return all(run.can_move(ratio) for run in self._runs)

    def predictions(self, ratio: float) -> list[Prediction]:
        """All predictions on one ratio; the one before is where each starts from."""
        predictions = [run.predict(ratio, last) for run, last in zip(self._runs, self._last, strict=True)]
        self._last = list(predictions)
        return predictions

    def course(self, ratio: float, minutes: Sequence[float]) -> tuple[Band, ...]:
        """Bands of the can's temperature at given minutes of a run."""
        courses = [
            run.course(prediction, minutes) for run, prediction in zip(self._runs, self.predictions(ratio), strict=True)
        ]
        return tuple(_band(sorted(at.can_c for at in moment)) for moment in zip(*courses, strict=True))

    def outlooks(
        self, ratios: Sequence[float], *, grid: int = GRID, progress: Callable[[int, int], None] | None = None
    ) -> tuple[Outlook | None, ...]:
        """Bands for many ratios, in the order asked; None where some of the cars would not move.

        They are computed for `grid` ratios in equal steps of their logarithm over the range (or for the ratios themselves
        where these are fewer), and in between by a monotone cubic in the logarithm.

        Args:
            ratios: Final drive ratios, each above zero.
            grid: Ratios to compute.
            progress: Called with the number of ratios done and their total.

        Raises:
            ValueError: A ratio is not above zero.
        """
        different = sorted(set(ratios))
        if different and different[0] <= 0:
            raise ValueError("the final drive ratio must be above zero")
        # A shorter gearing always pulls harder.
        different = different[bisect_left(different, True, key=self.can_move) :]
        if not different:
            return (None,) * len(ratios)
        knots = _knots(different, grid)
        looks_min = [minute for minute in LOOKS_MIN if minute < self._conditions.minutes - 1e-9]
        table = []
        for done, knot in enumerate(knots, start=1):
            table.append(self._statistics(knot, looks_min))
            if progress is not None:
                progress(done, len(knots))
        curves = _curves(knots, table)
        built = {ratio: _outlook(ratio, [curve(log(ratio)) for curve in curves], looks_min) for ratio in different}
        return tuple(built.get(ratio) for ratio in ratios)

    def _statistics(self, ratio: float, looks_min: Sequence[float]) -> list[float]:
        """The numbers of an outlook in a row, as `_outlook` takes them apart again."""
        predictions = self.predictions(ratio)
        cans = sorted(prediction.end.can_c for prediction in predictions)
        windings = sorted(prediction.end.winding_c for prediction in predictions)
        numbers = [*_three(cans), quantile(cans, FOUR_OF_FIVE), quantile(windings, FOUR_OF_FIVE), *_three(windings)]
        for column in (
            [prediction.lap.time_s for prediction in predictions],
            [prediction.lap.top_m_per_s for prediction in predictions],
            [prediction.lap.top_motor_rad_per_s for prediction in predictions],
            [prediction.charge_c for prediction in predictions],
        ):
            numbers += _three(sorted(column))
        courses = [run.course(prediction, looks_min) for run, prediction in zip(self._runs, predictions, strict=True)]
        ambient = self._conditions.ambient_c
        for index in range(len(looks_min)):
            allowed, cans_then, windings_then = [], [], []
            for run, prediction, course in zip(self._runs, predictions, courses, strict=True):
                at, end = course[index], prediction.end
                room = min(
                    (self._limits.can_c - ambient) / (end.can_c - ambient),
                    (self._limits.winding_c - ambient) / (end.winding_c - ambient),
                )
                # A car that is warmer or cooler than this one by some part is so at the look and at the end.
                allowed.append(ambient + (run.can_after_stop_c(prediction, at, READ_AFTER_S) - ambient) * room)
                cans_then.append(at.can_c)
                windings_then.append(at.winding_c)
            numbers += [
                quantile(sorted(allowed), _GO_ON_SHARE),
                quantile(sorted(cans_then), COVER[1]),
                quantile(sorted(windings_then), _WINDING_SHARE),
            ]
        return numbers


def _three(ordered: Sequence[float]) -> list[float]:
    return [quantile(ordered, COVER[0]), quantile(ordered, 0.5), quantile(ordered, COVER[1])]


def _band(ordered: Sequence[float]) -> Band:
    return Band(*_three(ordered))


def _outlook(ratio: float, numbers: Sequence[float], looks_min: Sequence[float]) -> Outlook:
    winding, lap, top, motor, charge = (Band(*numbers[first : first + 3]) for first in range(5, 20, 3))
    looks = tuple(
        EarlyLook(minutes, *numbers[first : first + 3])
        for minutes, first in zip(looks_min, range(20, len(numbers), 3), strict=True)
    )
    return Outlook(ratio, Band(*numbers[0:3]), numbers[3], numbers[4], winding, lap, top, motor, charge, looks)


def _knots(different: Sequence[float], grid: int) -> tuple[float, ...]:
    if len(different) <= max(grid, 2):
        return tuple(different)
    low, high = different[0], different[-1]
    if high / low - 1.0 < _CLOSE:
        return (low, high)
    step = (high / low) ** (1.0 / (grid - 1))
    return (low, *(low * step**index for index in range(1, grid - 1)), high)


def _curves(knots: Sequence[float], table: Sequence[Sequence[float]]) -> tuple[Callable[[float], float], ...]:
    if len(knots) == 1:
        return tuple((lambda _, value=value: value) for value in table[0])
    places = [log(knot) for knot in knots]
    return tuple(monotone_cubic(places, column) for column in zip(*table, strict=True))
