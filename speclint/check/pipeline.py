"""The pipeline on one screen: files → documents → rulesets and cars → checks → findings."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TypeVar

from speclint.check.inspections import inspection_outcomes
from speclint.check.judging import judge_car
from speclint.check.outcome import findings_of
from speclint.check.paddock import paddock_outcome
from speclint.check.read_files import file_outcomes, motor_outcomes, ruleset_outcomes
from speclint.files import FileText
from speclint.findings import Findings
from speclint.models.setups import setup_of
from speclint.workspace.loaded import Files
from speclint.workspace.overrides import Overrides
from speclint.workspace.source import Source
from speclint.workspace.workspace import Workspace

Progress = Callable[[str, int, int], None]
"""Is told what is being done, how many of the files or cars are done, and how many there are."""

Untracked = Callable[[Iterable[str]], frozenset[str]]
"""Says which of some files git does not have."""

_Item = TypeVar("_Item")


def _unseen(_doing: str, _done: int, _of: int) -> None:
    """Tells nobody."""


def _nothing_untracked(_: Iterable[str]) -> frozenset[str]:
    """Where nobody asks git."""
    return frozenset()


def check(
    texts: Sequence[FileText],
    source: Source,
    overrides: Overrides,
    *,
    with_advice: bool = True,
    named: frozenset[str] = frozenset(),
    untracked: Untracked = _nothing_untracked,
    progress: Progress = _unseen,
) -> Findings:
    """Everything there is to say about files.

    Args:
        texts: the files under the paths that were asked for.
        source: reads what these files name.
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
    listed = [files.take(text) for text in _counted("read", texts, progress)]
    setups = [setup_of(loaded.sound) for loaded in listed if loaded.format == "setup/1" and loaded.sound]
    workspace = Workspace(files, overrides, listed=listed)
    workspace.refuse_overrides(entry for setup in setups for entry in workspace.entries(setup))
    inspections, inspected = inspection_outcomes(workspace, listed, named)
    outcomes = [
        *inspections,
        *(
            judge_car(workspace, setup, with_advice=with_advice, inspected=inspected)
            for setup in _counted("checked", setups, progress)
        ),
        *ruleset_outcomes(workspace, listed, with_advice=with_advice),
    ]
    outcomes += (*motor_outcomes(workspace, listed, with_advice=with_advice), *file_outcomes(workspace, listed))
    if with_advice:
        outcomes.append(paddock_outcome(outcomes, untracked))
    count = sum(1 for loaded in listed if loaded.format == "setup/1")
    return findings_of(outcomes, files=len(listed), setups=count, document_of=files.document)


def _counted(doing: str, items: Sequence[_Item], progress: Progress) -> Iterator[_Item]:
    for i, item in enumerate(items):
        progress(doing, i, len(items))
        yield item
