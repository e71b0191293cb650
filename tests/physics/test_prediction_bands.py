"""The band around a prediction: sampling, quantiles, interpolation and speed."""

from dataclasses import astuple, fields
from statistics import quantiles
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator
from scipy.stats import kstest, norm, triang

from speclint.physics.assumptions import ASSUMPTIONS, NOMINAL, Parameters, assumption, road, supply, typical_motor
from speclint.physics.bands import course_bands, outlooks
from speclint.physics.interpolation import monotone_cubic
from speclint.physics.motor import Motor, speed_constant_rpm_per_v
from speclint.physics.prediction import predict
from speclint.physics.sampling import normal_pairs, quantile, sample, triangular_quantile
from tests.physics.stock_cars import FIVE_MINUTES, STOCK_13, STOCK_17, TOURING

SAMPLES = sample(1, 200)
PINNED = (0.026204472179054927, 1.7255827668143506)


def test_every_assumption_is_a_parameter_with_a_range_a_meaning_and_a_source() -> None:
    assert [each.name for each in ASSUMPTIONS] == [each.name for each in fields(Parameters)]
    for each in ASSUMPTIONS:
        assert each.low < each.value < each.high, each.name
        assert each.meaning and each.source and each.unit
        assert assumption(each.name) is each
        assert getattr(NOMINAL, each.name) == each.value
    with pytest.raises(KeyError):
        assumption("luck")


@pytest.mark.parametrize(("turns", "rpm_per_v"), [(25.5, 1590), (21.5, 1890), (17.5, 2320), (13.5, 3010), (10.5, 3870)])
def test_a_typical_motor_of_given_turns(turns: float, rpm_per_v: float) -> None:
    # Published: 19,500 rpm at 8.4 V as the limit of a 17.5 club motor, and 3000 rpm/V of a 13, scaled to other turns.
    motor = typical_motor(turns)
    assert speed_constant_rpm_per_v(motor.torque_constant_nm_per_a) == pytest.approx(rpm_per_v, rel=0.02)


@pytest.mark.parametrize(("turns", "least_ohm"), [(17.5, 0.0354), (13.5, 0.0206)])
def test_a_typical_motor_lies_above_published_minimum_resistances(turns: float, least_ohm: float) -> None:
    # An indoor series of 2019-20 published these minimums at 25 °C.
    assert least_ohm < typical_motor(turns).resistance_ohm < 1.2 * least_ohm
    with pytest.raises(ValueError, match="turns"):
        typical_motor(0.0)


def test_the_constants_become_pack_and_car_as_their_meanings_say() -> None:
    pack = supply(NOMINAL, pack_v=8.4, cells=2)
    assert pack.open_circuit_v == pytest.approx(8.4 - 2 * 0.22)
    assert pack.source_ohm == pytest.approx(0.006 + 0.002)
    weight = 1.35 * 9.80665
    car = road(NOMINAL, mass_kg=1.35, tyre_diameter_m=0.0625, grip=1.2)
    assert car.traction_n == pytest.approx(1.2 * weight)
    assert car.brake_n == pytest.approx(0.6 * 1.2 * weight)
    assert car.scrub_n == pytest.approx(0.20 * 1.2 * weight)
    assert car.rolling_n == pytest.approx(0.03 * weight)
    assert car.inertia_kg == pytest.approx(1.35 * 1.08)
    assert car.drag_n_s2_per_m2 == pytest.approx(0.5 * 1.2 * 0.010)
    # Where grip is known, the samples still differ by as much, in proportion.
    sampled = [road(each, mass_kg=1.35, tyre_diameter_m=0.0625, grip=1.2).traction_n / weight for each in SAMPLES]
    assert min(sampled) > 1.2 * 1.3 / 1.8 and max(sampled) < 1.2 * 2.3 / 1.8


def test_the_same_seed_gives_the_same_sets_and_another_seed_others() -> None:
    assert sample(1, 200) == SAMPLES
    assert sample(2, 200) != SAMPLES
    # Pinned, so that a prediction of last season can be repeated: these come from Random.random() alone.
    first = sample(1, 3)[0]
    assert (first.rolling_coefficient, first.can_air_k_per_w) == pytest.approx(PINNED, rel=1e-12)


def test_every_constant_is_spread_evenly_over_its_distribution() -> None:
    for each in ASSUMPTIONS:
        values = sorted(getattr(one, each.name) for one in SAMPLES)
        assert each.low <= values[0] and values[-1] <= each.high
        outside = triang((each.value - each.low) / (each.high - each.low), each.low, each.high - each.low)
        shares = outside.cdf(values)
        # One value in each of 200 equally likely parts: what makes it a Latin hypercube.
        assert [int(share * 200 - 1e-9) for share in shares] == list(range(200)), each.name


def test_constants_are_sampled_independently_of_each_other() -> None:
    rows = [astuple(each) for each in SAMPLES]
    columns = list(zip(*rows, strict=True))
    ranks = [[sorted(column).index(value) for value in column] for column in columns]
    middle = 199 / 2
    square = sum((rank - middle) ** 2 for rank in ranks[0])
    for left in range(len(ranks)):
        for right in range(left):
            shared = sum((a - middle) * (b - middle) for a, b in zip(ranks[left], ranks[right], strict=True)) / square
            assert abs(shared) < 0.27, "200 independent pairs stay below this in all but 0.01 % of cases"


