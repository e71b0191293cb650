"""What stands between the cells and the motor's terminals: open-circuit voltage, resistances, current limit."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from typing import Final

CELL_REST_V: Final = (
    (0.0, 3.30), (0.05, 3.55), (0.2, 3.695), (0.4, 3.762), (0.5, 3.793), (0.6, 3.836), (0.7, 3.909),
    (0.75, 3.952), (0.8, 3.994), (0.85, 4.041), (0.9, 4.088), (0.95, 4.138), (1.0, 4.20),
)  # fmt: skip
"""Part of the charge that is left, and volts of a cell at rest: pouch cell of Ai et al. 2020 (J. Electrochem. Soc. 167,
013512), as the open battery model PyBaMM carries it; below a fifth, estimate."""


def _integral(points: Sequence[tuple[float, float]]) -> tuple[float, ...]:
    sums = [0.0]
    for (left, low), (right, high) in pairwise(points):
        sums.append(sums[-1] + (right - left) * (low + high) / 2.0)
    return tuple(sums)


_PLACES: Final = tuple(place for place, _ in CELL_REST_V)
_SUMS: Final = _integral(CELL_REST_V)


def _area(left: float) -> float:
    """Integral of the curve from empty to a part of the charge."""
    index = min(bisect_right(_PLACES, left), len(_PLACES) - 1) - 1
    (begin, low), (end, high) = CELL_REST_V[index], CELL_REST_V[index + 1]
    way = left - begin
    return _SUMS[index] + way * (low + 0.5 * way * (high - low) / (end - begin))


def mean_rest_v(used_share: float) -> float:
    """Mean voltage of a full cell at rest while a part of its charge is used; past its end that of an empty one counts."""
    if used_share <= 1e-9:
        return CELL_REST_V[-1][1]
    within = min(used_share, 1.0)
    mean = (_SUMS[-1] - _area(1.0 - within)) / within
    return (mean * within + CELL_REST_V[0][1] * (used_share - within)) / used_share


@dataclass(frozen=True, slots=True)
class Supply:
    """Pack, wiring and speed control as the motor sees them.

    Attributes:
        open_circuit_v: Pack without load, mean over the run.
        source_ohm: Cells, plugs and wires up to the speed control: carries the battery's current.
        controller_ohm: Switches and motor wires: carries the motor's current.
        current_limit_a: Largest motor current that the speed control lets through.
    """

    open_circuit_v: float
    source_ohm: float
    controller_ohm: float
    current_limit_a: float

    def __post_init__(self) -> None:
        """Raises ValueError for a supply that cannot drive anything."""
        if not (self.open_circuit_v > 0 and self.current_limit_a > 0):
            raise ValueError("voltage and current limit must be above zero")
        if not (self.source_ohm >= 0 and self.controller_ohm >= 0):
            raise ValueError("a resistance must not be negative")

    def battery_current_a(self, power_w: float) -> float:
        """Current out of the pack for a power behind its own resistance.

        The speed control is taken as an ideal chopper, so the current that solves (U − R·I)·I = P flows; of the
        two the smaller. Past the greatest power that the pack can give, its current at that power.
        """
        inside = self.open_circuit_v**2 - 4.0 * self.source_ohm * power_w
        # This form of the root stays exact for a pack without resistance.
        return 2.0 * power_w / (self.open_circuit_v + (sqrt(inside) if inside > 0 else 0.0))
