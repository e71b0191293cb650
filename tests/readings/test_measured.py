"""Propagation of uncertainty, held against two general libraries and against its own laws."""

import math
import operator
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

import pytest
import uncertainties
from GTC import ureal
from GTC import value as gtc_value
from hypothesis import assume, given
from hypothesis import strategies as st

from speclint.readings.exact import exact, to_float
from speclint.readings.measured import (
    Influence,
    Measured,
    Number,
    expanded_of,
    least_of,
    mean_of,
    read_to,
    spread_of,
    uncertainty_of,
    value_of,
)

OPERATORS: dict[str, Callable[[Any, Any], Any]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
}
values = st.integers(min_value=-999, max_value=999).filter(bool).map(lambda n: Fraction(n, 10))
blurs = st.integers(min_value=1, max_value=50).map(lambda n: n / 1000)

Formula = int | Fraction | tuple[str, Any, Any]
"""The number of an input, a constant, or an operation on two formulas."""

formulas: st.SearchStrategy[Formula] = st.recursive(
    st.integers(min_value=0, max_value=3) | values,
    lambda inner: st.tuples(st.sampled_from(sorted(OPERATORS)), inner, inner),
    max_leaves=8,
)


def one(value: Fraction, blur: float, name: str, freedom: float = math.inf) -> Measured:
    return Measured(value, {Influence(name, name, freedom): blur})


def evaluated(formula: Formula, inputs: Sequence[Any], constant: Callable[[Fraction], Any]) -> Any:
    if isinstance(formula, tuple):
        sign, left, right = formula
        below = evaluated(right, inputs, constant)
        if sign == "/":
            assume(not isinstance(below, Fraction | Measured) or abs(value_of(below)) > Fraction(1, 100))
        return OPERATORS[sign](evaluated(left, inputs, constant), below)
    return inputs[formula] if isinstance(formula, int) else constant(formula)


def same(value: Fraction) -> Fraction:
    return value


# Inputs 0 and 1 are readings of one instrument: each has its own blur and they share another.
inputs_of_four = st.tuples(st.tuples(values, values, values, values), st.tuples(blurs, blurs, blurs, blurs), blurs)


@given(formulas, inputs_of_four)
def test_any_formula_agrees_with_the_uncertainties_library(
    formula: Formula, inputs: tuple[tuple[Fraction, ...], tuple[float, ...], float]
) -> None:
    at, own, shared = inputs
    ours: list[Measured] = [one(v, u, str(i)) for i, (v, u) in enumerate(zip(at, own, strict=True))]
    meter = one(Fraction(0), shared, "meter")
    ours[0], ours[1] = ours[0] + meter, ours[1] + meter * 2
    result = evaluated(formula, ours, same)

    theirs: list[Any] = [uncertainties.ufloat(float(v), u) for v, u in zip(at, own, strict=True)]
    their_meter = uncertainties.ufloat(0.0, shared)
    theirs[0], theirs[1] = theirs[0] + their_meter, theirs[1] + their_meter * 2
    expected = evaluated(formula, theirs, float)

    assert value_of(result) == evaluated(formula, at, same)
    if isinstance(result, Measured):
        assert to_float(result.value) == pytest.approx(expected.nominal_value, rel=1e-9, abs=1e-9)
        assert result.standard_uncertainty == pytest.approx(expected.std_dev, rel=1e-9, abs=1e-9)


@given(formulas, inputs_of_four, st.tuples(*[st.integers(min_value=1, max_value=30)] * 4))
def test_any_formula_agrees_with_gtc_in_degrees_of_freedom_too(
    formula: Formula,
    inputs: tuple[tuple[Fraction, ...], tuple[float, ...], float],
    freedoms: tuple[int, ...],
) -> None:
    at, own, _ = inputs
    rows = tuple(zip(at, own, freedoms, strict=True))
    result = evaluated(formula, [one(v, u, str(i), n) for i, (v, u, n) in enumerate(rows)], same)
    expected = evaluated(formula, [ureal(float(v), u, n) for v, u, n in rows], float)
    if isinstance(result, Measured):
        assume(result.standard_uncertainty > 1e-9)  # a - a has no degrees of freedom to compare
        assert to_float(result.value) == pytest.approx(gtc_value(expected), rel=1e-9, abs=1e-9)
        assert result.standard_uncertainty == pytest.approx(expected.u, rel=1e-9)
        assert result.effective_degrees_of_freedom == pytest.approx(expected.df, rel=1e-6)


def test_the_error_of_one_meter_in_three_phases_does_not_average_out() -> None:
    meter = Influence("meter", "accuracy of the meter")
    together = mean_of([Measured(Fraction(n), {meter: 0.3}) for n in (20, 21, 22)])
    apart = mean_of([one(Fraction(n), 0.3, str(n)) for n in (20, 21, 22)])
    assert uncertainty_of(together) == pytest.approx(0.3)
    assert uncertainty_of(apart) == pytest.approx(0.3 / math.sqrt(3))
    assert value_of(together) == value_of(apart) == 21


def test_a_shared_error_cancels_in_a_difference() -> None:
    meter = Influence("meter", "accuracy of the meter")
    assert (Measured(Fraction(22), {meter: 0.3}) - Measured(Fraction(20), {meter: 0.3})).standard_uncertainty == 0
    assert (Measured(Fraction(22), {meter: 0.3}) + -Measured(Fraction(20), {meter: 0.3})).standard_uncertainty == 0