@given(st.floats(0, 1), st.floats(-5, 5), st.floats(0.01, 4), st.floats(0.01, 4))
def test_triangular_quantiles_agree_with_scipy(share: float, low: float, left: float, right: float) -> None:
    outside = triang(left / (left + right), low, left + right).ppf(share)
    assert triangular_quantile(share, low, low + left, low + left + right) == pytest.approx(outside, abs=1e-7)


def test_a_constant_without_a_range_stays_what_it_is() -> None:
    assert triangular_quantile(0.3, 2.0, 2.0, 2.0) == 2.0


def test_normal_pairs_are_normal() -> None:
    values = [value for pair in normal_pairs(5, 1000) for value in pair]
    assert kstest(values, norm.cdf).pvalue > 0.01


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
def test_interpolated_bands_are_true_to_half_a_kelvin(motor: Motor) -> None:
    # Over a range wider than a parts box. What is off by more is a can above 110 °C, where a kelvin is no matter.
    ratios = [3 * (8 / 3) ** (step / 40) for step in range(41)]
    samples = SAMPLES[::2]
    exact = outlooks(TOURING, motor, FIVE_MINUTES, ratios, samples, grid=100)
    quick = outlooks(TOURING, motor, FIVE_MINUTES, ratios, samples)
    for true, found in zip(exact, quick, strict=True):
        assert true is not None and found is not None
        assert found.likely.can_c == pytest.approx(true.likely.can_c, abs=0.02)
        for end in ("low", "median", "high"):
            temperature = getattr(true.can_c, end)
            assert getattr(found.can_c, end) == pytest.approx(temperature, abs=0.5 if temperature < 110 else 2.0)
            assert getattr(found.top_m_per_s, end) == pytest.approx(getattr(true.top_m_per_s, end), rel=0.005)


def test_a_band_holds_nine_tenths_of_the_sampled_cars() -> None:
    (found,) = outlooks(TOURING, STOCK_17, FIVE_MINUTES, [4.0], SAMPLES)
    assert found is not None
    temperatures = [predict(TOURING, STOCK_17, FIVE_MINUTES, 4.0, each).can_c for each in SAMPLES]
    inside = sum(found.can_c.low <= each <= found.can_c.high for each in temperatures)
    assert inside == 180
    assert found.can_c.low < found.can_c.median < found.can_c.high
    assert found.can_c.low < found.likely.can_c < found.can_c.high
    assert found.can_c.high - found.can_c.low > 10, "a prediction from assumptions is not a precise one"


def test_ratios_come_back_in_the_order_asked_and_hopeless_ones_as_none() -> None:
    found = outlooks(TOURING, STOCK_17, FIVE_MINUTES, [5.0, 0.3, 4.0, 5.0], SAMPLES[:10])
    assert [each.ratio if each else None for each in found] == [5.0, None, 4.0, 5.0]
    assert found[0] == found[3]
    assert outlooks(TOURING, STOCK_17, FIVE_MINUTES, [0.3], SAMPLES[:10]) == (None,)
    assert outlooks(TOURING, STOCK_17, FIVE_MINUTES, [], SAMPLES[:10]) == ()
    with pytest.raises(ValueError, match="ratio"):
        outlooks(TOURING, STOCK_17, FIVE_MINUTES, [-4.0], SAMPLES[:10])
    with pytest.raises(ValueError, match="at least one"):
        outlooks(TOURING, STOCK_17, FIVE_MINUTES, [4.0], ())


def test_progress_counts_up_to_its_total() -> None:
    seen: list[tuple[int, int]] = []
    ratios = [3.0 + step / 20 for step in range(60)]
    outlooks(
        TOURING, STOCK_17, FIVE_MINUTES, ratios, SAMPLES[:2], grid=7, progress=lambda done, of: seen.append((done, of))
    )
    assert seen == [(done, 7) for done in range(1, 8)]


def test_the_band_of_a_run_ends_where_the_band_of_its_ratio_is() -> None:
    course = course_bands(TOURING, STOCK_17, FIVE_MINUTES, 4.0, SAMPLES, minutes=(0.0, 2.5, 5.0))
    (found,) = outlooks(TOURING, STOCK_17, FIVE_MINUTES, [4.0], SAMPLES)
    assert found is not None
    assert (course[0].low, course[0].high) == (20.0, 20.0)
    assert astuple(course[2]) == pytest.approx(astuple(found.can_c), abs=0.05)
    with pytest.raises(ValueError, match="at least one"):
        course_bands(TOURING, STOCK_17, FIVE_MINUTES, 4.0, (), minutes=(1.0,))


@pytest.mark.benchmark
def test_a_whole_box_of_gears_is_predicted_within_two_seconds() -> None:
    ratios = [spur / pinion * 1.9 for pinion in range(30, 50) for spur in range(84, 96)]
    assert len(ratios) == 240
    times = []
    for _ in range(3):
        begin = process_time()
        outlooks(TOURING, STOCK_17, FIVE_MINUTES, ratios, SAMPLES)
        times.append(process_time() - begin)
    assert min(times) < 2.0
