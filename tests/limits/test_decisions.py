"""Decision rules, held against the published examples of conformity assessment and against their own laws."""

import math
from fractions import Fraction
from itertools import pairwise, permutations, product
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from speclint.limits.decisions import (
    Decision,
    Limits,
    Outcome,
    Ruling,
    capability,
    decide,
    probability_of_any,
    undecidable,
)
from speclint.readings.copper import at_temperature
from speclint.readings.exact import exact, to_float
from speclint.readings.measured import Influence, Measured, Number

LEGAL, ILLEGAL, NOT_SHOWN = Ruling.LEGAL, Ruling.ILLEGAL, Ruling.NOT_SHOWN
AS_READ, MUST_SHOW, BENEFIT = Decision.AS_READ, Decision.MUST_SHOW, Decision.BENEFIT_OF_DOUBT


def blurred(value: float | Fraction, standard_uncertainty: float, freedom: float = math.inf) -> Measured:
    at = value if isinstance(value, Fraction) else exact(value)
    return Measured(at, {Influence("a", "a", freedom): standard_uncertainty})


def at_least(limit: float) -> Limits:
    return Limits(low=exact(limit))


def at_most(limit: float) -> Limits:
    return Limits(high=exact(limit))


def between(low: float, high: float) -> Limits:
    return Limits(low=exact(low), high=exact(high))


def probability(number: Number, limits: Limits) -> float:
    found = decide(number, limits, AS_READ).probability
    assert found is not None
    return found


# --- probabilities


@pytest.mark.parametrize(
    ("distance", "conforms"),
    # The normal distribution; 1, 1.5, 2 and 3 also stand, to four digits, in a public set of JCGM 106 examples.
    [
        (0, 0.5), (0.5, 0.691462), (1, 0.841345), (1.28, 0.899727), (1.5, 0.933193), (1.645, 0.950015),
        (1.66, 0.951543), (1.96, 0.975002), (2, 0.977250), (2.33, 0.990097), (3, 0.998650), (3.09, 0.998999),
    ],
)  # fmt: skip
def test_the_probability_by_the_distance_from_the_limit(distance: float, conforms: float) -> None:
    assert probability(blurred(distance, 1.0), at_least(0)) == pytest.approx(conforms, abs=1e-6)
    assert probability(blurred(-distance, 1.0), at_most(0)) == pytest.approx(conforms, abs=1e-6)
    assert probability(blurred(-distance, 1.0), at_least(0)) == pytest.approx(1 - conforms, abs=1e-6)


@pytest.mark.parametrize(("z", "conforms"), [(0.84, 0.80), (1.28, 0.90), (1.64, 0.95), (2.33, 0.99), (3.09, 0.999)])
def test_table_1_of_jcgm_106(z: float, conforms: float) -> None:
    # JCGM 106 table 1; from memory. Its z have two decimals, so the probability is good to what half of one moves it.
    limits = at_least(0)
    assert probability(blurred(z - 0.005, 1.0), limits) <= conforms <= probability(blurred(z + 0.005, 1.0), limits)


def test_breakdown_voltage_of_jcgm_106_7_3_3_example_1() -> None:
    # V at most -5.40 V, read -5.47 V with u 0.05 V: p 0.92; from memory.
    assert probability(blurred(-5.47, 0.05), at_most(-5.40)) == pytest.approx(0.92, abs=0.005)


def test_bursting_strength_of_jcgm_106_7_3_3_example_2() -> None:
    # B at least 490 kPa, read 509.7 kPa with u 8.6 kPa: p 0.99; from memory.
    assert probability(blurred(509.7, 8.6), at_least(490)) == pytest.approx(0.99, abs=0.005)


def test_viscosity_of_jcgm_106_7_4() -> None:
    # Between 12.5 and 16.3 mm²/s, read 13.6 with u 1.8: p 0.66; from memory.
    assert probability(blurred(13.6, 1.8), between(12.5, 16.3)) == pytest.approx(0.66, abs=0.005)


def test_speed_limit_of_jcgm_106_8_3_3_2() -> None:
    # 100 km/h, u 2 % of the reading, fined only when the limit is broken with 99.9 %: from about 107 km/h on; memory.
    assert probability(blurred(107, 2.14), at_most(100)) < 0.001 < probability(blurred(106, 2.12), at_most(100))
    # Our guard band is U, which is 97.7 %: 104 km/h still has the benefit of the doubt and 105 km/h has not.
    assert decide(blurred(104, 2.08), at_most(100), BENEFIT).ruling is LEGAL
    assert decide(blurred(105, 2.10), at_most(100), BENEFIT).ruling is ILLEGAL


