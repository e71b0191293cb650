"""What limits answer that have no number of their own: words, lists, and what is only looked up for a car."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from speclint.forms.limit import Names, Target
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.words import value_text
from speclint.limits.decisions import Outcome
from speclint.quantities.facts import Fact, Value


class Unsized:
    """These answers of a limit; a form that has another one says it itself."""

    __slots__ = ()

    @property
    def lead(self) -> str:
        """Nothing."""
        return ""

    def has(self, fact: Fact, value: Value, outcome: Outcome | None, unit: str) -> str:
        """The value."""
        return value_text(value, unit)

    def margin(self, fact: Fact, outcome: Outcome | None, unit: str, told: str) -> str:
        """Nothing: a word has no size."""
        return ""

    def offered(self, example: Any, lists: DayLists) -> Scalar | None:
        """None: the quantity's own example will do, or what is allowed depends on the car."""
        return None

    def targets(self, value: Fraction, step: Fraction) -> frozenset[Target]:
        """None: there is no nearest one."""
        return frozenset()

    def choices(self, lists: DayLists) -> tuple[Scalar, ...] | None:
        """None: what is allowed cannot be counted, or depends on the car."""
        return None

    @property
    def names(self) -> Names:
        """Nothing."""
        return Names()

    def listing(self, lists: DayLists) -> Iterator[str]:
        """Nothing."""
        return iter(())
