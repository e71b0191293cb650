"""The parts at hand: what a setup's own box and its garage's hold."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any


@dataclass(frozen=True, slots=True)
class PartsBox:
    """What is in the box; None where nothing is said, so that anything may be had."""

    pinions: tuple[int, ...] | None = None
    spurs: tuple[int, ...] | None = None
    rotors: tuple[Mapping[str, Any], ...] | None = None
    shims: tuple[Fraction, ...] | None = None

    @property
    def said(self) -> bool:
        """Whether the box limits anything."""
        return self.pinions is not None or self.spurs is not None or self.rotors is not None


def parts_of(*boxes: Mapping[str, Any] | None) -> PartsBox:
    """The parts of a setup's own box and the garage's; the first that says something of a kind of part counts."""

    def listed(key: str) -> list[Any] | None:
        return next((box[key] for box in boxes if box and box.get(key) is not None), None)

    pinions, spurs, rotors, shims = (listed(key) for key in ("pinions_teeth", "spurs_teeth", "rotors", "shims_mm"))
    return PartsBox(
        None if pinions is None else tuple(pinions),
        None if spurs is None else tuple(spurs),
        None if rotors is None else tuple(rotors),
        None if shims is None else tuple(Fraction(str(shim)) for shim in shims),
    )
