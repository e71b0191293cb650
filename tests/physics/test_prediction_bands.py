"""The band around a prediction: ranges, sampling, quantiles, interpolation, looks and speed."""

from dataclasses import fields, replace
from math import log
from statistics import quantiles
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator
from scipy.stats import kstest, norm

from speclint.physics.assumptions import (
    ASSUMPTIONS,
    BENCH_FRICTION_SHARE,
    END_SCORE,
    INFIELDS,
    NOMINAL,
    Assumption,
    Parameters,
    assumption,
    narrowed,
    parameters_at,
)
from speclint.physics.bands import Fleet, HeatLimits
from speclint.physics.interpolation import monotone_cubic
from speclint.physics.motor import MotorModel, speed_constant_rpm_per_v
from speclint.physics.prediction import PreparedRun
from speclint.physics.sampling import quantile, sample
from speclint.physics.typical import typical_motor
from tests.physics.stock_cars import ASSUMED, FIVE_MINUTES, STOCK_13, STOCK_17, TOURING, drawn

NAMES = tuple(each.name for each in ASSUMPTIONS)
SCORES = sample(1, 200)
PINNED = (-1.0195039051260566, -0.0890177974216738)
LIMITS = HeatLimits(71.0, 120.0)


def fleet(motor: MotorModel = STOCK_17, count: int = 60) -> Fleet:
    return Fleet(TOURING, motor, FIVE_MINUTES, drawn(1, count), LIMITS)


def test_every_assumption_is_a_parameter_with_a_range_a_meaning_and_a_source() -> None:
    assert list(NAMES) == [each.name for each in fields(Parameters)]
    for each in ASSUMPTIONS:
        assert each.low < each.value < each.high <= each.most, each.name
        assert each.meaning and each.source and each.unit
        assert "memory" not in each.source, "a racer can look nothing up there"
        assert assumption(each.name) is each
    assert all(getattr(NOMINAL, each.name) == each.value for each in ASSUMPTIONS if each.name != "fan_w_per_k")
    with pytest.raises(KeyError):
        assumption("luck")


@pytest.mark.parametrize("each", ASSUMPTIONS, ids=lambda each: each.name)
def test_no_range_is_a_slip_of_the_pen(each: Assumption) -> None:
    low, value, high = (each.at(score) for score in (-END_SCORE, 0.0, END_SCORE))
    up, down = abs(log(high / value)), abs(log(value / low))
    assert 1 / 3 < up / down < 3, "an estimate is about as far off either way, by ratio"
    assert up + down < log(25), "an estimate that says nothing is none"


def test_nine_in_ten_lie_in_a_range_and_none_is_a_car_that_cannot_be() -> None:
    for each in ASSUMPTIONS:
        assert each.at(0.0) == pytest.approx(each.value)
        assert each.at(END_SCORE) == pytest.approx(each.high)
        assert each.at(-END_SCORE) == pytest.approx(each.low)
        values = [each.at(score) for score in (-9.0, -3.0, -1.0, 0.0, 1.0, 3.0, 9.0)]
        assert values == sorted(values)
        assert all(value * each.value > 0 for value in values), "no constant changes its sign"
        assert values[-1] <= each.most


def test_the_friction_share_of_a_bench_is_that_of_a_race_at_the_bench_s_speed() -> None:
    # The torque a + b·n: of the same motor, friction is the larger part the slower it turns.
    race = assumption("friction_share")
    for end in ("value", "low", "high"):
        share = getattr(race, end)
        assert getattr(BENCH_FRICTION_SHARE, end) == pytest.approx(share / (share + (1 - share) * 9 / 17), abs=0.006)


def test_what_is_known_of_a_car_narrows_a_range_and_leaves_the_others() -> None:
    known = narrowed([assumption("link_ratio").narrowed(*INFIELDS["flowing"])])
    ours = next(each for each in known if each.name == "link_ratio")
    assert (ours.value, ours.low, ours.high) == INFIELDS["flowing"]
    assert [each for each in known if each.name != "link_ratio"] == [e for e in ASSUMPTIONS if e.name != "link_ratio"]
    fixed = assumption("fan_w_per_k").narrowed(0.0, 0.0, 0.0)
    assert fixed.at(2.0) == 0.0
    # The words follow each other, and all lie within what is taken where none is said.
    unsaid = assumption("link_ratio")
    likely, low, high = zip(*(INFIELDS[word] for word in ("flowing", "mixed", "stop-go")), strict=True)
    assert [*likely, *low, *high] == [*sorted(likely), *sorted(low), *sorted(high)]
    assert all(ends[0] < value < ends[1] for value, *ends in INFIELDS.values())
    assert unsaid.low < likely[0] and likely[-1] < unsaid.high


