"""Levers: what can be changed on a car, and the values that each could take with the parts at hand."""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from speclint.forms.limit import Limit
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.models.cars import Car
from speclint.models.parts import PartsBox
from speclint.places import Path
from speclint.quantities.facts import Facts
from speclint.quantities.model import Quantity, Sort
from speclint.quantities.registry import quantity
from speclint.readings.digits import with_unit
from speclint.readings.exact import decimal_text, decimals_of, full_text
from speclint.readings.measured import Measured, expanded_of, value_of
from speclint.rules.checks import Check, KeyChange
from speclint.rules.rulebook import Rulebook

GEAR_REACH: Final = 20
"""How many teeth away another gear is looked for where no parts box says which there are."""


@dataclass(frozen=True, slots=True)
class Option:
    """One value that a lever can take: what changes in the files, and what a person does.

    `effort` ranks options of one lever, the least first. `rebuild` is the kind of rebuild that the change is, which
    makes readings stale. What is `by_hand` is done on the car and then measured: the file cannot know the outcome.
    """

    changes: tuple[KeyChange, ...]
    words: str
    effort: float
    rebuild: str | None = None
    by_hand: bool = False


@dataclass(frozen=True, slots=True)
class Lever:
    """Something that can be changed: the stated quantities that it moves, and its options."""

    name: str
    moves: frozenset[str]
    options: tuple[Option, ...]


def levers(
    car: Car, facts: Facts, failing: Iterable[Check], books: tuple[Rulebook, ...], parts: PartsBox
) -> tuple[Lever, ...]:
    """Everything on the car that could be changed to meet the failing rules, limited to the parts in the box."""
    wanted = {name for check in failing if check.rule.quantity is not None for name in rests_on(check.rule.quantity)}
    changeable: list[Lever] = []
    for name, title, listed in (
        ("pinion_teeth", "pinion", parts.pinions_teeth),
        ("spur_teeth", "spur", parts.spurs_teeth),
    ):
        if name in wanted:
            changeable.extend(_gear(car, facts, name, title, listed))
    if not wanted.isdisjoint(_ROTOR):
        changeable.extend(_rotor(car, parts))
    for name in sorted(wanted - _ROTOR - _FIXED - {"pinion_teeth", "spur_teeth"}):
        stated = quantity(name)
        if stated is not None and stated.sort is not Sort.SUM:
            changeable.extend(_stated(facts, stated, books, parts))
    return tuple(lever for lever in changeable if lever.options)


def rests_on(name: str) -> frozenset[str]:
    """The stated quantities that a quantity is computed from, itself where it is stated."""
    named = quantity(name)
    if named is None or named.key is not None or named.formula is None:
        return frozenset({name})
    return frozenset(leaf for input_ in named.inputs if isinstance(input_, str) for leaf in rests_on(input_))


_ROTOR: Final = frozenset({"rotor_kind", "rotor_part", "rotor_diameter_mm", "rotor_bore_mm", "rotor_length_mm"})
_FIXED: Final = frozenset(
    {"motor_turns", "motor_part", "motor_serial", "motor_connection", "motor_sealed", "internal_ratio"}
)
"""What makes the motor or the chassis another one: not to be changed, but to be bought."""


def _gear(car: Car, facts: Facts, name: str, title: str, listed: tuple[int, ...] | None) -> Iterator[Lever]:
    value = facts.fact(name).value
    if not isinstance(value, Fraction):
        return
    fitted = int(value)
    near = range(max(1, fitted - GEAR_REACH), fitted + GEAR_REACH + 1)
    teeth = sorted({t for t in (near if listed is None else listed) if t != fitted}, key=lambda t: (abs(t - fitted), t))
    path: Path = ("car", name)
    yield Lever(
        name,
        frozenset({name}),
        tuple(
            Option(
                (KeyChange(car.setup.document.file, path, t),),
                f"{title} {t} instead of {fitted}",
                abs(math.log(t / fitted)),
            )
            for t in teeth
        ),
    )


