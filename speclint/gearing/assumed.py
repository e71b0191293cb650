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

    def __str__(self) -> str:
        return f"{self.what}: {self.value} ({self.why}; {self.source})"


MASS_G: Final = 1500.0
"""A touring car or two-wheel buggy, at the heavy end of 1.33 to 1.55 kg (estimate): a heavier car is a hotter one."""

CELL_V: Final = 4.2
"""A lithium polymer cell as charged."""

CAPACITY_MAH: Final = 5000.0
"""A pack of which none is printed: 4000 to 8000 mAh are raced (estimate)."""

LAP_M: Final = 110.0
"""A lap of a club hall, 70 to 160 m (estimate)."""

STRAIGHT_SHARE: Final = 0.22
"""Longest straight as a part of the lap: 24 of 110 m in a club hall, 0.13 to 0.3 (estimate)."""

INFIELD_KMH: Final = 26.0
"""Mean speed off the straight in a stock class, 19 to 34 km/h (estimate)."""

INFIELD_LOW_HIGH: Final = (0.74, 1.28)
"""Its range, as parts of that."""

AMBIENT_C: Final = 25.0
"""A warm hall or a summer's day: on the warm side, as a start should be."""

CAN_LIMIT_C: Final = 71.0
"""160 °F, the lower end of the 71 to 79 °C that published gearing advice gives for the can after five minutes."""

WINDING_LIMIT_C: Final = 120.0
"""Insulation of thermal class E (IEC 60085); racers' wire is mostly better, the glue of the magnets is not."""

LIMIT_RPM: Final = 40_000.0
"""Motor speed: greased bearings of 5 mm bore are listed up to 40,000 to 60,000 rpm (bearing catalogues; estimate)."""

STARTING_TYRE_MM: Final = 63.0
"""Tyre that a motor sheet's starting ratio is for, where it does not say: a 1/10 touring car's."""