@pytest.mark.parametrize(("k", "conforms"), [(234.5, 0.97406), (235, 0.97483)])
def test_a_winding_near_its_lower_limit(k: float, conforms: float) -> None:
    # 10.30 ± 0.05 mΩ at 35 ± 1 °C against 9.80 mΩ at 25 °C: legal at 95 %, undecided at 97.7 %; computed.
    warm = Measured(Fraction(35), {Influence("thermometer", "thermometer"): 1.0})
    winding = at_temperature(blurred(10.30, 0.05), warm, Fraction(25), k=exact(k))
    assert probability(winding, at_least(9.80)) == pytest.approx(conforms, abs=5e-6)
    assert [decide(winding, at_least(9.80), d).ruling for d in Decision] == [LEGAL, NOT_SHOWN, LEGAL]
    assert decide(winding, at_least(9.80), AS_READ).close_call


def test_probability_keeps_its_digits_far_outside_two_limits() -> None:
    # Φ(-6) = 9.866e-10
    assert probability(blurred(16, 1.0), between(0, 10)) == pytest.approx(9.866e-10, rel=1e-3)
    assert probability(blurred(-6, 1.0), between(0, 10)) == pytest.approx(9.866e-10, rel=1e-3)
    # Φ(-9) = 1.129e-19, less than what a float next to one can tell from it.
    assert probability(blurred(73, 3.0), between(100, 110)) == pytest.approx(1.129e-19, rel=1e-3, abs=0)
    assert probability(blurred(-73, 3.0), between(-110, -100)) == pytest.approx(1.129e-19, rel=1e-3, abs=0)


def test_few_repeats_make_the_probability_students() -> None:
    # JCGM 100 table G.2: with two degrees of freedom 95 % lie within 4.30 u, so 2.5 % beyond; from memory.
    assert probability(blurred(4.30, 1.0, 2), at_least(0)) == pytest.approx(0.975, abs=0.0005)


@pytest.mark.parametrize(
    ("factor", "claimed", "exact_risk"),
    # Guard bands w = rU and the most that a false acceptance can come to: ILAC-G8:09/2019 table 1, ISO 14253-1.
    [(3, 1e-6, 9.866e-10), (1.5, 0.0016, 0.0013499), (1, 0.025, 0.0227501), (0.83, 0.05, 0.0484572)],
)
def test_guard_bands_keep_the_risk_that_is_claimed_for_them(factor: float, claimed: float, exact_risk: float) -> None:
    # A value that stands at w inside the limit breaks it with just that probability.
    risk = probability(blurred(-2 * factor, 1.0), at_least(0))
    assert risk < claimed
    assert risk == pytest.approx(exact_risk, rel=1e-3)


@pytest.mark.parametrize(("read", "ruling"), [(9.2, LEGAL), (10.8, LEGAL), (9.19, NOT_SHOWN), (10.81, NOT_SHOWN)])
def test_acceptance_limits_of_ten_plus_or_minus_one_with_a_u_of_a_fifth(read: float, ruling: Ruling) -> None:
    # The worked interval published beside the ILAC-G8 table: with w = U, 9.2 to 10.8.
    assert decide(blurred(read, 0.1), between(9, 11), MUST_SHOW).ruling is ruling


def test_the_same_reading_is_for_the_rule_to_decide() -> None:
    # A public ILAC-G8 case: ±0.003 mm, U 0.0010 mm; 0.0017 conforms, 0.0025 is grey.
    limits = between(-0.003, 0.003)
    assert [decide(blurred(0.0017, 0.0005), limits, d).ruling for d in Decision] == [LEGAL, LEGAL, LEGAL]
    assert [decide(blurred(0.0025, 0.0005), limits, d).ruling for d in Decision] == [LEGAL, NOT_SHOWN, LEGAL]
    assert [decide(blurred(0.0035, 0.0005), limits, d).ruling for d in Decision] == [ILLEGAL, ILLEGAL, LEGAL]
    assert [decide(blurred(0.0045, 0.0005), limits, d).ruling for d in Decision] == [ILLEGAL, ILLEGAL, ILLEGAL]


WINDOWS: Final = (at_most(-1), between(-2, 0), between(0, 1), between(0.5, 2), between(2, 3), at_least(2.5))


