"""What came of each file, and all of it put together as the tally of a run."""

from collections.abc import Callable, Iterable
from itertools import chain
from typing import Any, NamedTuple, TypeVar

from speclint.advice.model import Advice, ParkedCar
from speclint.documents.tree import Document
from speclint.findings import ComingChange, Counts, Defect, EntryResult, Holding, NotJudged, Tally
from speclint.problems import Problem
from speclint.remedies.judged_entry import CarRemedies
from speclint.workspace.entries import UnresolvedEntry

_Value = TypeVar("_Value")


class Outcome(NamedTuple):
    """Everything that is said because of one file: a car, a motor, a ruleset or a garage."""

    entries: tuple[EntryResult, ...] = ()
    problems: tuple[Problem, ...] = ()
    advice: tuple[Advice, ...] = ()
    car_remedies: tuple[CarRemedies, ...] = ()
    not_judged: tuple[NotJudged, ...] = ()
    not_entered: tuple[NotJudged, ...] = ()
    set_aside: tuple[NotJudged, ...] = ()
    holdings: tuple[Holding, ...] = ()
    coming: tuple[ComingChange, ...] = ()
    defects: tuple[Defect, ...] = ()
    cars: tuple[ParkedCar, ...] = ()
    past: tuple[int, ...] = ()
    unresolved: tuple[UnresolvedEntry, ...] = ()


def tally_of(
    outcomes: Iterable[Outcome],
    counts: Counts,
    *,
    files: int,
    setups: int,
    document_of: Callable[[str], Document | None],
) -> Tally:
    """What was found beside entries, in the order of files and lines; what several files share is said once."""
    by_kind = Outcome(*(tuple(chain.from_iterable(part)) for part in zip(Outcome(), *outcomes, strict=True)))
    return Tally(
        files=files,
        setups=setups,
        counts=counts,
        problems=_in_order(dict.fromkeys(by_kind.problems), lambda problem: (problem.place, problem.id)),
        car_remedies=_in_order(by_kind.car_remedies, lambda car: car.file),
        advice=_in_order(_once(by_kind.advice), lambda piece: (piece.place, piece.id)),
        not_judged=_in_order(by_kind.not_judged, lambda refused: refused.place),
        not_entered=_in_order(by_kind.not_entered, lambda refused: refused.place),
        set_aside=_in_order(by_kind.set_aside, lambda refused: refused.place),
        holdings=_in_order(by_kind.holdings, lambda holding: holding.file),
        coming=_in_order(by_kind.coming, lambda change: (change.on, change.place, change.sort.value, change.text)),
        defects=by_kind.defects,
        past=sum(by_kind.past),
        document_of=document_of,
    )


def _once(advice: Iterable[Advice]) -> Iterable[Advice]:
    by_place: dict[Any, Advice] = {}
    for piece in advice:
        by_place.setdefault((piece.id, piece.place), piece)
    return by_place.values()


def _in_order(values: Iterable[_Value], key: Callable[[_Value], Any]) -> tuple[_Value, ...]:
    return tuple(sorted(values, key=key))
