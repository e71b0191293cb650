"""A repository, opened for one command: what its files hold, which rulesets there are, and which rules an entry has."""

import posixpath
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Final, NamedTuple

from speclint.documents.tree import Document
from speclint.errors import UsageError
from speclint.files import FileText
from speclint.models.setups import Entry, Setup
from speclint.places import Path
from speclint.problems import Problem
from speclint.rules.rulebook import Rulebook, rulebook
from speclint.rulesets.model import FlatClass
from speclint.rulesets.not_found import NotFound
from speclint.workspace.cars import Assembled, Assembly
from speclint.workspace.entries import ResolvedEntry, UnresolvedEntry
from speclint.workspace.loaded import Files, Loaded
from speclint.workspace.overrides import (
    NamedRuleset,
    Overrides,
    UnsoundRuleset,
    is_file_name,
    overridden,
    ruleset_by_id,
    ruleset_in_file,
)
from speclint.workspace.ruleset_index import RulesetIndex, index_rulesets
from speclint.workspace.source import tops_around

_WHERE_RULESETS_ARE: Final = (
    ": a setup finds rulesets in the folders `rulesets` beside it and above it, as far as its git repository or, without one,"
    " the current folder reaches"
)

_MOST_JUDGED: Final = 10_000
"""Rules that all entries of one setup are judged by: those of a hundred race days under a large rulebook."""

_RESTING_ON_RULESETS: Final = ("setup/1", "ruleset/1", "garage/1", "inspection/1")
"""The formats of files that name rulesets."""


class Traces(NamedTuple):
    """What judging cars left in a workspace, as far as the end of a run asks for it.

    `faulty` are files with problems, without their documents; `garages` and `motors` name sound ones.
    """

    faulty: tuple[Loaded, ...]
    garages: tuple[str, ...]
    motors: frozenset[str]


