"""The pipeline on one screen: files → documents → rulesets and cars → checks → findings, one car after the other."""

from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from itertools import chain

from speclint.check.inspections import InspectedEntry, inspection_outcomes
from speclint.check.judging import judge_car
from speclint.check.outcome import Outcome, tally_of
from speclint.check.paddock import paddock_outcome
from speclint.check.read_files import file_outcomes, motor_outcomes, ruleset_outcomes, unsound_setups
from speclint.files import ListedFile
from speclint.findings import Counts, EntryResult, Findings, Tally
from speclint.models.setups import setup_of
from speclint.places import Place
from speclint.workspace.loaded import Files
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import Source
from speclint.workspace.workspace import Workspace

Progress = Callable[[str, int, int], None]
"""Is told what is being done, how many of the cars are done, and how many there are."""

Untracked = Callable[[Iterable[str]], frozenset[str]]
"""Says which of some files git does not have."""

Results = Generator[EntryResult, None, Tally]
"""Each entry as it is judged, by file and line, and then what was found beside them."""


def _unseen(_doing: str, _done: int, _of: int) -> None:
    """Tells nobody."""


def _nothing_untracked(_: Iterable[str]) -> frozenset[str]:
    """Where nobody asks git."""
    return frozenset()


def check(
    listed: Sequence[ListedFile],
    source: Source,
    overrides: Overrides,
    *,
    with_advice: bool = True,
    named: frozenset[str] = frozenset(),
    untracked: Untracked = _nothing_untracked,
    progress: Progress = _unseen,
) -> Results:
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
    files = Files(source)
    loaded = [files.named(file) for file, declares in listed if declares != "setup"]
    setup_files = sorted(file for file, declares in listed if declares == "setup")
    workspace = Workspace(files, overrides, listed=loaded, near=setup_files)
    inspections, inspected = inspection_outcomes(workspace, loaded, setup_files, named)
    outcomes = [outcome.without_entries for outcome in inspections]

    def entries_of_cars() -> Iterator[EntryResult]:
        for outcome in _cars(workspace, setup_files, inspected, with_advice=with_advice, progress=progress):
            outcomes.append(outcome.without_entries)
            yield from outcome.entries

    counts, to_come = Counts(), Outcome()
    inspected_entries = sorted(chain.from_iterable(outcome.entries for outcome in inspections), key=_place)
    for result in _merged(inspected_entries, entries_of_cars()):
        counts = counts.with_entry(result)
        if overrides.coming is not None and result.on in overrides.coming:
            from speclint.check.coming import entry_to_come  # most runs ask nothing of days to come

            to_come = to_come._replace(coming=(*to_come.coming, entry_to_come(result)))
        yield result
    if not counts.entries:
        workspace.refuse_overrides(chain.from_iterable(outcome.unresolved for outcome in outcomes))
    setups = len(outcomes) - len(inspections) + len(unsound_setups(files, listed))
    outcomes.append(to_come)
    outcomes += ruleset_outcomes(workspace, loaded, with_advice=with_advice)
    outcomes += (*motor_outcomes(workspace, loaded, with_advice=with_advice), *file_outcomes(workspace, listed))
    if not setup_files and not counts.entries:
        from speclint.check.holdings import holdings  # a racer's run has a car

        outcomes.append(Outcome(holdings=tuple(holdings(workspace, loaded))))
    if with_advice:
        outcomes.append(paddock_outcome(outcomes, files.document, untracked))
    return tally_of(outcomes, counts, files=len(listed), setups=setups, document_of=files.document)


def hand_on(results: Results, tell: Callable[[EntryResult], None]) -> Tally:
    """Has every entry told as it comes; the end of the run."""
    while True:
        try:
            result = next(results)
        except StopIteration as end:
            tally: Tally = end.value
            return tally
        tell(result)


def gathered(results: Results) -> Findings:
    """All of a run at once, for whoever looks at several things of it."""
    entries: list[EntryResult] = []
    return hand_on(results, entries.append).with_entries(entries)


def _place(result: EntryResult) -> Place:
    return result.place


def _merged(early: Sequence[EntryResult], results: Iterator[EntryResult]) -> Iterator[EntryResult]:
    """Results that come one by one, with those that are there before put in where they belong."""
    waiting = deque(early)
    for result in results:
        while waiting and waiting[0].place < result.place:
            yield waiting.popleft()
        yield result
    yield from waiting


def _cars(
    workspace: Workspace,
    setup_files: Sequence[str],
    inspected: frozenset[InspectedEntry],
    *,
    with_advice: bool,
    progress: Progress,
) -> Iterator[Outcome]:
    """What came of each sound setup; a car's documents are gone when the next one is read."""
    for i, file in enumerate(setup_files):
        progress("checked", i, len(setup_files))
        text = workspace.files.source.read(file)
        loaded = workspace.files.passing(text)
        if loaded.format == "setup/1" and loaded.sound is not None:
            yield judge_car(workspace, setup_of(loaded.sound), text, with_advice=with_advice, inspected=inspected)
