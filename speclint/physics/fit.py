"""What a car's own track runs say of the assumed constants, and how sure that leaves them.

Bayes' rule with normal distributions over all constants at once. Each sampled set is moved by the gain of a linear model,
fitted to the sets' own predictions of the runs, towards the readings, with an error of its own added to these (randomised
maximum likelihood: Oliver, He & Reynolds 1996; exact for a linear model). A second round takes the curvature of the model in.
What the runs settle so becomes narrow, and what they say nothing about stays as wide as it was. A set is moved in standard
normal scores, so it cannot come out as a car that does not exist.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from statistics import fmean, median, pvariance
from typing import Final

from speclint.physics.assumptions import END_SCORE, FARTHEST_SCORE, Assumption, Scores, parameters_at
from speclint.physics.least_squares import Matrix, factored, linear_model, solved
from speclint.physics.motor import MotorModel
from speclint.physics.prediction import PreparedRun, VehicleModel
from speclint.physics.sampling import sample
from speclint.physics.track_readings import DAYS, LogReading, TrackReadings, covariance, log_readings, predicted_logs

OUT_OF_PROPORTION: Final = 4.0
"""A reading farther than this from what the car and its other readings allow, in standard deviations, is a slip."""

TOLD_CONSTANTS: Final = 3
_ROUNDS: Final = 2


@dataclass(frozen=True, slots=True)
class Residual:
    """How far the model was off in one run's can, read less predicted."""

    read_c: float
    before_k: float
    after_k: float


@dataclass(frozen=True, slots=True)
class FittedConstant:
    """One constant that the runs say something of.

    Attributes:
        assumption: The constant.
        value: Most likely value now.
        low: Nineteen in twenty are above it.
        high: Nineteen in twenty are below it.
    """

    assumption: Assumption
    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Fit:
    """The outcome of a fit.

    Attributes:
        samples: The sets of scores now.
        residuals: One a run that counts, in the order given.
        refused: The runs whose can is out of all proportion, by their index, with what was to be expected (°C).
        before_k: Root mean square of the residuals with the assumed constants.
        after_k: The same with the fitted ones.
        misfit: Root mean square of the residuals after the fit over their uncertainties; near one where all is well.
        constants: Those that the runs say most of, the first the most.
    """

    samples: tuple[Scores, ...]
    residuals: tuple[Residual, ...]
    refused: tuple[tuple[int, float, float], ...]
    before_k: float
    after_k: float
    misfit: float
    constants: tuple[FittedConstant, ...]


def fit(
    vehicle: VehicleModel,
    motor: MotorModel,
    runs: Sequence[TrackReadings],
    assumptions: Sequence[Assumption],
    samples: Sequence[Scores],
    *,
    seed: int,
    progress: Callable[[int, int], None] | None = None,
) -> Fit:
    """Fit the constants to the track runs of a car.

    A reading out of all proportion is left out of it first, and with a can the whole run.

    Args:
        vehicle: The car.
        motor: As measured.
        runs: At least one.
        assumptions: The constants with their ranges.
        samples: Sets of scores before the fit.
        seed: Of the errors that are added to the readings.
        progress: Called with how many sets are done, and of how many.

    Raises:
        ValueError: No run is given, or the motor cannot move the car.
    """
    if not runs:
        raise ValueError("a fit needs at least one track run")
    count = len(samples)
    model = _Model(vehicle, motor, runs, assumptions)

    def predicted_all(places: Sequence[Sequence[float]], done: int) -> list[list[float]]:
        rows = []
        for number, place in enumerate(places, start=1):
            rows.append(model.predicted(place))
            if progress is not None:
                progress(done * count + number, (_ROUNDS + 1) * count)
        return rows

    free = [model.on_usual_day(scores) for scores in samples]
    before = predicted_all(free, 0)
    kept, refused = _screened(runs, model.readings, free, before)
    readings = [model.readings[index] for index in kept]
    if not readings:
        return Fit(tuple(samples), (), refused, 0.0, 0.0, 0.0, ())
    predicted = [[row[index] for index in kept] for row in before]
    slopes = linear_model(free, predicted)
    errors = covariance(readings)
    gain = _gain(slopes, errors)
    targets = _perturbed(readings, errors, count, seed)
    places: Sequence[Sequence[float]] = free
    for taken in range(_ROUNDS):
        places = [
            _moved(scores, place, row, target, slopes, gain)
            for scores, place, row, target in zip(free, places, predicted, targets, strict=True)
        ]
        predicted = [[row[index] for index in kept] for row in predicted_all(places, taken + 1)]
    fitted = tuple(model.on_day_of(scores, place) for place, scores in zip(places, samples, strict=True))
    residuals, misfit = _residuals(runs, readings, [model.usual[index] for index in kept], predicted)
    return Fit(
        fitted,
        residuals,
        refused,
        _root_mean_square([residual.before_k for residual in residuals]),
        _root_mean_square([residual.after_k for residual in residuals]),
        misfit,
        _constants(assumptions, fitted),
    )


