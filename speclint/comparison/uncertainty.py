"""How far a number of the bench may be off, at the level that keeps false alarms of a whole table down."""

import math
from typing import Final

from speclint.comparison.recorded import COMMON
from speclint.readings.distributions import student_factor
from speclint.readings.measured import K, Measured, Number

FALSE_ALARMS: Final = 0.05
"""How many tables of a motor that did not change may show a change somewhere."""

KNOWN_BEFOREHAND: Final = 4
"""How many readings more, as it were, stand behind the scatter of repeats, since benches of the kind are known (estimate)."""

_ONE_NUMBER: Final = math.erfc(K / math.sqrt(2.0))
"""What two standard deviations of a normal distribution leave outside."""


def tails_for(count: int) -> float:
    """The share of false alarms that each of several independent comparisons may have, so that all keep the limit.

    The correction of Šidák for independent tests; those of dependent quantities then have fewer.
    """
    return 1.0 - math.pow(1.0 - FALSE_ALARMS, 1.0 / max(count, 1))


def expanded_uncertainty_of(number: Number, tails: float = _ONE_NUMBER) -> float:
    """The half-width in the number's unit that it stays within but for `tails`, a probability.

    Every influence counts with the factor of its own degrees of freedom, so that another influence never shrinks the
    whole (unlike the one factor of JCGM 100 G.4). Few readings in one run say little of their scatter, yet what is known
    of benches says some.
    """
    if not isinstance(number, Measured):
        return 0.0
    return math.hypot(
        *(
            part * coverage_factor(influence.degrees_of_freedom + KNOWN_BEFOREHAND, tails)
            for influence, part in number.contributions.items()
        )
    )


def coverage_factor(degrees_of_freedom: float, tails: float = _ONE_NUMBER) -> float:
    """The factor of a standard uncertainty that leaves `tails` outside."""
    return student_factor(tails, max(degrees_of_freedom, 1.0))


def is_common(influence_id: str) -> bool:
    """Whether an influence is an instrument's own error, which all of its readings share."""
    return influence_id.startswith(COMMON)
