"""One car judged in all of its entries: verdicts, remedies, advice, and what keeps it from being judged."""

from collections.abc import Iterable, Iterator
from functools import partial
from sys import intern
from typing import TYPE_CHECKING

from speclint.advice.model import EnteredClass, ParkedCar
from speclint.check.advising import advised, asked_limits, implausible_in
from speclint.check.guarded import guarded
from speclint.check.inspections import InspectedEntry
from speclint.check.outcome import Outcome
from speclint.check.pins import broken_pins, entry_pin_problems
from speclint.documents.tree import Document
from speclint.files import FileText
from speclint.findings import ComingChange, Defect, EntryResult, NotJudged, ReadFile
from speclint.models.cars import Car
from speclint.models.setups import Entry, Setup
from speclint.problems import Problem
from speclint.quantities.stated_values import StatedValue, declared_values
from speclint.remedies.judged_entry import CarRemedies, JudgedEntry
from speclint.rules.checks import Verdict
from speclint.rules.judge import entry_facts
from speclint.rulesets.library import Library
from speclint.rulesets.model import Ruleset
from speclint.rulesets.references import ended_bases
from speclint.workspace.cars import Assembled
from speclint.workspace.entries import ResolvedEntry, UnresolvedEntry
from speclint.workspace.overrides import UnsoundRuleset, without_entry
from speclint.workspace.workspace import Workspace

if TYPE_CHECKING:
    from speclint.places import Path

_Mended = tuple[tuple[JudgedEntry, ...], tuple[CarRemedies, ...]]
"""The entries with the remedies of each illegal check, and those of the whole car."""


def judge_car(
    workspace: Workspace,
    setup: Setup,
    text: FileText,
    *,
    with_advice: bool,
    inspected: frozenset[InspectedEntry] = frozenset(),
) -> Outcome:
    """Everything there is to say of the car of a sound setup, which stands in this text.

    What officials have inspected is judged by their readings.
    """
    assembled = workspace.car(setup)
    stated, past = workspace.entries(setup), workspace.past_entries(setup)
    entries = tuple(entry for entry in stated if (setup.document.file, entry.entry.path) not in inspected)
    judged = tuple(_judged(assembled.car, entry) for entry in entries if isinstance(entry, ResolvedEntry))
    unresolved = tuple(entry for entry in entries if isinstance(entry, UnresolvedEntry))
    implausible, plausibility_defects = implausible_in(
        assembled, asked_limits(judged), _declared(setup.document, judged)
    )
    advice_outcome = advised(
        assembled, implausible, [entry.entry.on for entry in entries], judged, with_advice=with_advice
    )
    without_remedies: _Mended = (judged, ())
    (mended, car_remedies), defects = guarded(
        f"the remedies of {setup.document.file}", lambda: _mended(assembled, judged), without_remedies
    )
    coming, coming_defects = _coming(workspace, assembled)
    of_car = (
        *assembled.problems,
        *dict.fromkeys(problem for entry in judged for problem in _derived_stated(assembled, entry)),
        *advice_outcome.problems,
    )
    return Outcome(
        entries=tuple(
            _result(assembled, entry, workspace, text, tuple(filter(_can_turn_verdicts, of_car)))
            for entry in sorted(mended, key=lambda entry: entry.place)
        ),
        problems=(
            *of_car,
            *_lines_at_fault(setup, unresolved),
            *_pins(assembled, judged),
            *(problem for entry in judged for problem in _ended_bases(entry, workspace.index.library)),
        ),
        advice=advice_outcome.advice,
        car_remedies=car_remedies,
        not_judged=(*_refused(workspace, setup), *(_not_judged(setup, entry) for entry in unresolved)),
        not_entered=_not_entered(workspace, setup) if not stated and not past else (),
        defects=(*plausibility_defects, *advice_outcome.defects, *defects, *coming_defects),
        coming=coming,
        past=(past,),
        cars=(_parked(assembled, entries, judged, workspace.index.library),) if with_advice else (),
        unresolved=unresolved,
    )


def _coming(workspace: Workspace, assembled: Assembled) -> tuple[tuple[ComingChange, ...], tuple[Defect, ...]]:
    days, setup = workspace.overrides.coming, assembled.car.setup
    if days is None:
        return (), ()
    from speclint.check.coming import coming_for_car  # most runs ask nothing of days to come

    nothing: tuple[ComingChange, ...] = ()
    return guarded(
        f"what comes for {setup.document.file}",
        lambda: tuple(coming_for_car(workspace, assembled, workspace.asked_entries(setup), days)),
        nothing,
    )


def _parked(
    assembled: Assembled,
    entries: tuple[ResolvedEntry | UnresolvedEntry, ...],
    judged: tuple[JudgedEntry, ...],
    library: Library,
) -> ParkedCar:
    """The car as one among others."""
    setup, motor, garage = assembled.car.setup, assembled.car.motor, assembled.garage
    motor_file = motor.document.file if motor is not None and setup.motor is not None else ""
    serial = f"{motor.part or ''} {motor.serial}".strip() if motor is not None and motor.serial else ""
    named: list[tuple[Path, str]] = [(("motor",), motor_file)] if motor_file else []
    named += [(("garage",), garage.file)] if garage is not None else []
    resolved = [entry.entry for entry in entries if isinstance(entry, ResolvedEntry)]
    for entry, rules in zip(resolved, judged, strict=True):
        files = [source.place.file for source in library.sources(rules.book.flat.ruleset)]
        named += [((*entry.path, "ruleset"), file) for file in files]
    return ParkedCar(
        file=setup.document.file,
        name=setup.name,
        entries=tuple(_entered(entry.entry) for entry in entries),
        motor=serial or motor_file,
        motor_file=motor_file,
        pack=setup.battery.serial or "",
        rests_on=tuple(dict.fromkeys(named)),
    )


