"""A plot and a chart over time keep everything that they draw on the paper, in its order."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from speclint.pages import plot as plots
from speclint.pages import time_chart as charts
from speclint.pages.axis import ticks
from speclint.pages.plot import BandPoint, Level, Mark, Plot
from speclint.pages.time_chart import TimeChart, TimeMark, TimePoint


def test_ticks_are_round_and_hold_the_range() -> None:
    assert ticks(3.19, 6.46) == (3.0, 4.0, 5.0, 6.0, 7.0)
    assert ticks(0, 5) == (0, 1, 2, 3, 4, 5)
    assert ticks(50, 50)[0] <= 50 <= ticks(50, 50)[-1]


def test_a_plot_keeps_its_band_inside_and_what_is_too_high_at_its_ceiling() -> None:
    plot = Plot(
        text="",
        across="a",
        upwards="u",
        points=(BandPoint(3.0, 50.0, 60.0, 70.0), BandPoint(4.0, 48.0, 55.0, 900.0)),
        levels=(Level(71, "limit", "limit"), Level(3.2, "rules", "legal", is_upright=True)),
        marks=(Mark(3.5, 57.0, "start"), Mark(3.9, 400.0)),
        not_below=3.2,
    )
    left, top, right, bottom = plot.frame
    for x, y in (*plot.outline, *plot.middle, *((mark.x, mark.y) for mark in plot.placed)):
        assert left <= x <= right
        assert top <= y <= bottom
    across, upright = plot.lines
    assert (across.y1, across.x1, across.x2) == (across.y2, left, right)
    assert plot.excluded == upright.x1 == upright.x2
    assert 0 < max(text.x for text in (across.text, upright.text)) <= plots.WIDTH


def test_a_limit_that_every_ratio_keeps_shades_nothing() -> None:
    points = (BandPoint(3.0, 50.0, 60.0, 70.0), BandPoint(4.0, 48.0, 55.0, 60.0))
    assert Plot(text="", across="", upwards="", points=points, not_below=2.0).excluded is None
    assert Plot(text="", across="", upwards="", points=points).excluded is None


days = st.lists(st.floats(738000, 742000), min_size=1, max_size=8).map(sorted)


@given(days, st.floats(0, 100), st.booleans())
def test_a_chart_over_time_keeps_its_order_and_its_edges(days: list[float], reach: float, has_sheet: bool) -> None:
    first = TimePoint(None, 21.0, 0.0, is_joined=True)
    points = [TimePoint(day, 20.0 + i, reach, is_joined=True) for i, day in enumerate(days)]
    chart = TimeChart(
        title="",
        span=(days[0], days[-1] + 1),
        points=(*([first] if has_sheet else []), *points),
        allowed=((19.0, None),),
        marks=tuple(TimeMark(day, "A") for day in days),
        text="",
    )
    left, top, right, bottom = chart.frame
    placed = chart.placed
    assert all(earlier.x <= later.x for earlier, later in pairwise(placed))
    for point in placed:
        assert left <= point.x <= right
        assert top - 0.1 <= point.top <= point.y <= point.bottom <= bottom + 0.1
    assert all(left <= event.place <= right for event in chart.events)
    assert all(0 <= tick.place <= charts.WIDTH for tick in chart.days)
    ((above, below),) = chart.bands
    assert (above, below) == (top, chart.limits[0])


def test_two_points_near_each_other_have_their_texts_on_either_side() -> None:
    plot = Plot(
        text="two points",
        across="ratio",
        upwards="can",
        points=(BandPoint(3.0, 50, 60, 70), BandPoint(5.0, 45, 55, 65)),
        marks=(Mark(4.0, 57, "next"), Mark(4.1, 56, "start"), Mark(3.9, 58)),
    )
    following, start, _ = plot.placed
    assert (following.text.anchor, start.text.anchor) == ("end", "start")
    assert following.text.x < following.x < start.x < start.text.x


def test_no_round_value_stands_above_the_ceiling() -> None:
    plot = Plot(
        text="hot",
        across="ratio",
        upwards="can",
        points=(BandPoint(3.0, 90, 150, 320), BandPoint(5.0, 45, 55, 65)),
        ceiling=160.0,
    )
    assert [tick.text for tick in plot.heights] == ["0", "50", "100", "150"]
