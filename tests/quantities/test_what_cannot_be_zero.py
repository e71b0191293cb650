"""Whatever has a size has one above zero: a nought stands for what somebody meant to fill in, and nothing is divided by it."""

import pytest

from speclint.quantities.registry import QUANTITIES
from speclint.quantities.taken import TAKEN_KEYS
from tests.check.world import find_in

RUN = "motor: {{bench_runs: [{{date: 2026-03-01, {}}}]}}"


def is_taken(stated: str) -> bool:
    """Whether a setup can state this, however unlikely it is."""
    problems = find_in({"car.yaml": f"format: setup/1\n{stated}\n"}).problems
    refused = [problem for problem in problems if problem.id != "implausible-value"]
    assert all((problem.id, problem.place.line) == ("out-of-range", 2) for problem in refused)
    return not refused


@pytest.mark.parametrize(
    ("section", "keys"),
    [
        ("car: {{{}}}", ("mass_g", "width_mm", "length_mm", "wheelbase_mm", "tyre_diameter_mm", "internal_ratio",
                         "spur_teeth", "pinion_teeth", "gear_pitch_dp", "gear_module_mm")),
        ("battery: {{{}}}", ("cells", "voltage_v", "capacity_mah")),
        ("motor: {{{}}}", ("turns",)),
        ("motor: {{rotor: {{{}}}}}", ("diameter_mm", "bore_mm", "length_mm")),
        (RUN, ("kv_rpm_per_v", "speed_rpm")),
    ],
)  # fmt: skip
def test_a_size_is_above_zero(section: str, keys: tuple[str, ...]) -> None:
    for key in keys:
        assert not is_taken(section.format(f"{key}: 0")), key
        assert is_taken(section.format(f"{key}: 1")), key


@pytest.mark.parametrize(
    "stated",
    [
        "car: {ride_height_mm: 0}",  # a car may touch the ground
        "motor: {timing_deg: 0, end_play_mm: 0, shims_mm: {drive_end: [], sensor_end: []}}",
        "car: {mass_g: {value: 1350, taken: {supply_v: 0, ambient_c: -5}}}",
        RUN.format("current_a: 0, sensor_spread_percent: 0, pole_difference_percent: 0"),
    ],
)
def test_what_may_be_nothing_may_be_zero(stated: str) -> None:
    assert is_taken(stated)


def test_only_a_temperature_lies_below_zero() -> None:
    assert not is_taken("car: {mass_g: {value: 1350, taken: {supply_v: -1}}}")
    numbers = [key.quantity for key in TAKEN_KEYS if key.quantity.unit]
    assert {described.name for described in numbers if described.lowest is None} == {"winding_c", "can_c", "ambient_c"}
    assert {described.lowest for described in numbers} == {None, 0}


def test_the_list_of_quantities_says_the_same() -> None:
    stated = [described for described in QUANTITIES if described.key is not None and described.numeric]
    assert {described.name for described in stated if not described.lowest and not described.above_lowest} == {
        "ride_height_mm", "timing_set_deg", "shims_drive_end_mm", "shims_sensor_end_mm", "end_play_mm", "current_a",
        "sensor_spread_percent", "pole_difference_percent",
    }  # fmt: skip
    assert {described.name: (described.lowest, described.highest) for described in stated if described.highest} == {
        "spur_teeth": (1, 400), "pinion_teeth": (1, 200), "battery_cells": (1, 20),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("stated", "most"),
    [("car: {{spur_teeth: {}}}", 400), ("car: {{pinion_teeth: {}}}", 200), ("battery: {{cells: {}}}", 20)],
)
def test_no_count_is_more_than_anybody_builds(stated: str, most: int) -> None:
    assert is_taken(stated.format(most))
    assert not is_taken(stated.format(most + 1))