def _entered(entry: Entry) -> EnteredClass:
    return EnteredClass(entry.path, intern(entry.ruleset), intern(entry.class_id), entry.on)


def _judged(car: Car, resolved: ResolvedEntry) -> JudgedEntry:
    place = car.setup.document.place(resolved.entry.path)
    facts = entry_facts(car, resolved.entry, resolved.book.flat)
    return JudgedEntry(resolved.book, facts, place)


def _mended(assembled: Assembled, judged: tuple[JudgedEntry, ...]) -> _Mended:
    if not any(check.verdict is Verdict.ILLEGAL for entry in judged for check in entry.unsettled):
        return judged, ()
    from speclint.remedies.search import with_remedies  # needed only where something is to be mended

    mended, car_remedy = with_remedies(assembled.car, list(judged), assembled.parts)
    return tuple(mended), (car_remedy,)


def _result(
    assembled: Assembled, entry: JudgedEntry, workspace: Workspace, text: FileText, problems: tuple[Problem, ...]
) -> EntryResult:
    setup, library = assembled.car.setup, workspace.index.library
    for garage in assembled.pinned_by:
        problems = (*problems, *broken_pins(garage, entry.book.flat.ruleset, library))
    verdict, reason = entry.verdict(problems)
    return EntryResult(
        file=setup.document.file,
        name=setup.name,
        judged=entry,
        digest_of=partial(library.digest, entry.book.flat.ruleset),
        files_of=partial(_files, assembled, entry.book.flat.ruleset, workspace, text),
        verdict=verdict,
        reason=reason,
        rests_on_problems=bool(reason and problems),
        notes=tuple(problem.message for problem in _ended_bases(entry, library)),
    )


def _can_turn_verdicts(problem: Problem) -> bool:
    """Whether rules rest on what is wrong; none rests on track runs, nor on what a garage says of a track."""
    return problem.id != "unknown-track" and not problem.place.pointer.startswith("/track_runs")


def _files(assembled: Assembled, ruleset: Ruleset, workspace: Workspace, text: FileText) -> tuple[ReadFile, ...]:
    """What an entry rests on: the setup, its motor and its garage, the ruleset and all that this builds on."""
    names = [text.file]
    names += [] if assembled.car.motor is None else [assembled.car.motor.document.file]
    names += [] if assembled.garage is None else [assembled.garage.document.file]
    names += [source.place.file for source in workspace.index.library.sources(ruleset)]
    return tuple(
        ReadFile(name, text.sha256 if name == text.file else workspace.files.sha256(name))
        for name in dict.fromkeys(names)
    )


def _ended_bases(entry: JudgedEntry, library: Library) -> tuple[Problem, ...]:
    return ended_bases(entry.book.flat.ruleset, library, entry.book.on)


def _declared(document: Document, judged: tuple[JudgedEntry, ...]) -> Iterable[StatedValue]:
    """What the setup states of what the rulesets of its entries declare, each once."""
    return {
        (value.quantity, value.path): value
        for entry in judged
        for value in declared_values(entry.book.flat.quantities, document, ("extra",), entry.facts.entry_path)
    }.values()


def _derived_stated(assembled: Assembled, entry: JudgedEntry) -> Iterator[Problem]:
    document, declared = assembled.car.setup.document, entry.book.flat.quantities
    if declared:
        from speclint.rulesets.declarations import derived_stated  # few rulesets declare anything

        yield from derived_stated(declared, document, ("extra",), entry.facts.entry_path)


def _lines_at_fault(setup: Setup, unresolved: tuple[UnresolvedEntry, ...]) -> tuple[Problem, ...]:
    return tuple(entry.problem(setup.document) for entry in unresolved if not entry.is_overridden)


def _pins(assembled: Assembled, judged: tuple[JudgedEntry, ...]) -> tuple[Problem, ...]:
    rulesets = [entry.book.flat.ruleset for entry in judged]
    return tuple(problem for garage in assembled.pinned_by for problem in entry_pin_problems(garage, rulesets))


def _refused(workspace: Workspace, setup: Setup) -> tuple[NotJudged, ...]:
    if not isinstance(workspace.ruleset, UnsoundRuleset):
        return ()
    return (NotJudged(setup.document.file, workspace.ruleset.reason, setup.document.place(())),)


def _not_judged(setup: Setup, unresolved: UnresolvedEntry) -> NotJudged:
    place = unresolved.problem(setup.document).place
    return NotJudged(setup.document.file, unresolved.why.message, place)


def _not_entered(workspace: Workspace, setup: Setup) -> tuple[NotJudged, ...]:
    if isinstance(workspace.ruleset, UnsoundRuleset):
        return ()
    place = setup.document.place(("entries",))
    return (NotJudged(setup.document.file, without_entry(workspace.ruleset, workspace.overrides), place),)
