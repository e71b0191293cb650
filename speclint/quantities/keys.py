"""The keys that a quantity rests on, through whatever it is computed from."""

from collections.abc import Iterator
from typing import Final

from speclint.quantities.model import Given, Home, Key, Quantity
from speclint.quantities.registry import quantity

BENCH_DATE: Final = Key(Home.BENCH, ("date",))
"""The key that the date of a bench run is read from."""

REBUILDS: Final = Key(Home.MOTOR, ("rebuilds",))
"""The key of the motor's rebuilds, of which their kinds are read."""


def keys_behind(start: Quantity) -> tuple[Key, ...]:
    """Every key that the quantity's value is read from, each once, in the order of its formula."""
    return tuple(dict.fromkeys(_keys(start)))


def _keys(start: Quantity) -> Iterator[Key]:
    if start.key is not None:
        yield start.key
    for input_quantity in start.inputs:
        if isinstance(input_quantity, Key):
            yield input_quantity
        elif input_quantity is Given.BENCH_DATE:
            yield BENCH_DATE
        elif input_quantity is Given.REBUILDS:
            yield REBUILDS
        elif isinstance(input_quantity, str) and (inner := quantity(input_quantity)) is not None:
            yield from _keys(inner)


def from_bench(start: Quantity) -> bool:
    """Whether a bench run shows it, so that a rebuild can end what it shows."""
    return any(key.home is Home.BENCH for key in keys_behind(start))


def corrected_for_temperature(start: Quantity) -> bool:
    """Whether its readings are corrected to a reference temperature."""
    inner = (quantity(name) for name in start.inputs if isinstance(name, str))
    return Given.REFERENCE_C in start.inputs or any(
        described is not None and corrected_for_temperature(described) for described in inner
    )
