"""What the trade meets: for every key that holds a number, the range beyond which a slip of the pen is likely."""

from typing import Final, NamedTuple

from speclint.quantities.model import Home, Quantity, Sort
from speclint.quantities.registry import BY_NAME, QUANTITIES


class Range(NamedTuple):
    """The usual values of one key.

    Attributes:
        low: the smallest usual value, in the key's unit.
        high: the largest usual value.
        example: one of the most usual ones.
        unit: the code of the unit, "" for none.
        title: what the key holds, for people.
        shifts: a misplaced decimal point is a likely slip: not for counts, nor for temperatures.
        total: a list holds parts of a sum, not repeats of one value.
    """

    low: float
    high: float
    example: float
    unit: str
    title: str
    shifts: bool = True
    total: bool = False


def _of(quantity: Quantity) -> Range | None:
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
        total=quantity.sort is Sort.SUM,
    )


def _section(home: Home, *section: str) -> dict[str, Range]:
    found = {}
    for quantity in QUANTITIES:
        key = quantity.key
        if key is not None and key.home is home and key.path[:-1] == section:
            usual = _of(quantity)
            if usual is not None:
                found[str(key.path[-1])] = usual
    return found


def _named(name: str) -> Range:
    usual = _of(BY_NAME[name])
    if usual is None:
        raise ValueError(f"the quantity {name} has no usual range")
    return usual


CAR: Final = _section(Home.SETUP, "car")
BATTERY: Final = _section(Home.SETUP, "battery")
MOTOR: Final = _section(Home.MOTOR)
ROTOR: Final = _section(Home.MOTOR, "rotor")
SHIMS: Final = _section(Home.MOTOR, "shims_mm")

# Common practice, from memory, for keys that no rule limits: so wide that only a slip falls outside.
_CAN: Final = Range(-5, 120, 61, "c", "can temperature", shifts=False)
_AIR: Final = Range(-15, 45, 20, "c", "ambient temperature", shifts=False)

BENCH_RUN: Final[dict[str, Range]] = {
    **_section(Home.BENCH),
    "timing_deg": _named("timing_mean_deg"),
    "supply_v": Range(1, 16, 3.7, "v", "supply voltage"),
    "can_c": _CAN,
    "ambient_c": _AIR,
}
WINDING: Final[dict[str, Range]] = {
    **{key: _named("winding_mean_mohm") for key in ("ab_mohm", "bc_mohm", "ca_mohm")},
    "winding_c": Range(-5, 120, 25, "c", "winding temperature", shifts=False),
}
SHEET: Final[dict[str, Range]] = {"kv_rpm_per_v": _named("kv_rpm_per_v")}
TRACK_RUN: Final[dict[str, Range]] = {
    **{key: CAR[key] for key in ("spur_teeth", "pinion_teeth", "internal_ratio", "tyre_diameter_mm")},
    "minutes": Range(0.2, 60, 5, "minutes", "length of the run", shifts=False),
    "can_c": _CAN,
    "ambient_c": _AIR,
}
