"""What a piece of advice is, what it is drawn from, and the sort that it belongs to."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Final, Generic, NamedTuple, TypeVar

from speclint.documents.tree import Document
from speclint.models.cars import Car
from speclint.models.garages import Garage
from speclint.places import Path, Place
from speclint.plain import counted
from speclint.problems import MOST_PROBLEMS
from speclint.quantities.facts import Facts
from speclint.readings.measured import Number
from speclint.records.plausibility import ImplausibleValue
from speclint.rules.checks import Check
from speclint.rulesets.library import Library
from speclint.rulesets.model import Ruleset

if TYPE_CHECKING:
    from speclint.rules.examples import ExampleResult

COMMON_PRACTICE: Final = "common practice"


class Observation(NamedTuple):
    """What was seen and what to do about it, where, and the lines that there are to paste there."""

    message: str
    place: Place
    lines: tuple[str, ...] = ()


class Advice(NamedTuple):
    """A finding that no rule asks for; it never changes a verdict."""

    id: str
    message: str
    place: Place
    source: str
    on_ruleset: bool = False
    lines: tuple[str, ...] = ()
    """What there is to paste, a line each."""


class CarCase(NamedTuple):
    """What advice on a car is drawn from.

    Attributes:
        car: the car.
        on: the day of its last entry, or of its last record where it has none.
        garage: the garage that the setup names.
        shims_mm: the shims of the parts box; None where nothing is said of them.
        checks: those of its entries, without rules on what it states that it plainly meets.
        implausible: its odd values.
        facts: the facts of the car on the day, windings at 20 °C.
    """

    car: Car
    on: date
    garage: Garage | None
    shims_mm: tuple[Fraction, ...] | None
    checks: Sequence[Check]
    implausible: Sequence[ImplausibleValue]
    facts: Facts

    def number(self, name: str) -> Number | None:
        """A quantity of the car on the day, where it is a number that counts."""
        value = self.facts.fact(name).value
        return value if isinstance(value, Number) else None


class RulesetCase(NamedTuple):
    """What advice on a ruleset is drawn from; `today` tells what is over, `examples` what became of its own."""

    ruleset: Ruleset
    document: Document
    library: Library
    today: date
    examples: "tuple[ExampleResult, ...]"


class EnteredClass(NamedTuple):
    """An entry as it is judged, and where it stands in the setup."""

    path: Path
    ruleset: str
    class_id: str
    on: date


class ParkedCar(NamedTuple):
    """One of several cars: what it is called, what is in it, and the files that its verdict rests on.

    Attributes:
        file: the setup's file.
        name: what its owner calls it.
        entries: its entries as they are judged.
        motor: an identity of its motor, "" for none.
        motor_file: the file of its motor, "" where the setup describes it.
        pack: the serial of its pack, "" where none is stated.
        rests_on: files that the verdict rests on, each with the place in the setup that leads to it.
    """

    file: str
    name: str
    entries: tuple[EnteredClass, ...]
    motor: str
    motor_file: str
    pack: str
    rests_on: tuple[tuple[Path, str], ...]

    @property
    def motor_name(self) -> str:
        """What people call its motor."""
        return f"the motor {self.motor_file or self.motor}"


class PaddockCase(NamedTuple):
    """What advice on several cars is drawn from.

    Attributes:
        cars: the cars, by file.
        untracked: files of theirs that git does not have.
        place: where a path stands in a setup; of a car nothing is kept but a few words, so its file is read again.
    """

    cars: tuple[ParkedCar, ...]
    untracked: frozenset[str]
    place: Callable[[str, Path], Place]


C = TypeVar("C", CarCase, RulesetCase, PaddockCase)


class AdviceSort(NamedTuple, Generic[C]):
    """One sort of advice.

    Attributes:
        id: its name in reports.
        title: what it is about.
        because: why anybody should care.
        source: where it comes from.
        example: documents that give rise to it and to no other advice, beside the rulesets that come with speclint.
        find: looks for it.
    """

    id: str
    title: str
    because: str
    example: tuple[str, ...]
    find: Callable[[C], Iterator[Observation]]
    source: str = COMMON_PRACTICE


def given(sorts: Sequence[AdviceSort[C]], case: C) -> Iterator[Advice]:
    """What sorts of advice have to say, in their order."""
    on_ruleset = isinstance(case, RulesetCase)
    for sort in sorts:
        for seen in _first_of_each_file(sort.find(case)):
            yield Advice(sort.id, seen.message, seen.place, sort.source, on_ruleset, seen.lines)


def _first_of_each_file(observations: Iterator[Observation]) -> Iterator[Observation]:
    """As many observations of a file as anybody reads; behind all of them, how many more there are."""
    counts: dict[str, int] = {}
    left_out: dict[str, Place] = {}
    for observation in observations:
        file = observation.place.file
        counts[file] = counts.get(file, 0) + 1
        if counts[file] <= MOST_PROBLEMS:
            yield observation
        else:
            left_out.setdefault(file, observation.place)
    for file, place in left_out.items():
        more = f"the like is to be said {counted(counts[file] - MOST_PROBLEMS, 'more time')} in this file"
        yield Observation(f"{more}: see to these first", place)
