"""Values that nobody can have meant, or that the trade hardly meets: what was written, and what was meant perhaps."""

import math
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.documents.tree import Document
from speclint.models.bench import Winding
from speclint.models.cars import Car
from speclint.models.motors import Motor
from speclint.models.stated import StatedReading
from speclint.places import Path
from speclint.quantities.stated_values import stated_values
from speclint.readings.digits import plain_text, with_unit
from speclint.readings.exact import exact, to_float
from speclint.records import ranges
from speclint.records.plain_floats import middle, winding_at_reference
from speclint.records.ranges import Range

_FAR: Final = 1.5
"""A value this many times past the end of the usual range is no longer merely unusual."""

_NEAR: Final = 0.15
"""How far two readings of one thing may differ, as a share, and still be one reading with its point moved."""

_SHIFTS: Final = tuple(Fraction(10) ** power for power in (3, 2, 1, -1, -2, -3))


_Stated = tuple[Document, Path, Range, StatedReading]
"""A value with where it stands and what is usual for it."""


class ImplausibleValue(NamedTuple):
    """One odd value.

    Attributes:
        document: the document that it stands in.
        path: where it stands there.
        message: what is odd about it and what was meant perhaps, for the person who wrote it.
        slip: whether it can only be a slip of the pen; otherwise it is merely unusual.
    """

    document: Document
    path: Path
    message: str
    slip: bool


def implausible_values(car: Car) -> tuple[ImplausibleValue, ...]:
    """Every odd value of a car and its motor, those of the setup first."""
    implausible: list[ImplausibleValue] = []
    sections: dict[tuple[int, Path], list[_Stated]] = {}
    for value in stated_values(car):
        usual = ranges.STATED.get(value.quantity.name)
        if usual is not None:
            section = (id(value.document), value.path[:-1])
            sections.setdefault(section, []).append((value.document, value.path, usual, value.stated))
    for stated in sections.values():
        _scan(stated, implausible)
    document = car.setup.document
    for track_run in car.setup.track_runs:
        _scan(_of_record(track_run, ranges.TRACK_RUN, document, track_run.path), implausible)
    if car.motor is not None:
        _in_records(car.motor, implausible)
    return tuple(implausible)


def _in_records(motor: Motor, implausible: list[ImplausibleValue]) -> None:
    document, sheet = motor.document, motor.factory_sheet
    if sheet is not None:
        _scan(_of_record(sheet, ranges.SHEET, document, sheet.path), implausible)
        _in_winding(sheet.winding, None, document, (*sheet.path, "winding"), implausible)
    as_made = winding_at_reference(sheet.winding) if sheet is not None else None
    for run in motor.bench_runs:
        _scan(_of_record(run, ranges.BENCH_RUN, document, run.path), implausible)
        if run.winding is not None:
            _in_winding(run.winding, as_made, document, (*run.path, "winding"), implausible)
        timing = run.timing_deg
        if timing is not None and timing.is_list and len(timing.values) > 2:
            values = {(*run.path, "timing_deg", i): float(value) for i, value in enumerate(timing.values)}
            if max(values.values()) > 4 * abs(min(values.values())):
                implausible.extend(_unlike_the_others(values, "deg", "the other sensors", document))


def _of_record(record: object, usual: Mapping[str, Range], document: Document, path: Path) -> Iterator[_Stated]:
    """The readings of one record, or of a winding in it, that have a usual range."""
    for key, known in usual.items():
        stated = getattr(record, key)
        if stated is not None:
            yield (
                document,
                (*path, key),
                known,
                stated if isinstance(stated, StatedReading) else StatedReading((stated,)),
            )


def _in_winding(
    winding: Winding | None,
    as_made: float | None,
    document: Document,
    path: Path,
    implausible: list[ImplausibleValue],
) -> None:
    """Phases against each other and the winding against the factory sheet, before they are held to what is usual."""
    if winding is None:
        return
    phases = winding.phases_mohm
    if phases is not None:
        if max(phases) > 4 * min(phases):
            values = {(*path, key): value for key, value in zip(ranges.PHASES, phases, strict=True)}
            slips = tuple(_unlike_the_others(values, "mohm", "the other two pairs", document))
            if slips:
                implausible.extend(slips)
                return
        now = winding_at_reference(winding) if as_made is not None else None
        if as_made is not None and now is not None and not 0.4 < now / as_made < 2.5:
            shift = _shift_between(now, as_made)
            if shift is not None:
                shown = f"{with_unit(f'{now:.3g}', 'mohm')} at 20 °C, and the factory sheet says {with_unit(f'{as_made:.3g}', 'mohm')}"
                implausible.append(
                    ImplausibleValue(
                        document,
                        path,
                        f"all three pairs look like a misplaced decimal point: their mean is {shown}",
                        True,
                    )
                )
                return
    _scan(_of_record(winding, ranges.WINDING, document, path), implausible)


def _scan(section: Iterable[_Stated], implausible: list[ImplausibleValue]) -> None:
    """The values of one section that lie outside what is usual for them."""
    outside: list[tuple[Document, Path, Range, float]] = []
    for document, path, usual, stated in section:
        values = stated.values
        value = values[0] if len(values) == 1 else min(values) if min(values) < usual.low else max(values)
        if not usual.low <= value <= usual.high:
            outside.append((document, path, usual, float(value)))
    if outside:
        low = sum(1 for _, _, usual, value in outside if value < usual.low)
        for document, path, usual, value in outside:
            lone = (low if value < usual.low else len(outside) - low) < 2
            implausible.append(_outside(path, usual, exact(value), document, lone=lone))