def _rotor(car: Car, parts: PartsBox) -> Iterator[Lever]:
    """Rotors in the box that are described as fully as the one that is fitted, so that no old size stays behind."""
    motor = car.motor
    fitted = None if motor is None else motor.rotor
    if motor is None or fitted is None or parts.rotors is None:
        return
    options = []
    for i, rotor in enumerate(parts.rotors):
        if rotor.keys == fitted.keys or not set(fitted.keys) <= set(rotor.keys):
            continue
        changes = tuple(
            KeyChange(motor.document.file, (*motor.prefix, "rotor", key), value)
            for key, value in rotor.keys.items()
            if fitted.keys.get(key) != value
        )
        name = rotor.part or rotor.kind or f"number {i + 1} of the parts box"
        before = fitted.part or fitted.kind or "the fitted one"
        options.append(Option(changes, f"rotor {name} instead of {before}", 0.01 * (i + 1), rebuild="rotor-swap"))
    yield Lever("rotor", _ROTOR, tuple(options))


def _stated(facts: Facts, stated: Quantity, books: tuple[Rulebook, ...], parts: PartsBox) -> Iterator[Lever]:
    fact = facts.fact(stated.name)
    if fact.value is None:
        return
    document, path = fact.origins[0]
    if stated.name == "end_play_mm":
        yield Lever(stated.name, frozenset({stated.name}), tuple(_shims(fact.value, document.file, path, parts)))
        return
    options: list[Option] = []
    for number in sorted(_numbers(facts, stated, books)):
        options.extend(_to_number(stated, fact.value, document.file, path, document.get(path), number))
    for choice in _choices(fact.value, stated.name, books):
        value = float(choice) if isinstance(choice, Fraction) else choice
        words = (
            f"{stated.title} {choice} instead of {fact.value}"
            if isinstance(choice, str)
            else f"{stated.title}: {value}"
        )
        options.append(Option((KeyChange(document.file, path, value),), words, 0.0))
    options.sort(key=lambda option: option.effort)
    yield Lever(stated.name, frozenset({stated.name}), tuple(options))


def _numbers(facts: Facts, stated: Quantity, books: tuple[Rulebook, ...]) -> set[Fraction]:
    """The numbers next to the limits on a quantity, with room for the uncertainty of its reading where it has one."""
    step = _STEPS.get(stated.unit, Fraction(1))
    value = facts.fact(stated.name).value
    blur = expanded_of(value) if isinstance(value, Fraction | Measured) else None
    guard = Fraction(math.ceil(blur / float(step))) * step if blur else Fraction(0)
    if not isinstance(value, Fraction | Measured):
        return set()
    numbers = {
        number for limit in _limits(stated.name, books) for number in limit.targets(value_of(value), step, guard)
    }
    if stated.name == "tyre_diameter_mm":
        numbers.update(_tyres_for_rollout(facts, books, step, guard))
    return {number for number in numbers if number > 0}


def _tyres_for_rollout(
    facts: Facts, books: tuple[Rulebook, ...], step: Fraction, guard: Fraction
) -> Iterator[Fraction]:
    """Tyre diameters that bring the rollout down to its limits: rollout is in proportion to the diameter."""
    tyre, rollout = facts.fact("tyre_diameter_mm").value, facts.fact("rollout_mm").value
    if not isinstance(tyre, Fraction | Measured) or not isinstance(rollout, Fraction | Measured):
        return
    for limit in _limits("rollout_mm", books):
        for target in limit.targets(value_of(rollout), Fraction(0), Fraction(0)):
            if target < value_of(rollout):
                whole_steps = math.floor(value_of(tyre) * target / value_of(rollout) / step) * step
                yield from (whole_steps, whole_steps - guard)