@given(values, values)
def test_plain_values_stay_plain_and_exact(a: Fraction, b: Fraction) -> None:
    assert mean_of([a, b]) == (a + b) / 2
    assert spread_of([a, b]) == abs(a - b)
    assert least_of([a, b]) == min(a, b)
    assert uncertainty_of(a) is None
    assert expanded_of(a) is None


@given(
    st.lists(st.tuples(values, blurs), min_size=1, max_size=5).flatmap(
        lambda rows: st.tuples(st.just(rows), st.permutations(rows))
    )
)
def test_the_order_of_the_phases_changes_nothing(
    orders: tuple[list[tuple[Fraction, float]], list[tuple[Fraction, float]]],
) -> None:
    def readings(rows: list[tuple[Fraction, float]]) -> list[Number]:
        return [one(value, blur, f"{value} {blur}") for value, blur in rows]

    for summary in (mean_of, least_of, spread_of):
        first, second = summary(readings(orders[0])), summary(readings(orders[1]))
        assert value_of(first) == value_of(second)
        assert uncertainty_of(first) == pytest.approx(uncertainty_of(second), rel=1e-12, abs=1e-15)


def test_three_phases_that_read_the_same_still_have_an_uncertain_spread() -> None:
    phases = [one(Fraction(21), 0.1, name) for name in "abc"]
    spread = spread_of(phases)
    assert value_of(spread) == 0
    assert uncertainty_of(spread) == pytest.approx(0.1 * math.sqrt(2))


@given(values, blurs, st.integers(min_value=-3, max_value=3))
def test_a_unit_changes_value_and_uncertainty_alike(value: Fraction, blur: float, power: int) -> None:
    scale = Fraction(10) ** power
    scaled = one(value, blur, "a") * scale
    assert scaled.value == value * scale
    assert scaled.standard_uncertainty == pytest.approx(blur * float(scale), rel=1e-12)
    assert (scaled / scale).value == value


def test_two_standard_uncertainties_where_nothing_was_repeated() -> None:
    reading = one(Fraction(10), 0.05, "a")
    assert reading.effective_degrees_of_freedom == math.inf
    assert reading.expanded() == 0.1
    assert reading.expanded(k=3) == pytest.approx(0.15)


def test_three_repeats_alone_widen_the_expanded_uncertainty_by_students_factor() -> None:
    # JCGM 100 table G.2, 95.45 %: 4.53 for two degrees of freedom; from memory.
    reading = one(Fraction(10), 0.05, "a", 2)
    assert reading.expanded() == pytest.approx(4.53 * 0.05, abs=0.0003)


def test_repeats_that_hardly_count_leave_the_factor_at_two() -> None:
    reading = one(Fraction(10), 0.001, "a", 2) + one(Fraction(0), 0.1, "b")
    assert reading.coverage_factor() == pytest.approx(2.0, abs=0.001)
    assert reading.coverage_factor() >= 2.0


@given(values, st.lists(st.tuples(blurs, st.integers(min_value=1, max_value=40)), min_size=1, max_size=5))
def test_expanded_uncertainty_is_never_less_than_two_standard_ones(
    value: Fraction, rows: list[tuple[float, int]]
) -> None:
    total: Number = value
    for index, (blur, freedom) in enumerate(rows):
        total = total + one(Fraction(0), blur, str(index), freedom)
    assert isinstance(total, Measured)
    assert total.expanded() >= 2 * total.standard_uncertainty
    assert total.effective_degrees_of_freedom >= min(freedom for _, freedom in rows) * (1 - 1e-12)


def test_reading_to_a_step_rounds_the_value_and_leaves_the_uncertainty() -> None:
    reading = read_to(one(exact(4.495), 0.01, "a"), exact(0.01))
    assert value_of(reading) == exact(4.5)
    assert uncertainty_of(reading) == 0.01
    assert read_to(exact(4.494), exact(0.01)) == exact(4.49)


def test_the_budget_lists_the_largest_influence_first() -> None:
    total = one(Fraction(1), 0.1, "meter") - one(Fraction(1), 0.3, "thermometer") + one(Fraction(1), 0.0, "nothing")
    assert [(influence.id, part) for influence, part in total.budget()] == [("thermometer", -0.3), ("meter", 0.1)]


def test_a_measured_value_has_no_order_of_its_own() -> None:
    reading: Any = one(Fraction(1), 0.1, "a")
    with pytest.raises(TypeError):
        _ = reading < Fraction(2)


def test_a_float_does_not_slip_into_exact_arithmetic() -> None:
    reading: Any = one(Fraction(1), 0.1, "a")
    for operation in OPERATORS.values():
        with pytest.raises(TypeError):
            operation(reading, 0.5)
        with pytest.raises(TypeError):
            operation(0.5, reading)


def test_no_numbers_have_no_mean_and_no_spread() -> None:
    for summary in (mean_of, least_of, spread_of):
        with pytest.raises(ValueError, match=r"no|empty|arg"):
            summary([])


def test_of_equal_readings_the_least_certain_stands_at_either_end() -> None:
    plain, sure, unsure = (
        Fraction(5),
        Measured(Fraction(5), {Influence("a", "scale"): 0.1}),
        Measured(Fraction(5), {Influence("b", "scale"): 0.5}),
    )
    assert least_of([plain, sure, unsure, Fraction(6)]) == unsure
    assert uncertainty_of(spread_of([Fraction(4), unsure, sure, plain])) == 0.5
