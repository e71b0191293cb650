"""Which inspections are judged: those whose own path is named, so that yesterday's car does not stop today's commit."""

from collections.abc import Callable, Sequence

from speclint.check.outcome import Outcome
from speclint.errors import UsageError
from speclint.findings import EntryResult, NotJudged
from speclint.places import Path
from speclint.workspace.loaded import Loaded
from speclint.workspace.workspace import Workspace

InspectedEntry = tuple[str, Path]
"""Names an entry that officials have inspected: its setup's file, and the path of the entry there."""


def inspection_outcomes(
    workspace: Workspace,
    listed: Sequence[Loaded],
    setup_files: Sequence[str],
    named: frozenset[str],
    tell: Callable[[EntryResult], None],
) -> tuple[tuple[Outcome, ...], frozenset[InspectedEntry]]:
    """What comes of the inspections among some files beside the entries that are told, and which entries they judge.

    Args:
        workspace: the repository.
        listed: the files under the paths of the command but for the setups.
        setup_files: the names of these.
        named: those that the command names themselves: only these inspections are judged.
        tell: is told each entry as it is judged.

    Raises:
        UsageError: the command line puts a ruleset, a class or a day over an inspection, which has its own.
    """
    outcomes: list[Outcome] = []
    judged: set[InspectedEntry] = set()
    for loaded in listed:
        if loaded.format != "inspection/1":
            continue
        if loaded.file not in named:
            place = loaded.problems[0].place if loaded.document is None else loaded.document.place(())
            reason = f"an inspection is judged where its own path is named: speclint check {loaded.file}"
            outcomes.append(Outcome(set_aside=(NotJudged(loaded.file, reason, place),)))
        elif loaded.sound is not None:
            _refuse_overrides(workspace, loaded.file)
            from speclint.check.inspecting import judge_inspection  # a racer's run has none

            outcome, entries = judge_inspection(workspace, loaded.sound, setup_files, tell)
            outcomes.append(outcome)
            judged |= entries
    return tuple(outcomes), frozenset(judged)


def _refuse_overrides(workspace: Workspace, file: str) -> None:
    overrides = workspace.overrides
    options = {"--ruleset": overrides.ruleset, "--class": overrides.class_id, "--on": overrides.on}
    given = [option for option, value in options.items() if value is not None]
    if given:
        raise UsageError(f"{given[0]} does not go with the inspection {file}, which says its own: leave it out")
