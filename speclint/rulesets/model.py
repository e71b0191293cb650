"""A ruleset as frozen values: its classes, rules, lists, waivers and examples."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any, NamedTuple

from speclint.limits.decisions import Decision
from speclint.limits.forms import Limit
from speclint.places import Place
from speclint.readings.instruments import Instrument

Scalar = str | bool | Fraction
"""A value that can be compared with what a document states; numbers are exact."""

Instruments = Mapping[str, Instrument]
"""Instruments by the name that rules call them by."""


@dataclass(frozen=True, slots=True)
class Period:
    """The days from one to another, both counted in; an end that is None is open."""

    start: date | None = None
    end: date | None = None

    def __contains__(self, day: date) -> bool:
        """Whether the day is one of them."""
        return (self.start is None or self.start <= day) and (self.end is None or day <= self.end)


class Rule(NamedTuple):
    """One limit on one quantity. A rule that only withdraws another, or asks for an inspection, has no quantity."""

    id: str
    quantity: str | None
    limit: Limit | None
    when: tuple[tuple[str, tuple[Scalar, ...]], ...]
    period: Period
    replaces: str | None
    withdrawn: bool
    read_to: Fraction | None
    uncorrected: bool
    decision: Decision | None
    instrument: str | None
    cite: str
    because: str
    measure: str
    penalty: str
    published: date | None
    place: Place
    ruleset: str
    """Id of the ruleset that states the rule, which may be one that the entry's ruleset builds on."""
    data: dict[str, Any]


class ClassRules(NamedTuple):
    """A class as one ruleset states it, before anything is inherited."""

    id: str
    title: str
    based_on: str | None
    rules: tuple[Rule, ...]
    place: Place


class ListItem(NamedTuple):
    """One item of a list: `keys` holds whatever the list says of it, as tuples of scalars."""

    id: str
    period: Period
    published: date | None
    keys: Mapping[str, tuple[Scalar, ...]]


class PartsList(NamedTuple):
    """A list of approved things; once frozen, what is added later counts for the next season."""

    id: str
    frozen_on: date | None
    items: tuple[ListItem, ...]

    def standing(self, item: ListItem, on: date, known_on: date | None) -> str:
        """Why an item does not count on the day, in words; empty where it counts."""
        if known_on is not None and item.published is not None and item.published > known_on:
            return f"was published on {item.published}"
        if self.frozen_on is not None and item.period.start is not None and item.period.start > self.frozen_on:
            return f"was added on {item.period.start}, after the list froze on {self.frozen_on}"
        if item.period.start is not None and on < item.period.start:
            return f"counts from {item.period.start}"
        if item.period.end is not None and on > item.period.end:
            return f"counted until {item.period.end}"
        return ""


Lists = Mapping[str, PartsList]
"""Lists by the name that rules call them by."""


class Waiver(NamedTuple):
    """A dispensation by the club: the rule does not bind one motor, or one car, for a while."""

    rule: str
    class_id: str | None
    serial: str | None
    period: Period
    granted: str
    place: Place


@dataclass(frozen=True, slots=True)
class Example:
    """A ruleset's own test: a setup, and the verdicts that its rules must give."""

    about: str
    class_id: str
    on: date
    setup: dict[str, Any]
    entry: dict[str, Any]
    expect: Mapping[str, str]
    index: int


class Ruleset(NamedTuple):
    """One version of one publisher's class rules, as its file states it."""

    id: str
    title: str
    version: str
    in_force: Period
    published: date | None
    based_on: tuple[str, str | None] | None
    reference_c: Fraction | None
    decision: Decision | None
    instruments: Instruments
    classes: Mapping[str, ClassRules]
    lists: Lists
    waivers: tuple[Waiver, ...]
    examples: tuple[Example, ...]
    data: dict[str, Any]
    place: Place

    @property
    def name(self) -> str:
        """Id and version, as `based_on` names it."""
        return f"{self.id}@{self.version}"


class FlatClass(NamedTuple):
    """A class of a ruleset with everything it inherits: all rules of all days, later amendments among them."""

    ruleset: Ruleset
    id: str
    title: str
    rules: tuple[Rule, ...]
    lists: Lists
    instruments: Instruments
    waivers: tuple[Waiver, ...]
    reference_c: Fraction
    decision: Decision
