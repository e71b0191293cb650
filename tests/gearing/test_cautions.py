"""What is said of heat beside published thresholds: of the skin, of insulation, of magnets."""

import re

from speclint.gearing.assumed import CAN_LIMIT_C, WINDING_LIMIT_C
from speclint.gearing.cautions import SHORT, cautions
from tests.gearing.geared_cars import demo

SECONDS_TO_A_SERIOUS_BURN = {49: 300, 52: 105, 55: 30, 57: 10, 60: 5, 63: 3, 66: 1.5, 68: 1}
"""Degrees and seconds, as a list of product safety engineers passed them on; ISO 13732-1 gives thresholds of this kind for a
contact of half a second and more, and sets no limits."""

THERMAL_CLASSES_C = {"Y": 90, "A": 105, "E": 120, "B": 130, "F": 155, "H": 180}
"""IEC 60085."""

PLAIN_NEODYMIUM_C = 80
"""The guide value of a magnet without a letter of its own, from makers' tables."""


def test_a_can_is_called_burning_where_it_burns_within_seconds() -> None:
    told = [
        int(number)
        for text in (*SHORT, *cautions(demo("car-12-carpet").case))
        for number in re.findall(r"(\d+) °C", text)
    ]
    assert told
    for celsius in told:
        assert SECONDS_TO_A_SERIOUS_BURN[celsius] <= 5
    # A can at its usual limit is past all of the list, so that the caution holds for every car that may go on.
    assert max(SECONDS_TO_A_SERIOUS_BURN) < CAN_LIMIT_C


def test_the_limits_are_within_a_thermal_class_and_what_a_plain_magnet_stands() -> None:
    assert THERMAL_CLASSES_C["E"] == WINDING_LIMIT_C
    assert CAN_LIMIT_C < PLAIN_NEODYMIUM_C