@pytest.mark.parametrize(
    "windows", [windows for count in (1, 2, 3) for windows in permutations(WINDOWS, count)], ids=str
)
def test_the_probability_of_any_of_several_windows_counts_what_they_share_once(windows: tuple[Limits, ...]) -> None:
    outcomes = [decide(blurred(0.3, 1.0), limits, AS_READ) for limits in windows]
    edges = [-math.inf, -2, -1, 0, 0.5, 1, 2, 2.5, 3, math.inf]
    middles = [-3, *((low + high) / 2 for low, high in pairwise(edges[1:-1])), 4]
    shares = (
        stats.norm.cdf(high, 0.3) - stats.norm.cdf(low, 0.3)
        for (low, high), middle in zip(pairwise(edges), middles, strict=True)
        if any(limits.met_by(exact(middle)) for limits in windows)
    )
    assert probability_of_any(outcomes) == pytest.approx(sum(shares), abs=1e-12)


def test_windows_that_leave_next_to_no_gap_are_met_for_sure_and_no_more_than_that() -> None:
    hair = Fraction(1, 10**20)
    windows = (at_most(-2.9), Limits(low=exact(-2.9) + hair, high=exact(-0.8)), Limits(low=exact(-0.8) + hair))
    for read in range(-300, 300):
        outcomes = [decide(blurred(read / 100, 1.0, 9), limits, AS_READ) for limits in windows]
        whole = probability_of_any(outcomes)
        assert whole is not None
        assert whole == pytest.approx(1.0, abs=1e-12)
        assert whole <= 1.0


def test_no_probability_is_told_where_one_of_the_outcomes_has_none() -> None:
    known, unknown = (decide(number, at_least(0), AS_READ) for number in (blurred(1, 1.0), exact(1)))
    assert probability_of_any([]) is None
    assert probability_of_any([known, unknown]) is None
    assert probability_of_any([known]) == known.probability


# --- the edges


@pytest.mark.parametrize(
    ("limits", "value", "met"),
    [
        (Limits(low=exact(4.5)), 4.5, True),
        (Limits(low=exact(4.5), low_strict=True), 4.5, False),
        (Limits(high=exact(4.5)), 4.5, True),
        (Limits(high=exact(4.5), high_strict=True), 4.5, False),
        (Limits(low=exact(4.5), high=exact(4.5)), 4.5, True),
        (Limits(low=exact(5), high=exact(4)), 4.5, False),
        (Limits(low=exact(4), low_strict=True, high=exact(5), high_strict=True), 4.5, True),
        (Limits(low=exact(4), low_strict=True, high=exact(5), high_strict=True), 4, False),
        (Limits(low=exact(4), low_strict=True, high=exact(5), high_strict=True), 5, False),
    ],
)
@pytest.mark.parametrize("decision", Decision)
def test_a_count_on_the_limit_is_compared_exactly_by_any_decision(
    limits: Limits, value: float, met: bool, decision: Decision
) -> None:
    outcome = decide(exact(value), limits, decision, exact=True)
    assert outcome.ruling is (LEGAL if met else ILLEGAL)
    assert not outcome.close_call
    assert outcome.probability is None
    assert outcome.expanded_uncertainty is None


@pytest.mark.parametrize("strict", [False, True])
def test_a_margin_of_exactly_u_is_enough_and_no_hair_of_binary_spoils_it(strict: bool) -> None:
    # 2 × 0.05 is 0.1 as people write it, though not as floats hold it.
    limits = Limits(low=exact(9.8), low_strict=strict)
    assert decide(blurred(9.9, 0.05), limits, MUST_SHOW).ruling is LEGAL
    assert decide(blurred(9.8999, 0.05), limits, MUST_SHOW).ruling is NOT_SHOWN
    assert decide(blurred(9.7, 0.05), limits, BENEFIT).ruling is LEGAL
    assert decide(blurred(9.6999, 0.05), limits, BENEFIT).ruling is ILLEGAL
    assert not decide(blurred(9.9, 0.05), limits, AS_READ).close_call
    assert decide(blurred(9.8999, 0.05), limits, AS_READ).close_call
    assert decide(blurred(9.7001, 0.05), limits, AS_READ).close_call


def test_a_guard_band_that_was_summed_in_floats_is_still_the_decimal_people_get() -> None:
    # The same influence twice, 0.1 + 0.2, is 0.30000000000000004 as a float; U is 0.6.
    total = blurred(5, 0.1) + blurred(5, 0.2)
    assert decide(total, at_least(9.4), MUST_SHOW).ruling is LEGAL


def test_a_reading_on_no_known_instrument_is_taken_as_read_and_shows_nothing() -> None:
    assert [decide(exact(1351), at_least(1350), d).ruling for d in Decision] == [LEGAL, NOT_SHOWN, LEGAL]
    assert [decide(exact(1349), at_least(1350), d).ruling for d in Decision] == [ILLEGAL, ILLEGAL, ILLEGAL]


