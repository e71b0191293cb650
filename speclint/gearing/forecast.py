"""Predictions with bands for every ratio: learnt from track runs where there are any."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from speclint.gearing.assumed import WINDING_LIMIT_C
from speclint.gearing.case import CarModel
from speclint.gearing.track_runs import Learnt, LeftOut, UsedRun
from speclint.physics.assumptions import Parameters, Scores, nominal, parameters_at
from speclint.physics.bands import Fleet, HeatLimits
from speclint.physics.fit import Fit, fit
from speclint.physics.prediction import PreparedRun
from speclint.physics.sampling import sample

SEED: Final = 20_260_314
"""Any number does; the same one gives the same band every time."""

SAMPLES: Final = 200
"""Sets of assumed constants behind a band."""

Progress = Callable[[int, int], None]
"""Called with how much is done, and of how much."""


@dataclass(frozen=True, slots=True)
class Forecaster:
    """The sampled cars behind every band, and what the track runs taught.

    Attributes:
        fleet: The car with each set of constants.
        learnt: What the track runs say.
    """

    fleet: Fleet
    learnt: Learnt


def forecaster(
    model: CarModel,
    limit_c: float,
    used: Sequence[UsedRun],
    left_out: Sequence[LeftOut],
    *,
    progress: Progress | None = None,
) -> Forecaster:
    """A forecaster for a car, taught by the track runs that count.

    Args:
        model: Car, motor and run.
        limit_c: Limit for the can.
        used: Track runs that the model can learn from.
        left_out: Track runs that it can't.
        progress: Called as the sets are fitted to the track runs.
    """
    scores = sample(SEED, SAMPLES)
    able = [run for run in used if _moves(model, run, scores)]
    unable = [LeftOut(run.when, "the model's car would not move on that ratio") for run in used if run not in able]
    result: Fit | None = None
    if able:
        result = fit(
            model.vehicle,
            model.motor.model,
            [run.readings for run in able],
            model.assumptions,
            scores,
            seed=SEED,
            progress=progress,
        )
        scores = result.samples
        refused = {index: (low, high) for index, low, high in result.refused}
        unable += [
            LeftOut(
                run.when,
                f"its can of {run.readings.can_c:.0f} °C is out of all proportion: {refused[index][0]:.0f} to"
                f" {refused[index][1]:.0f} °C would be this car's",
            )
            for index, run in enumerate(able)
            if index in refused
        ]
        able = [run for index, run in enumerate(able) if index not in refused]
    fleet = Fleet(
        model.vehicle,
        model.motor.model,
        model.conditions,
        [parameters_at(model.assumptions, score_set) for score_set in scores],
        HeatLimits(limit_c, WINDING_LIMIT_C),
    )
    return Forecaster(fleet, Learnt(tuple(able), (*left_out, *unable), result if able else None))


def _moves(model: CarModel, used: UsedRun, scores: Sequence[Scores]) -> bool:
    """Whether every sampled car moves on the ratio of a run."""
    readings = used.readings

    def able(parameters: Parameters) -> bool:
        vehicle = readings.vehicle or model.vehicle
        return PreparedRun(vehicle, model.motor.model, readings.conditions, parameters).can_move(readings.ratio)

    return all(
        map(able, (nominal(model.assumptions), *(parameters_at(model.assumptions, score_set) for score_set in scores)))
    )
