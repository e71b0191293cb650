"""What is said of the files themselves: their problems, pins that do not hold, rulesets on trial, motors in no car."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from speclint.advice.model import Advice, RulesetCase
from speclint.check.advising import advised, implausible_in, motor_alone
from speclint.check.guarded import guarded
from speclint.check.outcome import Outcome
from speclint.check.pins import pin_problems
from speclint.documents.tree import Document
from speclint.files import ListedFile
from speclint.findings import NotJudged
from speclint.models.garages import garage_of
from speclint.rulesets.library import Library
from speclint.rulesets.model import Ruleset
from speclint.rulesets.references import ended_bases
from speclint.workspace.loaded import Files, Loaded
from speclint.workspace.workspace import Workspace


def file_outcomes(workspace: Workspace, listed: Sequence[ListedFile]) -> Iterator[Outcome]:
    """The problems of all files that were read, whoever named them, and the setups that are not judged for theirs."""
    files = workspace.files
    yield Outcome(problems=(*workspace.index.problems, *files.troubles))
    names = {listed_file.file for listed_file in listed}
    for loaded in files.all:
        # What is not there has no line to point at: whoever names it says so.
        if loaded.file in names or loaded.is_there:
            yield Outcome(problems=loaded.problems)
        if loaded.format == "garage/1" and loaded.sound is not None:
            yield Outcome(problems=tuple(pin_problems(garage_of(loaded.sound), workspace.index.library)))
    yield Outcome(not_judged=tuple(map(_not_judged, unsound_setups(files, listed))))


def unsound_setups(files: Files, listed: Sequence[ListedFile]) -> list[Loaded]:
    """The setups among these files that are not judged for their problems."""
    names = {listed_file.file for listed_file in listed}
    return [loaded for loaded in files.all if loaded.file in names and loaded.format == "setup/1" and loaded.problems]


def ruleset_outcomes(workspace: Workspace, listed: Iterable[Loaded], *, with_advice: bool) -> Iterator[Outcome]:
    """The examples of the rulesets among these files put to the test, and the advice on them."""
    index = workspace.index
    names = {loaded.file for loaded in listed}
    for file, (ruleset, document) in index.documents.items():
        if file in names and index.is_whole(ruleset):
            yield _on_trial(ruleset, document, index.library, workspace.overrides.today, with_advice=with_advice)


def motor_outcomes(workspace: Workspace, listed: Iterable[Loaded], *, with_advice: bool) -> Iterator[Outcome]:
    """Records and advice of the motor files that no car has; with a car its instruments are known too."""
    for loaded in listed:
        if loaded.format == "motor/1" and loaded.sound is not None and loaded.file not in workspace.fitted_motors:
            alone = motor_alone(loaded.sound)
            implausible, defects = implausible_in(alone)
            outcome = advised(alone, implausible, with_advice=with_advice)
            yield outcome._replace(defects=(*defects, *outcome.defects))


def _on_trial(ruleset: Ruleset, document: Document, library: Library, today: date, *, with_advice: bool) -> Outcome:
    from speclint.advice.on_rulesets import advice_on_ruleset
    from speclint.rules.examples import ExampleResult, example_problems, run_examples  # a racer's run checks none

    no_results: tuple[ExampleResult, ...] = ()
    no_advice: tuple[Advice, ...] = ()
    results, defects = guarded(
        f"the examples of {document.file}", lambda: tuple(run_examples(ruleset, document, library)), no_results
    )
    problems = (*example_problems(results, ruleset, library), *ended_bases(ruleset, library, today))
    if not with_advice or defects:
        return Outcome(problems=problems, defects=defects)
    case = RulesetCase(ruleset, document, library, today, results)
    advice, defects = guarded(f"the advice on {document.file}", lambda: tuple(advice_on_ruleset(case)), no_advice)
    return Outcome(problems=problems, advice=advice, defects=defects)


def _not_judged(loaded: Loaded) -> NotJudged:
    count = len(loaded.problems)
    reason = "the file has a problem" if count == 1 else f"the file has {count} problems"
    return NotJudged(loaded.file, reason, loaded.problems[0].place)
