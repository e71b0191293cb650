"""How far one day's run differs from another's with nothing changed: a law, and simulated cars on days of their own."""

from dataclasses import replace

import numpy as np
import pytest

from speclint.physics.assumptions import NOMINAL
from speclint.physics.prediction import DAY_POWERS, PreparedRun
from speclint.physics.track_readings import CHARGE_DAY_U, DAY_LOG_U
from tests.physics.simulator.constants import COPPER_ZERO_C
from tests.physics.simulator.fleet import fleet
from tests.physics.simulator.lap import drive_laps
from tests.physics.simulator.papers import middle_pinions, ratios_of
from tests.physics.simulator.runs import run
from tests.physics.stock_cars import FIVE_MINUTES, STOCK_17, TOURING

DAYS = 4


def test_a_hard_day_shows_more_on_the_gear_on_which_the_copper_heats() -> None:
    powers = []
    for ratio in (6.5, 4.4, 3.5):
        usual, hard = (
            PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, replace(NOMINAL, day_factor=factor)).predict(ratio)
            for factor in (1.0, 1.1)
        )
        assert usual.day_power == hard.day_power
        rises = [each.end.can_c - FIVE_MINUTES.ambient_c for each in (usual, hard)]
        assert rises[1] / rises[0] == pytest.approx(1.1**usual.day_power)
        powers.append(usual.day_power)
    assert powers == sorted(powers)
    assert DAY_POWERS[0] < powers[0] < powers[-1] < DAY_POWERS[1]


@pytest.mark.slow
def test_the_days_of_simulated_cars_differ_as_much_as_is_taken_off_a_reading() -> None:
    cars = fleet(61_001, 90, class_names=("touring",))
    random = np.random.default_rng(61_002)
    scatter, copper_shares, charge_scatter = [], [], []
    for place in (0.1, 0.8):
        ratio = ratios_of(cars, middle_pinions(cars, place))
        usual = run(cars, ratio)
        rises, charges = [], []
        for _ in range(DAYS):
            day = cars.another_day(random)
            outcome = run(day, ratio)
            rises.append(np.log(outcome.end.can - day["air_c"]))
            charges.append(np.log(outcome.used_mah))
        mean = {"winding_c": usual.end.winding, "magnet_c": usual.end.magnet, "used_mah": usual.used_mah / 2.0}
        laps = drive_laps(cars, ratio, **mean)
        hot_ohm = cars["winding_ohm"] * (usual.end.winding - COPPER_ZERO_C) / (25.0 - COPPER_ZERO_C)
        copper_w = laps.square_a2 * hot_ohm
        copper_shares.append(copper_w / (copper_w + laps.iron_w + laps.bearing_w))
        scatter.append(np.var(rises, axis=0, ddof=1))
        charge_scatter.append(np.var(charges, axis=0, ddof=1))
    shares, variances = np.concatenate(copper_shares), np.concatenate(scatter)
    for chosen in (shares < 0.4, (shares > 0.4) & (shares < 0.7), shares > 0.7):
        power = DAY_POWERS[0] + (DAY_POWERS[1] - DAY_POWERS[0]) * np.mean(shares[chosen])
        assert np.sqrt(np.mean(variances[chosen])) == pytest.approx(power * DAY_LOG_U, rel=0.2)
    assert np.sqrt(np.mean(charge_scatter)) == pytest.approx(CHARGE_DAY_U, rel=0.25)
