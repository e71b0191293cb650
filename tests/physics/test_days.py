"""How far one day's run differs from another's with nothing changed: simulated cars on days of their own."""

from dataclasses import replace

import numpy as np
import pytest

from speclint.physics.assumptions import NOMINAL, assumption
from speclint.physics.prediction import PreparedRun
from speclint.physics.track_readings import DAYS
from tests.physics.simulator.fleet import fleet
from tests.physics.simulator.papers import middle_pinions, ratios_of
from tests.physics.simulator.runs import run
from tests.physics.stock_cars import FIVE_MINUTES, STOCK_17, TOURING

OTHER_DAYS = 4


def by_day(ratio: float) -> dict[str, float]:
    """Standard deviation of the logarithm of rise, charge and lap from day to day, of a usual car."""
    rows = []
    for name in DAYS:
        ends = []
        for score in (-1.0, 1.0):
            day = replace(NOMINAL, **{name: assumption(name).at(score)})
            found = PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, day).predict(ratio)
            rise = found.end.can_c - FIVE_MINUTES.ambient_c
            ends.append(np.log([rise, found.charge_c, found.lap.time_s]))
        rows.append((ends[1] - ends[0]) / 2.0)
    return dict(zip(("rise", "charge", "lap"), np.sqrt(np.square(rows).sum(axis=0)).tolist(), strict=True))


def test_a_day_shows_more_on_the_gear_on_which_the_copper_heats() -> None:
    rises = [by_day(ratio)["rise"] for ratio in (6.5, 4.4, 3.5)]
    assert rises == sorted(rises)
    assert rises[-1] > 1.5 * rises[0]


def test_a_fast_day_is_a_hot_one_that_takes_more_charge_and_laps_sooner() -> None:
    slow, fast = (
        PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, replace(NOMINAL, day_speed_factor=factor)).predict(4.4)
        for factor in (0.97, 1.03)
    )
    assert fast.lap.time_s < slow.lap.time_s
    assert fast.charge_c > slow.charge_c
    assert fast.end.can_c > slow.end.can_c


@pytest.mark.slow
def test_the_days_of_simulated_cars_differ_as_much_as_ours() -> None:
    cars = fleet(61_001, 90, class_names=("touring",), turns=(17.5,))
    random = np.random.default_rng(61_002)
    for place in (0.1, 0.8):
        ratio = ratios_of(cars, middle_pinions(cars, place))
        days = []
        for _ in range(OTHER_DAYS):
            day = cars.another_day(random)
            outcome = run(day, ratio)
            rise = outcome.end.can - day["air_c"]
            days.append(np.log([rise, outcome.used_mah, outcome.mean_lap_s]))
        simulated = np.sqrt(np.mean(np.var(days, axis=0, ddof=1), axis=1))
        expected = by_day(float(np.median(ratio)))
        for quantity, scatter in zip(expected, simulated, strict=True):
            assert expected[quantity] == pytest.approx(scatter, rel=0.25), quantity
