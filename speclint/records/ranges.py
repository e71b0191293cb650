"""What the trade meets: for every key that holds a number, the range beyond which a slip of the pen is likely."""

import math
from typing import Final, NamedTuple

from speclint.quantities.model import Home, Quantity, Sort
from speclint.quantities.registry import QUANTITIES
from speclint.readings.units import is_hardly_below_zero


class Range(NamedTuple):
    """The usual values of one key.

    Attributes:
        low: the smallest usual value, in the key's unit.
        high: the largest usual value.
        example: one of the most usual ones.
        unit: the code of the unit, "" for none.
        title: what the key holds, for people.
        shifts: a misplaced decimal point is a likely slip: not for counts, nor for temperatures.
        quantity: the quantity whose limits say what a class asks of it, "" for none.
        is_diameter: half of it is what a radius would be.
    """

    low: float
    high: float
    example: float
    unit: str
    title: str
    shifts: bool = True
    quantity: str = ""
    is_diameter: bool = False


def usual_of(quantity: Quantity) -> Range | None:
    """The usual values of a quantity, as the registry or a ruleset tells them."""
    if quantity.typical is None:
        return None
    low, high = quantity.typical
    example = quantity.example
    return Range(
        float(low),
        float(high),
        float(example) if isinstance(example, int | float) else float(high) / 2,
        quantity.unit,
        quantity.title,
        shifts=quantity.sort is not Sort.COUNT,
        quantity=quantity.name,
        is_diameter=quantity.name.endswith("diameter_mm"),
    )


def of_declared(quantity: Quantity) -> Range | None:
    """The usual values of what a ruleset declares: where it tells none, what has a size is seldom below zero."""
    if not quantity.declared_by:
        return None
    usual = usual_of(quantity)
    if usual is None and is_hardly_below_zero(quantity.unit):
        return Range(0, math.inf, math.inf, quantity.unit, quantity.title, quantity=quantity.name)
    return usual


PHASES: Final = ("ab_mohm", "bc_mohm", "ca_mohm")
"""The keys of a winding's resistances from lead to lead."""

STATED: Final = {quantity.name: usual for quantity in QUANTITIES if (usual := usual_of(quantity)) is not None}
"""By the name of a quantity that a key of the setup or the motor states."""

USUAL: Final = {name: (usual.low, usual.high) for name, usual in STATED.items()}
"""The smallest and the largest of them alone."""

# Common practice, from memory, for keys that no rule limits: so wide that only a slip falls outside.
_CAN: Final = Range(-5, 120, 61, "c", "can temperature", shifts=False)
_AIR: Final = Range(-15, 45, 20, "c", "ambient temperature", shifts=False)

BENCH_RUN: Final[dict[str, Range]] = {
    **{
        str(quantity.key.path[-1]): STATED[quantity.name]
        for quantity in QUANTITIES
        if quantity.key is not None and quantity.key.home is Home.BENCH and quantity.name in STATED
    },
    "timing_deg": STATED["timing_mean_deg"],
    "supply_v": Range(1, 16, 3.7, "v", "supply voltage"),
    "can_c": _CAN,
    "ambient_c": _AIR,
}
WINDING: Final[dict[str, Range]] = {
    **dict.fromkeys(PHASES, STATED["winding_mean_mohm"]),
    "winding_c": Range(-5, 120, 25, "c", "winding temperature", shifts=False),
}
SHEET: Final[dict[str, Range]] = {"kv_rpm_per_v": STATED["kv_rpm_per_v"]}
TRACK_RUN: Final[dict[str, Range]] = {
    **{key: STATED[key] for key in ("spur_teeth", "pinion_teeth", "internal_ratio", "tyre_diameter_mm")},
    "minutes": Range(0.2, 60, 5, "minutes", "length of the run", shifts=False),
    "can_c": _CAN,
    "ambient_c": _AIR,
}
