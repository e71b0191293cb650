"""The pipeline on one screen: files → documents → rulesets and cars → checks → findings."""

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from speclint.check.advising import AdviceRound
from speclint.check.judging import EntryJudge
from speclint.check.pins import entry_pin_problems, pin_problems
from speclint.files import FileText
from speclint.findings import EntryResult, Findings, NotJudged
from speclint.models.garages import garage_of
from speclint.models.setups import Setup, setup_of
from speclint.problems import Problem
from speclint.rules.checks import Verdict
from speclint.rulesets.model import Ruleset
from speclint.workspace.cars import Assembly
from speclint.workspace.entries import Overrides, asked_ruleset, entries_of, without_entry
from speclint.workspace.loaded import Files, Loaded
from speclint.workspace.ruleset_index import RulesetIndex, index_rulesets
from speclint.workspace.source import Source

if TYPE_CHECKING:
    from speclint.remedies.judged_entry import CarRemedies, JudgedEntry

Progress = Callable[[str, int, int], None]
"""Is told what is being done, how many of the files or cars are done, and how many there are."""


def _unseen(_doing: str, _done: int, _of: int) -> None:
    """Tells nobody."""


def check(
    sources: Iterable[FileText],
    bundled: Iterable[FileText],
    reader: Source,
    asked: Overrides,
    progress: Progress = _unseen,
) -> Findings:
    """Everything there is to say about files.

    Args:
        sources: the files under the paths that were asked for.
        bundled: the rulesets that come with speclint, under names that begin with `shelf.BUNDLED`.
        reader: reads what these files name.
        asked: what the command line says of entries.
        progress: is told how far the work has come.

    Raises:
        UsageError: what is asked for as a ruleset is none, or does not have the class that is asked for.
        UnreadableError: the ruleset that is asked for cannot be read.
    """
    files = Files(reader)
    listed = _taken(tuple(sources), files, progress)
    setups = [setup_of(loaded.sound) for loaded in listed if loaded.format == "setup/1" and loaded.sound]
    indexed = [*listed, *_rulesets_around(setups, files, reader, asked), *map(files.take, bundled)]
    index, wanted = _shelf(indexed, files, reader, asked)
    ruleset = None if wanted is None else asked_ruleset(wanted, index, asked)
    hearing = _Hearing(files, reader, index, asked, wanted, ruleset)
    hearing.unsound(listed)
    for i, setup in enumerate(setups):
        progress("checked", i, len(setups))
        hearing.car(setup)
    hearing.rulesets({loaded.file for loaded in listed})
    for loaded in listed:
        if loaded.format == "motor/1" and loaded.sound is not None:
            hearing.counsel.on_motor(loaded.sound)
    problems = (*hearing.problems, *hearing.counsel.problems, *_of_files(files, listed, index))
    return Findings(
        files=len(listed),
        setups=sum(1 for loaded in listed if loaded.format == "setup/1"),
        entries=tuple(sorted(hearing.judged, key=lambda entry: entry.place)),
        problems=tuple(sorted(dict.fromkeys(problems), key=lambda problem: (problem.place, problem.id))),
        car_remedies=tuple(sorted(hearing.car_remedies, key=lambda car_remedy: car_remedy.file)),
        advice=hearing.counsel.advice,
        not_judged=tuple(sorted(hearing.not_judged, key=lambda one: one.place)),
        not_entered=tuple(sorted(hearing.not_entered, key=lambda one: one.place)),
    )


