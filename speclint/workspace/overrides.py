"""What the command line puts over the entries of setups: another ruleset, class or day."""

from datetime import date
from typing import Final, NamedTuple

from speclint.errors import UnreadableError, UsageError
from speclint.models.setups import Entry, Setup
from speclint.moments import Period
from speclint.rulesets.model import Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.spelling import known_words
from speclint.workspace.loaded import Loaded
from speclint.workspace.ruleset_index import RulesetIndex


class Overrides(NamedTuple):
    """A ruleset (an id, `id@version` or a file), a class and a day for every entry; `known_on` leaves out later texts.

    Entries for days before `from_day` are left unjudged; of the days of `coming` what changes on them is asked as well.
    """

    today: date
    ruleset: str | None = None
    class_id: str | None = None
    on: date | None = None
    known_on: date | None = None
    from_day: date | None = None
    coming: Period | None = None


class NamedRuleset(NamedTuple):
    """The ruleset that stands in for those of all entries; without a version the one in force on the entry's day."""

    id: str
    version: str | None
    classes: tuple[str, ...]

    @property
    def name(self) -> str:
        """Id and version, as people write it."""
        return self.id if self.version is None else f"{self.id}@{self.version}"


class UnsoundRuleset(NamedTuple):
    """The ruleset that was asked for has problems, and judges nobody."""

    file: str

    @property
    def reason(self) -> str:
        """What the owner of a car is told."""
        return f"the ruleset that was asked for has problems: see {self.file}"


def is_file_name(reference: str) -> bool:
    """Whether a reference to a ruleset can only be a file's name."""
    return "/" in reference or reference.endswith((".yaml", ".yml"))


def ruleset_in_file(loaded: Loaded, index: RulesetIndex, overrides: Overrides) -> NamedRuleset | UnsoundRuleset:
    """The ruleset of a file that the command line names.

    Raises:
        UsageError: the file is no ruleset, or does not have the class.
        UnreadableError: the file cannot be read.
    """
    if not loaded.is_there:
        raise UnreadableError(f"{loaded.file}: {loaded.problems[0].message}")
    if loaded.format != "ruleset/1":
        kind = f"is a {loaded.format.partition('/')[0]}" if loaded.format else "says no `format: ruleset/1`"
        raise UsageError(f"{loaded.file} {kind}, and not a ruleset to judge by")
    ruleset = index.documents[loaded.file][0] if loaded.file in index.documents else None
    if ruleset is None or not index.is_whole(ruleset):
        return UnsoundRuleset(loaded.file)
    _refuse_unknown_class((ruleset.version,), ruleset.id, index, overrides)
    return NamedRuleset(ruleset.id, ruleset.version, index.library.class_ids(ruleset))


def ruleset_by_id(reference: str, index: RulesetIndex, overrides: Overrides) -> NamedRuleset | UnsoundRuleset:
    """The ruleset of an id, or of `id@version`.

    Raises:
        UsageError: there is no such ruleset, or it does not have the class.
    """
    id_, _, version = reference.partition("@")
    versions = index.library.versions(id_)
    if (version and version not in versions) or not versions:
        for refused in index.refused.get(id_, ()):
            if not version or refused.version in (version, None):
                return UnsoundRuleset(refused.file)
        if versions:
            version_names = ", ".join(sorted(versions))
            raise UsageError(f"there is no version {version} of {id_}; known: {version_names}")
        raise UsageError(f"there is no ruleset {id_}{known_words(id_, index.library.ids)}")
    if version and not index.is_whole(versions[version]):
        return UnsoundRuleset(versions[version].place.file)
    stated = (version,) if version else tuple(versions)
    _refuse_unknown_class(stated, id_, index, overrides)
    classes = {name for name in stated for name in index.library.class_ids(versions[name])}
    return NamedRuleset(id_, version or None, tuple(sorted(classes)))


def overridden(
    setup: Setup, ruleset: NamedRuleset | None, overrides: Overrides
) -> tuple[tuple[Entry, Entry | None], ...]:
    """The setup's entries as asked for, each once, beside what the file says; made up where it says none."""
    stated: tuple[Entry | None, ...] = setup.entries
    if not stated and ruleset is not None and overrides.class_id is not None:
        stated = (None,)
    pairs: dict[object, tuple[Entry, Entry | None]] = {}
    for entry in stated:
        changed = entry or Entry((), "", None, "", overrides.today, {})
        if ruleset is not None:
            changed = changed._replace(ruleset=ruleset.id, version=ruleset.version)
        if overrides.class_id is not None:
            changed = changed._replace(class_id=overrides.class_id)
        if overrides.on is not None:
            changed = changed._replace(on=overrides.on)
        pairs.setdefault(_question(changed), (changed, entry))
    return tuple(pairs.values())


def without_entry(ruleset: NamedRuleset | None, overrides: Overrides) -> str:
    """What a person is told whose setup has no entry to judge."""
    if ruleset is not None:
        classes = ", ".join(ruleset.classes)
        return f"no entry: say with --class which class to judge it in ({ruleset.name} states {classes})"
    if overrides.class_id is not None:
        return "no entry: say with --ruleset which rules to judge it by"
    return "no entry: add one under `entries`, or say --ruleset NAME --class NAME"


def _refuse_unknown_class(versions: tuple[str, ...], id_: str, index: RulesetIndex, overrides: Overrides) -> None:
    class_id = overrides.class_id
    if class_id is None:
        return
    by_version = index.library.versions(id_)
    failures = {
        name: flat for name in versions if isinstance(flat := index.library.flat(by_version[name], class_id), NotFound)
    }
    if len(failures) == len(versions):
        in_force = index.library.in_force(id_, None, overrides.on or overrides.today, None)
        day_version = in_force.version if isinstance(in_force, Ruleset) else ""
        raise UsageError(failures.get(day_version, failures[versions[-1]]).message)


_OVERRIDDEN: Final = frozenset({"ruleset", "class", "on"})


def _question(entry: Entry) -> tuple[object, ...]:
    """What an entry asks: the venue, or any other key that a rule may test, is part of it."""
    further = frozenset((key, repr(value)) for key, value in entry.keys.items() if key not in _OVERRIDDEN)
    return entry.ruleset, entry.version, entry.class_id, entry.on, further
