"""A gauge never draws a value, or an end of its ±, on the wrong side of a limit."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.pages.gauge import WIDTH, Gauge, Interval

sizes = st.floats(-1e6, 1e6).map(lambda size: round(size, 3))
reaches = st.floats(0, 1e4).map(lambda size: round(size, 3))


def gauge(*allowed: Interval, value: float, reach: float = 0.0) -> Gauge:
    return Gauge(allowed=allowed, value=value, reach=reach, verdict="legal", text="")


@given(limit=sizes, value=sizes, reach=reaches, is_least=st.booleans())
def test_a_lone_limit_stands_in_the_middle_and_the_value_on_its_true_side(
    limit: float, value: float, reach: float, is_least: bool
) -> None:
    drawn = gauge((limit, None) if is_least else (None, limit), value=value, reach=reach)
    assert drawn.limits == (WIDTH / 2,)
    assert (drawn.dot > WIDTH / 2) is (value > limit)
    assert (drawn.dot < WIDTH / 2) is (value < limit)
    left, right = drawn.spans[0]
    assert (left == WIDTH / 2) is is_least
    assert (right == WIDTH / 2) is not is_least
    if drawn.bar is not None:
        # Where the ± ends exactly at the limit, floats decide; the drawing is no sharper than a tenth.
        nearer, farther = sorted(drawn.bar, key=lambda end: abs(end - WIDTH / 2))
        assert min(drawn.bar) <= drawn.dot <= max(drawn.bar)
        margin, half = abs(Fraction(value) - Fraction(limit)), Fraction(reach)
        if margin > half:
            assert (nearer >= WIDTH / 2) is (value > limit) or round(nearer, 1) == WIDTH / 2
        if margin < half:
            assert min(drawn.bar) <= WIDTH / 2 <= max(drawn.bar)
        assert min(nearer, farther) > 0
        assert max(nearer, farther) < WIDTH


@given(low=sizes, width=st.floats(0.001, 1e5), value=sizes)
def test_between_two_limits_the_scale_is_even_and_beyond_them_nothing_leaves_it(
    low: float, width: float, value: float
) -> None:
    high = low + width
    drawn = gauge((low, high), value=value)
    left, right = drawn.limits
    assert drawn.spans == ((left, right),)
    assert (drawn.dot < left) is (value < low) or drawn.dot == pytest.approx(left)
    assert (drawn.dot > right) is (value > high) or drawn.dot == pytest.approx(right)
    assert 0 < drawn.dot < WIDTH
    if low <= value <= high:
        assert drawn.dot == pytest.approx(left + (right - left) * (value - low) / (high - low))


@given(limit=sizes, values=st.lists(sizes, min_size=2, max_size=2))
def test_a_larger_value_never_stands_further_left(limit: float, values: list[float]) -> None:
    less, more = sorted(values)
    assert gauge((limit, None), value=less).dot <= gauge((limit, None), value=more).dot or less == more
    assert gauge((limit, limit + 5), value=less).dot <= gauge((limit, limit + 5), value=more).dot


def test_two_windows_have_a_gap_between_them() -> None:
    drawn = gauge((208, 212), (223, 227), value=215)
    (_, first_ends), (second_begins, _) = drawn.spans
    assert first_ends < drawn.dot < second_begins
    assert len(drawn.limits) == 4


def test_an_exact_value_asked_for_is_one_line_in_the_middle() -> None:
    drawn = gauge((30, 30), value=31)
    assert set(drawn.limits) == {WIDTH / 2}
    assert drawn.dot > WIDTH / 2


def test_a_limit_of_nothing_at_all_has_a_scale_too() -> None:
    assert gauge((None, 0), value=0).dot == WIDTH / 2
    assert gauge((None, 0), value=3).dot == pytest.approx((WIDTH / 2 + WIDTH - 6) / 2)
