"""The example car: every key of the registry with its example, so that a formula can be shown with true numbers."""

import json
from datetime import date
from functools import cache
from typing import Any, Final

from speclint.documents.parse import parse
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.places import Path
from speclint.quantities.facts import Fact, Facts
from speclint.quantities.keys import REBUILDS, keys_behind
from speclint.quantities.model import Home, Key
from speclint.quantities.registry import QUANTITIES
from speclint.readings.copper import REFERENCE_C
from speclint.structure.topics import Topics, flow_text
from speclint.structure.validate import schema_of

RACE_DAY: Final = date(2026, 3, 14)
_BENCH_DAY: Final = "2026-03-10"
_SHEET_WINDING: Final = {"ab_mohm": 36.4, "bc_mohm": 36.5, "ca_mohm": 36.3, "winding_c": 20}
"""A sheet that differs a little from the bench run, so that a drift shows."""

_REBUILDS: Final = [{"date": "2026-03-01", "did": ["clean"]}]
"""A rebuild that ends no reading."""

_EXAMPLES: Final = {REBUILDS: _REBUILDS} | {
    quantity.key: quantity.example for quantity in QUANTITIES if quantity.key is not None
}


def example_of(key: Key) -> Any:
    """The value that stands for a key in examples."""
    if key in _EXAMPLES:
        return _EXAMPLES[key]
    if key.home is Home.SHEET:
        return _SHEET_WINDING[str(key.path[-1])]
    return Topics(schema_of("motor/1")).at(("bench_runs", 0, *key.path)).example


def example_fact(name: str) -> Fact:
    """The fact that the engine finds about a quantity of the example car, reference temperature 20 °C."""
    return _facts().fact(name)


def snippet(keys: tuple[Key, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """How the keys stand in a file, line by line: what belongs to the setup, and what belongs to the motor."""
    setup = _document(tuple(key for key in keys if key.home is Home.SETUP))
    motor = _document(tuple(key for key in keys if key.home is not Home.SETUP))
    return tuple(_block(setup, "")), tuple(_block(motor, ""))


@cache
def _facts() -> Facts:
    keys = tuple(dict.fromkeys(key for quantity in QUANTITIES for key in keys_behind(quantity)))
    setup = _document(tuple(key for key in keys if key.home is Home.SETUP))
    motor = _document(tuple(key for key in keys if key.home is not Home.SETUP))
    # JSON is YAML in flow style, and the example is never shown in this form.
    document, _ = parse("example", json.dumps({"format": "setup/1", **setup, "motor": motor}))
    if document is None:
        raise ValueError("the examples of the registry make no document")
    car = Car(setup_of(document), motor_of(document, ("motor",)), "", {})
    return Facts(car, on=RACE_DAY, reference_c=REFERENCE_C, entry_keys={})


def _document(keys: tuple[Key, ...]) -> dict[str, Any]:
    data: dict[str, Any] = {}
    for key in keys:
        _put(data, _path(key), example_of(key))
    return data


def _path(key: Key) -> Path:
    homes: dict[Home, Path] = {Home.BENCH: ("bench_runs", 0), Home.SHEET: ("factory_sheet",)}
    return (*homes.get(key.home, ()), *key.path)


def _put(data: dict[str, Any], path: Path, value: Any) -> None:
    """Puts a value into nested keys; a list is a list of bench runs, and begins with the date of the one."""
    first, *rest = path
    if not rest:
        data[str(first)] = value
    elif rest[0] == 0:
        runs = data.setdefault(str(first), [{"date": _BENCH_DAY}])
        _put(runs[0], tuple(rest[1:]), value)
    else:
        _put(data.setdefault(str(first), {}), tuple(rest), value)


def _block(data: dict[str, Any], indent: str) -> list[str]:
    lines = []
    for key, value in data.items():
        if isinstance(value, dict):
            lines += [f"{indent}{key}:", *_block(value, indent + "  ")]
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            first, *rest = _block(value[0], indent + "    ")
            lines += [f"{indent}{key}:", f"{indent}  - {first.lstrip()}", *rest]
        else:
            lines.append(f"{indent}{key}: {flow_text(value)}")
    return lines
