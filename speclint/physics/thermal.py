"""Winding and can as a network of two heat stores: their course in time, exactly, runaway included."""

from dataclasses import dataclass
from math import expm1, sqrt


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


def copper_heat(square_current_a2: float, resistance_ohm: float, at_c: float, k: float, *, can_w: float) -> Heat:
    """Heat of a mean square current through copper, and `can_w` at the can.

    Args:
        square_current_a2: Mean of the squared current.
        resistance_ohm: Resistance at `at_c`.
        at_c: Temperature of that resistance.
        k: Copper's constant; resistance goes as k + t.
        can_w: Heat at the can.
    """
    per_k = square_current_a2 * resistance_ohm / (k + at_c)
    return Heat(per_k * k, per_k, can_w)


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
