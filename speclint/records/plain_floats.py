"""Readings as plain floats: a quick look that decides whether anything exact is worth computing."""

from collections.abc import Sequence
from typing import Final

from speclint.copper import K_COPPER
from speclint.models.bench import Winding
from speclint.readings.copper import REFERENCE_C

_COPPER_K: Final = float(K_COPPER)
_REFERENCE_C: Final = float(REFERENCE_C)


def winding_at_reference(winding: Winding | None) -> float | None:
    """The mean resistance of a winding in mΩ at 20 °C (IEC 60034-1); None without all phases or their temperature."""
    phases = winding.phases_mohm if winding is not None else None
    if winding is None or phases is None or winding.winding_c is None:
        return None
    return sum(phases) / 3 * (_COPPER_K + _REFERENCE_C) / (_COPPER_K + winding.winding_c.mean)


def far_apart(first: float, second: float, share: float) -> bool:
    """Whether two values differ by more than this share of the larger."""
    return abs(first - second) > share * max(abs(first), abs(second))


def middle(values: Sequence[float]) -> float:
    """The value in the middle, of an even number the higher of the two."""
    return sorted(values)[len(values) // 2]
