"""What a setup has to say for a quantity to have a value: the way back from each formula."""

import math
from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Any, Final

from speclint.places import Path
from speclint.quantities.model import Home, Quantity, Sort
from speclint.quantities.registry import OPEN_PREFIXES, quantity
from speclint.readings.copper import REFERENCE_C
from speclint.readings.exact import decimals_of, to_number
from speclint.readings.measured import value_of
from speclint.readings.units import in_unit

Statement = dict[Path, Any]
"""Plain data by its path from the top of a setup; what stands under `entry` is said of the entry."""

_RUN: Final[Path] = ("motor", "bench_runs", 0)
_HOMES: Final[Mapping[Home, Path]] = {
    Home.SETUP: (),
    Home.MOTOR: ("motor",),
    Home.BENCH: _RUN,
    Home.SHEET: ("motor", "factory_sheet"),
}
_SENSORS: Final = 3
_CELLS: Final = 2
_DECIMALS: Final = 9
_PINION: Final = 20
_MOST_PINION: Final = 80


def statement_of(
    name: str, value: str | bool | Fraction, on: date, reference_c: Fraction = REFERENCE_C
) -> Statement | None:
    """What shows a value of a quantity on a day; None where nothing is known to.

    Args:
        name: the quantity.
        value: the value, in its unit.
        on: the day of the entry, on which the bench run is made.
        reference_c: the temperature that windings are judged at.
    """
    if name.startswith(OPEN_PREFIXES):
        described = quantity(name)
        if described is not None and described.inputs:
            return _of_parts(described, value, on, reference_c)
        prefix, _, open_key = name.partition(".")
        return {(prefix, open_key): _plain(value)}
    described = quantity(name)
    if described is None:
        return None
    if described.key is not None:
        key = described.key
        plain = _plain(value)
        count = _SENSORS if key.each else 1 if described.sort is Sort.SUM else 0
        stated: Statement = {(*_HOMES[key.home], *key.path): [plain] * count if count else plain}
        return {(*_RUN, "date"): on.isoformat(), **stated} if key.home is Home.BENCH else stated
    if name == "bench_age_days" and isinstance(value, Fraction):
        return {(*_RUN, "date"): (on - timedelta(days=int(value))).isoformat()} if 0 <= value < _MOST_DAYS else None
    if name == "motor_rebuilds" and isinstance(value, str):
        return {("motor", "rebuilds", 0, "date"): on.isoformat(), ("motor", "rebuilds", 0, "did"): [value]}
    recipe = _RECIPES.get(name)
    return recipe(value, on, reference_c) if recipe is not None and isinstance(value, Fraction) else None


def _of_parts(derived: Quantity, value: str | bool | Fraction, on: date, reference_c: Fraction) -> Statement | None:
    """A sum as all of it in its first built-in part, or its first, and nothing in the others; a count as so many things."""
    names = [part for part in derived.inputs if isinstance(part, str)]
    if not isinstance(value, Fraction):
        return None
    if derived.counts:
        prefix, _, key = names[0].partition(".")
        return {(prefix, key): [1] * int(value)} if 0 <= value < _MOST_DAYS else None
    first = next((part for part in names if not part.startswith(OPEN_PREFIXES)), names[0])
    of = quantity(first)
    if of is None or any(part != first and not part.startswith(OPEN_PREFIXES) for part in names):
        return None
    whole = statement_of(first, value_of(in_unit(value, derived.unit, of.unit)), on, reference_c)
    others = [statement_of(part, Fraction(0), on, reference_c) or {} for part in names if part != first]
    return None if whole is None else {path: part for stated in (whole, *others) for path, part in stated.items()}


_MOST_DAYS: Final = 36500


def nested(statements: Iterable[Mapping[Path, Any]]) -> dict[str, Any]:
    """Statements put together as one setup's data; a later one wins."""
    whole: dict[str, Any] = {}
    for path, value in (pair for statement in statements for pair in statement.items()):
        inner: dict[str, Any] = whole
        for step, following in pairwise(path):
            if isinstance(step, int):
                continue
            holder = inner.setdefault(step, [{}] if isinstance(following, int) else {})
            inner = holder[0] if isinstance(holder, list) else holder
        inner[str(path[-1])] = value
    return whole


