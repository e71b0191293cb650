"""A ruleset as frozen values: its classes, rules, lists, waivers and examples."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any, NamedTuple

from speclint.forms.bodies import AnyOf, Body, LimitTest, Table, Withdrawn, tests_of
from speclint.forms.conditions import When
from speclint.forms.limit import Limit
from speclint.forms.parts_lists import Lists
from speclint.limits.decisions import Decision
from speclint.moments import Period
from speclint.places import Path, Place
from speclint.quantities.declared import Declared
from speclint.readings.instruments import Instrument

Instruments = Mapping[str, Instrument]
"""Instruments by the name that rules call them by."""


class Rule(NamedTuple):
    """What one rule says, when, to whom, and why."""

    id: str
    body: Body
    when: When
    period: Period
    replaces: str | None
    decision: Decision | None
    cite: str
    because: str
    measure: str
    penalty: str
    published: date | None
    place: Place
    ruleset: str
    """Id of the ruleset that states the rule, which may be one that the entry's ruleset builds on."""
    data: dict[str, Any]
    look: str = ""
    """What the inspector looks at where the setup does not state what it tests."""
    per: str = ""
    """How often the inspector looks: a run, a day, a meeting or a season; "" where nothing is said."""
    unless: tuple[When, ...] = ()
    """Conditions under which other rules have its place on the day that is asked for."""

    @property
    def cite_behind(self) -> str:
        """Its clause as it stands behind a sentence, ` (3.2)`; "" where it cites none."""
        return f" ({self.cite})" if self.cite else ""

    @property
    def clause_behind(self) -> str:
        """Its clause as it stands within a sentence, `, clause 3.2`; "" where it cites none."""
        return f", clause {self.cite}" if self.cite else ""

    @property
    def conditions(self) -> frozenset[str]:
        """The quantities that decide whether it applies."""
        return frozenset(condition.quantity for when in (self.when, *self.unless) for condition in when)

    @property
    def tests(self) -> tuple[LimitTest, ...]:
        """Every limit that it can put on a quantity."""
        return tests_of(self.body)

    @property
    def tested(self) -> frozenset[str]:
        """Every quantity that it can limit, and those that a limit is compared with."""
        return frozenset(name for test in self.tests for name in (test.quantity, *test.limit.names.compared))

    @property
    def named(self) -> frozenset[str]:
        """Every quantity that can turn what it says."""
        looked_up = (name for test in self.tests for _, name in test.limit.names.quantities)
        choosing = {self.body.by} if isinstance(self.body, Table) else set()
        return self.tested | self.conditions | choosing | frozenset(looked_up)

    @property
    def lists(self) -> tuple[tuple[Path, str], ...]:
        """Every list that it looks into, with the steps below the rule to where it names it."""
        return tuple(((*test.path, *steps), name) for test in self.tests for steps, name in test.limit.names.lists)

    def limits_on(self, name: str) -> tuple[Limit, ...]:
        """Every limit that it can put on a quantity."""
        return tuple(test.limit for test in self.tests if test.quantity == name)

    @property
    def test(self) -> LimitTest | None:
        """Its limit on a quantity, where it has one and no other."""
        return self.body if isinstance(self.body, LimitTest) else None

    @property
    def quantity(self) -> str | None:
        """The quantity that it limits, in whatever way."""
        return self.body.quantity if isinstance(self.body, LimitTest | AnyOf | Table) else None

    @property
    def limit(self) -> Limit | None:
        """The limit that it puts on its quantity, where it has one and no other."""
        return self.body.limit if isinstance(self.body, LimitTest) else None

    @property
    def instrument(self) -> str | None:
        """The name of the official instrument."""
        return self.body.instrument if isinstance(self.body, LimitTest) else None

    @property
    def withdrawn(self) -> bool:
        """Whether it takes another rule away."""
        return isinstance(self.body, Withdrawn)


class ClassRules(NamedTuple):
    """A class as one ruleset states it, before anything is inherited."""

    id: str
    title: str
    based_on: str | None
    usual_ratio: tuple[Fraction, Fraction] | None
    rules: tuple[Rule, ...]


class Waiver(NamedTuple):
    """A dispensation by the club: the rule does not bind some cars for a while, those where `when` wholly holds."""

    rule: str
    class_id: str | None
    when: When
    period: Period
    granted: str


class Example(NamedTuple):
    """A ruleset's own test: a setup, and the verdicts that its rules must give."""

    about: str
    class_id: str
    on: date
    setup: dict[str, Any]
    entry: dict[str, Any]
    expect: Mapping[str, str]
    number: int


class Ruleset(NamedTuple):
    """One version of one publisher's class rules, as its file states it."""

    id: str
    title: str
    version: str
    in_force: Period
    published: date | None
    based_on: tuple[str, str] | None
    reference_c: Fraction | None
    decision: Decision | None
    instruments: Instruments
    quantities: Declared
    classes: Mapping[str, ClassRules]
    lists: Lists
    waivers: tuple[Waiver, ...]
    examples: tuple[Example, ...]
    data: dict[str, Any]
    place: Place
    basis_place: Place
    """Where it says what it builds on."""

    @property
    def name(self) -> str:
        """Id and version, as `based_on` names it."""
        return f"{self.id}@{self.version}"


class FlatClass(NamedTuple):
    """A class of a ruleset with everything it inherits: all rules of all days, later amendments among them.

    `displaced` has for each rule the indexes of those whose place it takes while its own days last.
    """

    ruleset: Ruleset
    id: str
    title: str
    usual_ratio: tuple[Fraction, Fraction] | None
    """Lowest and highest final drive ratio that is usual in the class: advice, no rule."""
    rules: tuple[Rule, ...]
    lists: Lists
    instruments: Instruments
    quantities: Declared
    waivers: tuple[Waiver, ...]
    reference_c: Fraction
    decision: Decision
    known_on: date | None = None
    displaced: tuple[tuple[int, ...], ...] = ()

    @property
    def label(self) -> str:
        """As `explain` takes it: `harbour-city/stock-17`; with the id of a rule behind it that rule."""
        return f"{self.ruleset.id}/{self.id}"

    def rule(self, rule_id: str) -> Rule | None:
        """The rule of this id; None where there is none."""
        return next((rule for rule in self.rules if rule.id == rule_id), None)