def test_what_is_known_only_in_part_shows_nothing_either() -> None:
    clear = blurred(1400, 0.1)
    assert decide(clear, at_least(1350), MUST_SHOW).ruling is LEGAL
    assert decide(clear, at_least(1350), MUST_SHOW, complete=False).ruling is NOT_SHOWN
    assert decide(clear, at_least(1350), AS_READ, complete=False).ruling is LEGAL
    assert decide(exact(1400), at_least(1350), MUST_SHOW, exact=True, complete=False).ruling is NOT_SHOWN


@pytest.mark.parametrize("blur", [math.inf, math.nan])
def test_an_uncertainty_that_is_no_number_never_makes_a_car_legal(blur: float) -> None:
    inside, outside = blurred(1400, blur), blurred(1300, blur)
    assert [decide(inside, at_least(1350), d).ruling for d in Decision] == [LEGAL, NOT_SHOWN, NOT_SHOWN]
    assert [decide(outside, at_least(1350), d).ruling for d in Decision] == [ILLEGAL, ILLEGAL, ILLEGAL]
    assert decide(inside, at_least(1350), AS_READ).close_call


@pytest.mark.parametrize("decision", Decision)
def test_an_uncertainty_that_cancelled_to_nothing_is_compared_exactly(decision: Decision) -> None:
    on_the_limit = decide(blurred(2, 0.0), Limits(high=exact(2), high_strict=True), decision)
    assert (on_the_limit.ruling, on_the_limit.probability) == (ILLEGAL, 0.0)
    within = decide(blurred(1, 0.0), Limits(high=exact(2), high_strict=True), decision)
    assert (within.ruling, within.probability, within.close_call) == (LEGAL, 1.0, False)


@pytest.mark.parametrize(
    ("value", "limit", "margin"), [(37, 36, 1), (39.5, 40, 0.5), (35, 36, -1), (42, 40, -2), (38, 36, 2)]
)
def test_the_margin_is_to_the_nearest_limit_and_below_zero_where_it_is_broken(
    value: float, limit: float, margin: float
) -> None:
    outcome = decide(exact(value), between(36, 40), AS_READ)
    assert (outcome.limit, outcome.margin) == (exact(limit), exact(margin))


def test_limits_have_a_side() -> None:
    with pytest.raises(ValueError, match="side"):
        Limits()


BOUNDS: Final = (None, Fraction(1), Fraction(2))
WITHIN: Final = [
    Limits(low=low, low_strict=low_strict, high=high, high_strict=high_strict)
    for low, high, low_strict, high_strict in product(BOUNDS, BOUNDS, (False, True), (False, True))
    if low is not None or high is not None
]
VALUES: Final = [Fraction(quarters, 4) for quarters in range(13)]


@pytest.mark.parametrize("outer", WITHIN, ids=str)
def test_limits_contain_others_where_whatever_meets_those_meets_them(outer: Limits) -> None:
    for inner in WITHIN:
        met = [value for value in VALUES if inner.met_by(value)]
        if met:
            assert outer.contain(inner) == all(map(outer.met_by, met)), inner


# --- capability


@pytest.mark.parametrize(("index", "conforms"), [(0.25, 0.38292), (0.5, 0.68269), (1, 0.95450), (4 / 3, 0.99234)])
def test_the_best_that_a_centred_reading_can_show(index: float, conforms: float) -> None:
    # JCGM 106 3.3.17: C_m = width / 4u; a reading in the middle then conforms with 2Φ(2 C_m) - 1; computed.
    limits, blur = between(9, 11), 0.5 / index
    assert capability(limits, blur) == pytest.approx(index)
    assert probability(blurred(10, blur), limits) == pytest.approx(conforms, abs=1e-5)


@given(st.integers(min_value=1, max_value=400).map(lambda n: n / 100))
def test_limits_are_undecidable_just_when_no_reading_reaches_95_percent(blur: float) -> None:
    limits = between(-1.96, 1.96)
    best = probability(blurred(0, blur), limits)
    assert undecidable(limits, blur) == (best < 0.95)


def test_a_single_limit_can_always_be_decided() -> None:
    assert capability(at_least(1350), 10.0) is None
    assert not undecidable(at_least(1350), 10.0)
    assert not undecidable(between(1, 2), 0.0)
    assert undecidable(between(1, 2), math.nan)


# --- laws

