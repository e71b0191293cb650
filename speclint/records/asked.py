"""What the classes of a car ask of a quantity: a value in the neighbourhood is not odd, whatever the trade meets elsewhere."""

from collections.abc import Callable
from fractions import Fraction

Asked = Callable[[str], frozenset[Fraction]]
"""Gives the limits that the classes of a car's entries put on the quantity of a name."""


def nothing_asked(_: str) -> frozenset[Fraction]:
    """For a car that is entered nowhere."""
    return frozenset()
