"""The simulator that predictions are held against: its own laws, and that it shares nothing with what it judges."""

import ast
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests.physics.simulator.arrays import Array
from tests.physics.simulator.circuits import KINDS
from tests.physics.simulator.constants import GRAVITY, RANGES
from tests.physics.simulator.fleet import Fleet, fleet
from tests.physics.simulator.lap import Drive, drive_laps
from tests.physics.simulator.papers import middle_pinions, no_load_point, ratios_of
from tests.physics.simulator.runs import Heat, can_after_stop, cooling_w_k, run, warmed

FOLDER = Path(__file__).parent / "simulator"


def warm(cars: Fleet, value: float = 60.0) -> Array:
    return np.full(len(cars), value)


def test_the_simulator_shares_no_code_with_the_package() -> None:
    for file in FOLDER.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom):
                assert (node.module or "").split(".")[0] != "speclint", file.name
            elif isinstance(node, ast.Import):
                assert all(name.name.split(".")[0] != "speclint" for name in node.names), file.name


def test_every_range_has_its_source_and_its_usual_value_inside() -> None:
    for name, each in RANGES.items():
        assert each.low < each.usual < each.high, name
        assert each.source, name
        values = each.draw(np.random.default_rng(3), 4000)
        assert np.mean((values >= each.low) & (values <= each.high)) == pytest.approx(0.9, abs=0.025), name


def test_what_the_terminals_take_is_copper_iron_bearings_and_the_gears() -> None:
    cars = fleet(2, 30)
    ratio = ratios_of(cars, middle_pinions(cars, 0.4))
    laps = drive_laps(cars, ratio, winding_c=warm(cars), magnet_c=warm(cars), used_mah=np.zeros(30))
    assert np.all(np.abs(laps.work_j) < 1e-6 * laps.charge_c * cars["charged_v"])
    assert np.all(laps.charge_c > 0)


def test_a_corner_is_driven_at_the_speed_that_the_grip_in_use_holds() -> None:
    # School physics: v² = mu·g·R.
    cars = fleet(5, 24, class_names=("touring",), kinds=("stop-go",), turns=(13.5,))
    ratio = np.full(24, 6.0)
    laps = drive_laps(cars, ratio, winding_c=warm(cars), magnet_c=warm(cars), used_mah=np.zeros(24))
    tightest = 1.0 / cars.curvature.max(axis=1)
    slowest = np.sqrt(cars["grip"] * cars["corner_use"] * GRAVITY * tightest)
    assert np.all(laps.infield_m_s > slowest)
    assert np.all(laps.infield_m_s < 3.5 * slowest)
    assert np.all(laps.top_m_s > laps.infield_m_s)


def test_full_throttle_down_a_straight_agrees_with_scipy() -> None:
    cars = fleet(7, 6, class_names=("touring",), turns=(17.5,)).with_values(
        grip=np.full(6, 30.0), current_limit=np.full(6, 1e4)
    )
    ratio = np.full(6, 4.2)
    straight = Fleet(cars.values, np.zeros_like(cars.curvature), cars.circuits, cars.classes, cars.turns)
    drive = Drive(straight, ratio, warm(cars), warm(cars), np.zeros(6))

    def rates(_time: float, speed: Array) -> Array:
        rolling = cars["rolling"] * cars["mass"] * GRAVITY + cars["belt_n"]
        air = 0.5 * cars["air_density"] * cars["drag_area"] * speed**2
        return np.asarray((drive.most_n(speed) - rolling - air) / (cars["mass"] * cars["turning_mass"]))

    # Without a corner every lap settles at the speed that motor and air hold: a root of the rates.
    settled = solve_ivp(rates, (0.0, 60.0), np.full(6, 8.0), rtol=1e-9, atol=1e-9).y[:, -1]
    laps = drive_laps(straight, ratio, winding_c=warm(cars), magnet_c=warm(cars), used_mah=np.zeros(6))
    assert laps.top_m_s == pytest.approx(settled, rel=0.02)


def test_the_heat_stores_lose_nothing() -> None:
    cars = fleet(9, 5)
    start = Heat(warm(cars, 95.0), warm(cars, 80.0), warm(cars, 60.0), warm(cars, 85.0))
    end = start
    for _ in range(600):
        end = warmed(cars, end, np.full(5, 0.5), None, np.zeros(5))
    weights = [cars[name] for name in ("winding_j", "iron_j", "can_j", "magnet_j")]
    before, after = (
        sum(
            weight * store
            for weight, store in zip(weights, (heat.winding, heat.iron, heat.can, heat.magnet), strict=True)
        )
        for heat in (start, end)
    )
    assert after == pytest.approx(before, rel=1e-9)
    assert end.winding == pytest.approx(end.can, abs=1.5)


def test_the_bench_shows_the_motor_less_what_its_no_load_current_drops() -> None:
    # Motor handbooks: n = k_n·(U − I·R).
    cars = fleet(11, 8)
    supply = np.full(8, 3.7)
    per_volt, current = no_load_point(cars, supply, motor_c=25.0)
    expected = (supply - current * cars["winding_ohm"]) / cars["torque_nm_a"] * 30.0 / np.pi / supply
    assert per_volt == pytest.approx(expected, rel=1e-6)


def test_a_can_goes_on_warming_after_the_stop_and_then_cools() -> None:
    cars = fleet(13, 12, class_names=("touring",), turns=(17.5,))
    outcome = run(cars, np.full(12, 4.2))
    early, late = (can_after_stop(cars, outcome.end, np.full(12, seconds)) for seconds in (5.0, 300.0))
    assert np.mean(early > outcome.end.can) > 0.5
    assert np.all(late < outcome.end.can)
    assert np.all(cooling_w_k(cars, np.full(12, 9.0)) > cooling_w_k(cars, np.full(12, 4.0)))


def test_a_longer_run_a_taller_gear_and_a_tighter_infield_are_hotter() -> None:
    looks = []
    for kind in KINDS:
        cars = fleet(15, 16, class_names=("touring",), kinds=(kind,), turns=(17.5,))
        short, tall = (run(cars, np.full(16, ratio), looks_min=(3.0,)) for ratio in (4.3, 3.4))
        assert np.all(short.looks[0].can < short.end.can)
        assert tall.end.can.mean() > short.end.can.mean()
        looks.append((tall.end.can - short.end.can).mean())
    assert looks[0] < looks[2], "stop and go makes more of a tall gear"


def test_the_same_seed_gives_the_same_cars() -> None:
    first, second = fleet(17, 4), fleet(17, 4)
    assert all(np.array_equal(first[name], second[name]) for name in first.values)
    assert not np.array_equal(first["mass"], fleet(18, 4)["mass"])
