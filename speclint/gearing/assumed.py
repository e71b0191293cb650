"""What stands in for something that the files do not say of the car, the track or the motor: value, range, source."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Assumed:
    """One value that nobody stated.

    Attributes:
        what: What it is, in a racer's words.
        value: With its unit.
        why: Why it had to be assumed, with the key or option to state it by.
        source: Where the value comes from.
    """

    what: str
    value: str
    why: str
    source: str


MASS_G: Final = 1500.0
"""A touring car or two-wheel buggy, at the heavy end of 1.33 to 1.55 kg (from memory): a heavier car is a hotter one."""

CELL_V: Final = 4.2
"""A lithium polymer cell as charged."""

LAP_M: Final = 90.0
"""A lap of a club hall, 70 to 150 m (from memory)."""

STRAIGHT_SHARE: Final = 0.24
"""Longest straight as a part of the lap: 22 of 90 m in a club hall, 0.15 to 0.3 (from memory)."""

CORNER_KMH: Final = 28.0
"""Mean speed off the straight in a fast stock class, 18 to 32 km/h (from memory): a faster lap is a hotter one."""

AMBIENT_C: Final = 25.0
"""A warm hall or a summer's day: on the warm side, as a safe start should be."""

CAN_LIMIT_C: Final = 71.0
"""160 °F, the lower end of the 71 to 79 °C that published gearing advice gives for the can after five minutes."""

LIMIT_RPM: Final = 40_000.0
"""Motor speed: greased bearings of 5 mm bore are listed up to 40,000 to 60,000 rpm (from memory)."""

UNMEASURED_SLOW: Final = 0.97
UNMEASURED_FAST: Final = 1.2
"""Speed per volt of a motor that nobody has measured, as parts of the typical one at zero timing: club limits run from
39,000 to 41,000 rpm/V times turns, and timing adds up to a fifth (from memory)."""

UNMEASURED_DRAG: Final = 2.0
"""No-load torque of such a motor with all that timing, as a part of the typical one at zero timing (from memory)."""
