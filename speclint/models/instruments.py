"""Instruments as documents describe them, and the readings that name them."""

from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final

from speclint.documents.tree import Document
from speclint.places import Path
from speclint.readings.exact import exact
from speclint.readings.instruments import Instrument


def instruments_of(described: Mapping[str, Any] | None, file: str = "") -> dict[str, Instrument]:
    """The instruments under an `instruments:` key of valid shape, by name; `file` is the one that describes them."""
    return {name: _described_in(file, _instrument(name, _hashable(keys))) for name, keys in (described or {}).items()}


def _described_in(file: str, instrument: Instrument) -> Instrument:
    """The instrument as one of this file's."""
    # Volts tell nothing of amperes: each unit has an error of its own.
    per_unit = tuple((unit, part._replace(described_in=f"{file}:{unit}")) for unit, part in instrument.per_unit)
    return instrument._replace(described_in=file, per_unit=per_unit)


def _hashable(keys: Mapping[str, Any] | None) -> tuple[tuple[str, Any], ...]:
    return tuple((key, _hashable(value) if isinstance(value, dict) else value) for key, value in (keys or {}).items())


@lru_cache(maxsize=1024)
def _instrument(name: str, described: tuple[tuple[str, Any], ...]) -> Instrument:
    """One instrument; a team describes the same few in every one of its setups.

    What holds of the whole instrument, its day of calibration and its repeatability in percent, holds in each unit
    that says nothing else.
    """
    keys = dict(described)
    shared = tuple((key, keys[key]) for key in ("calibrated_on", "repeatability_percent") if key in keys)

    def number(key: str) -> Fraction | None:
        value = keys.get(key)
        return None if value is None else exact(value)

    calibrated = keys.get("calibrated_on")
    return Instrument(
        name,
        accuracy_percent=number("accuracy_percent"),
        accuracy=number("accuracy"),
        resolution=number("resolution"),
        offset=number("offset"),
        calibrated_on=None if calibrated is None else date.fromisoformat(calibrated),
        unit=keys.get("unit"),
        repeatability=number("repeatability"),
        repeatability_percent=number("repeatability_percent"),
        per_unit=tuple(
            (unit, _instrument(name, (*shared, *(inner or ()), ("unit", unit))))
            for unit, inner in keys.get("per_unit") or ()
        ),
    )


def instruments_named(document: Document) -> Iterator[tuple[Path, str]]:
    """Every instrument that a reading of a document names, with the key that names it."""
    for key, value in document.data.items():
        if key not in _WITHOUT_READINGS and isinstance(value, dict | list):
            yield from _named_below((key,), value)


def _named_below(path: Path, value: dict[str, Any] | list[Any]) -> Iterator[tuple[Path, str]]:
    if isinstance(value, dict):
        for word in NAMING_KEYS:
            name = value.get(word)
            if isinstance(name, str):
                yield (*path, word), name
    for step, member in value.items() if isinstance(value, dict) else enumerate(value):
        if type(member) in _HOLDERS and step != "instruments":
            yield from _named_below((*path, step), member)


NAMING_KEYS: Final = ("instrument", "thermometer")
"""The keys under which a reading says what it was read on."""

_HOLDERS: Final = frozenset({dict, list})

_WITHOUT_READINGS: Final = frozenset({"entries", "instruments", "parts_box"})
