"""Winding and can as a network of two heat stores: steady states, the exact course in time, runaway."""

from collections.abc import Callable
from dataclasses import dataclass
from math import expm1, inf, sqrt

from speclint.physics.integrate import rk4

COPPER_PER_K_AT_25_C = 0.00393
"""Temperature coefficient of copper as motor catalogues use it with a base of 25 °C."""


@dataclass(frozen=True, slots=True)
class Network:
    """Two heat stores in a row: winding, then can, then air.

    Attributes:
        winding_j_per_k: Heat that warms the winding by 1 K.
        can_j_per_k: Heat that warms can, stator iron and end bells by 1 K.
        winding_can_k_per_w: Thermal resistance from winding to can.
        can_air_k_per_w: Thermal resistance from can to air.
    """

    winding_j_per_k: float
    can_j_per_k: float
    winding_can_k_per_w: float
    can_air_k_per_w: float

    def __post_init__(self) -> None:
        """Raises ValueError unless all four are above zero."""
        if not min(self.winding_j_per_k, self.can_j_per_k, self.winding_can_k_per_w, self.can_air_k_per_w) > 0:
            raise ValueError("heat capacities and thermal resistances must be above zero")


@dataclass(frozen=True, slots=True)
class Heat:
    """Heat that flows in, with the copper's share following the winding's temperature T.

    Attributes:
        winding_w: At the winding, for T = 0 °C (the line's value there, not a state that has to occur).
        winding_w_per_k: What each °C of the winding adds.
        can_w: At the can: friction and iron.
    """

    winding_w: float
    winding_w_per_k: float
    can_w: float


@dataclass(frozen=True, slots=True)
class Temperatures:
    """Both nodes at one moment, or their mean over a time."""

    winding_c: float
    can_c: float


def copper_heat(
    square_current_a2: float, resistance_ohm: float, at_c: float, k: float, *, other_w: float, can_w: float
) -> Heat:
    """Heat of a mean square current through copper, `other_w` beside it at the winding, `can_w` at the can.

    Args:
        square_current_a2: Mean of the squared current.
        resistance_ohm: Resistance at `at_c`.
        at_c: Temperature of that resistance.
        k: Copper's constant; resistance goes as k + t.
        other_w: Heat at the winding that its resistance does not change.
        can_w: Heat at the can.
    """
    per_k = square_current_a2 * resistance_ohm / (k + at_c)
    return Heat(other_w + per_k * k, per_k, can_w)


def steady_state(network: Network, heat: Heat, ambient_c: float) -> Temperatures | None:
    """Where both temperatures come to rest; None where copper heats faster than the can cools (runaway).

    With g the heat that each kelvin of winding adds: T_w·(1 − g·ΣR) = T_a + P_w·ΣR + P_c·R_ca.
    """
    total = network.winding_can_k_per_w + network.can_air_k_per_w
    room = 1.0 - heat.winding_w_per_k * total
    if room <= 0:
        return None
    winding = (ambient_c + heat.winding_w * total + heat.can_w * network.can_air_k_per_w) / room
    flow = heat.winding_w + heat.winding_w_per_k * winding
    return Temperatures(winding, ambient_c + (flow + heat.can_w) * network.can_air_k_per_w)


def copper_feedback_rise_k(
    current_a: float, resistance_ohm: float, thermal_k_per_w: float, alpha_per_k: float
) -> float:
    """Rise over the temperature at which the resistance holds, feedback included; infinite in runaway.

    ΔT = I²·R·R_th/(1 − I²·R·R_th·α) for air at that temperature.
    """
    open_rise = current_a**2 * resistance_ohm * thermal_k_per_w
    room = 1.0 - open_rise * alpha_per_k
    return open_rise / room if room > 0 else inf


def runaway_current_a(resistance_ohm: float, thermal_k_per_w: float, alpha_per_k: float) -> float:
    """Current from which on there is no steady state: 1/√(R·R_th·α)."""
    return 1.0 / sqrt(resistance_ohm * thermal_k_per_w * alpha_per_k)


def continuous_current_a(
    *,
    limit_c: float,
    ambient_c: float,
    hot_ohm: float,
    winding_can_k_per_w: float,
    can_air_k_per_w: float,
    can_w: float = 0.0,
) -> float:
    """Current that holds the winding at its limit, with `can_w` of friction and iron heat at the can.

    Leaving that heat out overstates the current, which is the unsafe side.
    """
    left_k = limit_c - ambient_c - can_w * can_air_k_per_w
    return sqrt(max(0.0, left_k) / (hot_ohm * (winding_can_k_per_w + can_air_k_per_w)))


