"""What every limit has to answer, whatever its form; a form that lacks an answer does not pass the type checker."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any, NamedTuple, Protocol

from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.written_unit import WrittenUnit
from speclint.limits.decisions import Decision, Limits, Outcome, Ruling
from speclint.places import Path
from speclint.quantities.facts import Fact, Facts, Value
from speclint.quantities.model import Quantity
from speclint.schema_nodes import Schema

Places = Callable[..., int]
"""How many decimals the rulebook writes of the number at these steps below the rule."""


class Misfit(NamedTuple):
    """Why a limit can never say anything sensible: a sort of problem, the message, and the rule's key to point at."""

    problem: str
    message: str
    key: str
    of_key: bool = True


class Leeway(NamedTuple):
    """How far beyond its limit a value still passes: a number in the unit of the limit, or percent of it."""

    size: Fraction
    is_percent: bool

    def beyond(self, limit: Fraction) -> Fraction:
        """The leeway at a limit, in its unit."""
        return abs(limit) * self.size / 100 if self.is_percent else self.size

    def around(self, limits: Limits) -> Limits:
        """The limits moved outwards."""
        low = None if limits.low is None else limits.low - self.beyond(limits.low)
        high = None if limits.high is None else limits.high + self.beyond(limits.high)
        return replace(limits, low=low, high=high)


class Circumstances(NamedTuple):
    """What a limit may ask for beside the value that it is put on.

    Attributes:
        lists: the lists of the class on the day.
        facts: what else the car states.
        ways: how many different readings could each meet the rule alone: the more, the wider the guard band.
        leeway: how far beyond the limit a value still passes.
    """

    lists: DayLists
    facts: Facts
    ways: int = 1
    leeway: Leeway | None = None


class Judgement(NamedTuple):
    """What a limit says of a fact.

    Attributes:
        ruling: legal, illegal or not-shown.
        fact: the fact that decided: the one that was judged, or another that the limit needed and did not find.
        outcome: there where a number was held against limits of size.
        reason: why, in words, where the numbers do not say it.
        missing: the keys to add.
        limit: the limit as it is for this car, where it was looked up.
    """

    ruling: Ruling
    fact: Fact
    outcome: Outcome | None = None
    reason: str = ""
    missing: tuple[str, ...] = ()
    limit: "Limit | None" = None


class InItem(NamedTuple):
    """A key that every item of a list has to have, and whether one number has to stand there."""

    list_id: str
    key: str
    is_size: bool


class Names(NamedTuple):
    """What a limit names, each with the steps below the rule to where it does.

    Attributes:
        quantities: those beside its own.
        lists: those that it looks into.
        compared: the quantities whose value is the limit, so that another value of theirs can mend a car.
        looked_up: the keys of items that it looks up.
    """

    quantities: tuple[tuple[Path, str], ...] = ()
    lists: tuple[tuple[Path, str], ...] = ()
    compared: tuple[str, ...] = ()
    looked_up: tuple[InItem, ...] = ()


class Target(NamedTuple):
    """A number that just meets a limit, and the way farther in: 1 up, -1 down, 0 where there is none.

    `written` is there where the rulebook writes the limit in another unit.
    """

    number: Fraction
    inward: int
    written: WrittenUnit | None = None


class Limit(Protocol):
    """One limit on one quantity."""

    @property
    def requirement(self) -> object:
        """What it asks, equal for two limits that ask the same in whatever words."""

    @property
    def lead(self) -> str:
        """What stands between `the rule asks` and `asked`, "" for most."""

    def misfits(self, quantity: Quantity, key: str) -> Iterator[Misfit]:
        """Why no value of the quantity can meet it, or why it does not suit the quantity; `key` is its key in the rule."""

    def judge(self, fact: Fact, decision: Decision, circumstances: Circumstances) -> Judgement:
        """What it says of a fact that has a value."""

    def asked(self, unit: str) -> str:
        """What it asks: `at least 4.20`, `36 to 40°`, `one of standard, torque`."""

    def has(self, fact: Fact, value: Value, outcome: Outcome | None, unit: str) -> str:
        """A value of the fact in words, with the digits that matter beside the limit."""

    def margin(self, fact: Fact, outcome: Outcome | None, unit: str, told: str) -> str:
        """By how much it is met or broken: `0.15 mm to spare`; "" where that is no number. `told` is what `has` says."""

    def offered(self, example: Any, lists: DayLists) -> Scalar | None:
        """A value that meets it, for a starting file; None where the quantity's own example does, or none is known."""

    def targets(self, value: Fraction, step: Fraction) -> frozenset[Target]:
        """The numbers nearest to the value that just meet it, where a quantity is set or read in steps."""

    def choices(self, lists: DayLists) -> tuple[Scalar, ...] | None:
        """Every value that it allows, None where these cannot be counted."""

    @property
    def names(self) -> Names:
        """The quantities and lists that it names beside the rule's own quantity."""

    def listing(self, lists: DayLists) -> Iterator[str]:
        """What its lists allow, a line each."""


class FormExample(NamedTuple):
    """A rule, a setup that meets it, and one that does not: that one is illegal, or not shown where it says so."""

    rule: str
    meets: str
    fails: str
    verdict: str = "illegal"


class Form(NamedTuple):
    """One way to write a limit.

    Attributes:
        keys: the keys that say it, any of which may stand first.
        shapes: every key of the form with its shape and its help.
        read: the limit that these keys of a rule state.
        example: what it does.
        beside: keys that belong to the others and say nothing alone.
    """

    keys: tuple[str, ...]
    shapes: Callable[[], dict[str, Schema]]
    read: Callable[[Mapping[str, Any], Places], Limit]
    example: FormExample
    beside: tuple[str, ...] = ()
