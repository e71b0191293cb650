"""What went into a motor at a rebuild, its rotor and its shims, as changes of the keys that say what is in it now."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from speclint.errors import UsageError
from speclint.models.motors import Motor
from speclint.models.rotors import Rotor
from speclint.places import Path
from speclint.readings.exact import to_number
from speclint.spelling import known_words

_ROTOR_KEYS: Final = ("kind", "part", "diameter_mm", "bore_mm", "length_mm")

MOVES_ROTOR: Final = "rotor-swap"
MOVES_SHIMS: Final = frozenset({"shim", "rotor-swap"})


@dataclass(frozen=True, slots=True)
class FittedParts:
    """What went in: a rotor by its part number or kind, shims by their thickness; None for what is not said."""

    rotor: str | None = None
    shims_drive_end: tuple[Fraction, ...] | None = None
    shims_sensor_end: tuple[Fraction, ...] | None = None

    def changes(self, motor: Motor, rotors: Iterable[Rotor]) -> tuple[tuple[Path, Any], ...]:
        """The keys of the motor that change, each with its new value; None for what is no longer known.

        Args:
            motor: the motor as its file has it.
            rotors: those of the parts boxes, of which all dimensions are known.

        Raises:
            UsageError: no rotor of this name is in a parts box, and the boxes have others.
        """
        return (*self._rotor_changes(motor, tuple(rotors)), *self._shim_changes(motor))

    def _rotor_changes(self, motor: Motor, rotors: tuple[Rotor, ...]) -> Iterator[tuple[Path, Any]]:
        if self.rotor is None:
            return
        held = {} if motor.rotor is None else dict(motor.rotor.keys)
        new = self._keys(rotors)
        for key in _ROTOR_KEYS:
            # What the old rotor measured says nothing of the new one.
            if held.get(key) != new.get(key):
                yield ("rotor", key), new.get(key)

    def _keys(self, rotors: tuple[Rotor, ...]) -> dict[str, Any]:
        for rotor in rotors:
            if self.rotor == rotor.part:
                return dict(rotor.keys)
        of_kind = [rotor for rotor in rotors if self.rotor == rotor.kind]
        if len(of_kind) == 1:
            return dict(of_kind[0].keys)
        parts = [rotor.part for rotor in rotors if rotor.part is not None]
        if parts:
            raise UsageError(f"no parts box has a rotor {self.rotor}{known_words(str(self.rotor), parts)}")
        return {"part": self.rotor}

    def _shim_changes(self, motor: Motor) -> Iterator[tuple[Path, Any]]:
        for end, new, held in (
            ("drive_end", self.shims_drive_end, motor.shims_mm.drive_end),
            ("sensor_end", self.shims_sensor_end, motor.shims_mm.sensor_end),
        ):
            if new is not None and new != held:
                yield ("shims_mm", end), [to_number(thickness) for thickness in new]


def typed_shims(text: str) -> tuple[Fraction, ...]:
    """Shims as they are typed, each by its thickness in mm: `0.1,0.2`; `0` for none.

    Raises:
        UsageError: they are no thicknesses.
    """
    try:
        shims = tuple(Fraction(part.strip()) for part in text.split(",") if part.strip())
    except (ValueError, ZeroDivisionError):
        shims = (Fraction(-1),)
    if any(thickness < 0 for thickness in shims):
        raise UsageError(f"{text}: write each shim by its thickness in mm, such as 0.1,0.2, and 0 for none")
    return tuple(thickness for thickness in shims if thickness)
