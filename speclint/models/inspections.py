"""An inspection as a value: the race day, the officials, and what they read and looked at of each car."""

from collections.abc import Mapping
from datetime import date
from typing import Any, Final, NamedTuple

from speclint.documents.tree import Document
from speclint.models.instruments import instruments_of
from speclint.places import Path
from speclint.readings.instruments import Instrument

NO_SETUP: Final = "none"
"""What stands for the setup of a car of which nobody has one."""


class InspectedCar(NamedTuple):
    """One car as the officials found it; "" and None for what is not stated.

    `setup` is a path as written, from the inspection's own folder. `entry_keys` are what the officials say of its entry.
    """

    path: Path
    number: str
    setup: str
    name: str
    class_id: str
    at: str
    by: str
    entry_keys: Mapping[str, Any]
    looked_at: Mapping[str, str]
    ruling: str
    note: str

    @property
    def has_no_setup(self) -> bool:
        """Whether the officials say that nobody has its setup."""
        return self.setup == NO_SETUP


class Inspection(NamedTuple):
    """What officials found on a race day."""

    document: Document
    event: str
    on: date
    ruleset: str
    version: str | None
    digest: str
    officials: tuple[str, ...]
    instruments: Mapping[str, Instrument]
    cars: tuple[InspectedCar, ...]


def inspection_of(document: Document) -> Inspection:
    """The inspection that a validated document states."""
    data = document.data
    ruleset, _, version = data["ruleset"].partition("@")
    of_day = {key: data[key] for key in ("venue", "track") if data.get(key) is not None}
    return Inspection(
        document,
        data.get("event") or "",
        date.fromisoformat(data["on"]),
        ruleset,
        version or None,
        data.get("digest") or "",
        tuple(data.get("officials") or ()),
        instruments_of(data.get("instruments"), document.file),
        tuple(_car(("cars", i), keys, of_day) for i, keys in enumerate(data.get("cars") or ())),
    )


def _car(path: Path, keys: Mapping[str, Any], of_day: Mapping[str, Any]) -> InspectedCar:
    number = keys.get("number")
    stated = {key: value for key, value in (keys.get("entry") or {}).items() if value is not None}
    numbered = {} if number is None else {"number": number}
    return InspectedCar(
        path,
        "" if number is None else str(number),
        keys.get("setup") or "",
        keys.get("name") or "",
        keys["class"],
        keys.get("at") or "",
        keys.get("by") or "",
        {**of_day, **numbered, **stated},
        {rule: outcome for rule, outcome in (keys.get("looked_at") or {}).items() if outcome is not None},
        keys.get("ruling") or "",
        keys.get("note") or "",
    )
