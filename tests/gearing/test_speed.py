"""The time that a gearing takes."""

import time
from pathlib import Path

import pytest

from speclint.gearing.forecast import SAMPLES
from tests.gearing.geared_cars import planned

MOST_S = 2.0


@pytest.mark.benchmark
def test_twenty_pinions_by_twelve_spurs_with_a_band_of_two_hundred_take_less_than_two_seconds(tmp_path: Path) -> None:
    pinions, spurs = list(range(33, 53)), list(range(88, 100))
    assert SAMPLES >= 200
    before = time.process_time()
    plan = planned(
        tmp_path,
        entries="[{ruleset: harbour-city, class: stock-17, on: 2026-03-14, track: hall},"
        " {ruleset: pine-hall, class: stock-17, on: 2026-03-14, track: hall}]",
        more=f"parts_box: {{pinions_teeth: {pinions}, spurs_teeth: {spurs}}}",
        sums=(60, 200),
        limit_c=90.0,
    )
    taken = time.process_time() - before
    assert len(plan.pairs) == 240
    assert taken < MOST_S
