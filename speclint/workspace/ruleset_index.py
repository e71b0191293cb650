"""The rulesets of a run: those under the paths, those that belong to the setups, and those that come with speclint."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Final, NamedTuple

from speclint.documents.tree import Document
from speclint.errors import FileProblemsError, UsageError
from speclint.moments import Period
from speclint.problems import Problem
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass, Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.rulesets.read_together import rulesets_of
from speclint.rulesets.references import reference_problems
from speclint.workspace.loaded import Loaded

BUNDLED: Final = "speclint:rulesets/"
"""What the names of the files begin with that come with speclint."""

_HARMLESS: Final = ("/examples", "/waivers")
"""Where a name that leads nowhere leaves the rules themselves whole."""


class Broken(NamedTuple):
    """A ruleset with problems of its own; `version` and `in_force` are None where the file does not tell them."""

    file: str
    version: str | None
    in_force: Period | None

    def may_bind(self, version: str | None, on: date) -> bool:
        """Whether it may be the one that an entry means."""
        is_meant = version is None or self.version is None or version == self.version
        return is_meant and (self.in_force is None or on in self.in_force)


class RulesetIndex(NamedTuple):
    """Every ruleset that could be read, as a library, and what is wrong with the files they stand in.

    `refused` holds by id the rulesets that nothing is judged by, for the problems of their own files; `flawed` those
    of the library that name what is not there, by id and version, with their files. `unread` are files of which not
    even an id could be read.
    """

    library: Library
    problems: tuple[Problem, ...]
    refused: Mapping[str, tuple[Broken, ...]]
    flawed: Mapping[str, str]
    unread: tuple[str, ...]
    documents: Mapping[str, tuple[Ruleset, Document]]

    @property
    def rulesets(self) -> tuple[Ruleset, ...]:
        """Every ruleset of the library, in the order of the files."""
        return tuple(ruleset for ruleset, _ in self.documents.values())

    @property
    def instruments(self) -> frozenset[str]:
        """The names of all instruments that rulesets describe."""
        return frozenset(name for ruleset in self.rulesets for name in ruleset.instruments)

    @property
    def declared_names(self) -> tuple[str, ...]:
        """Every quantity that a ruleset declares, in order."""
        return tuple(sorted({str(name) for ruleset in self.rulesets for name in ruleset.quantities.values()}))

    def class_ids(self, id_: str = "") -> tuple[str, ...]:
        """The classes of every ruleset, or of those of one id, in order."""
        rulesets = [ruleset for ruleset in self.rulesets if id_ in ("", ruleset.id)]
        return tuple(sorted({class_id for ruleset in rulesets for class_id in self.library.class_ids(ruleset)}))

    def refuse_broken(self, id_: str) -> None:
        """Stops where a ruleset is asked for that has problems of its own.

        Raises:
            FileProblemsError: it has.
        """
        for broken in self.refused.get(id_, ()):
            raise problems_error(_has_problems(id_, broken.file).message, self.problems, broken.file)

    def ruleset(self, id_: str, version: str | None, on: date, known_on: date | None) -> Ruleset | NotFound:
        """The ruleset that an entry is judged by, or why there is none.

        A version with problems is never passed over for an older one that is sound: the verdict would be by rules that
        may no longer bind.
        """
        ruleset = self.library.in_force(id_, version, on, known_on)
        for refused in self.refused.get(id_, ()):
            is_newer = (
                isinstance(ruleset, NotFound)
                or refused.in_force is None
                or (refused.in_force.start or date.min) >= (ruleset.in_force.start or date.min)
            )
            if refused.may_bind(version, on) and is_newer and not (version and isinstance(ruleset, Ruleset)):
                return _has_problems(id_, refused.file)
        if isinstance(ruleset, NotFound):
            if ruleset.problem == "unknown-ruleset" and self.unread:
                unread = ", ".join(self.unread)
                return replace(ruleset, message=f"{ruleset.message}; it may be the one in {unread}, which has problems")
            return ruleset
        for source in self.library.sources(ruleset):
            if source.name in self.flawed:
                return _has_problems(source.name, self.flawed[source.name])
        return ruleset

    def class_of(self, ruleset: Ruleset, class_id: str) -> FlatClass:
        """A class of a ruleset of the library.

        Raises:
            UsageError: it has no such class, or what it builds on is not there.
        """
        flat = self.library.flat(ruleset, class_id)
        if isinstance(flat, NotFound):
            raise UsageError(flat.message)
        return flat

    def is_whole(self, ruleset: Ruleset) -> bool:
        """Whether every name in its rules, and in those that it builds on, leads somewhere."""
        layers = self.library.layers(ruleset)
        sources = self.library.sources(ruleset)
        return isinstance(layers, tuple) and not any(source.name in self.flawed for source in sources)


def problems_error(message: str, problems: Iterable[Problem], file: str) -> FileProblemsError:
    """What stops a command that rests on a file with these problems, among those of other files."""
    lines = (f"{problem.place}: {problem.message}" for problem in problems if problem.place.file == file)
    return FileProblemsError(message, tuple(dict.fromkeys(lines)))


def index_rulesets(files: Iterable[Loaded], first: str | None = None) -> RulesetIndex:
    """The index of the ruleset files among these.

    Of two that have one id and version, the file `first` wins over all, and a user's own over one that comes with
    speclint; that is no problem. Any other two are one, and where they differ nothing is judged by either.
    """
    ordered = sorted(
        (candidate for candidate in files if candidate.format == "ruleset/1"),
        key=lambda candidate: (candidate.file != first, candidate.file.startswith(BUNDLED), candidate.file),
    )
    read = rulesets_of([loaded.sound for loaded in ordered if loaded.sound is not None])
    sound: list[tuple[Ruleset, Document]] = []
    problems: list[Problem] = []
    refused: dict[str, tuple[Broken, ...]] = {}
    unread: list[str] = []
    for loaded in ordered:
        document, wrong = loaded.document, loaded.problems
        if document is None:
            unread.append(loaded.file)
            continue
        ruleset = None
        if not wrong:
            ruleset, wrong = read[loaded.file]
        if wrong:
            problems.extend(wrong)
            id_ = document.get(("id",))
            if isinstance(id_, str):
                refused[id_] = (*refused.get(id_, ()), _broken(document))
            else:
                unread.append(loaded.file)
        elif ruleset is not None and not _gives_way(loaded.file, ruleset, sound, first):
            sound.append((ruleset, document))
    library = Library(ruleset for ruleset, _ in sound)
    dangling, flawed = _flaws(sound, library, refused)
    problems.extend((*dangling, *library.problems))
    # Of two of one name the second is told to take another, and nothing more is said of it.
    first_of = {ruleset.name: document.file for ruleset, document in reversed(sound)}
    documents = {
        document.file: (ruleset, document) for ruleset, document in sound if first_of[ruleset.name] == document.file
    }
    return RulesetIndex(library, tuple(problems), refused, flawed, tuple(unread), documents)


def _flaws(
    sound: Sequence[tuple[Ruleset, Document]], library: Library, refused: Mapping[str, tuple[Broken, ...]]
) -> tuple[list[Problem], dict[str, str]]:
    """The names that lead nowhere, and the rulesets by which nothing can be judged, each with its file."""
    problems: list[Problem] = []
    flawed: dict[str, str] = {}
    only_ours = all(document.file.startswith(BUNDLED) for _, document in sound)
    for ruleset, document in () if only_ours else sound:
        dangling = tuple(_naming_broken(reference_problems(ruleset, document, library), ruleset, refused))
        if not document.file.startswith(BUNDLED):
            # One that comes with speclint lacks something only where a user's own took the place of what it builds on.
            problems.extend(dangling)
        if any(not problem.place.pointer.startswith(_HARMLESS) for problem in dangling):
            flawed.setdefault(ruleset.name, document.file)
    for ruleset, document in sound:
        # Nobody can tell which of the two the club means; a copy says the same.
        if ruleset.data != library.versions(ruleset.id)[ruleset.version].data:
            flawed[ruleset.name] = document.file
    return problems, flawed


def _gives_way(file: str, ruleset: Ruleset, sound: Iterable[tuple[Ruleset, Document]], first: str | None) -> bool:
    """Whether another ruleset of this id and version is there that goes before it."""
    return any(
        ruleset.name == sound_ruleset.name and (file.startswith(BUNDLED) or document.file == first)
        for sound_ruleset, document in sound
    )


def _broken(document: Document) -> Broken:
    version = document.get(("version",))
    start, end = (_day(document.get(("in_force", key))) for key in ("from", "until"))
    return Broken(
        document.file,
        version if isinstance(version, str) else None,
        None if start is None else Period(start, end),
    )


def _day(text: object) -> date | None:
    try:
        return date.fromisoformat(text) if isinstance(text, str) else None
    except ValueError:
        return None


def _naming_broken(
    problems: Iterable[Problem], ruleset: Ruleset, refused: Mapping[str, tuple[Broken, ...]]
) -> Iterator[Problem]:
    """The problems of a ruleset; a base that is there, but has problems, is not said to be missing."""
    base = refused.get(ruleset.based_on[0]) if ruleset.based_on is not None else None
    for problem in problems:
        if base and problem.id == "unknown-ruleset" and problem.place.pointer == "/based_on":
            message = f"{ruleset.name} is based on a ruleset that has problems of its own: see {base[0].file}"
            yield Problem("file-has-problems", message, problem.place, base[0].file)
        else:
            yield problem


def _has_problems(name: str, file: str) -> NotFound:
    return NotFound("file-has-problems", f"the ruleset {name} has problems of its own: see {file}", file)
