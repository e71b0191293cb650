"""The band of a prediction: what the assumed constants' ranges leave open, over many ratios at once."""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log
from typing import TYPE_CHECKING

from speclint.physics.assumptions import NOMINAL, Parameters
from speclint.physics.interpolation import monotone_cubic
from speclint.physics.motor import Motor
from speclint.physics.prediction import Car, Prediction, Run, course, drivable, predict
from speclint.physics.sampling import quantile

if TYPE_CHECKING:
    from speclint.physics.thermal import Temperatures

COVER = (0.05, 0.95)
"""The band holds the middle nine tenths of the sampled cars and tracks."""

GRID = 21
"""Ratios that are computed; between them the band is interpolated."""

_CLOSE = 1e-9


@dataclass(frozen=True, slots=True)
class Band:
    """Lower end, middle and upper end of a quantity."""

    low: float
    median: float
    high: float


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a run on one ratio may bring: the prediction from the most likely constants, and the bands.

    Attributes:
        ratio: Final drive ratio.
        likely: Prediction from the most likely constants: near the median, not equal to it.
        can_c: Can at the end of the run.
        winding_c: Winding at the end of the run.
        lap_s: Lap time.
        top_m_per_s: Speed at the braking point.
        top_motor_rad_per_s: Motor speed there.
        charge_c: Taken out of the pack in the run.
    """

    ratio: float
    likely: Prediction
    can_c: Band
    winding_c: Band
    lap_s: Band
    top_m_per_s: Band
    top_motor_rad_per_s: Band
    charge_c: Band


def outlooks(
    car: Car,
    motor: Motor,
    run: Run,
    ratios: Sequence[float],
    samples: Sequence[Parameters],
    *,
    likely: Parameters = NOMINAL,
    cover: tuple[float, float] = COVER,
    grid: int = GRID,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[Outlook | None, ...]:
    """Predictions with bands for many ratios, in the order asked; None where some of the cars would not move.

    The most likely prediction is computed for every different ratio; the band for `grid` ratios in equal steps of
    their logarithm over the range (or for the ratios themselves where these are fewer), and in between by a monotone
    cubic in the logarithm.

    Args:
        car: The car.
        motor: As measured.
        run: Where and how long.
        ratios: Final drive ratios, each above zero.
        samples: Parameter sets, as from `sampling.sample` or `fit.fitted_samples`.
        likely: The most likely constants, or those fitted to track runs.
        cover: Shares of the samples below the lower and the upper end of a band.
        grid: Ratios to compute the band for.
        progress: Called with the number of ratios done and their total.

    Raises:
        ValueError: A ratio is not above zero, or no sample is given.
    """
    if not samples:
        raise ValueError("a band needs at least one set of parameters")
    different = sorted(set(ratios))
    if different and different[0] <= 0:
        raise ValueError("the final drive ratio must be above zero")

    def moves(ratio: float) -> bool:
        return all(drivable(car, motor, run, ratio, each) for each in (likely, *samples))

    # A shorter gearing always pulls harder.
    different = different[bisect_left(different, True, key=moves) :]
    if not different:
        return (None,) * len(ratios)
    knots = _knots(different, grid)
    likelies: dict[float, Prediction] = {}
    guess = None
    for ratio in different:
        likelies[ratio] = predict(car, motor, run, ratio, likely, guess=guess)
        guess = likelies[ratio].mean
    tables: list[list[tuple[float, float, float]]] = [[] for _ in _QUANTITIES]
    # One sample's mean temperatures on a ratio are the best guess for it on the next.
    guesses: list[Temperatures | None] = [None] * len(samples)
    for done, knot in enumerate(knots, start=1):
        predictions = [
            predict(car, motor, run, knot, each, guess=start) for each, start in zip(samples, guesses, strict=True)
        ]
        guesses = [each.mean for each in predictions]
        for table, quantity in zip(tables, _QUANTITIES, strict=True):
            ordered = sorted(map(quantity, predictions))
            table.append((quantile(ordered, cover[0]), quantile(ordered, 0.5), quantile(ordered, cover[1])))
        if progress is not None:
            progress(done, len(knots))
    curves = [_curves(knots, table) for table in tables]
    built = {
        ratio: Outlook(ratio, likelies[ratio], *(Band(*(curve(log(ratio)) for curve in three)) for three in curves))
        for ratio in different
    }
    return tuple(built.get(ratio) for ratio in ratios)


def course_bands(
    car: Car,
    motor: Motor,
    run: Run,
    ratio: float,
    samples: Sequence[Parameters],
    *,
    minutes: Sequence[float],
    cover: tuple[float, float] = COVER,
) -> tuple[Band, ...]:
    """Bands of the can's temperature at given minutes of a run.

    Raises:
        ValueError: As for `outlooks`.
    """
    if not samples:
        raise ValueError("a band needs at least one set of parameters")
    courses = [course(car, motor, run, ratio, minutes, parameters=each) for each in samples]
    bands = []
    for moment in zip(*courses, strict=True):
        ordered = sorted(each.can_c for each in moment)
        bands.append(Band(quantile(ordered, cover[0]), quantile(ordered, 0.5), quantile(ordered, cover[1])))
    return tuple(bands)


_QUANTITIES: tuple[Callable[[Prediction], float], ...] = (
    lambda each: each.can_c,
    lambda each: each.winding_c,
    lambda each: each.lap.time_s,
    lambda each: each.lap.top_m_per_s,
    lambda each: each.lap.top_motor_rad_per_s,
    lambda each: each.charge_c,
)


def _knots(different: Sequence[float], grid: int) -> tuple[float, ...]:
    if len(different) <= max(grid, 2):
        return tuple(different)
    low, high = different[0], different[-1]
    if high / low - 1.0 < _CLOSE:
        return (low, high)
    step = (high / low) ** (1.0 / (grid - 1))
    return (low, *(low * step**index for index in range(1, grid - 1)), high)


def _curves(
    knots: Sequence[float], table: Sequence[tuple[float, float, float]]
) -> tuple[Callable[[float], float], ...]:
    if len(knots) == 1:
        return tuple((lambda _, value=value: value) for value in table[0])
    places = [log(knot) for knot in knots]
    return tuple(monotone_cubic(places, [row[column] for row in table]) for column in range(3))
