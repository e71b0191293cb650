"""The entries of a setup, with what the command line says of them put over what the setup says."""

from dataclasses import dataclass, replace
from datetime import date

from speclint.check.shelf import Shelf
from speclint.models.setups import Entry, Setup


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Overrides: the file of a ruleset, a class and a day for every entry; and the day on which things were known."""

    today: date
    ruleset: str | None = None
    class_id: str | None = None
    on: date | None = None
    known_on: date | None = None


def entries_of(setup: Setup, shelf: Shelf, asked: Asked) -> tuple[Entry, ...]:
    """The setup's entries as asked for, each once; one made up of the overrides where it has none of its own."""
    entries = setup.entries
    if not entries and asked.ruleset is not None and asked.class_id is not None:
        entries = (Entry((), "", None, asked.class_id, asked.today, {}),)
    found: dict[tuple[str, str | None, str, date], Entry] = {}
    for entry in entries:
        changed = entry
        if asked.ruleset is not None and asked.ruleset in shelf.documents:
            ruleset = shelf.documents[asked.ruleset][0]
            changed = replace(changed, ruleset=ruleset.id, version=ruleset.version)
        if asked.class_id is not None:
            changed = replace(changed, class_id=asked.class_id)
        if asked.on is not None:
            changed = replace(changed, on=asked.on)
        found.setdefault((changed.ruleset, changed.version, changed.class_id, changed.on), changed)
    return tuple(found.values())
