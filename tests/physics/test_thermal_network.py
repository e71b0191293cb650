"""The course of the two-node network against scipy, a matrix exponential, and published motors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from speclint.physics.thermal import Heat, Network, Temperatures, after, copper_heat

# The first datasheet motor: R_th winding-housing 3.1, housing-air 14 K/W, time constants 12.0 and 612 s.
SHEET = Network(12.0 / 3.1, 612.0 / 14.0, 3.1, 14.0)
COPPER_25 = 1 / 0.00393 - 25
"""Copper's constant as motor catalogues use it: 0.00393 a kelvin with a base of 25 °C."""
REST_S = 40_000.0

networks = st.builds(Network, st.floats(5, 30), st.floats(30, 120), st.floats(0.2, 3), st.floats(0.5, 15))
heats = st.builds(Heat, st.floats(0, 60), st.floats(0, 0.05), st.floats(0, 40))
temperatures = st.builds(Temperatures, st.floats(-10, 200), st.floats(-10, 150))


def at_rest(network: Network, heat: Heat, ambient_c: float) -> Temperatures:
    return after(network, heat, ambient_c, Temperatures(ambient_c, ambient_c), REST_S)[0]


@pytest.mark.parametrize(
    ("t_max", "ohm", "inner", "outer", "km", "i0", "nominal_rpm", "published_a"),
    [
        # Published datasheets of three motors (T_max of the third from memory); friction at the housing.
        (100, 2.18, 3.1, 14, 0.0234, 0.0263, 3800, 1.24),
        (125, 2.45, 1.7, 6, 0.0538, 0.0786, 7760, 1.74),
        (155, 1.13, 1.93, 4.65, 0.0603, 0.0686, 7000, 3.17),
    ],
)
def test_at_its_published_continuous_current_a_motor_comes_to_rest_at_its_published_limit(
    t_max: float, ohm: float, inner: float, outer: float, km: float, i0: float, nominal_rpm: float, published_a: float
) -> None:
    friction = km * i0 * nominal_rpm * 0.10471975511965977
    network = Network(12.0, 100.0, inner, outer)
    rest = at_rest(network, copper_heat(published_a**2, ohm, 25.0, COPPER_25, can_w=friction), 25.0)
    # The sheets' currents follow to 2.5 %, so the rise does to 7.
    assert rest.winding_c - 25 == pytest.approx(t_max - 25, rel=0.07)
    blind = at_rest(network, copper_heat(published_a**2, ohm, 25.0, COPPER_25, can_w=0.0), 25.0)
    assert blind.winding_c < rest.winding_c, "leaving the friction out errs on the unsafe side"


@pytest.mark.parametrize(("current_a", "winding_c"), [(1.0, 68.6768), (1.24, 98.985)])
def test_copper_feedback_of_the_published_motor(current_a: float, winding_c: float) -> None:
    # First datasheet motor, 2.18 ohm at 25 °C; results by iteration outside speclint.
    rest = at_rest(SHEET, copper_heat(current_a**2, 2.18, 25.0, COPPER_25, can_w=0.0), 25.0)
    assert rest.winding_c == pytest.approx(winding_c, abs=1e-3)


def test_two_node_network_of_the_published_motor() -> None:
    # 2 W at the winding; results outside speclint by a matrix exponential.
    heat = Heat(2.0, 0.0, 0.0)
    for time, winding, can in (
        (12, 3.97464, 0.19567),
        (60, 7.67988, 1.98085),
        (300, 15.70795, 9.84056),
        (600, 22.40482, 16.41697),
        (60_000, 34.2, 28.0),
    ):
        end, _ = after(SHEET, heat, 0.0, Temperatures(0.0, 0.0), time)
        assert (end.winding_c, end.can_c) == pytest.approx((winding, can), abs=1e-5)


def test_the_exact_course_and_its_mean_agree_with_scipy() -> None:
    network = Network(14, 62, 0.7, 1.7)
    heat = copper_heat(600.0, 0.028, 25.0, 235.0, can_w=12.0)

    def rates(_: float, state: list[float]) -> list[float]:
        winding, can, _, _ = state
        copper = 600.0 * 0.028 * (235 + winding) / 260
        across = (winding - can) / 0.7
        return [(copper - across) / 14, (across + 12.0 - (can - 20) / 1.7) / 62, winding, can]

    outside = solve_ivp(rates, (0, 300), [35.0, 30.0, 0.0, 0.0], rtol=1e-11, atol=1e-11).y[:, -1]
    end, mean = after(network, heat, 20.0, Temperatures(35.0, 30.0), 300.0)
    assert (end.winding_c, end.can_c) == pytest.approx(tuple(outside[:2]), rel=1e-9)
    assert (mean.winding_c, mean.can_c) == pytest.approx(tuple(outside[2:] / 300), rel=1e-9)


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
    # Runaway from 1/√(R·R_th·α) on (a closed form of motor handbooks): 122 A for this network.
    network = Network(14, 62, 0.7, 1.7)
    limit = (0.028 * 2.4 / 260) ** -0.5
    below, above = (copper_heat((limit * part) ** 2, 0.028, 25.0, 235.0, can_w=0.0) for part in (0.97, 1.03))
    start = Temperatures(25.0, 25.0)
    slow, slower = (after(network, below, 25.0, start, time)[0].winding_c for time in (20_000.0, 40_000.0))
    assert slower - slow < 0.2 * (slow - 25.0), "it comes to rest"
    early, late = (after(network, above, 25.0, start, time)[0].winding_c for time in (1500.0, 3000.0))
    assert late - early > early - 25.0, "it rises faster and faster"


def test_a_network_needs_stores_and_resistances() -> None:
    with pytest.raises(ValueError, match="above zero"):
        Network(14, 62, 0.7, 0.0)
