"""Decision rules: a value beside its limits becomes a ruling, a margin and a probability (JCGM 106)."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.readings.distributions import student_cdf
from speclint.readings.exact import exact as exactly
from speclint.readings.exact import to_float
from speclint.readings.measured import Measured, Number, value_of

_SHOWS_95_PERCENT: Final = 1.96
"""Standard uncertainties either side of a normal mean that hold 95 % of it."""


class Decision(Enum):
    """Whom the uncertainty of a reading counts against; the guard band is U."""

    AS_READ = "as-read"
    """Simple acceptance (JCGM 106 8.2): nobody."""
    MUST_SHOW = "must-show"
    """Guarded acceptance (JCGM 106 8.3.2): the one who must show that the car is legal."""
    BENEFIT_OF_DOUBT = "benefit-of-doubt"
    """Guarded rejection (JCGM 106 8.3.3): the one who would call the car illegal."""


class Ruling(Enum):
    """What a decision rule says of a value."""

    LEGAL = "legal"
    ILLEGAL = "illegal"
    NOT_SHOWN = "not-shown"


@dataclass(frozen=True, slots=True)
class Limits:
    """One limit or two; a strict one is itself out of bounds.

    Attributes:
        low: the smallest value allowed, or that the value must lie above.
        low_strict: the value must lie above `low`.
        high: the largest value allowed, or that the value must lie below.
        high_strict: the value must lie below `high`.

    Raises:
        ValueError: there is neither a lower limit nor an upper one.
    """

    low: Fraction | None = None
    low_strict: bool = False
    high: Fraction | None = None
    high_strict: bool = False

    def __post_init__(self) -> None:
        if self.low is None and self.high is None:
            raise ValueError("limits have a lower or an upper side")

    def met_by(self, value: Fraction) -> bool:
        """Whether the value itself lies within."""
        return self.measure(value)[2]

    def contain(self, inner: "Limits") -> bool:
        """Whether every value within the inner limits lies within these."""
        low_fits = self.low is None or (
            inner.low is not None
            and (inner.low > self.low or (inner.low == self.low and (inner.low_strict or not self.low_strict)))
        )
        high_fits = self.high is None or (
            inner.high is not None
            and (inner.high < self.high or (inner.high == self.high and (inner.high_strict or not self.high_strict)))
        )
        return low_fits and high_fits

    def nearest(self, value: Fraction) -> tuple[Fraction, Fraction]:
        """The limit that decides, and the margin to it: above zero within, below zero by as much as it is broken."""
        return self.measure(value)[:2]

    def measure(self, value: Fraction) -> tuple[Fraction, Fraction, bool]:
        """The limit that decides, the margin to it, and whether the value lies within."""
        low, high = self.low, self.high
        if low is None or high is None:
            # A difference of fractions is slow, and its sign says all: one a side is enough.
            if low is not None:
                margin, limit, strict = value - low, low, self.low_strict
            elif high is not None:
                margin, limit, strict = high - value, high, self.high_strict
            else:
                raise ValueError("limits have a lower or an upper side")
            sign = margin.numerator
            return limit, margin, sign > 0 if strict else sign >= 0
        above, below = value - low, high - value
        met = (above.numerator > 0 if self.low_strict else above.numerator >= 0) and (
            below.numerator > 0 if self.high_strict else below.numerator >= 0
        )
        return (low, above, met) if above <= below else (high, below, met)


class Outcome(NamedTuple):
    """What became of a value.

    Attributes:
        ruling: legal, illegal or not-shown.
        limit: the limit nearest to the value.
        margin: the distance to that limit, in the value's unit; below zero where the value breaks it.
        close_call: the limit is closer to the value than U.
        expanded_uncertainty: U, in the value's unit; None where no uncertainty is known.
        value: what was ruled on.
        limits: what it was held against.
    """

    ruling: Ruling
    limit: Fraction
    margin: Fraction
    close_call: bool
    expanded_uncertainty: float | None
    value: Number
    limits: Limits

    @property
    def probability(self) -> float | None:
        """The probability that the true value conforms (JCGM 106 7.3, 7.4); None where no uncertainty is known."""
        expanded = self.expanded_uncertainty
        if not isinstance(self.value, Measured) or expanded is None or not math.isfinite(expanded):
            return None
        return _probability(self.value, self.limits, met=self.limits.met_by(self.value.value))


def decide(
    value: Number,
    limits: Limits,
    decision: Decision,
    *,
    exact: bool = False,
    complete: bool = True,
    ways: int = 1,
) -> Outcome:
    """The ruling on a value by a decision rule.

    A step that the rulebook reads to (`read_to`) is applied before; rounding drops nothing from the uncertainty.
    A limit of `must-show` that is broken as read is illegal even where no uncertainty is known, as no uncertainty
    could make it legal.

    Args:
        value: a plain value is taken as read.
        limits: in the value's unit.
        decision: the decision rule.
        exact: a plain value is a count, a ratio of counts or a setting: it is compared exactly by any decision rule.
        complete: False where a reading behind the value has no uncertainty known, so that U is only a least value:
            then nothing is shown by `must-show`.
        ways: how many different readings could each meet the rule alone. Each would pass just beyond its limit in
            2.275 % of trials, so that one of several does so more often: `must-show` then asks for as much more than U
            as leaves 2.275 % for all of them together.
    """
    read = value_of(value)
    limit, margin, met = limits.measure(read)
    if not isinstance(value, Measured):
        ruling = _as_read(met)
        if met and decision is Decision.MUST_SHOW and not (exact and complete):
            ruling = Ruling.NOT_SHOWN
        return Outcome(ruling, limit, margin, False, None, value, limits)
    expanded = value.expanded()
    if not math.isfinite(expanded):
        ruling = _as_read(met) if decision is Decision.AS_READ or not met else Ruling.NOT_SHOWN
        return Outcome(ruling, limit, margin, True, expanded, value, limits)
    ruling = _as_read(met)
    wide = expanded if ways == 1 else expanded * guard_factor(ways)
    is_clear = abs(to_float(margin)) > _CLEARLY * wide
    if is_clear and (complete or decision is not Decision.MUST_SHOW):
        return Outcome(ruling, limit, margin, False, expanded, value, limits)
    guard, wide_guard = _guard_band(expanded), _guard_band(wide)
    if decision is Decision.MUST_SHOW and met and not (complete and margin >= wide_guard):
        ruling = Ruling.NOT_SHOWN
    elif decision is Decision.BENEFIT_OF_DOUBT and guard and margin >= -guard:
        ruling = Ruling.LEGAL
    return Outcome(ruling, limit, margin, abs(margin) < guard, expanded, value, limits)


_CLEARLY: Final = 1.000001
"""A margin of so many times the guard band is beyond it, whatever the last digits of either."""


def probability_of_any(outcomes: Sequence[Outcome]) -> float | None:
    """The probability that one value lies within any of several limits, which may overlap; None where none is known."""
    if not outcomes or any(outcome.probability is None for outcome in outcomes):
        return None
    spans: list[Limits] = []
    for limits in sorted(
        (outcome.limits for outcome in outcomes), key=lambda limits: (limits.low is not None, limits.low)
    ):
        last = spans[-1] if spans else None
        if last is None or (last.high is not None and limits.low is not None and limits.low > last.high):
            spans.append(limits)
        else:
            open_above = last.high is None or limits.high is None
            high = None if last.high is None or limits.high is None else max(last.high, limits.high)
            if open_above and last.low is None:
                return 1.0
            spans[-1] = Limits(low=last.low, high=high)
    value = outcomes[0].value
    if not isinstance(value, Measured):
        return None
    return min(1.0, sum(_probability(value, span, met=span.met_by(value.value)) for span in spans))


def guard_factor(ways: int) -> float:
    """By how much the guard band of U = 2 u grows where each of several independent readings could meet a rule alone.

    Half the quantile of the normal distribution at 1 − 0.02275 / ways: Bonferroni's inequality then leaves 2.275 % for
    all of them together.
    """
    from statistics import NormalDist  # seldom asked for

    return NormalDist().inv_cdf(1.0 - _BEYOND_TWO_SIGMA / ways) / 2.0


_BEYOND_TWO_SIGMA: Final = 0.022750131948179195
"""The share of a normal distribution above two standard deviations."""


def capability(limits: Limits, standard_uncertainty: float) -> float | None:
    """The measuring capability index: width of the limits over 4 u (JCGM 106 3.3.17); None for a single limit."""
    if limits.low is None or limits.high is None:
        return None
    width = to_float(limits.high - limits.low)
    return math.inf if standard_uncertainty <= 0 else width / (4.0 * standard_uncertainty)


def undecidable(limits: Limits, standard_uncertainty: float) -> bool:
    """Whether two limits lie closer than ±1.96 u, so that no reading can show a car legal at 95 %."""
    index = capability(limits, standard_uncertainty)
    return index is not None and not index >= _SHOWS_95_PERCENT / 2.0


def _as_read(met: bool) -> Ruling:
    return Ruling.LEGAL if met else Ruling.ILLEGAL


def _guard_band(expanded: float) -> Fraction:
    # As a decimal of twelve digits: 2 × 0.05 must be 0.1, or a margin of exactly U falls short by a binary hair.
    return exactly(float(f"{expanded:.12g}"))


def _probability(value: Measured, limits: Limits, *, met: bool) -> float:
    """JCGM 106 7.3 and 7.4, with Student's distribution for the normal one where few repeats dominate."""
    uncertainty = value.standard_uncertainty
    if not uncertainty > 0:
        return 1.0 if met else 0.0
    freedom = value.effective_degrees_of_freedom

    def below(bound: Fraction) -> float:
        return student_cdf(to_float(bound - value.value) / uncertainty, freedom)

    def above(bound: Fraction) -> float:
        return student_cdf(to_float(value.value - bound) / uncertainty, freedom)

    if limits.high is None:
        return above(limits.low) if limits.low is not None else 1.0
    if limits.low is None:
        return below(limits.high)
    # From the side where the tails are small, so that a value far outside keeps its small probability.
    if 2 * value.value > limits.low + limits.high:
        return max(0.0, below(limits.high) - below(limits.low))
    return max(0.0, above(limits.low) - above(limits.high))
