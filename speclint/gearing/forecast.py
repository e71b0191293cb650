"""Predictions with bands for every ratio: learnt from track runs where there are any, wider where the motor is a guess."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from speclint.gearing.case import Case
from speclint.gearing.track_runs import Learnt, LeftOut, UsedRun
from speclint.physics.assumptions import NOMINAL, Parameters
from speclint.physics.bands import Band, Outlook, course_bands, outlooks
from speclint.physics.fit import Fit, fit, fitted_samples
from speclint.physics.motor import Motor
from speclint.physics.prediction import course, drivable
from speclint.physics.sampling import quantile, sample

SEED: Final = 20_260_314
"""Any number does; the same one gives the same band every time."""

SAMPLES: Final = 200
"""Sets of assumed constants behind a band."""

_AT_ONCE: Final = 10
"""Sets that are fitted between two looks at the clock."""

Progress = Callable[[int, int], None]
"""Called with how much is done, and of how much."""


@dataclass(frozen=True, slots=True)
class _Guess:
    """One motor that the car may have, with its share of the parameter sets."""

    motor: Motor
    likely: Parameters
    samples: tuple[Parameters, ...]


@dataclass(frozen=True, slots=True)
class Forecaster:
    """Everything that a prediction needs but the ratio."""

    case: Case
    guesses: tuple[_Guess, ...]
    learnt: Learnt

    @property
    def likely(self) -> Parameters:
        """The most likely constants: as assumed, or as fitted."""
        return self.guesses[0].likely

    def outlooks(self, ratios: Sequence[float], progress: Progress | None = None) -> tuple[Outlook | None, ...]:
        """What a run on each of these ratios may bring; None where the car may not even move."""
        case = self.case
        rows: list[tuple[Outlook | None, ...]] = []
        for index, guess in enumerate(self.guesses):

            def part(done: int, total: int, index: int = index) -> None:
                if progress is not None:
                    progress(index * total + done, len(self.guesses) * total)

            rows.append(
                outlooks(case.car, guess.motor, case.run, ratios, guess.samples, likely=guess.likely, progress=part)
            )
        return tuple(_joined(row) for row in zip(*rows, strict=True))

    def course(self, ratio: float, minutes: Sequence[float]) -> tuple[Band, ...]:
        """Can temperatures at given minutes of a run on one ratio."""
        case = self.case
        rows = [
            course_bands(case.car, guess.motor, case.run, ratio, guess.samples, minutes=minutes)
            for guess in self.guesses
        ]
        return tuple(_widest(row) for row in zip(*rows, strict=True))

    def reading_at(self, ratio: float, minutes: float) -> float:
        """Can temperature after so many minutes up to which the whole run stays below the limit in 19 of 20 cases."""
        case = self.case
        air = case.run.ambient_c
        shares = []
        for guess in self.guesses:
            for each in guess.samples:
                early, end = course(
                    case.car, guess.motor, case.run, ratio, (minutes, case.run.minutes), parameters=each
                )
                shares.append((early.can_c - air) / (end.can_c - air))
        return air + (case.limit_c - air) * quantile(sorted(shares), 0.05)


def forecaster(
    case: Case,
    used: Sequence[UsedRun] = (),
    left_out: Sequence[LeftOut] = (),
    *,
    samples: int = SAMPLES,
    seed: int = SEED,
    progress: Progress | None = None,
) -> Forecaster:
    """A forecaster for a case, taught by the track runs that count.

    Args:
        case: Car, motor and run.
        used: Track runs that the model can learn from.
        left_out: Track runs that it can't.
        samples: Sets of assumed constants behind a band.
        seed: The same seed gives the same band.
        progress: Called as the sets are fitted to the track runs.

    Raises:
        ValueError: There are fewer samples than motors that the car may have.
    """
    sets = sample(seed, samples)
    motors = case.motor.motors
    shares = [sets[index :: len(motors)] for index in range(len(motors))]
    able = [
        run
        for run in used
        if all(_moves(case, motor, run, (NOMINAL, *own)) for motor, own in zip(motors, shares, strict=True))
    ]
    unable = [LeftOut(run.when, "the model's car would not move on that ratio") for run in used if run not in able]
    runs = [run.run for run in able]
    guesses: list[_Guess] = []
    found: Fit | None = None
    for motor, own in zip(motors, shares, strict=True):
        if not runs:
            guesses.append(_Guess(motor, NOMINAL, own))
            continue
        fitted = fit(case.car, motor, runs)
        taught: list[Parameters] = []
        for first in range(0, len(own), _AT_ONCE):
            taught += fitted_samples(case.car, motor, runs, own[first : first + _AT_ONCE], seed + first)
            if progress is not None:
                progress(sum(len(each.samples) for each in guesses) + len(taught), samples)
        guesses.append(_Guess(motor, fitted.parameters, tuple(taught)))
        found = found or fitted
    return Forecaster(case, tuple(guesses), Learnt(tuple(able), (*left_out, *unable), found))


def _moves(case: Case, motor: Motor, used: UsedRun, sets: Sequence[Parameters]) -> bool:
    run = used.run
    return all(drivable(run.car or case.car, motor, run.run, run.ratio, each) for each in sets)


def _joined(row: tuple[Outlook | None, ...]) -> Outlook | None:
    """One outlook of several motors: the likely one of the first, bands as wide as all together."""
    known = [each for each in row if each is not None]
    if len(known) < len(row):
        return None
    if len(known) == 1:
        return known[0]
    return replace(
        known[0],
        can_c=_widest([each.can_c for each in known]),
        winding_c=_widest([each.winding_c for each in known]),
        lap_s=_widest([each.lap_s for each in known]),
        top_m_per_s=_widest([each.top_m_per_s for each in known]),
        top_motor_rad_per_s=_widest([each.top_motor_rad_per_s for each in known]),
        charge_c=_widest([each.charge_c for each in known]),
    )


def _widest(bands: Sequence[Band]) -> Band:
    return Band(min(each.low for each in bands), bands[0].median, max(each.high for each in bands))
