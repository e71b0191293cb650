"""The pipeline on one screen: files → documents → rulesets and cars → checks → findings, one car after the other."""

from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from functools import reduce
from itertools import chain, islice
from typing import Any, Final, TypeVar

from speclint.check.cars import CarJudge, Extract, JudgedCar, PlacedExtract, Progress, judged_car, one_after_another
from speclint.check.inspections import inspection_outcomes
from speclint.check.outcome import Outcome, Outcomes, tally_of
from speclint.check.paddock import paddock_outcome
from speclint.check.read_files import file_outcomes, motor_outcomes, ruleset_outcomes, unsound_setups
from speclint.files import ListedFile
from speclint.findings import Counts, EntryResult, Tally
from speclint.workspace.loaded import Files
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import Source
from speclint.workspace.workspace import Workspace

Result = TypeVar("Result")

Untracked = Callable[[Iterable[str]], frozenset[str]]
"""Says which of some files git does not have."""

Results = Generator[Result, None, Tally]
"""What is wanted of each entry as it is judged, by file and line, and then what was found beside them."""

Cars = Callable[[CarJudge[Any], Sequence[str], Progress], Iterator[JudgedCar[Any]]]
"""Has the cars of some setups judged, and gives what came of them in the order of the files."""

_CARS_TO_A_TRIAL: Final = 16
"""After so many cars a ruleset is put to the test: where other processes judge, this one has nothing else to do then."""


def _unseen(_doing: str, _done: int, _of: int) -> None:
    """Tells nobody."""


def _nothing_untracked(_: Iterable[str]) -> frozenset[str]:
    """Where nobody asks git."""
    return frozenset()


def _whole(result: EntryResult) -> EntryResult:
    """All of it is wanted."""
    return result


def check(
    listed: Sequence[ListedFile],
    source: Source,
    overrides: Overrides,
    *,
    with_advice: bool = True,
    named: frozenset[str] = frozenset(),
    untracked: Untracked = _nothing_untracked,
    progress: Progress = _unseen,
) -> Results[EntryResult]:
    """Everything there is to say about files; of a car that is told nothing stays but a few words.

    Args:
        listed: the files under the paths that were asked for.
        source: reads them, and what they name.
        overrides: what the command line puts over entries.
        with_advice: whether advice is wanted; no verdict rests on it.
        named: the files that are asked for by name: the inspections among them are judged.
        untracked: says which files git does not have, of those that cars rest on.
        progress: is told how far the work has come.

    Raises:
        UsageError: what is asked for as a ruleset is none, or leaves no entry that could be judged.
        UnreadableError: the ruleset that is asked for cannot be read.
    """
    return extracted(
        listed,
        source,
        overrides,
        _whole,
        with_advice=with_advice,
        named=named,
        untracked=untracked,
        progress=progress,
    )


def extracted(
    listed: Sequence[ListedFile],
    source: Source,
    overrides: Overrides,
    extract: Callable[[EntryResult], Extract],
    *,
    with_advice: bool = True,
    named: frozenset[str] = frozenset(),
    untracked: Untracked = _nothing_untracked,
    progress: Progress = _unseen,
    cars: Cars = one_after_another,
) -> Results[Extract]:
    """The same, where only so much is wanted of each entry; `cars` may have several judged at once."""
    files = Files(source)
    loaded = [files.listed(file) for file in listed if file.declares != "setup"]
    setup_files = sorted(file for file, declares in listed if declares == "setup")
    workspace = Workspace(files, overrides, listed=loaded, near=setup_files)
    early: list[JudgedCar[Extract]] = []

    def keep(result: EntryResult) -> None:
        early.append(judged_car(Outcome(entries=(result,)), extract, overrides.coming))

    inspections, inspected = inspection_outcomes(workspace, loaded, setup_files, named, keep)
    outcomes, setups = Outcomes(), 0
    outcomes.add(*(car.outcome for car in early), *inspections)
    counts = reduce(Counts.plus, (car.counts for car in early), Counts())
    trials = ruleset_outcomes(workspace, loaded, with_advice=with_advice)

    def entries_of_cars() -> Iterator[PlacedExtract[Extract]]:
        nonlocal counts, setups
        for car in cars(CarJudge(workspace, inspected, extract, with_advice=with_advice), setup_files, progress):
            outcomes.add(car.outcome)
            counts, setups = counts.plus(car.counts), setups + 1
            if setups % _CARS_TO_A_TRIAL == 0:
                outcomes.add(*islice(trials, 1))
            yield from car.entries

    inspected_entries = sorted(chain.from_iterable(car.entries for car in early), key=lambda entry: entry.place)
    for entry in _merged(inspected_entries, entries_of_cars()):
        yield entry.extract
    if not counts.entries:
        workspace.refuse_overrides(outcomes.whole.unresolved)
    setups += len(unsound_setups(files, listed))
    outcomes.add(*trials)
    outcomes.add(*motor_outcomes(workspace, loaded, with_advice=with_advice), *file_outcomes(workspace, listed))
    if not setup_files and not counts.entries:
        from speclint.check.holdings import holdings  # a racer's run has a car

        outcomes.add(Outcome(holdings=tuple(holdings(workspace, loaded))))
    if with_advice:
        outcomes.add(paddock_outcome(outcomes.whole.cars, files.document, untracked))
    return tally_of(outcomes.whole, counts, files=len(listed), setups=setups, document_of=files.document)


def hand_on(results: Results[Result], tell: Callable[[Result], None]) -> Tally:
    """Has every entry told as it comes; the end of the run."""
    while True:
        try:
            result = next(results)
        except StopIteration as end:
            tally: Tally = end.value
            return tally
        tell(result)


def gathered(results: Results[EntryResult]) -> Tally:
    """All of a run at once, for whoever looks at several things of it."""
    entries: list[EntryResult] = []
    tally = hand_on(results, entries.append)
    return tally._replace(entries=tuple(entries))


def _merged(
    early: Sequence[PlacedExtract[Extract]], entries: Iterator[PlacedExtract[Extract]]
) -> Iterator[PlacedExtract[Extract]]:
    """Entries that come one by one, with those that are there before put in where they belong."""
    waiting = deque(early)
    for entry in entries:
        while waiting and waiting[0].place < entry.place:
            yield waiting.popleft()
        yield entry
    yield from waiting
