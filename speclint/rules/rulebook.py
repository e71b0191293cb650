"""What a class asks on a day, and what changes afterwards, in this version of its ruleset and with the next."""

from collections.abc import Collection, Iterator, Sequence
from datetime import date
from enum import Enum
from typing import NamedTuple, assert_never

from speclint.forms.bodies import AnyOf, LimitTest, Table, ToInspect, Withdrawn
from speclint.forms.parts_lists import DayLists
from speclint.moments import day_before
from speclint.quantities.declared import readings_of
from speclint.rules.screening import Screens
from speclint.rules.vocabulary import Vocabulary
from speclint.rulesets.amendments import binding, changes_after, days_of_change
from speclint.rulesets.model import FlatClass, Rule


class Turn(Enum):
    """What becomes of a rule on a day to come."""

    BEGINS = "begins to bind"
    ENDS = "no longer binds"
    CHANGES = "binds on, with another list or for other cars"


class Coming(NamedTuple):
    """What becomes of a rule on a day to come.

    `book` is the class on the day by which it is judged: that on which it begins or changes, or the last on which it binds.
    `beside` names those that bind today of itself and of the rules whose place it takes or had: it is told with the first.
    """

    on: date
    book: "Rulebook"
    rule: Rule
    turn: Turn
    beside: tuple[str, ...]

    @property
    def flat(self) -> FlatClass:
        """The class as it is then."""
        return self.book.flat


class Rulebook(NamedTuple):
    """A class on a day: the rules that bind, the lists as they are then, its words, what changes after it, and its screens."""

    flat: FlatClass
    on: date
    rules: tuple[Rule, ...]
    lists: DayLists
    vocabulary: Vocabulary
    screens: Screens
    coming: tuple[Coming, ...] = ()

    @classmethod
    def of(cls, flat: FlatClass, on: date, rules: tuple[Rule, ...], coming: tuple[Coming, ...] = ()) -> "Rulebook":
        """The class on a day with these of its rules."""
        lists = DayLists(flat.lists, on, flat.known_on)
        return cls(flat, on, rules, lists, Vocabulary(flat), Screens(flat, lists), coming)

    def only(self, ids: Collection[str]) -> "Rulebook":
        """The rules of these ids, and those beside which something to come is told, so that all of it stands where it would."""
        needed = {*ids, *(id_ for coming in self.coming for id_ in coming.beside)}
        return self._replace(rules=tuple(rule for rule in self.rules if rule.id in needed))

    @property
    def later(self) -> tuple[Rule, ...]:
        """The rules of this version that begin to bind later, each once."""
        begun = [coming.rule for coming in self.coming if coming.turn is Turn.BEGINS and coming.flat is self.flat]
        return tuple({id(rule.data): rule for rule in reversed(begun)}.values())[::-1]


def rulebook(flat: FlatClass, on: date, following: FlatClass | None = None) -> Rulebook:
    """What a class asks on a day; `following` is the class in its ruleset's next version."""
    rules = binding(flat, on)
    start = None if following is None else following.ruleset.in_force.start
    coming = [*_in_this_version(flat, rules, changes_after(flat, on, start))]
    if following is not None and start is not None:
        eve = day_before(start)
        coming += _in_next_version(
            binding(flat, eve) if eve in flat.ruleset.in_force else rules, flat, following, start
        )
    return Rulebook.of(flat, on, rules, tuple(coming))


def _in_this_version(flat: FlatClass, rules: Sequence[Rule], days: Sequence[date]) -> Iterator[Coming]:
    index_of = {id(rule.data): index for index, rule in enumerate(flat.rules)}
    families = _Families(flat, {index_of[id(rule.data)] for rule in rules})
    before = rules
    list_days = _days_of_lists(flat) if days else {}
    for day in days:
        after = binding(flat, day)
        relisted = {list_id for list_id, of_list in list_days.items() if day in of_list}
        eve, book = Rulebook.of(flat, day_before(day), ()), Rulebook.of(flat, day, ())
        begun = _without(after, before)
        for rule in begun:
            yield Coming(day, book, rule, Turn.BEGINS, families.beside(index_of[id(rule.data)]))
        taking = {index_of[id(rule.data)] for rule in begun}
        for rule in _without(before, after):
            index = index_of[id(rule.data)]
            # What takes its place, or gives it back, says enough.
            if taking.isdisjoint(families.of(index)):
                yield Coming(day, eve, rule, Turn.ENDS, families.beside(index))
        was = {id(rule.data): rule for rule in before}
        for rule in after:
            old = was.get(id(rule.data))
            if old is not None and (
                old.unless != rule.unless or (relisted and any(list_id in relisted for _, list_id in rule.lists))
            ):
                yield Coming(day, book, rule, Turn.CHANGES, families.beside(index_of[id(rule.data)]))
        before = after