@pytest.mark.parametrize(("turns", "rpm_per_v"), [(25.5, 1590), (21.5, 1890), (17.5, 2320), (13.5, 3010), (10.5, 3870)])
def test_a_typical_motor_of_given_turns(turns: float, rpm_per_v: float) -> None:
    # Published: 19,500 rpm at 8.4 V as the limit of a 17.5 club motor, and 3000 rpm/V of a 13, scaled to other turns.
    motor = typical_motor(turns)
    assert speed_constant_rpm_per_v(motor.torque_constant_nm_per_a) == pytest.approx(rpm_per_v, rel=0.02)


@pytest.mark.parametrize(("turns", "least_ohm"), [(17.5, 0.0354), (13.5, 0.0206)])
def test_a_typical_motor_lies_just_above_published_minimum_resistances(turns: float, least_ohm: float) -> None:
    # An indoor series of 2019-20 published these minimums at 25 °C, line to line.
    assert least_ohm < typical_motor(turns).resistance_ohm < 1.08 * least_ohm
    with pytest.raises(ValueError, match="turns"):
        typical_motor(0.0)


def test_the_same_seed_gives_the_same_sets_and_another_seed_others() -> None:
    assert sample(1, 200) == SCORES
    assert sample(2, 200) != SCORES
    # Pinned, so that a prediction of last season can be repeated: these come from Random.random() alone.
    first = sample(1, 3)[0]
    assert (first[0], first[NAMES.index("can_air_k_per_w")]) == pytest.approx(PINNED, rel=1e-12)


def test_every_constant_is_spread_evenly_over_its_distribution() -> None:
    for column in zip(*SCORES, strict=True):
        shares = norm.cdf(sorted(column))
        # One value in each of 200 equally likely parts: what makes it a Latin hypercube.
        assert [int(share * 200 - 1e-9) for share in shares] == list(range(200))
    logs = [log(assumption("can_air_k_per_w").at(score) / 2.3) for score in sorted(SCORES[i][0] for i in range(200))]
    above = [value for value in logs if value > 0]
    half_normal = norm(scale=log(3.55 / 2.3) / END_SCORE)
    assert kstest(above, lambda value: 2 * half_normal.cdf(value) - 1).pvalue > 0.5


def test_constants_are_sampled_independently_of_each_other() -> None:
    columns = list(zip(*SCORES, strict=True))
    square = sum(value * value for value in columns[0])
    for left in range(len(columns)):
        for right in range(left):
            shared = sum(a * b for a, b in zip(columns[left], columns[right], strict=True)) / square
            assert abs(shared) < 0.3, "200 independent pairs stay below this in all but 0.002 % of cases"


@given(st.lists(st.floats(-1e3, 1e3), min_size=2, max_size=40))
def test_quantiles_agree_with_the_standard_library(values: list[float]) -> None:
    outside = quantiles(values, n=20, method="inclusive")
    ordered = sorted(values)
    assert [quantile(ordered, part / 20) for part in range(1, 20)] == pytest.approx(outside, abs=1e-9)
    assert quantile(ordered, 1.0) == ordered[-1]


@given(
    st.lists(st.tuples(st.floats(0.05, 2), st.floats(-50, 50).map(lambda y: round(y, 6))), min_size=3, max_size=15),
    st.floats(0, 1),
)
def test_the_interpolation_agrees_with_scipys_monotone_cubic(steps: list[tuple[float, float]], where: float) -> None:
    # scipy's scheme is the same one: Fritsch & Butland, 1984.
    xs, x = [], 0.0
    for width, _ in steps:
        x += width
        xs.append(x)
    ys = [y for _, y in steps]
    place = xs[0] + where * (xs[-1] - xs[0])
    outside = float(PchipInterpolator(xs, ys)(place))
    assert monotone_cubic(xs, ys)(place) == pytest.approx(outside, rel=1e-9, abs=1e-9)


def test_the_interpolation_holds_its_ends_and_needs_rising_points() -> None:
    curve = monotone_cubic([1.0, 2.0], [10.0, 20.0])
    assert [curve(0.0), curve(1.5), curve(9.0)] == pytest.approx([10.0, 15.0, 20.0])
    with pytest.raises(ValueError, match="rising"):
        monotone_cubic([1.0, 1.0], [1.0, 2.0])


@pytest.mark.parametrize("motor", [STOCK_13, STOCK_17])
def test_interpolated_bands_are_true_to_a_kelvin(motor: MotorModel) -> None:
    # Over a range wider than a parts box. What is off by more is a can above 110 °C, where a kelvin is no matter.
    ratios = [3 * (8 / 3) ** (step / 24) for step in range(25)]
    exact = fleet(motor, 40).outlooks(ratios, grid=100)
    quick = fleet(motor, 40).outlooks(ratios)
    for true, near in zip(exact, quick, strict=True):
        assert true is not None and near is not None
        for end in ("low", "median", "high"):
            temperature = getattr(true.can_c, end)
            # Past 150 °C nothing is told but that.
            interpolated, temperature = (min(value, 150.0) for value in (getattr(near.can_c, end), temperature))
            assert interpolated == pytest.approx(temperature, abs=1.0 if temperature < 110 else 3.0)
            assert getattr(near.top_m_per_s, end) == pytest.approx(getattr(true.top_m_per_s, end), rel=0.01)


