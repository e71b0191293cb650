"""Two constants fitted to the car's own track runs, with what is known beforehand and how sure the result is.

Bayes' rule with normal distributions: the logarithms of two factors, one on the thermal resistance from can to air and one
on the load in corners, start at zero with a standard deviation from the range of the assumption (Tikhonov's
regularisation), and each measured can temperature pulls on them with
the uncertainty of its reading and of the day. The greatest posterior is found
by Gauss-Newton steps with difference quotients (Björck, Numerical Methods for Least Squares Problems, 1996, ch. 9, from
memory). Temperatures of runs with different gearing and length tell cooling from load; runs that are alike can't, and the
prior decides between the two.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

from speclint.physics.assumptions import NOMINAL, Parameters, assumption
from speclint.physics.motor import Motor
from speclint.physics.prediction import Car, Prediction, Run, predict
from speclint.physics.sampling import normal_pairs, scaled

READING_U_K = 3.0
"""Standard uncertainty of a can temperature from a hand-held thermometer: spot, shine and delay (common practice)."""

DAY_U_K = 3.0
"""What one day differs from another without anybody writing it down: driver, traffic, surface, wind (from memory)."""

_NAMES = ("can_air_k_per_w", "scrub_coefficient")
_STEP = 1e-3
_LARGEST_STEP = 0.7
_Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class HeatRun:
    """One run with its can measured at the end.

    Attributes:
        run: Where and how long.
        ratio: Final drive ratio.
        can_c: Can at the end.
        reading_u_k: Standard uncertainty of that reading.
        car: The car in that run, where it was another than the one asked about.
    """

    run: Run
    ratio: float
    can_c: float
    reading_u_k: float = READING_U_K
    car: Car | None = None

    def __post_init__(self) -> None:
        """Raises ValueError unless the ratio and the uncertainty are above zero."""
        if not (self.ratio > 0 and self.reading_u_k > 0):
            raise ValueError("ratio and uncertainty must be above zero")

    @property
    def u_k(self) -> float:
        """Standard uncertainty with which this run speaks for the next ones."""
        return sqrt(self.reading_u_k**2 + DAY_U_K**2)


@dataclass(frozen=True, slots=True)
class Factor:
    """One fitted factor on an assumed constant.

    Attributes:
        name: The constant.
        factor: What it is multiplied by.
        relative_u: Standard uncertainty of the factor, as a part of it.
        prior_relative_u: The same before any run was seen.
    """

    name: str
    factor: float
    relative_u: float
    prior_relative_u: float


@dataclass(frozen=True, slots=True)
class Residual:
    """How far the model was off in one run, measured less predicted."""

    ratio: float
    measured_c: float
    before_k: float
    after_k: float


@dataclass(frozen=True, slots=True)
class Fit:
    """The outcome of a fit.

    Attributes:
        parameters: The most likely constants now.
        cooling: Factor on the thermal resistance from can to air.
        load: Factor on the scrub coefficient.
        correlation: Between the two factors' logarithms; near -1 where the runs cannot tell them apart.
        residuals: One a run, in the order given.
        before_k: Root mean square of the residuals with the assumed constants.
        after_k: The same with the fitted ones.
        chi_square: Sum of the squared residuals over their uncertainties, without the prior's part.
        rounds: Gauss-Newton steps taken.
    """

    parameters: Parameters
    cooling: Factor
    load: Factor
    correlation: float
    residuals: tuple[Residual, ...]
    before_k: float
    after_k: float
    chi_square: float
    rounds: int


def prior_log_u(name: str) -> float:
    """Standard deviation of the logarithm of a constant, its range taken as the middle nine tenths of a normal."""
    known = assumption(name)
    return log(known.high / known.low) / (2.0 * 1.6448536269514722)


def fit(car: Car, motor: Motor, runs: Sequence[HeatRun], parameters: Parameters = NOMINAL) -> Fit:
    """Fit cooling and load to the track runs of a car.

    Args:
        car: The car.
        motor: As measured.
        runs: At least one.
        parameters: The constants before the fit.

    Raises:
        ValueError: No run is given, or the motor cannot move the car.
    """
    if not runs:
        raise ValueError("a fit needs at least one track run")
    prior = (prior_log_u(_NAMES[0]), prior_log_u(_NAMES[1]))
    targets = [run.can_c for run in runs]
    model = _Model(car, motor, runs, parameters)
    before = model.temperatures((0.0, 0.0))
    place, normal, rounds = _climb(model, targets, prior, rounds=30)
    after = model.temperatures(place)
    (aa, ab, bb) = normal
    determinant = aa * bb - ab * ab
    u_cooling, u_load = sqrt(bb / determinant), sqrt(aa / determinant)
    residuals = tuple(
        Residual(run.ratio, run.can_c, run.can_c - old, run.can_c - new)
        for run, old, new in zip(runs, before, after, strict=True)
    )
    return Fit(
        _moved(parameters, place),
        Factor(_NAMES[0], exp(place[0]), u_cooling, prior[0]),
        Factor(_NAMES[1], exp(place[1]), u_load, prior[1]),
        -ab / sqrt(aa * bb),
        residuals,
        _root_mean_square([each.before_k for each in residuals]),
        _root_mean_square([each.after_k for each in residuals]),
        sum((each.after_k / run.u_k) ** 2 for each, run in zip(residuals, runs, strict=True)),
        rounds,
    )


def fitted_samples(
    car: Car, motor: Motor, runs: Sequence[HeatRun], samples: Sequence[Parameters], seed: int
) -> tuple[Parameters, ...]:
    """Parameter sets that know of the track runs: the band after a fit.

    Each set is fitted by itself, to readings that are moved at random by their uncertainty and with its own values as the
    middle of the prior (randomised maximum likelihood: exact for a linear model, close for this one). What the runs
    settle so becomes narrow, and what they say nothing about stays as wide as it was.

    Raises:
        ValueError: As for `fit`.
    """
    if not runs:
        raise ValueError("a fit needs at least one track run")
    prior = (prior_log_u(_NAMES[0]), prior_log_u(_NAMES[1]))
    noise = normal_pairs(seed, len(samples) * ((len(runs) + 1) // 2))
    width = (len(runs) + 1) // 2
    fitted = []
    for index, each in enumerate(samples):
        moves = [number for pair in noise[index * width : (index + 1) * width] for number in pair]
        targets = [run.can_c + run.u_k * move for run, move in zip(runs, moves, strict=False)]
        model = _Model(car, motor, runs, each)
        place, _, _ = _climb(model, targets, prior, rounds=6)
        fitted.append(_moved(each, place))
    return tuple(fitted)


class _Model:
    """Can temperatures of the runs as a function of the two logarithms."""

    def __init__(self, car: Car, motor: Motor, runs: Sequence[HeatRun], parameters: Parameters) -> None:
        self.runs = runs
        self._car, self._motor, self._parameters = car, motor, parameters
        self._last: list[Prediction | None] = [None] * len(runs)

    def temperatures(self, place: _Pair) -> list[float]:
        there = _moved(self._parameters, place)
        found = []
        for index, each in enumerate(self.runs):
            last = self._last[index]
            new = predict(
                each.car or self._car,
                self._motor,
                each.run,
                each.ratio,
                there,
                guess=last.mean if last is not None else None,
            )
            self._last[index] = new
            found.append(new.can_c)
        return found


def _climb(
    model: _Model, targets: Sequence[float], prior: _Pair, *, rounds: int
) -> tuple[_Pair, tuple[float, float, float], int]:
    """The greatest posterior, the normal matrix there (aa, ab, bb), and the steps that it took."""
    place = (0.0, 0.0)
    normal = (0.0, 0.0, 0.0)
    for taken in range(1, rounds + 1):
        here = model.temperatures(place)
        by_a = model.temperatures((place[0] + _STEP, place[1]))
        by_b = model.temperatures((place[0], place[1] + _STEP))
        aa, ab, bb = prior[0] ** -2, 0.0, prior[1] ** -2
        right_a, right_b = -place[0] * aa, -place[1] * bb
        for run, target, now, moved_a, moved_b in zip(model.runs, targets, here, by_a, by_b, strict=True):
            weight = run.u_k**-2
            a, b, off = (moved_a - now) / _STEP, (moved_b - now) / _STEP, target - now
            aa, ab, bb = aa + weight * a * a, ab + weight * a * b, bb + weight * b * b
            right_a, right_b = right_a + weight * a * off, right_b + weight * b * off
        normal = (aa, ab, bb)
        determinant = aa * bb - ab * ab
        step = ((bb * right_a - ab * right_b) / determinant, (aa * right_b - ab * right_a) / determinant)
        # A factor of two a step keeps a reading far from any model from throwing the fit out of its range.
        shrink = min(1.0, _LARGEST_STEP / max(abs(step[0]), abs(step[1]), 1e-12))
        place = (place[0] + shrink * step[0], place[1] + shrink * step[1])
        if max(abs(step[0]), abs(step[1])) < _STEP:
            return place, normal, taken
    return place, normal, rounds


def _moved(parameters: Parameters, place: _Pair) -> Parameters:
    return scaled(parameters, **{name: exp(each) for name, each in zip(_NAMES, place, strict=True)})


def _root_mean_square(values: Sequence[float]) -> float:
    return sqrt(sum(each * each for each in values) / len(values))
