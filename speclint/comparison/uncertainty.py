"""How far a number of the bench may be off: its expanded uncertainty, which another influence never shrinks."""

import math

from speclint.comparison.recorded import COMMON
from speclint.readings.distributions import student_factor
from speclint.readings.measured import K, Measured, Number


def expanded_uncertainty_of(number: Number) -> float:
    """The expanded uncertainty of a number, in its unit.

    Every influence counts with the factor of its own degrees of freedom, two where it was stated. Where few repeats
    dominate this is wider than one factor from the effective degrees of freedom (JCGM 100 G.4), and unlike that it
    never shrinks when another influence is added.
    """
    if not isinstance(number, Measured):
        return 0.0
    return math.hypot(
        *(part * coverage_factor(influence.degrees_of_freedom) for influence, part in number.contributions.items())
    )


def coverage_factor(degrees_of_freedom: float) -> float:
    """The coverage factor of two standard deviations of a normal distribution, for few repeats Student's."""
    if degrees_of_freedom == math.inf:
        return K
    return max(K, student_factor(math.erfc(K / math.sqrt(2.0)), max(degrees_of_freedom, 1.0)))


def is_common(influence_id: str) -> bool:
    """Whether an influence is an instrument's own error, which all of its readings share."""
    return influence_id.startswith(COMMON)
