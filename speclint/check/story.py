"""The pipeline on one screen: files → documents → rulesets and cars → checks → findings."""

from collections.abc import Iterable
from datetime import date

from speclint.check.cars import Assembly
from speclint.check.entries import Asked, entries_of
from speclint.check.examples import example_problems
from speclint.check.loaded import Files, Loaded
from speclint.check.reader import Reader
from speclint.check.shelf import Shelf, shelve
from speclint.files import Source
from speclint.findings import EntryResult, Findings, NotJudged
from speclint.models.cars import Car
from speclint.models.setups import Entry, Setup, setup_of
from speclint.problems import Problem
from speclint.quantities.facts import Facts
from speclint.remedies.search import Case, Mending, with_remedies
from speclint.rules.judge import Rulebook, entry_verdict, judge, rulebook
from speclint.rulesets.library import NotFound


def check(sources: Iterable[Source], bundled: Iterable[Source], reader: Reader, asked: Asked) -> Findings:
    """Everything there is to say about files.

    Args:
        sources: the files under the paths that were asked for.
        bundled: the rulesets that come with speclint, under names that begin with `shelf.BUNDLED`.
        reader: reads what these files name.
        asked: what the command line says of entries.
    """
    files = Files(reader)
    listed = [files.take(source) for source in sources]
    setups = [setup_of(loaded.sound) for loaded in listed if loaded.format == "setup/1" and loaded.sound]
    shelved = [*listed, *_rulesets_around(setups, files, reader, asked), *map(files.take, bundled)]
    shelf = shelve({loaded.file: loaded for loaded in shelved}.values())
    names = {loaded.file for loaded in listed}

    court = Court(shelf, asked)
    assembly = Assembly(reader, files.named)
    judged: list[EntryResult] = []
    mendings: list[Mending] = []
    problems = list(shelf.problems)
    not_judged = [_unsound(loaded) for loaded in listed if loaded.problems and loaded.format == "setup/1"]
    for setup in setups:
        assembled = assembly.car(setup)
        problems += assembled.problems
        cases: list[Case] = []
        for entry in entries_of(setup, shelf, asked):
            case = court.judge(assembled.car, entry)
            if isinstance(case, Problem):
                problems.append(case)
                not_judged.append(NotJudged(setup.document.file, case.message, case.place))
            else:
                cases.append(case)
        mended, mending = with_remedies(assembled.car, tuple(cases), assembled.parts)
        judged += [court.result(setup, case) for case in mended]
        mendings += [mending] if mending is not None else []
    for file, (ruleset, document) in shelf.documents.items():
        if file in names:
            problems += example_problems(ruleset, document, shelf.library)
    problems += [problem for loaded in files.all for problem in loaded.problems]
    return Findings(
        files=len(listed),
        setups=sum(1 for loaded in listed if loaded.format == "setup/1"),
        entries=tuple(sorted(judged, key=lambda entry: entry.place)),
        problems=tuple(sorted(dict.fromkeys(problems), key=lambda problem: (problem.place, problem.id))),
        mendings=tuple(sorted(mendings, key=lambda mending: mending.file)),
        advice=(),
        not_judged=tuple(sorted(not_judged, key=lambda one: one.place)),
    )


class Court:
    """Judges entries; the rules of a class on a day are worked out once, however many cars are entered in it."""

    def __init__(self, shelf: Shelf, asked: Asked) -> None:
        self._shelf = shelf
        self._asked = asked
        self._books: dict[tuple[str, str | None, str, date], Rulebook | NotFound] = {}

    def judge(self, car: Car, entry: Entry) -> Case | Problem:
        """The entry with all its checks, or the problem that keeps it from being judged."""
        document = car.setup.document
        key = (entry.ruleset, entry.version, entry.class_id, entry.on)
        book = self._books.get(key)
        if book is None:
            book = self._books[key] = self._book(entry)
        if isinstance(book, NotFound):
            part = {"unknown-class": "class", "not-in-force": "on"}.get(book.problem, "ruleset")
            return Problem(book.problem, book.message, document.place((*entry.path, part)))
        place = document.place(entry.path)
        facts = Facts(
            car, on=entry.on, reference_c=book.flat.reference_c, entry_keys=entry.keys, entry_path=entry.path
        )  # fmt: skip
        return Case(book, facts, place, judge(book, facts, place))

    def result(self, setup: Setup, case: Case) -> EntryResult:
        """What is told of an entry."""
        return EntryResult(
            file=setup.document.file,
            name=setup.name,
            flat=case.book.flat,
            digest=self._shelf.library.digest(case.book.flat.ruleset),
            on=case.book.on,
            verdict=entry_verdict(case.checks),
            checks=case.checks,
            place=case.place,
        )

    def _book(self, entry: Entry) -> Rulebook | NotFound:
        library, known_on = self._shelf.library, self._asked.known_on
        ruleset = library.in_force(entry.ruleset, entry.version, entry.on, known_on)
        if isinstance(ruleset, NotFound):
            broken = self._shelf.broken.get(entry.ruleset)
            if broken is None:
                return ruleset
            return NotFound(ruleset.problem, f"the ruleset {entry.ruleset} has problems of its own: see {broken}")
        flat = library.flat(ruleset, entry.class_id)
        return flat if isinstance(flat, NotFound) else rulebook(flat, entry.on, known_on)


def _rulesets_around(setups: Iterable[Setup], files: Files, reader: Reader, asked: Asked) -> list[Loaded]:
    """The rulesets in the folders that belong to the setups, and the one that was asked for by its file."""
    folders = {folder for setup in setups for folder in reader.rulesets_for(setup.document.file)}
    found = [loaded for folder in sorted(folders) for loaded in files.under(folder) if loaded.format == "ruleset/1"]
    return found if asked.ruleset is None else [*found, files.named(asked.ruleset)]


def _unsound(loaded: Loaded) -> NotJudged:
    count = len(loaded.problems)
    return NotJudged(
        loaded.file, "the file has a problem" if count == 1 else f"the file has {count} problems", loaded.problems[0].place
    )  # fmt: skip