class _Model:
    """The readings of the runs as a function of the scores; all on a day like any other.

    Attributes:
        readings: As they were read.
        usual: The same as a usual car's would be.
    """

    def __init__(
        self,
        vehicle: VehicleModel,
        motor: MotorModel,
        runs: Sequence[TrackReadings],
        assumptions: Sequence[Assumption],
    ) -> None:
        self._vehicle, self._motor, self._runs, self._assumptions = vehicle, motor, runs, assumptions
        self._days = [index for index, assumption in enumerate(assumptions) if assumption.name in DAYS]
        usual_scores = (0.0,) * len(assumptions)
        usual = list(self._run_logs(usual_scores))
        other_days = [
            [list(self._run_logs(_with_score(usual_scores, index, side))) for side in (-1.0, 1.0)]
            for index in self._days
        ]
        # How hot this car runs beside a usual one. An error in kelvin is then stated of a rise that the reading's own
        # error has no part in: else a reading that is too low would count for less than one that is too high.
        apart = median(
            log(run.can_c - run.conditions.ambient_c) - logs[0] for run, logs in zip(runs, usual, strict=True)
        )
        self.usual = [value for logs in usual for value in logs]
        self.readings: list[LogReading] = []
        for index, (run, logs) in enumerate(zip(runs, usual, strict=True)):
            slopes = [
                [(high - low) / 2.0 for low, high in zip(slow[index], fast[index], strict=True)]
                for slow, fast in other_days
            ]
            self.readings += log_readings(index, run, list(zip(*slopes, strict=True)), exp(logs[0] + apart))

    def on_day_of(self, of_day: Scores, scores: Sequence[float]) -> Scores:
        """Scores whose days are those of another set."""
        return tuple(
            day if index in self._days else score for index, (score, day) in enumerate(zip(scores, of_day, strict=True))
        )

    def on_usual_day(self, scores: Sequence[float]) -> Scores:
        """Scores of a day like any other."""
        return self.on_day_of((0.0,) * len(scores), scores)

    def predicted(self, scores: Sequence[float]) -> list[float]:
        """The readings as a set of scores has them; on a usual day whatever the set says of it."""
        return [value for logs in self._run_logs(self.on_usual_day(scores)) for value in logs]

    def _run_logs(self, scores: Scores) -> Iterator[list[float]]:
        """The same run by run, on the day that the scores say."""
        parameters = parameters_at(self._assumptions, scores)
        last = None
        for run in self._runs:
            prepared = PreparedRun(run.vehicle or self._vehicle, self._motor, run.conditions, parameters)
            last = prepared.predict(run.ratio, last)
            yield predicted_logs(run, prepared, last)


def _with_score(scores: Scores, index: int, score: float) -> Scores:
    return (*scores[:index], score, *scores[index + 1 :])


def _total(slopes: Matrix, errors: Matrix) -> Matrix:
    """H·Hᵀ + R: what the readings scatter by, from the scores, whose own covariance is the unit matrix, and from errors."""
    return [
        [
            sum(a * b for a, b in zip(left, right, strict=True)) + error
            for right, error in zip(slopes, errors, strict=True)
        ]
        for left, errors in zip(slopes, errors, strict=True)
    ]


def _gain(slopes: Matrix, covariance: Matrix) -> Matrix:
    """K = Hᵀ·(H·Hᵀ + R)⁻¹, a row a constant."""
    factor = factored(_total(slopes, covariance))
    return [solved(factor, [row[index] for row in slopes]) for index in range(len(slopes[0]))]


def _perturbed(readings: Sequence[LogReading], covariance: Matrix, count: int, seed: int) -> list[list[float]]:
    factor = factored(covariance)
    return [
        [
            reading.value + sum(factor[row][column] * noise[column] for column in range(row + 1))
            for row, reading in enumerate(readings)
        ]
        for noise in sample(seed, count, tuple(f"reading {number}" for number in range(len(readings))))
    ]


