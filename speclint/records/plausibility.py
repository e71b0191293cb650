"""Values that nobody can have meant, or that the trade hardly meets: what was written, and what was meant perhaps."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import chain
from typing import Final, NamedTuple

from speclint.documents.tree import Document
from speclint.models.bench import Winding
from speclint.models.cars import Car
from speclint.models.motors import Motor
from speclint.models.stated import StatedReading
from speclint.places import Path
from speclint.quantities.stated_values import StatedValue, stated_values
from speclint.readings.digits import plain_text, with_unit
from speclint.readings.exact import exact, to_float
from speclint.records import ranges
from speclint.records.asked import Asked, nothing_asked
from speclint.records.meant import FAR, OWN_UNITS, SHIFTS, Meant, is_about, meant, unit_shown, units_apart
from speclint.records.plain_floats import middle, winding_at_reference
from speclint.records.ranges import Range
from speclint.records.swapped_gears import swapped_gears

_A_RADIUS: Final = 0.1
"""How far twice a value may be from the usual diameter, as a share, and still say that a radius was written."""

_NEAR: Final = 0.15
"""How far two readings of one thing may differ, as a share, and still be one reading with its point moved."""

_Stated = tuple[Document, Path, Range, StatedReading]
"""A value with where it stands and what is usual for it."""


class ImplausibleValue(NamedTuple):
    """One odd value.

    Attributes:
        document: the document that it stands in.
        path: where it stands there.
        message: what is odd about it and what was meant perhaps, for the person who wrote it.
        slip: whether it is far out and something explains it; otherwise it is merely unusual.
    """

    document: Document
    path: Path
    message: str
    slip: bool


def implausible_values(
    car: Car, asked: Asked = nothing_asked, declared: Iterable[StatedValue] = ()
) -> tuple[ImplausibleValue, ...]:
    """Every odd value of a car and its motor, those of the setup first.

    Args:
        car: the car.
        asked: the limits of its classes.
        declared: what it states of its rulesets' own quantities.
    """
    implausible: list[ImplausibleValue] = []
    document = car.setup.document
    swapped: set[Path] = set()
    for swap in swapped_gears(car.setup, asked):
        implausible.append(ImplausibleValue(document, swap.pinion, swap.message, slip=True))
        swapped |= {swap.spur, swap.pinion}
    sections: dict[tuple[int, Path], list[_Stated]] = {}
    for value in chain(stated_values(car, ranges.USUAL), declared):
        usual = ranges.STATED.get(value.quantity.name) or ranges.of_declared(value.quantity)
        if usual is not None and _is_outside(value.stated, usual) and value.path not in swapped:
            section = (id(value.document), value.path[:-1])
            sections.setdefault(section, []).append((value.document, value.path, usual, value.stated))
    for stated in sections.values():
        implausible += _told(stated, asked)
    for track_run in car.setup.track_runs:
        outside = _outside_in(track_run, ranges.TRACK_RUN, document, track_run.path)
        implausible += _told([value for value in outside if value[1] not in swapped], asked)
    if car.motor is not None:
        implausible += _in_records(car.motor, asked)
    return tuple(implausible)


def _in_records(motor: Motor, asked: Asked) -> Iterator[ImplausibleValue]:
    document, sheet = motor.document, motor.factory_sheet
    if sheet is not None:
        yield from _told(_outside_in(sheet, ranges.SHEET, document, sheet.path), asked)
        yield from _in_winding(sheet.winding, None, document, (*sheet.path, "winding"), asked)
    as_made = winding_at_reference(sheet.winding) if sheet is not None else None
    for run in motor.bench_runs:
        yield from _told(_outside_in(run, ranges.BENCH_RUN, document, run.path), asked)
        yield from _in_winding(run.winding, as_made, document, (*run.path, "winding"), asked)
        timing = run.timing_deg
        if timing is not None and timing.is_list and len(timing.values) > 2:
            values = {(*run.path, "timing_deg", i): float(value) for i, value in enumerate(timing.values)}
            if max(values.values()) > 4 * abs(min(values.values())):
                yield from _unlike_the_others(values, "deg", "the other sensors", document)


def _outside_in(record: object, usual: Mapping[str, Range], document: Document, path: Path) -> list[_Stated]:
    """The readings of one record, or of a winding in it, that lie outside their usual range."""
    outside: list[_Stated] = []
    for key, key_range in usual.items():
        stated = getattr(record, key)
        if stated is not None:
            stated = stated if isinstance(stated, StatedReading) else StatedReading((stated,))
            if _is_outside(stated, key_range):
                outside.append((document, (*path, key), key_range, stated))
    return outside


def _is_outside(stated: StatedReading, usual: Range) -> bool:
    """Whether a reading, or any of its repeats, lies outside what is usual."""
    values = stated.values
    if len(values) == 1:
        return not usual.low <= values[0] <= usual.high
    return min(values) < usual.low or max(values) > usual.high


def _in_winding(
    winding: Winding | None, as_made: float | None, document: Document, path: Path, asked: Asked
) -> Iterator[ImplausibleValue]:
    """Phases against each other and the winding against the factory sheet, before they are held to what is usual."""
    if winding is None:
        return
    phases = winding.phases_mohm
    if phases is not None:
        if max(phases) > 4 * min(phases):
            values = {(*path, key): value for key, value in zip(ranges.PHASES, phases, strict=True)}
            slips = tuple(_unlike_the_others(values, "mohm", "the other two pairs", document))
            if slips:
                yield from slips
                return
        now = winding_at_reference(winding) if as_made is not None else None
        if as_made is not None and now is not None and _shift_between(now, as_made) is not None:
            shown, sheet = (with_unit(f"{mean:.3g}", "mohm") for mean in (now, as_made))
            message = (
                f"all three pairs look like a misplaced decimal point: their mean is {shown} at 20 °C, and the factory sheet"
                f" says {sheet}"
            )
            yield ImplausibleValue(document, path, message, slip=True)
            return
    yield from _told(_outside_in(winding, ranges.WINDING, document, path), asked)


def _told(section: Sequence[_Stated], asked: Asked) -> Iterator[ImplausibleValue]:
    """Of the values of one section that lie outside what is usual for them, those that no class of the car asks for."""
    if not section:
        return
    outside: list[tuple[Document, Path, Range, float]] = []
    for document, path, usual, stated in section:
        lowest, highest = min(stated.values), max(stated.values)
        value = float(lowest if lowest < usual.low else highest)
        if not _is_asked(value, usual, asked):
            outside.append((document, path, usual, value))
    low = sum(1 for _, _, usual, value in outside if value < usual.low)
    for document, path, usual, value in outside:
        is_lone = (low if value < usual.low else len(outside) - low) < 2
        guess = meant(exact(value), usual, _limits(usual, asked))
        yield _outside(path, usual, exact(value), guess, document, is_lone=is_lone)


def _is_asked(value: float, usual: Range, asked: Asked) -> bool:
    """Whether a limit is in the neighbourhood, or is below zero as well: what it limits has a sign."""
    limits = tuple(map(to_float, _limits(usual, asked)))
    return is_about(value, limits) or (value < 0 and min(limits, default=0) < 0)


def _limits(usual: Range, asked: Asked) -> frozenset[Fraction]:
    return asked(usual.quantity)


def _outside(
    path: Path, usual: Range, value: Fraction, guess: Meant | None, document: Document, *, is_lone: bool
) -> ImplausibleValue:
    """A value outside its range: a slip where it is far out and something explains it.

    That the point moved by a place or two, or that half of it was written, counts only where no other value of its
    section is off to the same side: a car that is small all over is a small car.
    """
    written = with_unit(plain_text(value), unit_shown(usual))
    range_text = f"{usual.title} is usually {_range_text(usual)}"
    size = to_float(value)
    is_near = usual.low <= size * FAR and size <= usual.high * FAR
    if guess is not None and guess.is_radius:
        is_near = is_near and abs(to_float(guess.value) / usual.example - 1) > _A_RADIUS
    if guess is None or is_near:
        return ImplausibleValue(
            document, path, f"{written} is unusual: {range_text}{_perhaps(value, guess, usual)}", slip=False
        )
    if guess.read_in:
        message = (
            f"{plain_text(value)} looks like {guess.read_in}; this key is in {OWN_UNITS[usual.unit]}: {guess.text}"
        )
    elif guess.is_radius:
        message = f"{written} looks like a radius; this key is the diameter: {guess.text}"
    else:
        message = f"{written} looks like a misplaced decimal point: {range_text}, and {guess.text} would be"
    is_slip = is_lone or not guess.needs_lone
    return ImplausibleValue(document, path, message, slip=is_slip)


def _range_text(usual: Range) -> str:
    if usual.high == math.inf:
        return f"{with_unit(f'{usual.low:g}', unit_shown(usual))} or more"
    return f"{usual.low:g} to {with_unit(plain_text(exact(usual.high)), unit_shown(usual))}"


def _perhaps(value: Fraction, guess: Meant | None, usual: Range) -> str:
    if guess is None:
        is_turned = value < 0 and usual.low <= -to_float(value) <= usual.high
        return f"; was {with_unit(plain_text(-value), unit_shown(usual))} meant?" if is_turned else ""
    if guess.read_in:
        return f"; {plain_text(value)} {guess.read_in} would be {guess.text}"
    return f"; as a radius it would be a diameter of {guess.text}" if guess.is_radius else f"; was {guess.text} meant?"


def _unlike_the_others(
    values: Mapping[Path, float], unit: str, others: str, document: Document
) -> Iterator[ImplausibleValue]:
    """Readings of one kind that are those beside them with the point moved."""
    centre = middle(tuple(values.values()))
    about = f"{others} read about {with_unit(f'{centre:.3g}', unit)}"
    for path, size in values.items():
        shift = _shift_between(size, centre)
        if shift is None:
            continue
        value = exact(size)
        text, written = with_unit(plain_text(value * shift), unit), with_unit(plain_text(value), unit)
        read_in = units_apart(unit, shift)
        if read_in:
            message = f"{plain_text(value)} looks like {read_in}; this key is in {OWN_UNITS[unit]}: {text}, as {about}"
        else:
            message = f"{written} looks like a misplaced decimal point: {about}, as {text} would"
        yield ImplausibleValue(document, path, message, slip=True)


def _shift_between(value: float, wanted: float) -> Fraction | None:
    """The power of ten that takes a value to about the one wanted; None where none does, or none is needed."""
    if value <= 0 or wanted <= 0:
        return None
    return next((shift for shift in SHIFTS if abs(value * to_float(shift) / wanted - 1) <= _NEAR), None)
