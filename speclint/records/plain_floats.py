"""Readings as plain floats: a quick look that decides whether anything exact is worth computing."""

from collections.abc import Sequence
from typing import Any, Final

PHASES: Final = ("ab_mohm", "bc_mohm", "ca_mohm")
"""The keys of a winding's resistances from lead to lead."""

_COPPER_K: Final = 235.0


def quick(raw: Any) -> float | None:
    """A measured value in any of its forms as a float, repeats as their mean; None where there is no number."""
    kind = type(raw)
    if kind is float or kind is int:
        return float(raw)
    if kind is dict:
        return quick(raw.get("readings", raw.get("value")))
    if kind is list and raw and all(type(one) in _NUMBERS for one in raw):
        return float(sum(raw)) / len(raw)
    return None


def each(raw: Any) -> tuple[float, ...]:
    """The single values of a measured value in any of its forms."""
    kind = type(raw)
    if kind is float or kind is int:
        return (raw,)
    if kind is dict:
        return each(raw.get("readings", raw.get("value")))
    if kind is list:
        return tuple(one for one in raw if type(one) in _NUMBERS)
    return ()


def phases(winding: Any) -> tuple[float, float, float] | None:
    """The three resistances of a winding in mΩ, as read; None where one is missing."""
    if not isinstance(winding, dict):
        return None
    ab, bc, ca = winding.get("ab_mohm"), winding.get("bc_mohm"), winding.get("ca_mohm")
    if ab.__class__ is float and bc.__class__ is float and ca.__class__ is float:
        return ab, bc, ca
    ab, bc, ca = quick(ab), quick(bc), quick(ca)
    return None if ab is None or bc is None or ca is None else (ab, bc, ca)


def winding_at_20(winding: Any) -> float | None:
    """The mean resistance of a winding in mΩ at 20 °C (IEC 60034-1); None without all phases or their temperature."""
    found = phases(winding)
    warm = quick(winding.get("winding_c")) if found is not None else None
    if found is None or warm is None:
        return None
    return sum(found) / 3 * (_COPPER_K + 20.0) / (_COPPER_K + warm)


def far_apart(first: float, second: float, share: float) -> bool:
    """Whether two values differ by more than this share of the larger."""
    return abs(first - second) > share * max(abs(first), abs(second))


def middle(values: Sequence[float]) -> float:
    """The value in the middle, of an even number the higher of the two."""
    return sorted(values)[len(values) // 2]


_NUMBERS: Final = frozenset({int, float})
