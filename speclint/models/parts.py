"""The parts box: what a remedy or a gearing can be made of."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.models.rotors import Rotor, rotor_of
from speclint.readings.exact import exact

SUM_EITHER_WAY: Final = 6
"""Teeth by which the sum of spur and pinion may differ from the pair that is fitted, as a motor mount usually allows."""


class PartsBox(NamedTuple):
    """The parts at hand; None where nothing is said of a kind of part, so that any may be had."""

    pinions_teeth: tuple[int, ...] | None = None
    spurs_teeth: tuple[int, ...] | None = None
    rotors: tuple[Rotor, ...] | None = None
    shims_mm: tuple[Fraction, ...] | None = None

    @property
    def limits_a_search(self) -> bool:
        """Whether it says something of parts that a remedy may put in."""
        return self.pinions_teeth is not None or self.spurs_teeth is not None or self.rotors is not None

    def filled_from(self, box: "PartsBox | None") -> "PartsBox":
        """This box, with what it says nothing of taken from another one, such as the garage's."""
        if box is None:
            return self
        return PartsBox(
            self.pinions_teeth if self.pinions_teeth is not None else box.pinions_teeth,
            self.spurs_teeth if self.spurs_teeth is not None else box.spurs_teeth,
            self.rotors if self.rotors is not None else box.rotors,
            self.shims_mm if self.shims_mm is not None else box.shims_mm,
        )


def parts_box_of(keys: Mapping[str, Any] | None) -> PartsBox:
    """The parts box under a key of valid shape; one that says nothing where there is none."""
    if not keys:
        return PartsBox()
    rotors = _listed(keys, "rotors")
    shims = _listed(keys, "shims_mm")
    pinions, spurs = _listed(keys, "pinions_teeth"), _listed(keys, "spurs_teeth")
    return PartsBox(
        None if pinions is None else tuple(pinions),
        None if spurs is None else tuple(spurs),
        None if rotors is None else tuple(rotor for keys in rotors if (rotor := rotor_of(keys)) is not None),
        None if shims is None else tuple(exact(thickness) for thickness in shims),
    )


def _listed(keys: Mapping[str, Any], key: str) -> Sequence[Any] | None:
    listed = keys.get(key)
    return None if listed is None else [item for item in listed if item is not None]
