"""The entries of a setup, with what the command line says of them put over what the setup says."""

from dataclasses import dataclass
from datetime import date

from speclint.errors import UnreadableError, UsageError
from speclint.models.setups import Entry, Setup
from speclint.rulesets.library import NotFound
from speclint.rulesets.model import Ruleset
from speclint.workspace.loaded import Loaded
from speclint.workspace.ruleset_index import RulesetIndex


@dataclass(frozen=True, slots=True, kw_only=True)
class Overrides:
    """Overrides: the file of a ruleset, a class and a day for every entry; and the day on which things were known."""

    today: date
    ruleset: str | None = None
    class_id: str | None = None
    on: date | None = None
    known_on: date | None = None


def entries_of(setup: Setup, ruleset: Ruleset | None, asked: Overrides) -> tuple[Entry, ...]:
    """The setup's entries as asked for, each once; one made up of the overrides where it has none of its own.

    Args:
        setup: a setup of valid shape.
        ruleset: the one that was asked for by its file, None if none was.
        asked: what the command line says of entries.
    """
    entries = setup.entries
    if not entries and ruleset is not None and asked.class_id is not None:
        entries = (Entry((), "", None, asked.class_id, asked.today, {}),)
    found: list[Entry] = []
    for entry in entries:
        changed = entry
        if ruleset is not None:
            changed = changed._replace(ruleset=ruleset.id, version=ruleset.version)
        if asked.class_id is not None:
            changed = changed._replace(class_id=asked.class_id)
        if asked.on is not None:
            changed = changed._replace(on=asked.on)
        if not any(_is_same(changed, other) for other in found):
            found.append(changed)
    return tuple(found)


def without_entry(ruleset: Ruleset | None, asked: Overrides) -> str:
    """What a person is told whose setup has no entry to judge."""
    if ruleset is not None:
        classes = ", ".join(sorted(ruleset.classes))
        return f"no entry: say with --class which class to judge it in ({ruleset.name} states {classes})"
    if asked.class_id is not None:
        return "no entry: say with --ruleset which rules to judge it by"
    return "no entry: add one under `entries`, or say --ruleset FILE --class NAME"


_ASKED_OF = frozenset({"ruleset", "class", "on"})


def _is_same(one: Entry, other: Entry) -> bool:
    """Whether two entries ask the same question: the venue, or any other key that a rule may test, is part of it."""
    return (
        (one.ruleset, one.version, one.class_id, one.on) == (other.ruleset, other.version, other.class_id, other.on)
        and _further(one) == _further(other)
    )  # fmt: skip


def _further(entry: Entry) -> dict[str, object]:
    return {key: value for key, value in entry.keys.items() if key not in _ASKED_OF}


def asked_ruleset(loaded: Loaded, index: RulesetIndex, asked: Overrides) -> Ruleset | None:
    """The ruleset that the command line names by its file, None where that has problems.

    Raises:
        UsageError: the file is no ruleset, or it does not have the class that is asked for.
        UnreadableError: the file cannot be read.
    """
    if not loaded.is_there:
        raise UnreadableError(f"{loaded.file}: {loaded.problems[0].message}")
    if loaded.format != "ruleset/1":
        what = f"is a {loaded.format.partition('/')[0]}" if loaded.format else "says no `format: ruleset/1`"
        raise UsageError(f"{loaded.file} {what}, and not a ruleset to judge by")
    found = index.documents.get(loaded.file)
    if found is None or not index.is_whole(found[0]):
        return None
    if asked.class_id is not None:
        flat = index.library.flat(found[0], asked.class_id)
        if isinstance(flat, NotFound):
            raise UsageError(flat.message)
    return found[0]