def _to_number(stated: Quantity, value: object, file: str, path: Path, raw: Any, number: Fraction) -> Iterator[Option]:
    if not isinstance(value, Fraction | Measured) or number == value_of(value):
        return
    old = value_of(value)
    places = decimals_of(number)
    by_step = decimals_of(_STEPS.get(stated.unit, Fraction(1))) or 0
    new = decimal_text(number, 3 if places is None else max(places, by_step))
    written = int(number) if number.denominator == 1 else float(new)
    effort = abs(float(number / old) - 1) if old else 1.0
    words = _BY_HAND.get(stated.name)
    if words is not None:
        direction = words[0] if number > old else words[1]
        moved = with_unit(
            decimal_text(abs(number - old), max(decimals_of(abs(number - old)) or 0, by_step)), stated.unit
        )
        if direction:
            kept = {key: part for key, part in raw.items() if key != "readings"} if isinstance(raw, dict) else None
            put = written if kept is None else {**kept, "value": written}
            text = direction.format(by=moved, to=with_unit(new, stated.unit))
            yield Option((KeyChange(file, path, put),), text, effort, by_hand=True)
    elif stated.sort is not Sort.MEASURED:
        rebuild = "timing-change" if stated.name == "timing_set_deg" else None
        instead = f"{with_unit(new, stated.unit)} instead of {with_unit(full_text(old), stated.unit)}"
        # A sum of thicknesses stands in the file as the list of them.
        listed = [written] if stated.sort is Sort.SUM else written
        yield Option((KeyChange(file, path, listed),), f"{stated.title} {instead}", effort, rebuild)


def _shims(value: object, file: str, path: Path, parts: PartsBox) -> Iterator[Option]:
    """End play less or more by the thickness of one shim from the box."""
    if isinstance(value, Fraction | Measured):
        for shim in sorted(set(parts.shims_mm or ())):
            left = value_of(value) - shim
            if left >= 0:
                thickness = with_unit(full_text(shim), "mm")
                yield Option(
                    (KeyChange(file, path, float(left)),),
                    f"one more shim of {thickness}",
                    float(shim),
                    "shim",
                    by_hand=True,
                )


def _choices(value: object, name: str, books: tuple[Rulebook, ...]) -> list[Scalar]:
    """The values that every list and every choice on a quantity allows, other than the present one."""
    allowed: list[Scalar] | None = None
    for book in books:
        lists = DayLists(book.flat.lists, book.on, book.flat.known_on)
        for rule in book.rules:
            values = rule.limit.choices(lists) if rule.limit is not None and rule.quantity == name else None
            if values is not None:
                allowed = list(values) if allowed is None else [choice for choice in allowed if choice in values]
    return [choice for choice in allowed or () if choice != value]


def _limits(name: str, books: tuple[Rulebook, ...]) -> Iterator[Limit]:
    return (rule.limit for book in books for rule in book.rules if rule.limit is not None and rule.quantity == name)


_STEPS: Final = {
    "g": Fraction(1),
    "mm": Fraction(1, 10),
    "v": Fraction(1, 100),
    "deg": Fraction(1),
    "mah": Fraction(100),
}
"""What people can set or read of a unit."""

_BY_HAND: Final[Mapping[str, tuple[str, str]]] = {
    "mass_g": ("add {by} of ballast", "take {by} off the car"),
    "ride_height_mm": ("raise the chassis by {by}, to {to}", "lower the chassis by {by}, to {to}"),
    "width_mm": ("make the car wider by {by}, to {to}", "make the car narrower by {by}, to {to}"),
    "length_mm": ("make the car longer by {by}, to {to}", "make the car shorter by {by}, to {to}"),
    "wheelbase_mm": ("lengthen the wheelbase by {by}, to {to}", "shorten the wheelbase by {by}, to {to}"),
    "tyre_diameter_mm": ("fit tyres of {to}", "true the tyres down to {to}"),
    "battery_voltage_v": ("", "let the pack down to {to} before the run"),
}
"""What is done on the car and measured again: what to say where the value must rise, and where it must fall."""