def test_a_band_holds_nine_tenths_of_the_sampled_cars() -> None:
    (outlook,) = fleet(count=200).outlooks([4.0])
    assert outlook is not None
    temperatures = [
        PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, parameters).predict(4.0).end.can_c for parameters in drawn(1, 200)
    ]
    inside = sum(outlook.can_c.low <= each <= outlook.can_c.high for each in temperatures)
    assert 179 <= inside <= 181
    assert sum(each <= outlook.can_four_of_five_c for each in temperatures) == 160
    assert outlook.can_c.low < outlook.can_c.median < outlook.can_c.high
    assert outlook.can_c.high - outlook.can_c.low > 15, "a prediction from assumptions is not a precise one"


def test_ratios_come_back_in_the_order_asked_and_hopeless_ones_as_none() -> None:
    cars = fleet(count=10)
    outlooks = cars.outlooks([5.0, 0.01, 4.0, 5.0])
    assert [each.ratio if each else None for each in outlooks] == [5.0, None, 4.0, 5.0]
    assert outlooks[0] == outlooks[3]
    assert cars.outlooks([0.01]) == (None,)
    assert cars.outlooks([]) == ()
    with pytest.raises(ValueError, match="ratio"):
        cars.outlooks([-4.0])
    with pytest.raises(ValueError, match="at least one"):
        Fleet(TOURING, STOCK_17, FIVE_MINUTES, (), LIMITS)


def test_progress_counts_up_to_its_total() -> None:
    seen: list[tuple[int, int]] = []
    fleet(count=2).outlooks([3.0 + step / 20 for step in range(60)], grid=7, progress=lambda *now: seen.append(now))
    assert seen == [(done, 7) for done in range(1, 8)]


def test_the_band_of_a_run_ends_where_the_band_of_its_ratio_is() -> None:
    cars = fleet()
    course = cars.course(4.0, (0.0, 2.5, 5.0))
    (outlook,) = cars.outlooks([4.0])
    assert outlook is not None
    assert (course[0].low, course[0].high) == (20.0, 20.0)
    assert (course[2].low, course[2].high) == pytest.approx((outlook.can_c.low, outlook.can_c.high), abs=0.3)


def test_who_goes_on_at_the_look_stays_below_both_limits_in_nineteen_of_twenty_cars() -> None:
    parameters = drawn(9, 200)
    (outlook,) = Fleet(TOURING, STOCK_17, FIVE_MINUTES, parameters, LIMITS).outlooks([3.9])
    assert outlook is not None
    assert [look.minutes for look in outlook.looks] == [1.0, 2.0, 3.0]
    for look in outlook.looks:
        went_on = failed = 0
        for each in parameters:
            run = PreparedRun(TOURING, STOCK_17, FIVE_MINUTES, each)
            found = run.predict(3.9)
            (at,) = run.course(found, (look.minutes,))
            if run.can_after_stop_c(found, at, 20.0) <= look.go_on_c:
                went_on += 1
                failed += found.end.can_c > LIMITS.can_c or found.end.winding_c > LIMITS.winding_c
        assert 20 < went_on < 200
        assert failed <= 0.06 * went_on
    assert outlook.looks[0].go_on_c < outlook.looks[1].go_on_c < outlook.looks[2].go_on_c < LIMITS.can_c


def test_a_run_shorter_than_a_look_has_none() -> None:
    short = replace(FIVE_MINUTES, minutes=2.0)
    (outlook,) = Fleet(TOURING, STOCK_17, short, drawn(1, 10), LIMITS).outlooks([4.0])
    assert outlook is not None
    assert [look.minutes for look in outlook.looks] == [1.0]


@pytest.mark.benchmark
def test_sixty_pinions_by_twenty_spurs_are_predicted_within_a_second() -> None:
    ratios = [spur / pinion * 1.9 for pinion in range(20, 80) for spur in range(84, 104)]
    assert len(ratios) == 1200
    times = []
    for _ in range(3):
        begin = process_time()
        fleet(count=200).outlooks(ratios)
        times.append(process_time() - begin)
    assert min(times) < 1.2


def test_parameters_are_at_their_scores() -> None:
    parameters = parameters_at(ASSUMED, (0.5,) * len(ASSUMED))
    assert parameters.fan_w_per_k == 0.0
    assert parameters.can_air_k_per_w == assumption("can_air_k_per_w").at(0.5)
