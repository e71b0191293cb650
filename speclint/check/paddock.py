"""The cars of a run side by side: the advice that no car gives rise to by itself."""

from collections.abc import Callable, Iterable

from speclint.advice.model import Advice, PaddockCase, ParkedCar, given
from speclint.advice.paddock import PADDOCK
from speclint.check.guarded import guarded
from speclint.check.outcome import Outcome
from speclint.documents.tree import Document
from speclint.places import Path, Place


def paddock_outcome(
    parked_cars: Iterable[ParkedCar],
    document_of: Callable[[str], Document | None],
    untracked: Callable[[Iterable[str]], frozenset[str]],
) -> Outcome:
    """The advice on all cars together.

    Args:
        parked_cars: the cars.
        document_of: the document of a setup of which there is something to say.
        untracked: says which of some files git does not have.
    """
    cars = tuple(sorted(parked_cars, key=lambda car: car.file))
    files = dict.fromkeys(file for car in cars for file in (car.file, *(named for _, named in car.rests_on)))

    def place(file: str, path: Path) -> Place:
        document = document_of(file)
        return Place(file) if document is None else document.place(path)

    case = PaddockCase(cars, untracked(files), place)
    nothing: tuple[Advice, ...] = ()
    advice, defects = guarded("the advice on all cars together", lambda: tuple(given(PADDOCK, case)), nothing)
    return Outcome(advice=advice, defects=defects)
