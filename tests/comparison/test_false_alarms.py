"""By trial: how often the table shows a change that is not there, and how surely it shows one that is.

The motors are drawn here, not by the package: each run scatters as one motor that is clamped anew on one bench does
(speed 0.3 %, no-load current 2 %, winding 0.2 %, timing 0.3°, evenness 0.3 points: common practice, an estimate).
"""

import math
import random
from typing import Any, Final

import pytest

from speclint.comparison.differences import Comparison, Conclusion
from speclint.comparison.interpretation import interpretations_of
from tests.comparison.bench_motors import compared, motor

PAIRS: Final = 300
DESCRIBED: Final = {
    "motor-bench": {"accuracy_percent": 0.5},
    "milliohm-meter": {"accuracy_percent": 0.25, "resolution": 0.01, "unit": "mohm"},
    "contact-thermometer": {"accuracy": 1, "resolution": 0.1, "unit": "C"},
}
IN_SEVERAL_UNITS: Final = {
    **DESCRIBED,
    "motor-bench": {
        "per_unit": {
            "v": {"accuracy_percent": 0.5, "resolution": 0.01},
            "a": {"accuracy_percent": 1, "resolution": 0.01, "repeatability_percent": 2},
            "rpm_per_v": {"accuracy_percent": 0.5, "resolution": 1, "repeatability_percent": 0.3},
            "deg": {"accuracy": 0.5, "resolution": 0.1, "repeatability": 0.3},
            "percent": {"accuracy": 0.5, "resolution": 0.1, "repeatability": 0.3},
        }
    },
}


def scattered_run(chance: random.Random, date: str, *, readings: int, speed: float, named: bool) -> dict[str, Any]:
    """One run of a 17.5 whose true values are 2450 rpm/V, 3.9 A and 36.5 mΩ, clamped anew."""

    def several(value: float, places: int, within: float) -> Any:
        drawn = [round(value * (1 + chance.gauss(0, within)), places) for _ in range(readings)]
        return drawn[0] if readings == 1 else {"readings": drawn, **({"instrument": "motor-bench"} if named else {})}

    contact = 1 + chance.gauss(0, 0.002)
    winding_c = round(chance.uniform(18, 28), 1)
    warm = (235 + winding_c) / 255
    winding: dict[str, Any] = {
        f"{pair}_mohm": round(true * warm * contact, 2) for pair, true in (("ab", 36.5), ("bc", 36.6), ("ca", 36.4))
    }
    run: dict[str, Any] = {
        "date": date,
        "supply_v": 3.7,
        "current_a": several(3.9 * (1 + chance.gauss(0, 0.02)), 2, 0.003),
        "kv_rpm_per_v": several(speed * (1 + chance.gauss(0, 0.003)), 0, 0.0006),
        "timing_deg": [round(true + chance.gauss(0, 0.3), 1) for true in (37.8, 38.1, 38.4)],
        "sensor_spread_percent": round(abs(1.2 + chance.gauss(0, 0.3)), 1),
        "pole_difference_percent": round(abs(0.8 + chance.gauss(0, 0.3)), 1),
        "can_c": round(chance.uniform(22, 30)),
        "winding": {**winding, "winding_c": winding_c},
    }
    # The magnet is read by its can, and slows or quickens the motor with its own temperature.
    run["kv_rpm_per_v"] = _scaled(run["kv_rpm_per_v"], 1 / (1 - 0.0012 * (run["can_c"] - 20)))
    if named:
        run["instrument"] = "motor-bench"
        run["winding"] |= {"instrument": "milliohm-meter", "thermometer": "contact-thermometer"}
    return run


def _scaled(reading: Any, factor: float) -> Any:
    if isinstance(reading, dict):
        return {**reading, "readings": [round(value * factor) for value in reading["readings"]]}
    return round(reading * factor)


def scattered_pair(chance: random.Random, instruments: dict[str, Any], *, readings: int, speed: float) -> Comparison:
    named = bool(instruments)
    before = scattered_run(chance, "2026-03-01", readings=readings, speed=2450, named=named)
    after = scattered_run(chance, "2026-03-08", readings=readings, speed=speed, named=named)
    return compared(motor(before, after), instruments)


@pytest.mark.parametrize(
    ("instruments", "readings"),
    [(DESCRIBED, 1), (DESCRIBED, 2), (DESCRIBED, 4), (IN_SEVERAL_UNITS, 1), ({}, 1), ({}, 3)],
    ids=["one bench", "two readings", "four readings", "repeatability stated", "nothing named", "three, nothing named"],
)
def test_one_table_in_twenty_at_most_shows_a_change_of_a_motor_that_is_as_it_was(
    instruments: dict[str, Any], readings: int
) -> None:
    chance = random.Random(17)  # noqa: S311
    pairs = [scattered_pair(chance, instruments, readings=readings, speed=2450) for _ in range(PAIRS)]

    alarms = sum(any(change.conclusion is Conclusion.CHANGED for change in pair.changes) for pair in pairs)
    warnings = sum(any(meaning.warns for meaning in interpretations_of(pair)) for pair in pairs)

    # Two standard deviations of a count of 300 trials at one in twenty.
    most = 0.05 * PAIRS + 2 * math.sqrt(0.05 * 0.95 * PAIRS)
    assert alarms <= most, f"{alarms} of {PAIRS} tables"
    assert warnings <= most, f"{warnings} of {PAIRS} asked for something to be done"


@pytest.mark.parametrize("instruments", [DESCRIBED, IN_SEVERAL_UNITS, {}], ids=["described", "stated", "nothing named"])
@pytest.mark.parametrize("change", [0.98, 1.02])
def test_a_change_of_two_percent_in_speed_is_shown_nine_times_in_ten(
    instruments: dict[str, Any], change: float
) -> None:
    chance = random.Random(23)  # noqa: S311
    pairs = [scattered_pair(chance, instruments, readings=1, speed=2450 * change) for _ in range(PAIRS)]

    right = 1 if change > 1 else -1
    shown = sum(pair.change("kv_rpm_per_v").sign == right for pair in pairs)

    assert shown >= 0.9 * PAIRS, f"{shown} of {PAIRS}"
