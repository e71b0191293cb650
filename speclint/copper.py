"""The constant of copper, for readings, which are exact, and for physics, which is not."""

from fractions import Fraction
from typing import Final

K_COPPER: Final = Fraction(235)
"""Copper's resistance runs in a straight line to zero at -235 °C: the constant of IEC 60034-1's resistance method."""