def _outside(path: Path, known: Range, value: Fraction, document: Document, *, lone: bool) -> ImplausibleValue:
    """A value outside its range: a slip where moving its point puts it among the usual ones.

    By a factor of ten or a hundred that counts only where no other value of its section is off to the same side: a car
    that is small all over is a small car.
    """
    size = to_float(value)
    usual = f"{known.title} is usually {known.low:g} to {_shown(exact(known.high), known)}"
    shift = _likely_shift(value, known)
    if shift is None:
        return ImplausibleValue(
            document, path, f"{_shown(value, known)} is unusual: {usual}{_other_unit(size, known)}", slip=False
        )  # fmt: skip
    meant = _shown(value * shift, known)
    if known.low <= size * _FAR and size <= known.high * _FAR:
        return ImplausibleValue(
            document, path, f"{_shown(value, known)} is unusual: {usual}; was {meant} meant?", slip=False
        )  # fmt: skip
    looks = _looks_like(value, shift, known.unit, meant)
    message = looks or f"{_shown(value, known)} looks like a misplaced decimal point: {usual}, and {meant} would be"
    return ImplausibleValue(document, path, message, slip=lone or shift in _THOUSANDS)


def _likely_shift(value: Fraction, known: Range) -> Fraction | None:
    """The power of ten that takes the value nearest to the usual example, of those that make it usual."""
    if not known.shifts or not value:
        return None
    fitting = [shift for shift in _SHIFTS if known.low <= to_float(value * shift) <= known.high]
    return min(fitting, key=lambda shift: abs(math.log(to_float(value * shift) / known.example)), default=None)


def _looks_like(value: Fraction, shift: Fraction, unit: str, meant: str) -> str:
    """The unit that the value was read in, where the shift is that between two units; else nothing."""
    units = _OTHER_UNITS.get((unit, shift))
    return "" if units is None else f"{plain_text(value)} looks like {units[1]}; this key is in {units[0]}: {meant}"


def _shown(value: Fraction, known: Range) -> str:
    """A value with its unit, but not "17.5 turns" of what is called turns."""
    return with_unit(plain_text(value), "" if known.unit == known.title else known.unit)


def _unlike_the_others(
    values: Mapping[Path, float], unit: str, others: str, document: Document
) -> Iterator[ImplausibleValue]:
    """Readings of one kind that are those beside them with the point moved."""
    centre = middle(tuple(values.values()))
    about = f"{others} read about {with_unit(f'{centre:.3g}', unit)}"
    for path, size in values.items():
        shift = _shift_between(size, centre)
        if shift is not None:
            value = exact(size)
            meant = with_unit(plain_text(value * shift), unit)
            looks = _looks_like(value, shift, unit, f"{meant}, as {about}")
            written = with_unit(plain_text(value), unit)
            message = looks or f"{written} looks like a misplaced decimal point: {about}, as {meant} would"
            yield ImplausibleValue(document, path, message, slip=True)


def _shift_between(value: float, wanted: float) -> Fraction | None:
    """The power of ten that takes a value to about the one wanted; None where none does, or none is needed."""
    if value <= 0 or wanted <= 0:
        return None
    return next((shift for shift in _SHIFTS if abs(value * to_float(shift) / wanted - 1) <= _NEAR), None)


def _other_unit(value: float, known: Range) -> str:
    """What the value would be if it had been read in a unit of the same name elsewhere."""
    if known.unit == "c" and value > known.high and known.low <= (value - 32) / 1.8 <= known.high:
        return f"; {plain_text(exact(value))} °F would be {round((value - 32) / 1.8)} °C"
    if known.unit == "mm" and value < known.low and known.low <= value * 25.4 <= known.high:
        return f"; {plain_text(exact(value))} inches would be {round(value * 25.4, 1):g} mm"
    return ""


_THOUSANDS: Final = (Fraction(1000), Fraction(1, 1000))

_OTHER_UNITS: Final[dict[tuple[str, Fraction], tuple[str, str]]] = {
    ("mohm", Fraction(1000)): ("milliohms", "ohms"),
    ("mohm", Fraction(1, 1000)): ("milliohms", "microhms"),
    ("g", Fraction(1000)): ("grams", "kilograms"),
    ("g", Fraction(1, 1000)): ("grams", "milligrams"),
    ("mm", Fraction(1000)): ("millimetres", "metres"),
    ("mm", Fraction(10)): ("millimetres", "centimetres"),
    ("mm", Fraction(1, 1000)): ("millimetres", "micrometres"),
    ("v", Fraction(1, 1000)): ("volts", "millivolts"),
    ("a", Fraction(1, 1000)): ("amperes", "milliamperes"),
    ("mah", Fraction(1000)): ("milliampere-hours", "ampere-hours"),
    ("rpm", Fraction(1000)): ("rpm", "thousands of rpm"),
    ("rpm_per_v", Fraction(1000)): ("rpm per volt", "thousands of rpm per volt"),
}
"""What a value that is off by such a factor was read in: the key's own unit, and the other one."""
