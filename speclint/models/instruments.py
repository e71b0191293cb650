"""Instruments as documents describe them."""

from datetime import date
from fractions import Fraction
from functools import lru_cache
from typing import Any

from speclint.readings.exact import exact
from speclint.readings.instruments import Instrument


def instruments_of(described: dict[str, Any] | None) -> dict[str, Instrument]:
    """The instruments under an `instruments:` key of valid shape, by name."""
    return {name: _instrument(name, tuple(keys.items())) for name, keys in (described or {}).items()}


@lru_cache(maxsize=1024)
def _instrument(name: str, described: tuple[tuple[str, Any], ...]) -> Instrument:
    """One instrument; a team describes the same few in every one of its setups."""
    keys = dict(described)

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
    )
