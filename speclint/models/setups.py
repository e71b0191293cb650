"""A setup as a value: what it is called, which entries it asks for, and which files it leans on."""

from datetime import date
from typing import Any, NamedTuple

from speclint.documents.tree import Document
from speclint.places import Path


class Entry(NamedTuple):
    """A setup entered in one class of one ruleset for one day; `version` where it asks for a certain one."""

    path: Path
    ruleset: str
    version: str | None
    class_id: str
    on: date
    keys: dict[str, Any]


class Setup(NamedTuple):
    """One car as it will be raced. `motor` and `garage` are paths as written, from the setup's own folder."""

    document: Document
    name: str
    entries: tuple[Entry, ...]
    motor: str | None
    garage: str | None

    @property
    def has_motor_in_place(self) -> bool:
        """Whether the motor's keys stand in the setup itself."""
        return self.motor is None and "motor" in self.document.data


def setup_of(document: Document) -> Setup:
    """The setup that a validated document states."""
    data = document.data
    entries = data.get("entries")
    motor = data.get("motor")
    return Setup(
        document,
        data.get("name") or document.file.rpartition("/")[2],
        tuple(_entry(("entries", i), keys) for i, keys in enumerate(entries)) if entries else (),
        motor if isinstance(motor, str) else None,
        data.get("garage"),
    )


def _entry(path: Path, keys: dict[str, Any]) -> Entry:
    ruleset, _, version = keys["ruleset"].partition("@")
    return Entry(path, ruleset, version or None, keys["class"], date.fromisoformat(keys["on"]), keys)