class Workspace:
    """One object that every command asks; the rules of a class on a day are worked out once for all cars in it.

    Args:
        files: reads files, each once.
        overrides: what the command line puts over entries.
        listed: files under the paths of the command: rulesets among them count wherever they stand, and so do those in
            the folder of one, and in the `rulesets` folders beside and above any of the files.
        near: names of more files around which rulesets are looked for.
        bundled: the rulesets that come with speclint, for a command that reads rules and judges no car.

    Raises:
        UsageError: what is asked for as a ruleset is none, or does not have the class that is asked for.
        UnreadableError: the ruleset that is asked for cannot be read.
    """

    def __init__(
        self,
        files: Files,
        overrides: Overrides,
        *,
        listed: Iterable[Loaded] = (),
        near: Iterable[str] = (),
        bundled: Iterable[FileText] = (),
    ) -> None:
        self.files = files
        self.overrides = overrides
        by_identity: dict[str, Loaded] = {}
        asked_file = self._asked_file()
        listed, near = tuple(listed), tuple(near)
        self._folders = {posixpath.dirname(file): file for file in (*near, *(loaded.file for loaded in listed))}
        for loaded in (*self._around(listed, near), *asked_file, *map(files.take, bundled)):
            if loaded.format == "ruleset/1":
                by_identity.setdefault(files.source.full(loaded.file), loaded)
        first = next((by_identity.get(files.source.full(loaded.file), loaded) for loaded in asked_file), None)
        self.index: RulesetIndex = index_rulesets(by_identity.values(), None if first is None else first.file)
        self.ruleset: NamedRuleset | UnsoundRuleset | None = None
        if first is not None:
            self.ruleset = ruleset_in_file(first, self.index, overrides)
        elif overrides.ruleset is not None:
            self.ruleset = ruleset_by_id(overrides.ruleset, self.index, overrides)
        self._assembly = Assembly(files.source, files.named, self.index.instruments)
        self._books: dict[tuple[str, str | None, str, date, date | None], Rulebook | NotFound] = {}

    def car(self, setup: Setup) -> Assembled:
        """The car of a sound setup, with its motor and its garage."""
        return self._assembly.car(setup)

    def named_document(
        self, document: Document, path: Path, reference: str, wanted: str
    ) -> tuple[Document | None, Problem | None]:
        """The sound document of a file that another one names, or the problem of the one who names it."""
        problems: list[Problem] = []
        named = self._assembly.named(document, path, reference, wanted, problems)
        return named, problems[0] if problems else None

    def setups_around(self, file: str) -> Iterator[FileText]:
        """The texts of the setups in the repository of a file."""
        files = (listed for top in tops_around(self.files.source, file) for listed in self.files.listed_under(top))
        for name in dict.fromkeys(listed.file for listed in files if listed.declares == "setup"):
            yield self.files.source.read(name)

    def car_problems(self, assembled: Assembled) -> tuple[Problem, ...]:
        """Why a car is not whole, with the problems of the motor and the garage that its setup names; none where it is."""
        if not assembled.problems:
            return ()
        setup, source = assembled.car.setup, self.files.source
        names = [source.beside(setup.document.file, name) for name in (setup.motor, setup.garage) if name is not None]
        loaded_files = [loaded for loaded in map(self.files.named, names) if loaded.is_there]
        return (*assembled.problems, *(problem for loaded in loaded_files for problem in loaded.problems))

    @property
    def fitted_motors(self) -> frozenset[str]:
        """The files of the motors in the cars so far."""
        return self._assembly.fitted_motors

    def traces(self, since: int) -> Traces:
        """What cars left here since so many files were kept; a copy in another process tells it to this one."""
        files = self.files.since(since)
        return Traces(
            tuple(loaded._replace(document=None) for loaded in files if loaded.problems),
            tuple(loaded.file for loaded in files if loaded.format == "garage/1" and loaded.sound is not None),
            self.fitted_motors,
        )

    def take_over(self, traces: Traces) -> None:
        """Makes what cars left in a copy of this workspace a part of it."""
        for loaded in traces.faulty:
            self.files.keep(loaded)
        for garage in traces.garages:
            self.files.named(garage)
        self._assembly.note_fitted(traces.motors)

    def entries(self, setup: Setup) -> tuple[ResolvedEntry | UnresolvedEntry, ...]:
        """The entries of a setup as asked for, each with its rules; none under a ruleset that has problems."""
        return tuple(self._entries(setup))

    def _entries(self, setup: Setup) -> Iterator[ResolvedEntry | UnresolvedEntry]:
        rules = 0
        for changed, stated in self._asked(setup):
            if self._is_past(changed):
                continue
            entry = (
                UnresolvedEntry(changed, too_many_rules(_MOST_JUDGED), is_overridden=False)
                if rules > _MOST_JUDGED
                else self.resolved(changed, stated)
            )
            rules += len(entry.book.rules) if isinstance(entry, ResolvedEntry) else 0
            yield entry

    def asked_entries(self, setup: Setup) -> tuple[Entry, ...]:
        """The entries of a setup as asked for, those for past days as well; none under a ruleset that has problems."""
        return tuple(changed for changed, _ in self._asked(setup))

    def past_entries(self, setup: Setup) -> int:
        """How many entries of a setup are for days before the first that is asked about."""
        return sum(1 for changed, _ in self._asked(setup) if self._is_past(changed))

    def _asked(self, setup: Setup) -> tuple[tuple[Entry, Entry | None], ...]:
        ruleset = self.ruleset
        return () if isinstance(ruleset, UnsoundRuleset) else overridden(setup, ruleset, self.overrides)

    def _is_past(self, entry: Entry) -> bool:
        return self.overrides.from_day is not None and entry.on < self.overrides.from_day

    def resolved(self, entry: Entry, stated: Entry | None) -> ResolvedEntry | UnresolvedEntry:
        """An entry with its rules; `stated` is what the file says where the command line puts something over it."""
        book = self._book(entry)
        if not isinstance(book, NotFound):
            return ResolvedEntry(entry, book)
        # A line that is wrong by itself stays so, whatever is put over another part of it; with another ruleset in
        # place of its own nobody can tell.
        by_itself = None if stated is None else self._book(stated, is_overridden=False)
        is_wrong = self.ruleset is None and isinstance(by_itself, NotFound) and by_itself.problem == book.problem
        return UnresolvedEntry(entry, book, is_overridden=not is_wrong)

    @property
    def refusal(self) -> tuple[Problem, ...]:
        """The problems of the ruleset that was asked for, where it judges nobody for these."""
        return self.causes(self.ruleset) if isinstance(self.ruleset, UnsoundRuleset) else ()

    def causes(self, why: NotFound | UnsoundRuleset) -> tuple[Problem, ...]:
        """What is wrong with the ruleset's own file, where that is why nothing is judged by it."""
        if not why.file:
            return ()
        of_index = (problem for problem in self.index.problems if problem.place.file == why.file)
        return tuple(dict.fromkeys((*self.files.named(why.file).problems, *of_index)))

    def refuse_overrides(self, entries: Iterable[ResolvedEntry | UnresolvedEntry]) -> None:
        """Stops where the command line leaves no entry that can be judged: that is its mistake, and no file's.

        Raises:
            UsageError: every one of the entries is without rules because of what is put over it.
        """
        resolved = tuple(entries)
        mistaken = [entry for entry in resolved if isinstance(entry, UnresolvedEntry) and entry.is_overridden]
        if mistaken and len(mistaken) == len(resolved) and not any(entry.why.file for entry in mistaken):
            raise UsageError(mistaken[0].why.message)

    def _around(self, listed: Sequence[Loaded], near: Iterable[str]) -> Iterator[Loaded]:
        """The files that may be rulesets: those listed, those beside a ruleset, and those in folders `rulesets`."""
        yield from listed
        source = self.files.source
        names = [*(loaded.file for loaded in listed if loaded.format in _RESTING_ON_RULESETS), *near]
        folders = {folder for name in names for folder in source.rulesets_for(name)}
        for folder in sorted(folders):
            yield from self.files.under(folder)
        beside: dict[str, str] = {}
        for loaded in listed:
            if loaded.format == "ruleset/1" and source.above(loaded.file)[0] not in folders:
                beside.setdefault(source.above(loaded.file)[0], loaded.file)
        for file in beside.values():
            yield from map(self.files.take, source.siblings(file))

    def _asked_file(self) -> tuple[Loaded, ...]:
        """The file of the ruleset that the command line names, where it names a file and not an id."""
        reference = self.overrides.ruleset
        if reference is None:
            return ()
        loaded = self.files.named(reference)
        is_missing = bool(loaded.problems) and loaded.problems[0].id == "file-missing"
        return () if is_missing and not is_file_name(reference) else (loaded,)

    def _book(self, entry: Entry, *, is_overridden: bool = True) -> Rulebook | NotFound:
        known_on = self.overrides.known_on if is_overridden else None
        key = (entry.ruleset, entry.version, entry.class_id, entry.on, known_on)
        book = self._books.get(key)
        if book is None:
            book = self._books[key] = self._worked_out(entry, known_on)
        return book

    def _where_rulesets_are(self) -> str:
        """Why no ruleset is known: which folder does not count and what to do, or else where they are looked for."""
        uncounted = next(filter(None, map(self.files.source.uncounted_rulesets, self._folders.values())), "")
        if not uncounted:
            return _WHERE_RULESETS_ARE
        return (
            f": {uncounted} does not count, since without a git repository a folder above may be anybody's;"
            f" run speclint in {posixpath.dirname(uncounted)}, or name the folder as well: speclint check . {uncounted}"
        )

    def _worked_out(self, entry: Entry, known_on: date | None) -> Rulebook | NotFound:
        index = self.index
        ruleset = index.ruleset(entry.ruleset, entry.version, entry.on, known_on)
        if isinstance(ruleset, NotFound):
            if index.library.ids or ruleset.problem != "unknown-ruleset":
                return ruleset
            return replace(ruleset, message=f"{ruleset.message}{self._where_rulesets_are()}")
        flat = index.library.flat(ruleset, entry.class_id, known_on)
        if isinstance(flat, NotFound):
            return flat
        following = index.library.following(ruleset, entry.on, known_on)
        coming = None if following is None else index.library.flat(following, entry.class_id, known_on)
        return rulebook(flat, entry.on, coming if isinstance(coming, FlatClass) else None)


def too_many_rules(most: int) -> NotFound:
    """Why something is not judged that stands in a file behind so many rules' worth of the like."""
    return NotFound(
        "wrong-count",
        f"it is not judged, since what stands before it in this file comes to more than {most} rules: put it into"
        " a file of its own",
    )
