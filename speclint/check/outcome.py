"""What came of each file, and all of it put together as the tally of a run."""

from collections.abc import Callable, Iterable, Iterator
from itertools import groupby
from typing import Any, Final, NamedTuple, TypeVar

from speclint.advice.model import Advice, ParkedCar
from speclint.documents.tree import Document
from speclint.findings import ComingChange, Counts, Defect, EntryResult, Holding, NotJudged, Tally
from speclint.problems import Problem, and_more
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


class Outcomes:
    """What came of all files so far, each sort together; a car of which there is little to say takes little room."""

    def __init__(self) -> None:
        self._sorts: tuple[list[Any], ...] = tuple([] for _ in Outcome._fields)
        self._shared: dict[tuple[Any, ...], tuple[Any, ...]] = {}

    def add(self, *outcomes: Outcome) -> None:
        """Takes in what came of further files."""
        for outcome in outcomes:
            for values, sort in zip(outcome._replace(cars=()), self._sorts, strict=True):
                sort.extend(values)
            self._sorts[_CARS].extend(map(self._lean, outcome.cars))

    @property
    def whole(self) -> Outcome:
        """All of it."""
        return Outcome(*map(tuple, self._sorts))

    def _lean(self, car: ParkedCar) -> ParkedCar:
        """The car with what most cars of a field have in common kept once."""
        entries, rests_on = (self._shared.setdefault(values, values) for values in (car.entries, car.rests_on))
        return car._replace(entries=entries, rests_on=rests_on)


_CARS: Final = Outcome._fields.index("cars")


def tally_of(
    outcome: Outcome,
    counts: Counts,
    *,
    files: int,
    setups: int,
    document_of: Callable[[str], Document | None],
) -> Tally:
    """What was found beside entries, in the order of files and lines; what several files share is said once."""
    return Tally(
        files=files,
        setups=setups,
        counts=counts,
        problems=tuple(
            _first_of_each_file(_in_order(dict.fromkeys(outcome.problems), lambda problem: (problem.place, problem.id)))
        ),
        car_remedies=_in_order(outcome.car_remedies, lambda car: car.file),
        advice=_in_order(_once(outcome.advice), lambda piece: (piece.place, piece.id)),
        not_judged=_in_order(outcome.not_judged, lambda refused: refused.place),
        not_entered=_in_order(outcome.not_entered, lambda refused: refused.place),
        set_aside=_in_order(outcome.set_aside, lambda refused: refused.place),
        holdings=_in_order(outcome.holdings, lambda holding: holding.file),
        coming=_in_order(outcome.coming, lambda change: (change.on, change.place, change.sort.value, change.text)),
        defects=outcome.defects,
        past=sum(outcome.past),
        document_of=document_of,
    )


def _first_of_each_file(problems: Iterable[Problem]) -> Iterator[Problem]:
    """As many problems of a file as anybody reads, and how many more there are, in the order of files and lines."""
    for _, of_file in groupby(problems, lambda problem: problem.place.file):
        in_file = list(of_file)
        yield from in_file[:_MOST_TOLD]
        if len(in_file) > _MOST_TOLD:
            first_left_out = in_file[_MOST_TOLD]
            yield Problem(first_left_out.id, and_more(len(in_file) - _MOST_TOLD), first_left_out.place)


_MOST_TOLD: Final = 100


def _once(advice: Iterable[Advice]) -> Iterable[Advice]:
    by_place: dict[Any, Advice] = {}
    for piece in advice:
        by_place.setdefault((piece.id, piece.place), piece)
    return by_place.values()


def _in_order(values: Iterable[_Value], key: Callable[[_Value], Any]) -> tuple[_Value, ...]:
    return tuple(sorted(values, key=key))
