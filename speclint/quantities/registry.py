"""The one list of quantities, and how a name that a person wrote is found in it."""

from functools import cache
from typing import Final

from speclint.places import Path
from speclint.quantities.bench import BENCH
from speclint.quantities.car import BATTERY, CAR
from speclint.quantities.declared import QuantityName
from speclint.quantities.model import Quantity, Sort
from speclint.quantities.motor import MOTOR

QUANTITIES: Final[tuple[Quantity, ...]] = (*CAR, *BATTERY, *MOTOR, *BENCH)
"""Every quantity that has a name of its own, in the order of the car, the battery, the motor and its bench runs."""

BY_NAME: Final = {quantity.name: quantity for quantity in QUANTITIES}

OPEN_PREFIXES: Final = ("extra.", "entry.")
"""What begins like this is a quantity too: any key under `extra:` of a setup, any key of an entry."""

_SUFFIXES: Final = (
    ("_rpm_per_v", "rpm_per_v"), ("_mohm", "mohm"), ("_percent", "percent"), ("_teeth", "teeth"), ("_mah", "mah"),
    ("_deg", "deg"), ("_rpm", "rpm"), ("_mm", "mm"), ("_g", "g"), ("_kg", "kg"), ("_lb", "lb"), ("_oz", "oz"),
    ("_cm", "cm"), ("_in", "in"), ("_ft", "ft"), ("_f", "f"), ("_v", "v"), ("_a", "a"), ("_c", "c"),
)  # fmt: skip


@cache
def unit_of_key(key: str) -> str:
    """The unit code that a key's ending carries, "" where it has none."""
    return next((unit for suffix, unit in _SUFFIXES if key.endswith(suffix)), "")


def title_of_key(key: str, unit: str) -> str:
    """An open key as words; its unit stands behind the number, so it is left off."""
    bare_key = key.removesuffix(f"_{unit}") if unit else key
    return (bare_key or key).replace("_", " ")


def open_key_path(name: str, extra: Path, entry: Path) -> Path:
    """Where the key of an open quantity stands.

    Args:
        name: the quantity, extra.KEY or entry.KEY.
        extra: where the `extra:` of its car stands.
        entry: where its entry stands.
    """
    prefix, _, key = name.partition(".")
    return (*(extra if prefix == "extra" else entry), key)


def quantity(name: str) -> Quantity | None:
    """The quantity of this name, or None where there is none of it: first what the ruleset declares that wrote it."""
    return name.quantity if isinstance(name, QuantityName) else _of_no_ruleset(name)


@cache
def _of_no_ruleset(name: str) -> Quantity | None:
    open_quantity = BY_NAME.get(name)
    if open_quantity is None and name.startswith(OPEN_PREFIXES):
        key = name.partition(".")[2]
        unit = unit_of_key(key)
        sort = Sort.MEASURED if unit not in ("", "teeth", "mah") else Sort.TEXT
        where = "the setup's `extra:`" if name.startswith("extra.") else "the entry"
        open_quantity = Quantity(
            name=name, title=title_of_key(key, unit), sort=sort, unit=unit, lowest=None, is_open=True,
            about=f"Whatever {where} states as `{key}`.", source="the ruleset that asks for it", example="",
        )  # fmt: skip
    return open_quantity
