"""How far readings of one motor scatter that is clamped and contacted anew: as stated, else as is usual in the trade."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from speclint.readings.exact import to_float
from speclint.readings.instruments import Instrument


@dataclass(frozen=True, slots=True)
class Scatter:
    """A standard deviation between two runs of a motor that did not change; `percent` says of the reading."""

    size: Fraction
    percent: bool

    def at(self, value: Fraction) -> float:
        """The standard deviation for a reading, in its unit."""
        return to_float(abs(value) * self.size / 100) if self.percent else to_float(self.size)


USUAL: Final[Mapping[str, Scatter]] = {
    "rpm_per_v": Scatter(Fraction(3, 10), percent=True),
    "rpm": Scatter(Fraction(3, 10), percent=True),
    "a": Scatter(Fraction(2), percent=True),
    "mohm": Scatter(Fraction(2, 10), percent=True),
    "deg": Scatter(Fraction(3, 10), percent=False),
    "percent": Scatter(Fraction(3, 10), percent=False),
}
"""What is assumed where no instrument states its repeatability, by unit (estimates, from common practice).

Volts and temperatures have none: the supply is set by its own display, and what a thermometer misses is counted apart.
"""

_NO_PERCENTAGE: Final = frozenset({"deg", "percent"})
"""Units in which a scatter in percent of the reading means nothing: it would vanish with the reading."""


def scatter_of(instrument: Instrument, unit: str) -> Scatter | None:
    """The scatter that an instrument states for a unit; None where it states none. Zero counts as not stated."""
    if instrument.repeatability is not None and instrument.repeatability > 0:
        return Scatter(instrument.repeatability, percent=False)
    percent = instrument.repeatability_percent
    if percent is not None and percent > 0 and unit not in _NO_PERCENTAGE:
        return Scatter(percent, percent=True)
    return None
