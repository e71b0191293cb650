"""Inspections judged: what the officials read goes before what the racers declare, and stands beside it."""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from itertools import islice
from typing import Final

from speclint.check.advising import asked_limits
from speclint.check.guarded import guarded
from speclint.check.inspected_setups import Declared, EnteredSetups
from speclint.check.inspections import InspectedEntry
from speclint.check.official_car import (
    implausible_readings,
    instrument_at,
    official_car,
    read_by_officials,
    unknown_instruments,
)
from speclint.check.outcome import Outcome
from speclint.documents.tree import Document
from speclint.findings import Defect, EntryResult, Inspected, NotJudged, OfficialReading, ReadFile
from speclint.models.cars import Car
from speclint.models.inspections import InspectedCar, Inspection, inspection_of
from speclint.models.setups import Entry
from speclint.problems import MOST_PROBLEMS, Problem, first_problems
from speclint.quantities.facts import Fact
from speclint.quantities.model import Quantity
from speclint.quantities.registry import quantity
from speclint.quantities.stated_values import StatedValue, declared_values
from speclint.readings.digits import supported_places, with_unit
from speclint.readings.exact import decimal_text, decimals_of, exact
from speclint.readings.instruments import Instrument
from speclint.readings.measured import Number, expanded_of, value_of
from speclint.remedies.judged_entry import JudgedEntry
from speclint.rules.checks import Check, Verdict
from speclint.rules.judge import entry_facts, entry_verdict, judge
from speclint.rules.rulebook import Rulebook
from speclint.rules.wording import unit
from speclint.rulesets.declarations import derived_stated
from speclint.rulesets.model import Rule, Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.spelling import known_words
from speclint.workspace.entries import ResolvedEntry
from speclint.workspace.workspace import Workspace, too_many_rules

_PASSED: Final = "passed"

_MOST_JUDGED: Final = 30_000
"""Rules that all cars of one inspection are judged by: those of three hundred cars under a large rulebook."""


def judge_inspection(
    workspace: Workspace, document: Document, setup_files: Sequence[str], tell: Callable[[EntryResult], None]
) -> tuple[Outcome, set[InspectedEntry]]:
    """Tells the verdicts on the cars of a sound inspection; the rest of what came of it, and the entries they are about.

    Args:
        workspace: the repository.
        document: the inspection.
        setup_files: the setups under the paths of the command, which count wherever they stand.
        tell: is told each entry as it is judged; one holds much, and nothing else keeps it.
    """
    return _RaceDay(workspace, inspection_of(document), setup_files).outcome(tell)