class _Hearing:
    """Hears one car after the other, and gathers what comes of it."""

    def __init__(
        self,
        files: Files,
        reader: Source,
        index: RulesetIndex,
        asked: Overrides,
        wanted: Loaded | None,
        ruleset: Ruleset | None,
    ) -> None:
        self._shelf = index
        self._asked = asked
        self._wanted = wanted
        self._ruleset = ruleset
        self._court = EntryJudge(index, asked)
        self._assembly = Assembly(reader, files.named, index.instruments)
        self.counsel = AdviceRound()
        self.problems: list[Problem] = list(index.problems)
        self.judged: list[EntryResult] = []
        self.car_remedies: list[CarRemedies] = []
        self.not_judged: list[NotJudged] = []
        self.not_entered: list[NotJudged] = []

    def unsound(self, listed: Iterable[Loaded]) -> None:
        """Notes the setups among the files that have problems of their own."""
        for loaded in listed:
            count = len(loaded.problems)
            if count and loaded.format == "setup/1":
                reason = "the file has a problem" if count == 1 else f"the file has {count} problems"
                self.not_judged.append(NotJudged(loaded.file, reason, loaded.problems[0].place))

    def car(self, setup: Setup) -> None:
        """Judges the car of a sound setup in all of its entries."""
        assembled = self._assembly.car(setup)
        self.problems += assembled.problems
        document = setup.document
        if self._wanted is not None and self._ruleset is None:
            reason = f"the ruleset that was asked for has problems: see {self._wanted.file}"
            self.not_judged.append(NotJudged(document.file, reason, document.place(())))
            return
        entries = entries_of(setup, self._ruleset, self._asked)
        if not entries:
            reason = without_entry(self._ruleset, self._asked)
            self.not_entered.append(NotJudged(document.file, reason, document.place(("entries",))))
        cases: list[JudgedEntry] = []
        for entry in entries:
            case = self._court.judge(assembled.car, entry)
            if isinstance(case, Problem):
                self.problems.append(case)
                self.not_judged.append(NotJudged(document.file, case.message, case.place))
            else:
                cases.append(case)
        if assembled.garage is not None:
            self.problems += entry_pin_problems(assembled.garage, (case.book.flat.ruleset for case in cases))
        days, checks = [entry.on for entry in entries], [check for case in cases for check in case.checks]
        self.counsel.on_car(assembled, assembled.parts, days, checks)
        if any(check.verdict is Verdict.ILLEGAL for check in checks):
            from speclint.remedies.search import with_remedies  # needed only where something is to be mended

            cases, car_remedy = with_remedies(assembled.car, cases, assembled.parts)
            self.car_remedies.append(car_remedy)
        self.judged += [self._court.result(setup, case) for case in cases]

    def rulesets(self, names: set[str]) -> None:
        """Runs the examples of the rulesets in these files, and has advice given on them."""
        from speclint.check.examples import example_problems  # a racer's run checks none

        for file, (stated, document) in self._shelf.documents.items():
            if file in names and self._shelf.is_whole(stated):
                self.problems += example_problems(stated, document, self._shelf.library)
                self.counsel.on_ruleset(stated, document, self._shelf.library, self._asked.today)


def _taken(sources: Sequence[FileText], files: Files, progress: Progress) -> list[Loaded]:
    listed = []
    for i, source in enumerate(sources):
        progress("read", i, len(sources))
        listed.append(files.take(source))
    return listed


def _shelf(
    indexed: Iterable[Loaded], files: Files, reader: Source, asked: Overrides
) -> tuple[RulesetIndex, Loaded | None]:
    """The shelf, each file on it once whatever its names, and the ruleset that the command line asks for."""
    by_identity: dict[str, Loaded] = {}
    for loaded in indexed:
        by_identity.setdefault(reader.full(loaded.file) if loaded.format == "ruleset/1" else loaded.file, loaded)
    if asked.ruleset is None:
        return index_rulesets(by_identity.values()), None
    wanted = by_identity.get(reader.full(asked.ruleset)) or files.named(asked.ruleset)
    return index_rulesets(by_identity.values(), wanted.file), wanted


def _of_files(files: Files, listed: Iterable[Loaded], index: RulesetIndex) -> list[Problem]:
    """The problems of all files that were read, whoever named them."""
    names = {loaded.file for loaded in listed}
    problems = list(files.troubles)
    for loaded in files.all:
        # What is not there has no line to point at: whoever names it says so.
        if loaded.file in names or loaded.is_there:
            problems += loaded.problems
        if loaded.format == "garage/1" and loaded.sound is not None:
            problems += pin_problems(garage_of(loaded.sound), index.library)
    return problems


def _rulesets_around(setups: Iterable[Setup], files: Files, reader: Source, asked: Overrides) -> list[Loaded]:
    """The rulesets in the folders that belong to the setups, and the one that was asked for by its file."""
    folders = {folder for setup in setups for folder in reader.rulesets_for(setup.document.file)}
    found = [loaded for folder in sorted(folders) for loaded in files.under(folder) if loaded.format == "ruleset/1"]
    return found if asked.ruleset is None else [*found, files.named(asked.ruleset)]