def _rates(network: Network, heat: Heat) -> tuple[float, float, float, float]:
    """Matrix of the linear system: winding from winding, winding from can, can from winding, can from can (1/s)."""
    across = 1.0 / network.winding_can_k_per_w
    return (
        (heat.winding_w_per_k - across) / network.winding_j_per_k,
        across / network.winding_j_per_k,
        across / network.can_j_per_k,
        -(across + 1.0 / network.can_air_k_per_w) / network.can_j_per_k,
    )


def _eigenvalues(rates: tuple[float, float, float, float]) -> tuple[float, float]:
    """Both eigenvalues (1/s), the slower first: real and distinct, since both nodes warm each other."""
    ww, wc, cw, cc = rates
    middle = (ww + cc) / 2.0
    apart = sqrt(((ww - cc) / 2.0) ** 2 + wc * cw)
    return middle + apart, middle - apart


def time_constants_s(network: Network, heat: Heat | None = None) -> tuple[float, float]:
    """The two time constants of the network as a whole, the shorter first; not the ones of its parts.

    A negative one stands for runaway.
    """
    slow, fast = _eigenvalues(_rates(network, heat or Heat(0.0, 0.0, 0.0)))
    return -1.0 / fast, (-1.0 / slow if slow else inf)


def after(
    network: Network, heat: Heat, ambient_c: float, start: Temperatures, time_s: float
) -> tuple[Temperatures, Temperatures]:
    """Temperatures after a time of steady heat, and their mean over that time: exact.

    T(t) = T₀ + ∫₀ᵗ e^(A·s) ds · dT/dt(0), with the matrix function by Lagrange's formula for two eigenvalues.
    Written from the starting slope, it needs no steady state and so holds in runaway as well.
    """
    ww, wc, cw, cc = rates = _rates(network, heat)
    slope_w = ww * start.winding_c + wc * start.can_c + heat.winding_w / network.winding_j_per_k
    slope_c = (
        cw * start.winding_c
        + cc * start.can_c
        + (heat.can_w + ambient_c / network.can_air_k_per_w) / network.can_j_per_k
    )
    slow, fast = _eigenvalues(rates)
    grown_slow, mean_slow = _grown(slow, time_s)
    grown_fast, mean_fast = _grown(fast, time_s)
    # A applied to the slope, from which both projections follow.
    turned_w, turned_c = ww * slope_w + wc * slope_c, cw * slope_w + cc * slope_c
    part = 1.0 / (slow - fast)
    slow_w, slow_c = part * (turned_w - fast * slope_w), part * (turned_c - fast * slope_c)
    fast_w, fast_c = slope_w - slow_w, slope_c - slow_c
    return (
        Temperatures(
            start.winding_c + grown_slow * slow_w + grown_fast * fast_w,
            start.can_c + grown_slow * slow_c + grown_fast * fast_c,
        ),
        Temperatures(
            start.winding_c + mean_slow * slow_w + mean_fast * fast_w,
            start.can_c + mean_slow * slow_c + mean_fast * fast_c,
        ),
    )


def _grown(rate: float, time_s: float) -> tuple[float, float]:
    """∫₀ᵗ e^(λs) ds, and the mean over the time of that integral."""
    x = rate * time_s
    if abs(x) < 1e-5:
        # The series takes over where the difference below would lose its digits.
        return time_s * (1.0 + x / 2.0), time_s * (0.5 + x / 6.0)
    # Past e^700 a float ends; a motor that hot has long stopped running.
    grown = expm1(min(x, 700.0)) / rate
    return grown, (grown - time_s) / x


def integrate(
    network: Network,
    heat: Callable[[float, Temperatures], Heat],
    ambient_c: float,
    start: Temperatures,
    *,
    time_s: float,
    steps: int,
) -> Temperatures:
    """Temperatures after a time of heat that changes with time and temperature, by the classical Runge-Kutta scheme."""

    def rates(time: float, state: tuple[float, ...]) -> tuple[float, ...]:
        winding, can = state
        now = heat(time, Temperatures(winding, can))
        across = (winding - can) / network.winding_can_k_per_w
        return (
            (now.winding_w + now.winding_w_per_k * winding - across) / network.winding_j_per_k,
            (now.can_w + across - (can - ambient_c) / network.can_air_k_per_w) / network.can_j_per_k,
        )

    winding, can = rk4(rates, (start.winding_c, start.can_c), 0.0, time_s, steps)
    return Temperatures(winding, can)
