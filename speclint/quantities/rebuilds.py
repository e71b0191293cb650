"""Rebuilds: what can be done to a motor, and which readings are no longer its own afterwards."""

from typing import Final, NamedTuple

WINDING: Final = "winding"
TIMING: Final = "timing"
SPEED: Final = "speed"
CURRENT: Final = "current"
BALANCE: Final = "balance"
END_PLAY: Final = "end play"
FAMILIES: Final = (WINDING, TIMING, SPEED, CURRENT, BALANCE, END_PLAY)


class RebuildKind(NamedTuple):
    """One kind of rebuild: `ends` names the families of readings that it makes stale."""

    kind: str
    title: str
    ends: frozenset[str]
    because: str


def _rebuild(kind: str, title: str, ends: tuple[str, ...], because: str) -> RebuildKind:
    return RebuildKind(kind, title, frozenset(ends), because)


REBUILDS: Final[tuple[RebuildKind, ...]] = (
    _rebuild(
        "rotor-swap",
        "rotor swap",
        (TIMING, SPEED, CURRENT, BALANCE, END_PLAY),
        "the magnet is half of the motor: its strength sets speed and current, its poles set what the sensors see",
    ),
    _rebuild("clean", "cleaning", (), "cleaning changes none of the readings by more than the bench can blur"),
    _rebuild(
        "shim",
        "shimming",
        (CURRENT, BALANCE, END_PLAY),
        "moving the rotor along the shaft changes friction and how strongly the sensors see the magnet",
    ),
    _rebuild("timing-change", "timing change", (TIMING, SPEED, CURRENT), "speed and current follow the timing"),
    _rebuild("bearing", "bearing change", (CURRENT, END_PLAY), "a bearing changes friction and the room for the rotor"),
    _rebuild("rewind", "rewinding", (WINDING, TIMING, SPEED, CURRENT, BALANCE), "new wire makes another winding of it"),
    _rebuild(
        "stator-swap", "stator swap", (WINDING, TIMING, SPEED, CURRENT, BALANCE, END_PLAY), "it is another winding"
    ),
)
"""Every kind of rebuild. Source: common practice."""

REBUILDS_BY_KIND: Final = {rebuild.kind: rebuild for rebuild in REBUILDS}