def _plain(value: str | bool | Fraction) -> Any:
    """A value as a file holds it; a number that no decimal of nine places writes exactly is rounded there."""
    if not isinstance(value, Fraction):
        return value
    return to_number(value if _is_short(value) else round(value, _DECIMALS))


def _ratio(value: Fraction) -> Any:
    """A ratio as a file holds it: a decimal, or the fraction itself."""
    return to_number(value) if _is_short(value) else f"{value.numerator}/{value.denominator}"


def _is_short(value: Fraction) -> bool:
    decimals = decimals_of(value)
    return decimals is not None and decimals <= _DECIMALS


def _final_drive(value: Fraction, _on: date, _reference_c: Fraction) -> Statement:
    return {
        ("car", "spur_teeth"): 2 * _PINION,
        ("car", "pinion_teeth"): _PINION,
        ("car", "internal_ratio"): _ratio(value / 2),
    }


def _spur_to_pinion(value: Fraction, _on: date, _reference_c: Fraction) -> Statement:
    nearest = value.limit_denominator(_MOST_PINION)
    times = -(-_PINION // nearest.denominator)
    return {
        ("car", "spur_teeth"): times * nearest.numerator,
        ("car", "pinion_teeth"): times * nearest.denominator,
    }


def _tooth_sum(value: Fraction, _on: date, _reference_c: Fraction) -> Statement | None:
    spur = value - _PINION
    return (
        {("car", "spur_teeth"): int(spur), ("car", "pinion_teeth"): _PINION} if spur > 0 and spur == int(spur) else None
    )


def _rollout(value: Fraction, on: date, reference_c: Fraction) -> Statement:
    return {
        **_final_drive(Fraction(2), on, reference_c),
        ("car", "tyre_diameter_mm"): _plain(value * 2 / Fraction(math.pi)),
    }


def _cell_voltage(value: Fraction, _on: date, _reference_c: Fraction) -> Statement:
    return {("battery", "cells"): _CELLS, ("battery", "voltage_v"): _plain(value * _CELLS)}


def _timings(*degrees: Fraction) -> Callable[[date], Statement]:
    return lambda on: {(*_RUN, "date"): on.isoformat(), (*_RUN, "timing_deg"): [_plain(degree) for degree in degrees]}


def _windings(on: date, reference_c: Fraction, *phases: Fraction) -> Statement:
    names = ("ab_mohm", "bc_mohm", "ca_mohm")
    winding = {(*_RUN, "winding", name): _plain(phase) for name, phase in zip(names, phases, strict=True)}
    return {(*_RUN, "date"): on.isoformat(), **winding, (*_RUN, "winding", "winding_c"): _plain(reference_c)}


def _drift(value: Fraction, on: date, reference_c: Fraction) -> Statement:
    sheet: Statement = {
        ("motor", "factory_sheet", "winding", name): _SHEET_MOHM for name in ("ab_mohm", "bc_mohm", "ca_mohm")
    }
    after = _SHEET_MOHM * (1 + value / 100)
    return {
        **sheet,
        ("motor", "factory_sheet", "winding", "winding_c"): _plain(reference_c),
        **_windings(on, reference_c, after, after, after),
    }


_SHEET_MOHM: Final = 20
_MIDDLE_DEG: Final = 36

_RECIPES: Final[Mapping[str, Callable[[Fraction, date, Fraction], Statement | None]]] = {
    "final_drive_ratio": _final_drive,
    "spur_pinion_ratio": _spur_to_pinion,
    "tooth_sum": _tooth_sum,
    "rollout_mm": _rollout,
    "cell_voltage_v": _cell_voltage,
    "timing_mean_deg": lambda value, on, _: _timings(value, value, value)(on),
    "timing_spread_deg": lambda value, on, _: _timings(
        Fraction(_MIDDLE_DEG), _MIDDLE_DEG + value / 2, _MIDDLE_DEG + value
    )(on),
    "winding_mean_mohm": lambda value, on, at: _windings(on, at, value, value, value),
    "winding_lowest_mohm": lambda value, on, at: _windings(on, at, value, value, value),
    "winding_spread_percent": lambda value, on, at: _windings(
        on, at, _SHEET_MOHM * (1 - value / 200), Fraction(_SHEET_MOHM), _SHEET_MOHM * (1 + value / 200)
    ),
    "winding_drift_percent": _drift,
}
"""How a computed quantity comes to a value."""