tenths = st.integers(min_value=-100, max_value=100).map(lambda n: Fraction(n, 10))
blurs = st.integers(min_value=1, max_value=60).map(lambda n: n / 20)
bounds = st.builds(
    lambda a, b, low, high, sides: Limits(
        low=min(a, b) if "l" in sides else None,
        low_strict=low,
        high=max(a, b) if "h" in sides else None,
        high_strict=high,
    ),
    tenths,
    tenths,
    st.booleans(),
    st.booleans(),
    st.sampled_from(["l", "h", "lh"]),
)
numbers: st.SearchStrategy[Number] = tenths | st.builds(
    blurred, tenths, blurs | st.just(0.0), st.sampled_from([1.0, 2.0, 9.0, math.inf])
)


@given(numbers, bounds, st.booleans(), st.booleans())
def test_what_must_be_shown_is_stricter_than_as_read_and_that_than_the_benefit_of_the_doubt(
    number: Number, limits: Limits, exact_one: bool, complete: bool
) -> None:
    rank = {ILLEGAL: 0, NOT_SHOWN: 1, LEGAL: 2}
    rulings = [
        decide(number, limits, d, exact=exact_one, complete=complete).ruling for d in (MUST_SHOW, AS_READ, BENEFIT)
    ]
    assert all(rank[stricter] <= rank[milder] for stricter, milder in pairwise(rulings))


@given(tenths, blurs, blurs, bounds, st.sampled_from(Decision))
def test_a_larger_uncertainty_never_turns_a_close_call_into_a_certain_one(
    value: Fraction, blur: float, more: float, limits: Limits, decision: Decision
) -> None:
    first = decide(blurred(value, blur), limits, decision)
    second = decide(blurred(value, blur + more), limits, decision)
    assert second.close_call or not first.close_call
    if decision is MUST_SHOW:
        assert first.ruling is LEGAL or second.ruling is not LEGAL
    if decision is BENEFIT:
        assert second.ruling is LEGAL or first.ruling is not LEGAL


@given(tenths, blurs, bounds)
def test_a_close_call_is_where_the_two_guarded_decisions_differ(value: Fraction, blur: float, limits: Limits) -> None:
    must_show, benefit = (decide(blurred(value, blur), limits, d) for d in (MUST_SHOW, BENEFIT))
    if abs(must_show.margin) != exact(2 * blur):
        assert must_show.close_call == (must_show.ruling is not LEGAL and benefit.ruling is LEGAL)


@given(tenths, tenths, blurs, st.booleans(), st.sampled_from(Decision))
def test_moving_towards_the_legal_side_never_makes_it_worse(
    a: Fraction, b: Fraction, blur: float, strict: bool, decision: Decision
) -> None:
    limits, rank = Limits(low=Fraction(0), low_strict=strict), {ILLEGAL: 0, NOT_SHOWN: 1, LEGAL: 2}
    lower, higher = (decide(blurred(value, blur), limits, decision) for value in sorted((a, b)))
    assert rank[lower.ruling] <= rank[higher.ruling]
    assert (lower.probability or 0.0) <= (higher.probability or 0.0)


@given(tenths, blurs, bounds, st.sampled_from(Decision), st.integers(min_value=-3, max_value=3))
def test_a_unit_changes_no_ruling(value: Fraction, blur: float, limits: Limits, decision: Decision, power: int) -> None:
    scale = Fraction(10) ** power
    scaled = Limits(
        low=None if limits.low is None else limits.low * scale,
        low_strict=limits.low_strict,
        high=None if limits.high is None else limits.high * scale,
        high_strict=limits.high_strict,
    )
    first, second = (
        decide(blurred(value, blur), limits, decision),
        decide(blurred(value, blur) * scale, scaled, decision),
    )
    assert (second.ruling, second.close_call) == (first.ruling, first.close_call)
    assert second.margin == first.margin * scale
    assert second.probability == pytest.approx(first.probability, rel=1e-9, abs=1e-12)


@given(numbers, bounds, st.sampled_from(Decision))
def test_two_limits_turned_round_zero_give_the_same_ruling(number: Number, limits: Limits, decision: Decision) -> None:
    mirrored = Limits(
        low=None if limits.high is None else -limits.high,
        low_strict=limits.high_strict,
        high=None if limits.low is None else -limits.low,
        high_strict=limits.low_strict,
    )
    first, second = decide(number, limits, decision), decide(-number, mirrored, decision)
    assert (second.ruling, second.margin, second.close_call) == (first.ruling, first.margin, first.close_call)


def test_an_outcome_is_a_value() -> None:
    value, limits = blurred(1351, 0.5), at_least(1350)
    outcome = decide(value, limits, AS_READ)
    assert outcome == Outcome(LEGAL, exact(1350), exact(1), False, 1.0, value, limits)
    assert outcome.close_call is False
    assert to_float(outcome.margin) == 1.0