class _RaceDay:
    """One inspection with the rules of its day."""

    def __init__(self, workspace: Workspace, inspection: Inspection, setup_files: Sequence[str]) -> None:
        self._workspace = workspace
        self._inspection = inspection
        self._document = inspection.document
        self._setup_files = setup_files
        self._problems: list[Problem] = [*_doubled(inspection)]
        self._of_rules: tuple[Problem, ...] = ()
        self._defects: list[Defect] = []

    def outcome(self, tell: Callable[[EntryResult], None]) -> tuple[Outcome, set[InspectedEntry]]:
        """Tells the verdicts on its cars; what else came of it, and the entries that they are about."""
        inspection, index = self._inspection, self._workspace.index
        known_on = self._workspace.overrides.known_on
        ruleset = index.ruleset(inspection.ruleset, inspection.version, inspection.on, known_on)
        if isinstance(ruleset, NotFound):
            place = self._document.place(("ruleset",))
            problem = Problem(ruleset.problem, ruleset.message, place)
            return Outcome(
                problems=(problem,), not_judged=(NotJudged(self._document.file, ruleset.message, place),)
            ), set()
        digest = index.library.digest(ruleset) if inspection.digest else ""
        if digest != inspection.digest:
            message = (
                f"{ruleset.name} is not what these cars were inspected by: its digest is {digest} now; see what changed in"
                f" {ruleset.place.file}, or in what it builds on"
            )
            self._of_rules = (Problem("pin-broken", message, self._document.place(("digest",))),)
            self._problems += self._of_rules
        setups = EnteredSetups(inspection, self._workspace, self._setup_files)
        refused: list[NotJudged] = []
        judged: set[InspectedEntry] = set()
        rules = 0
        for car in inspection.cars:
            declared, unknown = setups.declared(car)
            self._problems += () if unknown is None else (unknown,)
            if unknown is not None and declared.setup is None:
                reason = f"the car in line {self._document.place(car.path).line} is not known"
                refused.append(NotJudged(self._document.file, reason, unknown.place))
                continue
            if rules > _MOST_JUDGED:
                refused.append(self._refused(car, too_many_rules(_MOST_JUDGED)))
                continue
            result = self._judged(car, declared, ruleset)
            if isinstance(result, NotJudged):
                refused.append(result)
                continue
            tell(result)
            rules += len(result.checks)
            if declared.setup is not None and declared.entry is not None:
                judged.add((declared.setup.document.file, declared.entry.path))
        outcome = Outcome(
            problems=tuple(self._problems),
            not_judged=tuple(refused),
            defects=tuple(self._defects),
        )
        return outcome, judged

    def _judged(self, inspected: InspectedCar, declared: Declared, ruleset: Ruleset) -> EntryResult | NotJudged:
        document, workspace, told = self._document, self._workspace, len(self._problems)
        place = document.place(inspected.path)
        stated: Mapping[str, object] = {} if declared.entry is None else declared.entry.keys
        entry = Entry(
            () if declared.entry is None else declared.entry.path,
            ruleset.id,
            ruleset.version,
            inspected.class_id,
            self._inspection.on,
            {**stated, **inspected.entry_keys},
        )
        resolved = workspace.resolved(entry, None)
        if not isinstance(resolved, ResolvedEntry):
            return self._refused(inspected, resolved.why)
        book = resolved.book
        instruments = {**book.flat.instruments, **self._inspection.instruments}
        self._problems += unknown_instruments(self._inspection, inspected, instruments)
        at_readings = (*inspected.path, "readings", "extra")
        self._problems += derived_stated(book.flat.quantities, document, at_readings, (*inspected.path, "entry"))
        looked_at, problems = _looked_at(self._inspection, inspected, book)
        self._problems += problems
        assembled = None if declared.setup is None else workspace.car(declared.setup)
        self._problems += () if assembled is None else assembled.problems
        car = official_car(self._inspection, inspected, None if assembled is None else assembled.car, instruments)
        facts = entry_facts(car, entry, book.flat)
        checks = tuple(_seen(check, looked_at, inspected) for check in judge(book, facts, place))
        own_values = tuple(declared_values(book.flat.quantities, document, at_readings, (*inspected.path, "entry")))
        judged = JudgedEntry(book, facts, place, checks)
        self._tell_slips(car, judged, own_values)
        of_car = (*self._of_rules, *self._problems[told:])
        declared_checks = (
            {}
            if assembled is None
            else {check.rule.id: check for check in judge(book, entry_facts(assembled.car, entry, book.flat), place)}
        )
        verdict, reason = judged.verdict(of_car)
        files = [document.file, *(() if assembled is None else (assembled.car.setup.document.file,))]
        files += [] if assembled is None or assembled.car.motor is None else [assembled.car.motor.document.file]
        files += [] if assembled is None or assembled.garage is None else [assembled.garage.file]
        return EntryResult(
            file=document.file if declared.setup is None else declared.setup.document.file,
            name=car.setup.name,
            judged=judged,
            digest_of=partial(workspace.index.library.digest, ruleset),
            files_of=partial(self._files, tuple(files), ruleset),
            verdict=verdict,
            reason=reason,
            rests_on_problems=bool(reason and of_car),
            inspected=Inspected(
                place=place,
                event=self._inspection.event,
                number=inspected.number,
                at=inspected.at,
                by=inspected.by or ", ".join(self._inspection.officials),
                ruling=inspected.ruling,
                note=inspected.note,
                declared=entry_verdict(tuple(declared_checks.values()), book)[0] if declared_checks else None,
                by_rule=dict(_readings(checks, declared_checks, instruments)),
                looked_at=looked_at,
            ),
        )

    def _refused(self, inspected: InspectedCar, why: NotFound) -> NotJudged:
        """A car that is not judged, which is a problem of the inspection as well."""
        at_class = self._document.place((*inspected.path, "class"))
        self._problems.append(Problem(why.problem, why.message, at_class))
        return NotJudged(self._document.file, why.message, at_class)

    def _tell_slips(self, car: Car, judged: JudgedEntry, declared: Sequence[StatedValue]) -> None:
        """The slips of the pen in what the officials read."""

        def slips() -> tuple[Problem, ...]:
            return tuple(
                Problem("implausible-value", value.message, value.document.place(value.path))
                for value in implausible_readings(car, asked_limits((judged,)), declared)
                if value.slip
            )

        nothing: tuple[Problem, ...] = ()
        problems, defects = guarded(f"the plausibility of {self._document.file}", slips, nothing)
        self._problems += problems
        self._defects += defects

    def _files(self, names: tuple[str, ...], ruleset: Ruleset) -> tuple[ReadFile, ...]:
        of_ruleset = (source.place.file for source in self._workspace.index.library.sources(ruleset))
        files = dict.fromkeys((*names, *of_ruleset))
        return tuple(ReadFile(name, self._workspace.files.sha256(name)) for name in files)


