"""Closed forms of the two-node network against each other, our integrator, scipy and published motors."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from speclint.physics.thermal import (
    COPPER_PER_K_AT_25_C,
    Heat,
    Network,
    Temperatures,
    after,
    continuous_current_a,
    copper_feedback_rise_k,
    copper_heat,
    integrate,
    runaway_current_a,
    steady_state,
    time_constants_s,
)

# The first datasheet motor: R_th winding-housing 3.1, housing-air 14 K/W, time constants 12.0 and 612 s.
SHEET = Network(12.0 / 3.1, 612.0 / 14.0, 3.1, 14.0)

networks = st.builds(Network, st.floats(5, 30), st.floats(30, 120), st.floats(0.2, 3), st.floats(0.5, 15))
heats = st.builds(Heat, st.floats(0, 60), st.floats(0, 0.05), st.floats(0, 40))
temperatures = st.builds(Temperatures, st.floats(-10, 200), st.floats(-10, 150))


@pytest.mark.parametrize(
    ("t_max", "ohm", "inner", "outer", "km", "i0", "nominal_rpm", "published_a"),
    [
        # Published datasheets of three motors (T_max of the third from memory); friction at the housing.
        (100, 2.18, 3.1, 14, 0.0234, 0.0263, 3800, 1.24),
        (125, 2.45, 1.7, 6, 0.0538, 0.0786, 7760, 1.74),
        (155, 1.13, 1.93, 4.65, 0.0603, 0.0686, 7000, 3.17),
    ],
)
def test_published_continuous_current_follows_with_friction_at_the_housing(
    t_max: float,
    ohm: float,
    inner: float,
    outer: float,
    km: float,
    i0: float,
    nominal_rpm: float,
    published_a: float,
) -> None:
    hot = ohm * (1 + COPPER_PER_K_AT_25_C * (t_max - 25))
    friction = km * i0 * nominal_rpm * 0.10471975511965977
    current = continuous_current_a(
        limit_c=t_max, ambient_c=25, hot_ohm=hot, winding_can_k_per_w=inner, can_air_k_per_w=outer, can_w=friction
    )
    assert current == pytest.approx(published_a, rel=0.025)
    blind = continuous_current_a(
        limit_c=t_max, ambient_c=25, hot_ohm=hot, winding_can_k_per_w=inner, can_air_k_per_w=outer
    )
    assert blind > current, "leaving the friction out errs on the unsafe side"


def test_no_current_is_left_where_friction_alone_reaches_the_limit() -> None:
    found = continuous_current_a(
        limit_c=60, ambient_c=25, hot_ohm=0.03, winding_can_k_per_w=0.7, can_air_k_per_w=1.7, can_w=40
    )
    assert found == 0.0


def test_copper_feedback_of_the_published_motor() -> None:
    # First datasheet motor, alpha 0.00393 at 25 °C; results by iteration outside speclint.
    total = 3.1 + 14
    assert 25 + copper_feedback_rise_k(1.0, 2.18, total, COPPER_PER_K_AT_25_C) == pytest.approx(68.6768, abs=1e-4)
    # At its published continuous current the sheet allows 100 °C.
    assert 25 + copper_feedback_rise_k(1.24, 2.18, total, COPPER_PER_K_AT_25_C) == pytest.approx(98.985, abs=1e-3)
    assert runaway_current_a(2.18, total, COPPER_PER_K_AT_25_C) == pytest.approx(2.6126, abs=1e-4)
    assert copper_feedback_rise_k(2.62, 2.18, total, COPPER_PER_K_AT_25_C) == inf


def test_two_node_network_of_the_published_motor() -> None:
    # 2 W at the winding; results outside speclint by a matrix exponential.
    heat = Heat(2.0, 0.0, 0.0)
    rest = steady_state(SHEET, heat, 0.0)
    assert rest is not None
    assert (rest.winding_c, rest.can_c) == pytest.approx((34.2, 28.0), abs=1e-9)
    assert time_constants_s(SHEET) == pytest.approx((11.007, 667.19), rel=1e-4)
    for time, winding, can in (
        (12, 3.97464, 0.19567),
        (60, 7.67988, 1.98085),
        (300, 15.70795, 9.84056),
        (600, 22.40482, 16.41697),
    ):
        end, _ = after(SHEET, heat, 0.0, Temperatures(0.0, 0.0), time)
        assert (end.winding_c, end.can_c) == pytest.approx((winding, can), abs=1e-5)


@given(networks, heats, st.floats(-10, 45), temperatures, st.floats(1, 900))
def test_the_exact_course_and_our_integrator_agree(
    network: Network, heat: Heat, ambient: float, start: Temperatures, time: float
) -> None:
    exact, _ = after(network, heat, ambient, start, time)
    stepped = integrate(network, lambda _time, _now: heat, ambient, start, time_s=time, steps=1500)
    assert (stepped.winding_c, stepped.can_c) == pytest.approx((exact.winding_c, exact.can_c), rel=1e-6, abs=1e-6)


def test_the_exact_course_and_its_mean_agree_with_scipy() -> None:
    network = Network(14, 62, 0.7, 1.7)
    heat = copper_heat(600.0, 0.028, 25.0, 235.0, other_w=3.0, can_w=12.0)

    def rates(_: float, state: list[float]) -> list[float]:
        winding, can, _, _ = state
        copper = 600.0 * 0.028 * (235 + winding) / 260 + 3.0
        across = (winding - can) / 0.7
        return [(copper - across) / 14, (across + 12.0 - (can - 20) / 1.7) / 62, winding, can]

    outside = solve_ivp(rates, (0, 300), [35.0, 30.0, 0.0, 0.0], rtol=1e-11, atol=1e-11).y[:, -1]
    end, mean = after(network, heat, 20.0, Temperatures(35.0, 30.0), 300.0)
    assert (end.winding_c, end.can_c) == pytest.approx(tuple(outside[:2]), rel=1e-9)
    assert (mean.winding_c, mean.can_c) == pytest.approx(tuple(outside[2:] / 300), rel=1e-9)


@given(networks, heats, st.floats(-10, 45))
def test_the_steady_state_is_reached_from_both_sides(network: Network, heat: Heat, ambient: float) -> None:
    rest = steady_state(network, heat, ambient)
    if rest is None or time_constants_s(network, heat)[1] > 20_000:
        return
    time = 40 * time_constants_s(network, heat)[1]
    for offset in (-20.0, 50.0):
        start = Temperatures(rest.winding_c + offset, rest.can_c + offset)
        end, _ = after(network, heat, ambient, start, time)
        assert (end.winding_c, end.can_c) == pytest.approx((rest.winding_c, rest.can_c), abs=1e-6)
        halfway, _ = after(network, heat, ambient, start, time / 80)
        assert (halfway.can_c - rest.can_c) * offset > 0, "a can never overshoots from a shift of both nodes"


@given(networks, heats, st.floats(-10, 45), temperatures, st.floats(1, 300), st.floats(1, 300))
def test_two_times_in_a_row_are_one_long_time(
    network: Network, heat: Heat, ambient: float, start: Temperatures, first: float, second: float
) -> None:
    middle, early = after(network, heat, ambient, start, first)
    end, late = after(network, heat, ambient, middle, second)
    whole, mean = after(network, heat, ambient, start, first + second)
    assert (end.winding_c, end.can_c) == pytest.approx((whole.winding_c, whole.can_c), rel=1e-7, abs=1e-6)
    joined = (early.winding_c * first + late.winding_c * second) / (first + second)
    assert joined == pytest.approx(mean.winding_c, rel=1e-7, abs=1e-6)


@given(networks, heats, st.floats(-10, 45), temperatures, st.floats(1, 900))
def test_heat_is_kept(network: Network, heat: Heat, ambient: float, start: Temperatures, time: float) -> None:
    end, mean = after(network, heat, ambient, start, time)
    stored = network.winding_j_per_k * (end.winding_c - start.winding_c) + network.can_j_per_k * (
        end.can_c - start.can_c
    )
    came = (heat.winding_w + heat.winding_w_per_k * mean.winding_c + heat.can_w) * time
    left = (mean.can_c - ambient) / network.can_air_k_per_w * time
    assert stored == pytest.approx(came - left, rel=1e-7, abs=1e-3)


def test_past_the_runaway_current_there_is_no_rest_and_the_course_still_holds() -> None:
    network = Network(14, 62, 0.7, 1.7)
    limit = runaway_current_a(0.028, 2.4, 1 / 260)
    below = copper_heat((limit * 0.999) ** 2, 0.028, 25.0, 235.0, other_w=0.0, can_w=0.0)
    above = copper_heat((limit * 1.001) ** 2, 0.028, 25.0, 235.0, other_w=0.0, can_w=0.0)
    assert steady_state(network, below, 25.0) is not None
    assert steady_state(network, above, 25.0) is None
    assert time_constants_s(network, above)[1] < 0
    start = Temperatures(25.0, 25.0)
    exact, _ = after(network, above, 25.0, start, 300.0)
    stepped = integrate(network, lambda _time, _now: above, 25.0, start, time_s=300.0, steps=3000)
    assert exact.winding_c == pytest.approx(stepped.winding_c, rel=1e-8)


def test_the_closed_form_of_the_feedback_is_the_network_at_rest() -> None:
    network = Network(14, 62, 3.1, 14)
    heat = copper_heat(1.0, 2.18, 25.0, 1 / COPPER_PER_K_AT_25_C - 25.0, other_w=0.0, can_w=0.0)
    rest = steady_state(network, heat, 25.0)
    assert rest is not None
    assert rest.winding_c - 25 == pytest.approx(
        copper_feedback_rise_k(1.0, 2.18, 17.1, COPPER_PER_K_AT_25_C), rel=1e-12
    )


def test_a_network_needs_stores_and_resistances() -> None:
    with pytest.raises(ValueError, match="above zero"):
        Network(14, 62, 0.7, 0.0)
