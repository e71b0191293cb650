"""What the charge of a simulated car can be known by from what its owner writes down: a regression on such cars themselves.

A second-degree polynomial in all that is written down, by ridge regression on cars of one class, tried on tenths of them that
it was not fitted to. It knows the simulated cars as no prediction can: what it leaves open is in what was not told.
"""

from typing import Final

import numpy as np

from tests.physics.simulator.arrays import Array
from tests.physics.simulator.fleet import fleet
from tests.physics.simulator.papers import middle_pinions, ratios_of
from tests.physics.simulator.runs import run

PLACE: Final = 0.35
TENTHS: Final = 10
RIDGE: Final = 3.0


def charge_error(seed: int, count: int, class_name: str, *, infield_and_grip: bool) -> float:
    """Median size of the relative error that it leaves of the charge, on the day of the track's speed.

    Args:
        seed: Of the cars.
        count: How many.
        class_name: Their class.
        infield_and_grip: Whether the kind of infield and the grip are told as well.
    """
    cars = fleet(seed, count, class_names=(class_name,))
    random = np.random.default_rng(seed)
    seen = run(cars, ratios_of(cars, middle_pinions(cars, 0.5)), minutes=np.full(count, 1.0))
    lap_m, straight_m = (
        np.array([getattr(circuit, name) for circuit in cars.circuits]) for name in ("lap_m", "straight_m")
    )
    told = [
        np.log(seen.infield_m_s * random.normal(1.0, 0.03, count)),
        np.log(lap_m),
        np.log(straight_m),
        cars["air_c"],
    ]
    told += [np.log(cars[name]) for name in ("torque_nm_a", "winding_ohm", "no_load_nm", "mass", "tyre")]
    if infield_and_grip:
        kinds = np.array([circuit.kind for circuit in cars.circuits])
        told += [(kinds == kind).astype(float) for kind in ("flowing", "stop-go")]
        told.append(np.log(cars["grip"] * cars["corner_use"] * random.normal(1.0, 0.1, count)))
    truth = run(cars, ratios_of(cars, middle_pinions(cars, PLACE))).used_mah
    return _left(np.log(truth), np.column_stack(told))


def _left(truth: Array, told: Array) -> float:
    scaled = (told - told.mean(axis=0)) / told.std(axis=0)
    left, right = np.triu_indices(scaled.shape[1])
    terms = np.column_stack([np.ones(len(truth)), scaled, scaled[:, left] * scaled[:, right]])
    errors = np.empty(len(truth))
    tenths = np.arange(len(truth)) % TENTHS
    for tenth in range(TENTHS):
        fitted, tried = terms[tenths != tenth], terms[tenths == tenth]
        weights = np.linalg.solve(fitted.T @ fitted + RIDGE * np.eye(terms.shape[1]), fitted.T @ truth[tenths != tenth])
        errors[tenths == tenth] = truth[tenths == tenth] - tried @ weights
    return float(np.median(np.abs(np.expm1(-errors))))