def _moved(
    scores: Sequence[float],
    place: Sequence[float],
    predicted: Sequence[float],
    target: Sequence[float],
    slopes: Matrix,
    gain: Matrix,
) -> list[float]:
    """One set a step nearer to its readings: from where it began, by the gain times what is left to explain."""
    away = [new - old for new, old in zip(place, scores, strict=True)]
    left = [
        aim - now + sum(slope * step for slope, step in zip(row, away, strict=True))
        for aim, now, row in zip(target, predicted, slopes, strict=True)
    ]
    return [
        max(-FARTHEST_SCORE, min(FARTHEST_SCORE, score + sum(g * part for g, part in zip(row, left, strict=True))))
        for score, row in zip(scores, gain, strict=True)
    ]


def _screened(
    runs: Sequence[TrackReadings],
    readings: Sequence[LogReading],
    free: Sequence[Sequence[float]],
    predicted: Sequence[Sequence[float]],
) -> tuple[list[int], tuple[tuple[int, float, float], ...]]:
    """The readings that this car can have shown together, and the runs whose can it cannot, with what was expected.

    Each reading is held against what the others say of it (leave one out: for residuals r with covariance S it is off by
    (S⁻¹r)ᵢ/(S⁻¹)ᵢᵢ, with the variance 1/(S⁻¹)ᵢᵢ). The farthest is left out, with a can its whole run, until none is far.
    """
    kept = list(range(len(readings)))
    refused: list[tuple[int, float, float]] = []
    columns = list(zip(*predicted, strict=True))
    off = [reading.value - fmean(column) for reading, column in zip(readings, columns, strict=True)]
    spread = [sqrt(pvariance(column) + reading.variance) for reading, column in zip(readings, columns, strict=True)]
    slopes = linear_model(free, predicted)
    while kept:
        total = _total([slopes[index] for index in kept], covariance([readings[index] for index in kept]))
        factor = factored(total)
        scaled = solved(factor, [off[index] for index in kept])
        worst, farthest = -1, (OUT_OF_PROPORTION, 0.0)
        for place, index in enumerate(kept):
            unit = [1.0 if place == column else 0.0 for column in range(len(kept))]
            inverse = solved(factor, unit)[place]
            away = (abs(scaled[place]) / sqrt(inverse), abs(off[index]) / spread[index])
            if away > farthest:
                worst, farthest = place, away
        if worst < 0:
            break
        reading = readings[kept[worst]]
        inverse = solved(factor, [1.0 if worst == column else 0.0 for column in range(len(kept))])[worst]
        expected = reading.value - scaled[worst] / inverse
        if reading.is_can:
            ambient = runs[reading.run].conditions.ambient_c
            low, high = (ambient + exp(expected + side * 2.0 / sqrt(inverse)) for side in (-1.0, 1.0))
            refused.append((reading.run, low, high))
            kept = [index for index in kept if readings[index].run != reading.run]
        else:
            del kept[worst]
    return kept, tuple(sorted(refused))


def _residuals(
    runs: Sequence[TrackReadings],
    readings: Sequence[LogReading],
    usual: Sequence[float],
    predicted: Sequence[Sequence[float]],
) -> tuple[tuple[Residual, ...], float]:
    residuals, pulls = [], []
    for index, reading in enumerate(readings):
        middle = sorted(row[index] for row in predicted)[len(predicted) // 2]
        pulls.append((reading.value - middle) / sqrt(reading.variance))
        if reading.is_can:
            read, ambient = runs[reading.run].can_c, runs[reading.run].conditions.ambient_c
            before, after = (read - ambient - exp(rise) for rise in (usual[index], middle))
            residuals.append(Residual(read, before, after))
    return tuple(residuals), _root_mean_square(pulls)


def _constants(assumptions: Sequence[Assumption], fitted: Sequence[Scores]) -> tuple[FittedConstant, ...]:
    ranked = []
    for index, assumption in enumerate(assumptions):
        if assumption.low == assumption.high or assumption.name in DAYS:
            continue
        scores = sorted(sample[index] for sample in fitted)
        low, middle, high = (scores[int(share * (len(scores) - 1))] for share in (0.05, 0.5, 0.95))
        # What the runs say of a constant: how far they move it, and how much narrower they make it.
        settled = abs(middle) + 1.0 - (high - low) / (2.0 * END_SCORE)
        ranked.append(
            (-settled, FittedConstant(assumption, assumption.at(middle), assumption.at(low), assumption.at(high)))
        )
    return tuple(constant for _, constant in sorted(ranked, key=lambda pair: pair[0])[:TOLD_CONSTANTS])


def _root_mean_square(values: Sequence[float]) -> float:
    return sqrt(sum(value * value for value in values) / len(values))
