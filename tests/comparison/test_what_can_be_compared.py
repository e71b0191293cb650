"""Which runs are taken, and which cannot be held against each other, with the reason."""

from typing import Any

import pytest

from speclint.comparison.differences import Conclusion
from speclint.comparison.runs import ComparedRun, RunPair, around_last_rebuild, chosen, looks_like_run
from tests.comparison.bench_motors import compared, motor, run, runs

SWAP = {"did": ["rotor-swap"]}


def around(*listed: dict[str, Any], rebuilds: list[dict[str, Any]]) -> tuple[int, int] | str:
    of = motor(*listed, rebuilds=rebuilds)
    pair = around_last_rebuild(runs(of), of)
    return (pair.old.number, pair.new.number) if isinstance(pair, RunPair) else pair


FIVE = [run(f"2026-03-{day:02}") for day in (1, 5, 9, 13, 17)]


@pytest.mark.parametrize(
    ("rebuilds", "expected"),
    [
        (["2026-03-10"], (3, 4)),
        (["2026-03-02", "2026-03-11"], (3, 4)),
        (["2026-03-11", "2026-03-02"], (3, 4)),
        (["2026-03-06", "2026-03-20"], (2, 3)),
        (["2026-03-09"], (3, 4)),
        (["2026-02-01"], (4, 5)),
        ([], (4, 5)),
    ],
    ids=[
        "the only one",
        "the last of two",
        "in any order",
        "none after the last",
        "on the day of a run",
        "before all",
        "none",
    ],
)
def test_the_runs_around_the_last_rebuild_are_taken(rebuilds: list[str], expected: tuple[int, int]) -> None:
    assert around(*FIVE, rebuilds=[{"date": date, **SWAP} for date in rebuilds]) == expected


def test_runs_are_ordered_by_their_days_and_not_by_their_place_in_the_file() -> None:
    assert around(*reversed(FIVE), rebuilds=[{"date": "2026-03-10", **SWAP}]) == (3, 4)
    listed = runs(motor(*reversed(FIVE)))
    assert [one.day.day for one in listed] == [1, 5, 9, 13, 17]


def test_times_of_day_put_run_and_rebuild_of_one_evening_in_order() -> None:
    evening = [run("2026-03-10 18:00"), run("2026-03-10 21:00")]
    assert around(*evening, rebuilds=[{"date": "2026-03-10 19:30", **SWAP}]) == (1, 2)
    found = compared(motor(*evening, rebuilds=[{"date": "2026-03-10 19:30", **SWAP}]))
    assert found.did == {"rotor-swap"}
    assert compared(motor(*evening, rebuilds=[{"date": "2026-03-10", **SWAP}])).did == frozenset()


def test_one_run_is_not_compared_with_anything() -> None:
    assert around(run("2026-03-01"), rebuilds=[]) == (
        "there is one bench run only, and a comparison takes two: measure the motor again and log the run"
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1", 1), ("3", 3), ("2026-03-01", 1), ("2026-03-10 18:00", 2), ("2026-03-10T21:00", 3),
        ("4", "there is no bench run 4. The runs are 1: 1 March 2026; 2: 10 March 2026, 18:00; 3: 10 March 2026, 21:00"),
        ("2026-03-10", "2026-03-10 is the day of several runs; give the number or the time. The runs are 1: 1 March 2026;"
                       " 2: 10 March 2026, 18:00; 3: 10 March 2026, 21:00"),
    ],
)  # fmt: skip
def test_a_run_is_named_by_number_or_day_or_time(text: str, expected: int | str) -> None:
    listed = runs(motor(run("2026-03-01"), run("2026-03-10 18:00"), run("2026-03-10 21:00")))
    found = chosen(listed, text)
    assert (found.number if isinstance(found, ComparedRun) else found) == expected


@pytest.mark.parametrize(("text", "can"), [("1", True), ("2026-03-10", True), ("2026-03-10T19:30", True), ("motor.yaml", False), ("2026-13-01", False), ("12345678901", False)])  # fmt: skip
def test_what_can_name_a_run(text: str, can: bool) -> None:
    assert looks_like_run(text) is can


