"""Cars judged one after the other: of each, what its reader wanted, how it counts, and what was found beside that."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any, Generic, NamedTuple, TypeVar

from speclint.check.guarded import guarded
from speclint.check.inspections import InspectedEntry
from speclint.check.judging import judge_car
from speclint.check.outcome import Outcome
from speclint.files import FileText
from speclint.findings import Counts, Defect, EntryResult, NotJudged
from speclint.models.setups import setup_of
from speclint.moments import Period
from speclint.places import Place
from speclint.workspace.workspace import Workspace

Extract = TypeVar("Extract")
"""What a reader wants of an entry."""


class PlacedExtract(NamedTuple, Generic[Extract]):
    """What was wanted of an entry, and where that one stands."""

    place: Place
    extract: Extract


class JudgedCar(NamedTuple, Generic[Extract]):
    """What is kept of a car when its documents are gone; `outcome` has no entries."""

    entries: tuple[PlacedExtract[Extract], ...]
    counts: Counts
    outcome: Outcome


def judged_car(
    outcome: Outcome, extract: Callable[[EntryResult], Extract], coming: Period | None
) -> JudgedCar[Extract]:
    """What is kept of an outcome.

    Args:
        outcome: what came of a car, or of an inspection.
        extract: takes what is wanted of each entry.
        coming: the days that are asked about, if any: an entry on one of them is told among what comes.
    """
    counts = Counts()
    for result in outcome.entries:
        counts = counts.with_entry(result)
    entries = tuple(PlacedExtract(result.place, extract(result)) for result in outcome.entries)
    changes = outcome.coming
    if coming is not None:
        from speclint.check.coming import entry_to_come  # most runs ask nothing of days to come

        changes += tuple(entry_to_come(result) for result in outcome.entries if result.on in coming)
    return JudgedCar(entries, counts, outcome._replace(entries=(), coming=changes))


def without_verdict(file: str, why: str) -> JudgedCar[Any]:
    """What is told of a car that could not be judged because of a defect."""
    refused = NotJudged(file, "a defect of speclint kept it from being judged", Place(file))
    return JudgedCar((), Counts(), Outcome(not_judged=(refused,), defects=(Defect(f"the verdict on {file}", why),)))


class CarJudge(Generic[Extract]):
    """Judges the car of any setup of a run; whoever has a copy of it judges alike.

    Args:
        workspace: the repository.
        inspected: the entries that officials have read, which are not judged here.
        extract: takes what is wanted of each entry.
        with_advice: whether advice is wanted.
    """

    def __init__(
        self,
        workspace: Workspace,
        inspected: frozenset[InspectedEntry],
        extract: Callable[[EntryResult], Extract],
        *,
        with_advice: bool,
    ) -> None:
        self.workspace = workspace
        self._inspected = inspected
        self._extract = extract
        self._with_advice = with_advice

    def car(self, text: FileText) -> JudgedCar[Extract] | None:
        """What came of the setup in this text; None where it has problems, which the workspace keeps."""
        nothing: JudgedCar[Extract] | None = None
        car, defects = guarded(text.file, lambda: self._car(text), nothing)
        return without_verdict(text.file, defects[0].traceback) if defects else car

    def entry(self, text: FileText, place: Place) -> EntryResult:
        """The entry at this place of a setup that was judged, as it was."""
        outcome = self._outcome(text)
        return next(result for result in (outcome or Outcome()).entries if result.place == place)

    def _car(self, text: FileText) -> JudgedCar[Extract] | None:
        outcome = self._outcome(text)
        return None if outcome is None else judged_car(outcome, self._extract, self.workspace.overrides.coming)

    def _outcome(self, text: FileText) -> Outcome | None:
        loaded = self.workspace.files.passing_setup(text)
        if loaded.format != "setup/1" or loaded.sound is None:
            return None
        setup = setup_of(loaded.sound)
        return judge_car(self.workspace, setup, text, with_advice=self._with_advice, inspected=self._inspected)


Progress = Callable[[str, int, int], None]
"""Is told what is being done, how many of the cars are done, and how many there are."""


def one_after_another(
    judge: CarJudge[Extract], files: Sequence[str], progress: Progress
) -> Iterator[JudgedCar[Extract]]:
    """What came of each sound setup; a car's documents are gone when the next one is read."""
    for i, file in enumerate(files):
        progress("checked", i, len(files))
        car = judge.car(judge.workspace.files.source.read(file))
        if car is not None:
            yield car