def _doubled(inspection: Inspection) -> Iterator[Problem]:
    """Cars that stand twice in one class."""
    first: dict[tuple[str, str, str], InspectedCar] = {}
    for car in inspection.cars:
        key = (car.class_id, car.number, "" if car.number else car.setup)
        if (car.number or car.setup not in ("", "none")) and first.setdefault(key, car) is not car:
            what = f"number {car.number}" if car.number else car.setup
            line = inspection.document.place(first[key].path).line
            message = f"{what} stands here twice, first in line {line}: put all readings of it under one"
            yield Problem("same-car", message, inspection.document.place(car.path))


def _looked_at(
    inspection: Inspection, inspected: InspectedCar, book: Rulebook
) -> tuple[dict[str, str], tuple[Problem, ...]]:
    """What the officials looked at, of the rules that a look can decide, and what is wrong with the rest."""
    decided_by_a_look = {rule.id for rule in book.rules if _number(rule) is None}
    looked_at = {rule_id: outcome for rule_id, outcome in inspected.looked_at.items() if rule_id in decided_by_a_look}
    refused = (rule_id for rule_id in inspected.looked_at if rule_id not in decided_by_a_look)
    problems: list[Problem] = []
    for rule_id in islice(refused, MOST_PROBLEMS + 1):
        place = inspection.document.place((*inspected.path, "looked_at", rule_id), of_key=True)
        problems.append(Problem(*look_refused(rule_id, book), place))
    return looked_at, first_problems(problems)


def look_refused(rule_id: str, book: Rulebook) -> tuple[str, str]:
    """Which problem it is to have looked at a rule of this id, and why; "" where a look can decide it."""
    rule = next((rule for rule in book.rules if rule.id == rule_id), None)
    if rule is None:
        near = known_words(rule_id, (rule.id for rule in book.rules))
        return "unknown-rule", f"no rule {rule_id} binds in {book.flat.id} that day{near}"
    number = _number(rule)
    if number is None:
        return "", ""
    return (
        "needs-reading",
        f"{rule_id} is a rule on a number: write what was read of the {number.title} under `readings`",
    )


def _number(rule: Rule) -> Quantity | None:
    """The quantity that a rule limits, where that is a number and so no look decides it."""
    limited = None if rule.quantity is None else quantity(rule.quantity)
    return limited if limited is not None and limited.numeric else None


def _seen(check: Check, looked_at: Mapping[str, str], inspected: InspectedCar) -> Check:
    """A check with what the officials saw: their word decides what no reading does."""
    outcome = looked_at.get(check.rule.id)
    if outcome is None or check.verdict is Verdict.NOT_APPLICABLE:
        return check
    by = f" by {inspected.by}" if inspected.by else ""
    verdict = Verdict.LEGAL if outcome == _PASSED else Verdict.ILLEGAL
    return check._replace(verdict=verdict, reason=f"{outcome} when looked at{by}", missing=())


def _readings(
    checks: Sequence[Check], declared: Mapping[str, Check], instruments: Mapping[str, Instrument]
) -> Iterator[tuple[str, OfficialReading]]:
    """What officials read of the quantity of each rule, beside what was declared."""
    for check in checks:
        source = None if check.fact is None or check.fact.value is None else read_by_officials(check.fact)
        if source is None:
            continue
        name = instrument_at(*source) or (check.rule.instrument or "")
        beside = declared.get(check.rule.id)
        difference, disagrees = _difference(check, beside)
        yield check.rule.id, OfficialReading(name if name in instruments else "", beside, difference, disagrees)


def _difference(official: Check, declared: Check | None) -> tuple[str, bool]:
    """The official value minus the declared one, and whether that is more than both uncertainties together.

    Two readings of one thing with the expanded uncertainties U₁ and U₂ disagree where they differ by more than
    √(U₁² + U₂²): their E_n score is above 1 (ISO 13528:2022, 9.7; ISO/IEC 17043). Where nobody knows how far off either
    is, a difference of what is measured says nothing; what is counted, set or named has none.
    """
    fact, beside = official.fact, None if declared is None else declared.fact
    if fact is None or beside is None or beside.value is None or fact.value is None:
        return "", False
    ours, theirs = _unrounded(fact), _unrounded(beside)
    if not isinstance(ours, Number) or not isinstance(theirs, Number):
        return "", ours != theirs
    gap = value_of(ours) - value_of(theirs)
    # Two instruments of one name may be two: nothing that both readings share is taken off.
    reach = math.hypot(expanded_of(ours) or 0.0, expanded_of(theirs) or 0.0)
    sign = "+" if gap > 0 else "−"
    if not reach:
        places = min(max(decimals_of(gap) or 3, 0), 3)
        size = with_unit(decimal_text(abs(gap), places), unit(official))
        return (f"{sign}{size}" if gap else ""), bool(gap) and fact.quantity.exact
    places = supported_places(reach)
    size = with_unit(f"{decimal_text(abs(gap), places)} ± {decimal_text(exact(reach), places)}", unit(official))
    return f"{sign}{size}", abs(float(gap)) > reach


def _unrounded(fact: Fact) -> object:
    return fact.value if fact.unrounded is None else fact.unrounded
