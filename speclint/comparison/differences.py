"""Two runs held against each other: each quantity's change, its uncertainty, and what that shows."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import Enum
from fractions import Fraction

from speclint.comparison.assumed import assumptions_of
from speclint.comparison.common_conditions import Conditions, common_conditions, common_values_of
from speclint.comparison.compared import COMPARED, CommonValue, ComparedQuantity
from speclint.comparison.obstacles import Obstacle, obstacles_between
from speclint.comparison.recorded import RecordedValue
from speclint.comparison.runs import ComparedRun, RunPair, between
from speclint.comparison.uncertainty import expanded_uncertainty_of, tails_for
from speclint.models.motors import Rebuild
from speclint.readings.measured import Number, value_of


class Conclusion(Enum):
    """What two readings show of a quantity."""

    CHANGED = "changed"
    NO_CHANGE = "no change shown"
    CANNOT_TELL = "can't tell"


@dataclass(frozen=True, slots=True)
class QuantityChange:
    """One quantity in two runs.

    Attributes:
        first: the value in the first run at common conditions; None where it cannot be had.
        second: the same in the second.
        difference: second − first, with its uncertainty; what both share has cancelled.
        expanded_uncertainty: how large a difference the scatter of the bench makes by itself, at the level that keeps
            false alarms of the whole table down; None where it is not known.
        conclusion: what that shows.
        reason: why nothing can be told, in words; "" where something can.
        shares: the instruments that both were read on; none where one of their readings was on another.
    """

    quantity: ComparedQuantity
    first: Number | None
    second: Number | None
    difference: Number | None = None
    expanded_uncertainty: float | None = None
    conclusion: Conclusion = Conclusion.CANNOT_TELL
    reason: str = ""
    shares: tuple[str, ...] = ()

    @property
    def percent(self) -> Fraction | None:
        """The difference in percent of the first value."""
        if self.difference is None or self.first is None or not value_of(self.first):
            return None
        return value_of(self.difference) / value_of(self.first) * 100

    @property
    def sign(self) -> int | None:
        """Which way it changed, 1 for more and -1 for less; 0 where no change is shown, None where nothing is told."""
        if self.conclusion is Conclusion.CANNOT_TELL or self.difference is None:
            return None
        if self.conclusion is Conclusion.NO_CHANGE:
            return 0
        return 1 if value_of(self.difference) > 0 else -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two runs of one motor held against each other.

    `rebuilds` are those between them, the oldest first; `assumptions` what is taken for what nobody stated.
    """

    first: ComparedRun
    second: ComparedRun
    why: str
    rebuilds: tuple[Rebuild, ...]
    conditions: Conditions
    changes: tuple[QuantityChange, ...]
    obstacles: tuple[Obstacle, ...]
    assumptions: tuple[str, ...]
    notes: tuple[str, ...]

    def change(self, name: str) -> QuantityChange:
        """The change of a quantity by its name, which is one of `COMPARED`."""
        return next(change for change in self.changes if change.quantity.name == name)

    @property
    def did(self) -> frozenset[str]:
        """The kinds of rebuild between the runs."""
        return frozenset(kind for rebuild in self.rebuilds for kind in rebuild.did)


def compare(pair: RunPair) -> Comparison:
    """Everything that two runs show of a motor: second against first, at common conditions."""
    first, second = pair.old, pair.new
    older, newer = sorted((first, second), key=lambda run: run.number)
    rebuilt = between(older, newer)
    did = frozenset(kind for rebuild in rebuilt for kind in rebuild.did)
    conditions = common_conditions((first, second))
    at_first, at_second = common_values_of(first, conditions), common_values_of(second, conditions)
    obstacles = tuple(obstacles_between(at_first, at_second, did, conditions))
    values = [(quantity, at_first.by_name[quantity.name], at_second.by_name[quantity.name]) for quantity in COMPARED]
    in_both = [quantity for quantity, old, new in values if old.number is not None and new.number is not None]
    tails = tails_for(independent_count(in_both))
    titles = (first.title, second.title)
    return Comparison(
        first=first,
        second=second,
        why=pair.why,
        rebuilds=rebuilt,
        conditions=conditions,
        changes=tuple(
            change_of(quantity, old, new, titles, tails=tails, obstacles=obstacles) for quantity, old, new in values
        ),
        obstacles=obstacles,
        assumptions=tuple(assumptions_of([value for _, *pair_of_values in values for value in pair_of_values])),
        notes=(*at_first.notes, *at_second.notes),
    )


def independent_count(quantities: Iterable[ComparedQuantity]) -> int:
    """How many of the quantities can raise a false alarm of their own: the torque is reckoned from the speed."""
    names = {quantity.name for quantity in quantities}
    return len(names - {"torque_mnm_per_a"}) or len(names)


def change_of(
    quantity: ComparedQuantity,
    first: CommonValue,
    second: CommonValue,
    titles: tuple[str, str],
    *,
    tails: float,
    obstacles: tuple[Obstacle, ...] = (),
) -> QuantityChange:
    """The change of one quantity: shown where it is larger than the scatter of the bench makes, and only there.

    Args:
        quantity: what is compared.
        first: its value in the first run.
        second: its value in the second.
        titles: what the two are called.
        tails: how often this quantity may be shown to change when it did not, a probability.
        obstacles: what keeps the two from being held against each other.
    """
    if first.number is None or second.number is None:
        lacking = [
            f"{title}: add {', '.join(value.missing)}"
            for title, value in zip(titles, (first, second), strict=True)
            if value.missing
        ]
        reason = "; ".join(lacking) or "the supply voltage of the other run is not stated"
        return QuantityChange(quantity, first.number, second.number, reason=reason)
    difference = second.number - first.number
    obstacle_text = next((obstacle.message for obstacle in obstacles if quantity.family in obstacle.families), "")
    unlike = unlike_instruments(first, second)
    change = QuantityChange(quantity, first.number, second.number, difference, reason=obstacle_text or unlike)
    if unlike:
        return change
    width = expanded_uncertainty_of(difference, tails)
    changed = abs(float(value_of(difference))) > width
    conclusion = Conclusion.CANNOT_TELL if obstacle_text else Conclusion.CHANGED if changed else Conclusion.NO_CHANGE
    return replace(change, expanded_uncertainty=width, conclusion=conclusion, shares=shared_instruments(first, second))


def unlike_instruments(first: CommonValue, second: CommonValue) -> str:
    """Why the uncertainty of a difference is not known, in words; "" where it is."""
    for first_source, second_source in _partners(first, second):
        if first_source.identity == second_source.identity:
            continue
        imprecise = next((source for source in (first_source, second_source) if not source.accuracy_known), None)
        if imprecise is not None:
            name = imprecise.instrument or "the one that is not named"
            return f"the runs were read on different instruments, and the accuracy of {name} is not stated"
    return ""


def shared_instruments(first: CommonValue, second: CommonValue) -> tuple[str, ...]:
    """The instruments that all readings behind two levels share, none where one of them was read on another."""
    partners = _partners(first, second)
    if not all(
        first_source.identity and first_source.identity == second_source.identity
        for first_source, second_source in partners
    ):
        return ()
    return tuple(dict.fromkeys(source.instrument for source, _ in partners if source.instrument))


def _partners(first: CommonValue, second: CommonValue) -> list[tuple[RecordedValue, RecordedValue]]:
    """Readings of the two that stand for the same thing; of sensors that differ in number, the first ones."""
    if len(first.sources) == len(second.sources):
        return list(zip(first.sources, second.sources, strict=True))
    return [(first.sources[0], second.sources[0])] if first.sources and second.sources else []