def _without(rules: Sequence[Rule], others: Sequence[Rule]) -> list[Rule]:
    texts = {id(rule.data) for rule in others}
    return [rule for rule in rules if id(rule.data) not in texts]


class _Families:
    """The rules whose place one takes, and those that take its place, at once or by way of others."""

    def __init__(self, flat: FlatClass, binding_today: set[int]) -> None:
        self._flat = flat
        self._binding_today = binding_today
        self._below = flat.displaced or ((),) * len(flat.rules)
        above: list[list[int]] = [[] for _ in flat.rules]
        for index, displaced in enumerate(self._below):
            for below in displaced:
                above[below].append(index)
        self._above = above

    def of(self, index: int) -> set[int]:
        """The rule with its family."""
        return _reached(index, self._below) | _reached(index, self._above)

    def beside(self, index: int) -> tuple[str, ...]:
        """The ids of those that bind today, its own first."""
        relatives = sorted(self.of(index) & self._binding_today)
        return tuple(dict.fromkeys((self._flat.rules[index].id, *(self._flat.rules[at].id for at in relatives))))


def _reached(index: int, steps: Sequence[Sequence[int]]) -> set[int]:
    reached, pending = {index}, [index]
    while pending:
        for step in steps[pending.pop()]:
            if step not in reached:
                reached.add(step)
                pending.append(step)
    return reached


def _days_of_lists(flat: FlatClass) -> dict[str, frozenset[date]]:
    """The days on which an item of a list comes or goes."""
    return {
        list_id: frozenset(day for item in parts.items for day in days_of_change(item.period))
        for list_id, parts in flat.lists.items()
    }


def _in_next_version(rules: Sequence[Rule], flat: FlatClass, following: FlatClass, start: date) -> Iterator[Coming]:
    asked = {rule.id: asks(rule, flat) for rule in rules}
    book = Rulebook.of(following, start, ())
    for rule in binding(following, start):
        if asked.get(rule.id) != asks(rule, following):
            yield Coming(start, book, rule, Turn.BEGINS, (rule.id,))
        elif rule.lists:
            yield Coming(start, book, rule, Turn.CHANGES, (rule.id,))


def asks(rule: Rule, flat: FlatClass) -> tuple[object, ...]:
    """What makes one rule ask the same as another, whatever the words around it."""
    return *_asks_of_body(rule, flat), readings_of(rule.named) if flat.quantities else ()


def _asks_of_body(rule: Rule, flat: FlatClass) -> tuple[object, ...]:
    decision = rule.decision or flat.decision
    match rule.body:
        case LimitTest() as test:
            return *_asks_of(test), rule.when, rule.unless, rule.look, decision
        case AnyOf(options=options):
            ways = frozenset(frozenset(_asks_of(test) for test in option) for option in options)
            return ways, rule.when, rule.unless, rule.look, decision
        case Table(quantity, by, rows, otherwise):
            cells = frozenset((key, _asks_of(test)) for key, test in rows)
            last = _asks_of(otherwise) if isinstance(otherwise, LimitTest) else otherwise
            return quantity, by, cells, last, rule.when, rule.unless, rule.look, decision
        case ToInspect() | Withdrawn() as body:
            return type(body), body, rule.when, rule.unless
        case _ as body:
            assert_never(body)


def _asks_of(test: LimitTest) -> tuple[object, ...]:
    return (
        test.quantity, test.limit.requirement, test.read_to, test.uncorrected, test.leeway, test.taken, test.reference_c,
    )  # fmt: skip
