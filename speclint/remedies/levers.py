"""Levers: what can be changed on a car, and the values that each could take with the parts at hand."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Final

from speclint.forms.compared import Compared
from speclint.forms.item_values import ItemValues
from speclint.forms.limit import Circumstances, Limit
from speclint.forms.looked_up import OfQuantity
from speclint.forms.parts_lists import Scalar
from speclint.forms.size import Size
from speclint.forms.words import shown
from speclint.models.cars import Car
from speclint.models.parts import PartsBox
from speclint.quantities.facts import Fact, Facts
from speclint.quantities.model import Quantity, Sort
from speclint.quantities.registry import quantity
from speclint.readings.digits import with_unit
from speclint.readings.exact import full_text, rounded_down, rounded_up, to_float, to_number
from speclint.readings.measured import Number, expanded_of, value_of
from speclint.remedies.by_hand import by_hand, is_done_by_hand, of_parts, places_of, step_of
from speclint.remedies.gears import GEARS, gear_levers
from speclint.remedies.options import Lever, Option
from speclint.rules.checks import Check, KeyChange
from speclint.rules.rulebook import Rulebook


def levers(
    car: Car, facts: Facts, failing: Iterable[Check], books: tuple[Rulebook, ...], parts: PartsBox
) -> tuple[Lever, ...]:
    """Everything on the car that could be changed to meet the failing rules, limited to the parts in the box.

    What an entry says of the race is no lever, nor is a flag, nor what makes the motor or the chassis another one.
    """
    failing = tuple(failing)
    all_tested = sorted({name for check in failing for name in check.rule.tested})
    derived = [
        named for name in all_tested if (named := quantity(name)) is not None and named.declared_by and named.inputs
    ]
    derived_names = {named.name for named in derived}
    leaves = frozenset(leaf for name in all_tested if name not in derived_names for leaf in rests_on(name))
    changeable = [*gear_levers(car, facts, leaves & GEARS, parts)]
    if not leaves.isdisjoint(ROTOR):
        changeable.extend(_rotor(car, parts))
    for name in sorted(leaves - ROTOR - _FIXED - GEARS):
        stated = quantity(name)
        if stated is not None:
            uncertainty = max(_uncertainty(check, name, facts) for check in failing)
            options = sorted(_stated(facts, stated, books, parts, uncertainty), key=lambda option: option.effort)
            changeable.append(Lever(name, frozenset({name}), tuple(options)))
    for named in derived:
        uncertainty = max(_uncertainty(check, named.name, facts) for check in failing)
        options = sorted(
            of_parts(facts, named, _limits(named.name, books), uncertainty), key=lambda option: option.effort
        )
        changeable.append(Lever(named.name, rests_on(named.name), tuple(options)))
    return tuple(lever for lever in changeable if lever.options)


def rests_on(name: str) -> frozenset[str]:
    """The stated quantities that a quantity is computed from, itself where it is stated."""
    named = quantity(name)
    if named is None or not named.inputs:
        return frozenset({name})
    return frozenset(leaf for input_ in named.inputs if isinstance(input_, str) for leaf in rests_on(input_))


ROTOR: Final = frozenset({"rotor_kind", "rotor_part", "rotor_diameter_mm", "rotor_bore_mm", "rotor_length_mm"})
"""What another rotor changes at once."""

_FIXED: Final = frozenset(
    {"motor_turns", "motor_part", "motor_serial", "motor_connection", "motor_sealed", "internal_ratio"}
)
"""What makes the motor or the chassis another one: not to be changed, but to be bought."""


def _rotor(car: Car, parts: PartsBox) -> Iterator[Lever]:
    """Rotors in the box that are described as fully as the one that is fitted, so that no old size stays behind."""
    motor = car.motor
    fitted = None if motor is None else motor.rotor
    if motor is None or fitted is None or parts.rotors is None:
        return
    options = []
    for place, rotor in enumerate(parts.rotors, start=1):
        if fitted.keys.keys() <= rotor.keys.keys():
            changes = tuple(
                KeyChange(motor.document.file, (*motor.prefix, "rotor", key), value)
                for key, value in rotor.keys.items()
                if fitted.keys.get(key) != value
            )
            name = rotor.part or rotor.kind or f"number {place} of the parts box"
            before = fitted.part or fitted.kind or "the fitted one"
            options.append(Option(changes, f"rotor {name} instead of {before}", float(place), rebuild="rotor-swap"))
    yield Lever("rotor", ROTOR, tuple(options))


def _uncertainty(check: Check, name: str, facts: Facts) -> float:
    """U of a quantity as a rule judged it, or where it judged another as the car states it; 0 where none is known."""
    value = check.fact.value if check.fact is not None and check.quantity == name else facts.fact(name).value
    of_reading = (expanded_of(value) if isinstance(value, Number) else None) or 0.0
    of_difference = None if check.outcome is None else check.outcome.expanded_uncertainty
    sides = [side for test in check.rule.tests if isinstance(test.limit, Compared) for _, side in test.limit.sides]
    compared = [side for side in sides if isinstance(side, OfQuantity)]
    if not compared or of_difference is None:
        return of_reading
    # What is compared is blurred by both readings; a step of the other side moves the limit by its factor.
    factors = [to_float(side.times) for side in compared if side.quantity == name]
    return max(of_reading, of_difference / min(factors, default=1.0))


def _stated(
    facts: Facts, stated: Quantity, books: tuple[Rulebook, ...], parts: PartsBox, uncertainty: float
) -> Iterator[Option]:
    fact = facts.fact(stated.name)
    if isinstance(fact.value, str):
        yield from _words(fact, _choices(fact.value, stated.name, books, facts) or stated.choices)
    elif isinstance(fact.value, Number):
        number = value_of(fact.value)
        if stated.name == "end_play_mm":
            yield from _shims(fact, number, parts)
        elif is_done_by_hand(stated):
            limits = (*_limits(stated.name, books), *_looked_up(facts, fact, books))
            yield from by_hand(facts, fact, number, limits, _limits("rollout_mm", books), uncertainty)
        elif stated.sort in (Sort.SETTING, Sort.COUNT):
            yield from _settings(facts, fact, number, books)


def _words(fact: Fact, choices: Iterable[Scalar]) -> Iterator[Option]:
    document, path = fact.origins[0]
    for place, choice in enumerate(choices):
        if isinstance(choice, str):
            words = f"{fact.quantity.title} {choice} instead of {shown(fact.value)}"
            yield Option((KeyChange(document.file, path, choice),), words, float(place))


def _settings(facts: Facts, fact: Fact, old: Fraction, books: tuple[Rulebook, ...]) -> Iterator[Option]:
    """Numbers that are set and need no measuring, so that a file can be changed to them."""
    stated = fact.quantity
    document, path = fact.origins[0]
    limits = (*_limits(stated.name, books), *_looked_up(facts, fact, books))
    targets = {target.number for limit in limits for target in limit.targets(old, step_of(stated, old))}
    choices = {choice for choice in _choices(fact.value, stated.name, books, facts) if isinstance(choice, Fraction)}
    for number in sorted(targets | choices):
        if number != old and (stated.lowest is None or number >= stated.lowest):
            instead = f"{with_unit(full_text(number), stated.unit)} instead of {with_unit(full_text(old), stated.unit)}"
            yield Option(
                (KeyChange(document.file, path, to_number(number)),),
                f"{stated.title} {instead}",
                abs(float(number / old) - 1) if old else 1.0,
                "timing-change" if stated.name == "timing_set_deg" else None,
            )


def _shims(fact: Fact, end_play_mm: Fraction, parts: PartsBox) -> Iterator[Option]:
    """End play less by the thickness of one shim from the box."""
    document, path = fact.origins[0]
    for shim in sorted(set(parts.shims_mm or ())):
        if shim <= end_play_mm:
            change = KeyChange(document.file, path, float(end_play_mm - shim))
            words = f"one more shim of {with_unit(full_text(shim), 'mm')}"
            yield Option((change,), words, float(shim), "shim", by_hand=True)


def _choices(value: object, name: str, books: tuple[Rulebook, ...], facts: Facts) -> list[Scalar]:
    """The values that every list and every choice on a quantity allows, other than the present one."""
    allowed: list[Scalar] | None = None
    for book in books:
        for rule in book.rules:
            of_rule = [
                limit.on_car(Circumstances(book.lists, facts))
                if isinstance(limit, ItemValues)
                else limit.choices(book.lists)
                for limit in rule.limits_on(name)
            ]
            values = [choice for choices in of_rule if choices is not None for choice in choices]
            # Of several ways to meet a rule another one may allow what this one does not.
            if of_rule and None not in of_rule:
                allowed = values if allowed is None else [choice for choice in allowed if choice in values]
    return [choice for choice in allowed or () if choice != value]


def _looked_up(facts: Facts, fact: Fact, books: tuple[Rulebook, ...]) -> Iterator[Size]:
    """Limits on a quantity that depend on what else the car has: those that look a value up, and those that look it up."""
    stated = fact.quantity
    if not isinstance(fact.value, Number) or _is_of_the_day(stated):
        return
    places = places_of(stated, fact.value)
    for book in books:
        circumstances = Circumstances(book.lists, facts)
        for rule in book.rules:
            for test in rule.tests:
                if isinstance(test.limit, Compared):
                    sizes = [*test.limit.on_compared(stated, facts.fact(test.quantity))]
                    if test.quantity == stated.name:
                        sizes += test.limit.on_car(fact, circumstances)
                    yield from (_written_out(size, places) for size in sizes)


def _is_of_the_day(stated: Quantity) -> bool:
    """Whether it is read of the day and not of the car, as the temperature of the air is: nobody can change it."""
    return stated.name.rpartition(".")[2] in _OF_THE_DAY


_OF_THE_DAY: Final = frozenset({"ambient_c", "air_c", "track_c"})


def _written_out(size: Size, places: int) -> Size:
    """The limit with bounds of no more decimals than people can set or read, none of them farther out."""
    low, high = size.bounds.low, size.bounds.high
    if (low is not None and low == high) or size.written is not None:
        return size
    low = None if low is None else rounded_up(low, places)
    high = None if high is None else rounded_down(high, places)
    return size._replace(bounds=replace(size.bounds, low=low, high=high))


def _limits(name: str, books: tuple[Rulebook, ...]) -> Iterator[Limit]:
    return (limit for book in books for rule in book.rules for limit in rule.limits_on(name))
