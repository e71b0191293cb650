"""The risk that a decision rule takes, by throwing many readings at it (JCGM 101 in spirit)."""

import math
from collections.abc import Iterator
from fractions import Fraction

import numpy as np
import pytest

from speclint.limits.decisions import Decision, Limits, Ruling, decide
from speclint.readings.exact import exact
from speclint.readings.instruments import reading
from speclint.readings.measured import Influence, Measured

TRIALS = 200_000
CLAIMED = 0.025
"""The most that a guard band of U may let through: ILAC-G8:09/2019, table 1."""

EXPECTED = 0.0227501
"""Φ(-2), at a true value that stands on the limit itself."""


def display(true_value: float, standard_uncertainty: float, seed: int) -> Iterator[tuple[Fraction, int]]:
    """Readings of one true value as a fine display shows them, and how often each came."""
    readings = np.random.default_rng(seed).normal(true_value, standard_uncertainty, TRIALS)
    shown, counts = np.unique(np.round(readings, 2), return_counts=True)
    for value, count in zip(shown.tolist(), counts.tolist(), strict=True):
        yield exact(value), count


def share(ruling: Ruling, decision: Decision, limits: Limits, true_value: float, *, seed: int) -> float:
    u = 2.0
    blur = {Influence("instrument", "instrument"): u}
    hits = sum(
        count
        for value, count in display(true_value, u, seed)
        if decide(Measured(value, blur), limits, decision).ruling is ruling
    )
    return hits / TRIALS


def sampling_error(probability: float, trials: int) -> float:
    return 4 * math.sqrt(probability * (1 - probability) / trials)


@pytest.mark.parametrize("limits", [Limits(low=exact(1350)), Limits(low=exact(1350), high=exact(1400))])
def test_must_show_lets_an_illegal_car_pass_once_in_forty_at_most(limits: Limits) -> None:
    at_the_limit = share(Ruling.LEGAL, Decision.MUST_SHOW, limits, 1350 - 1e-9, seed=1)
    assert at_the_limit <= CLAIMED
    # The display's step of 0.01 moves the guard band by half of it, 0.0025 u.
    assert at_the_limit == pytest.approx(EXPECTED, abs=sampling_error(EXPECTED, TRIALS) + 0.0002)
    assert share(Ruling.LEGAL, Decision.MUST_SHOW, limits, 1349, seed=2) < at_the_limit


@pytest.mark.parametrize("limits", [Limits(high=exact(40)), Limits(low=exact(0), high=exact(40))])
def test_benefit_of_doubt_bars_a_legal_car_once_in_forty_at_most(limits: Limits) -> None:
    at_the_limit = share(Ruling.ILLEGAL, Decision.BENEFIT_OF_DOUBT, limits, 40.0, seed=3)
    assert at_the_limit <= CLAIMED
    assert at_the_limit == pytest.approx(EXPECTED, abs=sampling_error(EXPECTED, TRIALS) + 0.0002)
    assert share(Ruling.ILLEGAL, Decision.BENEFIT_OF_DOUBT, limits, 39, seed=4) < at_the_limit


def test_as_read_is_a_toss_of_a_coin_at_the_limit() -> None:
    legal = share(Ruling.LEGAL, Decision.AS_READ, Limits(low=exact(1350)), 1350, seed=5)
    assert legal == pytest.approx(0.5, abs=sampling_error(0.5, TRIALS) + 0.001)


@pytest.mark.parametrize("repeats", [2, 3, 6])
def test_the_expanded_uncertainty_of_a_few_repeats_covers_what_it_says(repeats: int) -> None:
    # With a plain factor of 2 three repeats would cover 81.6 %, not 95.45 %.
    trials = 10_000
    rows = np.round(np.random.default_rng(repeats).normal(0.0, 1.0, (trials, repeats)), 4).tolist()
    covered = 0
    for row in rows:
        number = reading(tuple(exact(value) for value in row), None, key="x")
        assert isinstance(number, Measured)
        covered += abs(number.value) <= number.expanded()
    assert covered / trials == pytest.approx(0.9545, abs=sampling_error(0.9545, trials))