def words(first: dict[str, Any], second: dict[str, Any], *did: str) -> tuple[dict[str, Conclusion], list[str]]:
    rebuilds = [{"date": "2026-03-05", "did": list(did)}] if did else []
    found = compared(motor(run("2026-03-01", **first), run("2026-03-09", **second), rebuilds=rebuilds))
    return {change.quantity.name: change.conclusion for change in found.changes}, [
        one.message for one in found.obstacles
    ]


ROTORS = {"rotor": "standard", "pole_difference_percent": 1.0}, {"rotor": "torque", "pole_difference_percent": 1.0}


def test_another_rotor_without_a_swap_hinders_all_that_follows_the_rotor() -> None:
    found, messages = words(*ROTORS)
    assert found["kv_rpm_per_v"] is found["current_a"] is found["pole_difference_percent"] is Conclusion.CANNOT_TELL
    assert messages == [
        "the runs name different rotors, standard and torque, and no rotor swap is logged between them: log it with its"
        " date, or correct the run"
    ]
    found, messages = words(*ROTORS, "rotor-swap")
    assert found["kv_rpm_per_v"] is found["pole_difference_percent"] is Conclusion.NO_CHANGE
    assert not messages
    assert words({"rotor": "standard"}, {})[1] == []


def test_timing_that_moved_without_a_word_hinders_speed_and_current() -> None:
    before, after = {"timing_deg": [37.9, 38.0, 38.1]}, {"timing_deg": [40.0, 40.1, 40.2]}
    found, messages = words(before, after)
    assert found["kv_rpm_per_v"] is found["current_a"] is Conclusion.CANNOT_TELL
    assert found["timing_mean_deg"] is Conclusion.CHANGED
    assert messages == [
        "the timing was 38° in one run and 40.1° in the other, and no timing change is logged: set it as it was and"
        " measure again, or log the change"
    ]
    assert words(before, after, "timing-change")[1] == []
    assert words(before, {"timing_deg": [38.5, 38.6, 38.7]})[1] == [], (
        "a ring is not set again more closely than a degree"
    )


def test_supply_voltages_too_far_apart_are_not_bridged() -> None:
    found, messages = words({"supply_v": 3.7}, {"supply_v": 7.4})
    assert found["kv_rpm_per_v"] is Conclusion.CANNOT_TELL
    assert found["timing_mean_deg"] is Conclusion.CANNOT_TELL, "it was not measured"
    assert messages == [
        "the supply voltages, 3.7 and 7.4 V, are too far apart for the model of the no-load losses: measure both at one"
        " voltage, below the maker's no-load limit"
    ]
    assert words({"supply_v": 3.7}, {"supply_v": 4.6})[1] == []


def test_without_a_winding_speeds_are_compared_at_one_voltage_only() -> None:
    found, messages = words({"winding": None}, {"winding": None, "kv_rpm_per_v": 2300})
    assert found["kv_rpm_per_v"] is Conclusion.CHANGED
    assert found["torque_mnm_per_a"] is Conclusion.CANNOT_TELL
    assert not messages
    found, messages = words({"winding": None}, {"winding": None, "supply_v": 3.9})
    assert found["kv_rpm_per_v"] is Conclusion.CANNOT_TELL
    assert messages[0].startswith("the supply voltages differ, 3.7 and 3.9 V, and without current and winding")


def test_readings_that_cannot_be_true_together_are_refused_and_not_computed() -> None:
    found, _ = words({"current_a": 200, "winding": {"ab_mohm": 21, "bc_mohm": 21, "ca_mohm": 21, "winding_c": 20}}, {})
    assert found["kv_rpm_per_v"] is Conclusion.CANNOT_TELL
    taken_off = compared(motor(run("2026-03-01"), run("2026-03-02")), {"motor-bench": {"offset": 5, "unit": "V"}})
    assert taken_off.change("kv_rpm_per_v").conclusion is Conclusion.CANNOT_TELL
