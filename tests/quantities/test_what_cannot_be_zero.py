"""Whatever has a size has one above zero: a nought stands for what somebody meant to fill in, and nothing is divided by it."""

import pytest

from tests.check.world import find_in


@pytest.mark.parametrize(
    "key",
    [
        "mass_g", "width_mm", "length_mm", "wheelbase_mm", "tyre_diameter_mm", "internal_ratio", "spur_teeth",
        "pinion_teeth", "gear_pitch_dp", "gear_module_mm",
    ],
)  # fmt: skip
def test_a_size_of_a_car_is_above_zero(key: str) -> None:
    (problem,) = find_in({"car.yaml": f"format: setup/1\ncar: {{{key}: 0}}\n"}).problems
    assert (problem.id, problem.place.line) == ("out-of-range", 2)


def test_a_car_may_touch_the_ground() -> None:
    assert find_in({"car.yaml": "format: setup/1\ncar: {ride_height_mm: 0}\n"}).problems == ()
