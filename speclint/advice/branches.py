"""What a rule leaves to a car, as alternatives of which one is enough: each is limits on quantities and relations of them."""

import math
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from fractions import Fraction
from itertools import product
from typing import Final, NamedTuple, assert_never

from speclint.advice.domains import ANYTHING, Domain, among, apart_from, between, outside
from speclint.forms.bodies import AnyOf, LimitTest, Otherwise, Table, ToInspect, Withdrawn
from speclint.forms.compared import Compared
from speclint.forms.conditions import Condition, When
from speclint.forms.item_values import ItemValues
from speclint.forms.listed_in import ListedIn
from speclint.forms.looked_up import OfItem, OfQuantity, under
from speclint.forms.matching import number_in
from speclint.forms.none_of import NoneOf
from speclint.forms.one_of import OneOf
from speclint.forms.parts_lists import DayLists, ListItem, Scalar
from speclint.forms.size import Size
from speclint.limits.decisions import Limits
from speclint.quantities.model import Given, Sort
from speclint.quantities.registry import quantity
from speclint.readings.measured import value_of
from speclint.readings.units import in_unit
from speclint.rulesets.model import FlatClass, Rule

Variable = tuple[str, *tuple[object, ...]]
"""A quantity, by its name, and the terms on which its reading is taken: under other terms it may be another reading."""


class Relation(NamedTuple):
    """A value lies on one side of another one, times a factor above 0 and with a number added."""

    variable: Variable
    is_least: bool
    compared: Variable
    factor: Fraction
    shift: Fraction
    strict: bool


class Box(NamedTuple):
    """One alternative: all of its limits and relations hold."""

    domains: tuple[tuple[Variable, Domain], ...] = ()
    relations: tuple[Relation, ...] = ()


Boxes = tuple[Box, ...]
"""Alternatives; none at all is what no car can meet."""

FREE: Final[Boxes] = (Box(),)
"""Whatever the car is."""


def plain(name: str) -> Variable:
    """A quantity as the car states it."""
    return name, False, (), None


def boxes_of(rule: Rule, flat: FlatClass, on: date, lists: DayLists) -> Boxes:
    """What a car can be so that a rule is met, or spares it, on a day; true values count, so that no doubt decides."""
    # Where an inspector looks instead, a car that states nothing goes on.
    if rule.look or isinstance(rule.body, ToInspect | Withdrawn):
        return FREE
    spared = [Box((left,)) for condition in rule.when for left in _not(condition)]
    spared += [_where(when) for when in rule.unless]
    spared += [
        _where(waiver.when)
        for waiver in flat.waivers
        if waiver.rule == rule.id and waiver.class_id in (None, flat.id) and on in waiver.period
    ]
    boxes = (*spared, *_of_body(rule, lists))
    return FREE if any(not box.domains and not box.relations for box in boxes) else boxes


def condition_domain(condition: Condition) -> Domain:
    """The values with which a condition holds."""
    limit = condition.limit
    if isinstance(limit, Size):
        return between(limit.bounds)
    return apart_from(limit.values) if isinstance(limit, NoneOf) else among(limit.values)


def _not(condition: Condition) -> Iterator[tuple[Variable, Domain]]:
    """The values with which it does not hold."""
    limit, variable = condition.limit, plain(condition.quantity)
    if isinstance(limit, Size):
        yield from ((variable, domain) for domain in outside(limit.bounds))
    else:
        yield variable, among(limit.values) if isinstance(limit, NoneOf) else apart_from(limit.values)


def _where(when: When) -> Box:
    """The cars for which all conditions hold."""
    return Box(tuple((plain(condition.quantity), condition_domain(condition)) for condition in when))


def _of_body(rule: Rule, lists: DayLists) -> Boxes:
    match rule.body:
        case LimitTest() as test:
            return of_test(test, lists)
        case AnyOf(options=options):
            return tuple(box for option in options for box in _together(of_test(test, lists) for test in option))
        case Table() as table:
            return tuple(_of_table(table, lists))
        case ToInspect() | Withdrawn():
            return FREE
        case _ as body:
            assert_never(body)


def _together(alternatives: Iterable[Boxes]) -> Boxes:
    """Every way to meet all of several."""
    return tuple(
        Box(
            tuple(part for box in chosen for part in box.domains),
            tuple(relation for box in chosen for relation in box.relations),
        )
        for chosen in product(*alternatives)
    )


def _of_table(table: Table, lists: DayLists) -> Iterator[Box]:
    by = plain(table.by)
    keys = [value for key, _ in table.rows for value in _row_values(table.by, key)]
    for key, test in table.rows:
        row: Boxes = (Box(((by, among(_row_values(table.by, key))),)),)
        yield from _together((row, of_test(test, lists)))
    rest: Boxes = (Box(((by, apart_from(keys)),)),)
    if isinstance(table.otherwise, LimitTest):
        yield from _together((rest, of_test(table.otherwise, lists)))
    elif table.otherwise is Otherwise.FREE:
        yield from rest


def _row_values(by: str, key: str) -> tuple[Scalar, ...]:
    described, number = quantity(by), number_in(key)
    flags: tuple[Scalar, ...] = (key == "true",) if key in ("true", "false") else ()
    if described is not None and described.sort is Sort.FLAG:
        return flags
    if described is not None and described.numeric and not described.is_open:
        return () if number is None else (number,)
    return (key, *flags, *(() if number is None else (number,)))


