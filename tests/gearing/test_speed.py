"""The time that a gearing takes."""

import time
from pathlib import Path

import pytest

from speclint.gearing.forecast import SAMPLES
from tests.gearing.geared_cars import planned

MOST_S = 2.0


@pytest.mark.benchmark
def test_sixty_pinions_by_twenty_spurs_with_three_runs_fitted_take_less_than_two_seconds(tmp_path: Path) -> None:
    pinions, spurs = list(range(20, 80)), list(range(84, 104))
    assert SAMPLES >= 200
    runs = "".join(
        f"  - {{date: 2026-02-2{day}, spur_teeth: 96, pinion_teeth: {pinion}, minutes: 5, ambient_c: 20, can_c: {can_c}}}\n"
        for day, pinion, can_c in ((1, 40, 60), (2, 42, 62), (3, 44, 66))
    )
    before = time.process_time()
    plan = planned(
        tmp_path,
        entries="[{ruleset: harbour-city, class: stock-17, on: 2026-03-14, track: hall},"
        " {ruleset: pine-hall, class: stock-17, on: 2026-03-14, track: hall}]",
        more=f"track_runs:\n{runs}parts_box: {{pinions_teeth: {pinions}, spurs_teeth: {spurs}}}",
        sums=(60, 200),
        limit_c=90.0,
    )
    taken = time.process_time() - before
    assert len(plan.pairs) == 1200
    assert plan.forecaster is not None
    assert len(plan.forecaster.learnt.used) == 3
    assert taken < MOST_S
