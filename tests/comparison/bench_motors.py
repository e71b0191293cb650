"""Motors with bench runs, as text and as values."""

from collections.abc import Mapping
from typing import Any, Final

from speclint.comparison.differences import Comparison, compare
from speclint.comparison.runs import ComparedRun, RunPair, runs_of
from speclint.documents.parse import parse
from speclint.models.instruments import instruments_of
from speclint.models.motors import Motor, motor_of

BENCH: Final = {"motor-bench": {"accuracy_percent": 0.5}}
"""One bench that reads everything to half a percent."""

ONE_WINDING: Final = {"ab_mohm": 21.4, "bc_mohm": 21.4, "ca_mohm": 21.4, "winding_c": 20}


def run(date: str, **keys: Any) -> dict[str, Any]:
    """A bench run at 20 °C and 3.7 V on the bench, unless its keys say otherwise; a key that is None is left out."""
    stated = {
        "date": date, "instrument": "motor-bench", "supply_v": 3.7, "current_a": 3.9, "kv_rpm_per_v": 2450, "can_c": 20,
        "winding": ONE_WINDING, **keys,
    }  # fmt: skip
    return {key: value for key, value in stated.items() if value is not None}


def motor(*runs: Mapping[str, Any], **keys: Any) -> Motor:
    """A motor with these runs."""
    text = flow({"format": "motor/1", "bench_runs": list(runs), **keys})
    document, problems = parse("motor.yaml", f"{text}\n")
    assert document is not None, problems
    return motor_of(document)


def flow(value: Any) -> str:
    """A value as YAML on one line, which JSON nearly is; text is quoted, numbers keep their digits."""
    if isinstance(value, dict):
        return "{" + ", ".join(f'"{key}": {flow(one)}' for key, one in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow(one) for one in value) + "]"
    return f'"{value}"' if isinstance(value, str) else repr(value)


def runs(of: Motor, instruments: Mapping[str, Any] | None = None) -> tuple[ComparedRun, ...]:
    """The motor's runs, the oldest first, with instruments by their description."""
    return runs_of(of, instruments_of(dict(BENCH if instruments is None else instruments)))


def compared(of: Motor, instruments: Mapping[str, Any] | None = None, *, first: int = 1, second: int = 2) -> Comparison:
    """Two runs of a motor held against each other."""
    listed = runs(of, instruments)
    return compare(RunPair(listed[first - 1], listed[second - 1], "as the test asks"))