def of_test(test: LimitTest, lists: DayLists) -> Boxes:
    """What a test leaves of its quantity, and of those that its limit looks up."""
    described = quantity(test.quantity)
    if described is not None and Given.REBUILDS in described.inputs:
        return FREE  # what states nothing meets any limit on what was done
    variable: Variable = (test.quantity, test.uncorrected, test.taken, test.reference_c)
    limit = test.limit
    if isinstance(limit, Size):
        return (Box(((variable, _read(limit.bounds, test)),)),)
    if isinstance(limit, OneOf):
        return (Box(((variable, among(limit.values)),)),)
    if isinstance(limit, NoneOf):
        return (Box(((variable, apart_from(limit.values)),)),)
    if isinstance(limit, ListedIn):
        return (Box(((variable, among(limit.choices(lists))),)),)
    if isinstance(limit, ItemValues):
        return tuple(_of_items(variable, limit, lists))
    if isinstance(limit, Compared):
        return tuple(_of_compared(variable, test, limit, lists))
    return (Box(((variable, ANYTHING),)),)


def _read(limits: Limits, test: LimitTest) -> Domain:
    """The numbers that pass: a leeway moves the limits outwards, and a step lets through what is read as within."""
    decisive = limits if test.leeway is None else test.leeway.around(limits)
    step = test.read_to
    if step is None:
        return between(decisive)
    if test.written is not None and test.written.shifts_zero:
        # Steps of the other unit lie elsewhere: half of one more is let through.
        low = None if decisive.low is None else decisive.low - step / 2
        high = None if decisive.high is None else decisive.high + step / 2
        return between(Limits(low, False, high, False))
    return _rounded(decisive, step)


def _rounded(limits: Limits, step: Fraction) -> Domain:
    """The numbers that are within limits once they are read to a step, halves away from zero."""
    low = high = None
    if limits.low is not None:
        least = math.floor(limits.low / step) + 1 if limits.low_strict else math.ceil(limits.low / step)
        low = (least - Fraction(1, 2)) * step, least <= 0
    if limits.high is not None:
        most = math.ceil(limits.high / step) - 1 if limits.high_strict else math.floor(limits.high / step)
        high = (most + Fraction(1, 2)) * step, most >= 0
    (lowest, above), (highest, below) = low or (None, False), high or (None, False)
    return between(Limits(lowest, above, highest, below))


def _by_item(wanted: OfItem, lists: DayLists) -> Iterator[tuple[Domain, tuple[Scalar, ...]]]:
    """The items that count: the one that the car has to name, and what it says."""
    items: dict[str, list[ListItem]] = {}
    for item in lists.counting(wanted.list_id):
        items.setdefault(item.id, []).append(item)
    for id_, listed in items.items():
        yield among((id_,)), tuple(value for item in listed for value in under(wanted, item))


def _of_items(variable: Variable, limit: ItemValues, lists: DayLists) -> Iterator[Box]:
    owner = plain(limit.where.item)
    for named, values in _by_item(limit.where, lists):
        yield Box(((owner, named), (variable, apart_from(values) if limit.is_barred else among(values))))


def _of_compared(variable: Variable, test: LimitTest, limit: Compared, lists: DayLists) -> Iterator[Box]:
    """Each choice of the items that the sides look up, with the limits and relations that follow."""
    looked_up = [side for _, side in limit.sides if isinstance(side, OfItem)]
    for chosen in product(*(tuple(_by_item(side, lists)) for side in looked_up)):
        domains: list[tuple[Variable, Domain]] = [(variable, ANYTHING)]
        relations: list[Relation] = []
        items = iter(chosen)
        for key, side in limit.sides:
            if isinstance(side, OfQuantity):
                kind = ANYTHING if key == "equals" else Domain(is_number=True)
                domains += [(variable, kind), (plain(side.quantity), kind)]
                relations += _relations(variable, key, side, limit, test)
                continue
            values: tuple[Scalar, ...] = (side,) if isinstance(side, Fraction) else ()
            if isinstance(side, OfItem):
                named, values = next(items)
                domains.append((plain(side.item), named))
            domains += [(variable, _beside(key, value, limit, test)) for value in values]
        yield Box(tuple(domains), tuple(relations))


def _beside(key: str, value: Scalar, limit: Compared, test: LimitTest) -> Domain:
    return _read(limit.size(key, value).bounds, test) if isinstance(value, Fraction) else among((value,))


def _is_bent(side: OfQuantity, limit: Compared, test: LimitTest, unit: str) -> bool:
    """Whether percent of what may lie below nothing are counted, so that no straight line says where the limit is."""
    if test.leeway is not None and test.leeway.is_percent:
        return True
    is_share = limit.tolerance is not None and limit.tolerance.percent is not None
    return is_share and (side.shift < 0 or unit in ("c", "f"))


def _relations(variable: Variable, key: str, side: OfQuantity, limit: Compared, test: LimitTest) -> Sequence[Relation]:
    """How a value lies to another one; none where that is no straight line."""
    limited, compared = quantity(test.quantity), quantity(side.quantity)
    if limited is None or compared is None or _is_bent(side, limit, test, compared.unit):
        return ()
    written = limited.unit if limit.written is None else limit.written.code

    def limits_at(number: Fraction) -> Limits:
        looked_up = in_unit(number, compared.unit, written) if compared.unit != written else number
        return limit.size(key, side.times * value_of(looked_up) + side.shift).bounds

    ends = [_read(limits_at(Fraction(at)), test) for at in (0, 1, 2)]
    relations = []
    for is_least in (True, False):
        at = [domain.end(is_low=is_least)[0] for domain in ends]
        _, strict = ends[0].end(is_low=is_least)
        if at[0] is None or at[1] is None or at[2] is None or at[2] - at[1] != at[1] - at[0] or at[1] <= at[0]:
            continue
        relations.append(Relation(variable, is_least, plain(side.quantity), at[1] - at[0], at[0], strict))
    return relations
