"""`speclint check`: every problem, verdict, remedy and piece of advice."""

from contextlib import contextmanager
from datetime import date
from typing import TYPE_CHECKING, Final

import click

from speclint.commands.completion import FILE
from speclint.commands.misspelt import near_path
from speclint.commands.numbers import count
from speclint.commands.shell import (
    CONTEXT,
    DAY,
    DAY_OR_TODAY,
    EXIT_DEFECT,
    EXIT_FAILED,
    EXIT_USAGE,
    counter,
    current_folder,
    end_of,
    files_as_of,
    note,
    overrides_of,
    overriding_options,
    paper,
    report_options,
    tell_defect,
)
from speclint.errors import UsageError
from speclint.moments import typed_day

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from speclint.check.cars import Extract
    from speclint.check.pipeline import Cars, Results
    from speclint.files import Folder, Found
    from speclint.findings import EntryResult, Tally
    from speclint.reports.kinds import Kind
    from speclint.workspace.source import Source

_LEAST_SHARED_OUT: Final = 200
"""Files from which on several processes are quicker than one."""


@click.command(context_settings=CONTEXT)
@click.argument("paths", nargs=-1, metavar="[PATH]...", type=FILE)
@report_options("check")
@overriding_options
@click.option(
    "--from",
    "from_day",
    type=DAY_OR_TODAY,
    help="Leave entries for earlier days unjudged; `today` is that of the clock.",
)
@click.option(
    "--coming",
    "coming_days",
    type=count("a number of days", 366),
    metavar="DAYS",
    help="Also list what changes for the cars in so many days from --from, or from today.",
)
@click.option("--known-on", type=DAY, help="Leave out what was published after this day.")
@click.option(
    "--as-of",
    metavar="REV|DATE|index",
    help="Check the files of this git revision, as they were committed on this day, or as they are staged.",
)
@click.option(
    "--only",
    default="",
    metavar="WORD",
    help="Of a text, show these alone: a verdict, close, coming, a class, a rule or a car.",
)
@click.option("--full", is_flag=True, help="Show every rule of every car, in the order of the files.")
@click.option(
    "--apply", "number", type=count("the number of a remedy"), metavar="N", help="Put the Nth remedy into the files."
)
@click.option(
    "--strict", is_flag=True, help="Also fail on what is not shown, on close calls, and on advice on rulesets."
)
@click.option("--no-advice", is_flag=True, help="Leave out the advice; it changes no verdict anyway.")
@click.option(
    "--jobs",
    type=count("a number of processes"),
    metavar="N",
    help="Judge the cars in N processes; by itself one, and of many cars as many as there are processors.",
)
@click.option(
    "--pass-over", is_flag=True, help="Say nothing of PATHs that are no speclint files, even if none is: for git hooks."
)
def check(
    paths: tuple[str, ...],
    report: "Kind",
    saves: "tuple[tuple[Kind, str], ...]",
    ruleset: str | None,
    class_id: str | None,
    on: date | None,
    from_day: date | None,
    coming_days: int | None,
    known_on: date | None,
    as_of: str | None,
    only: str,
    full: bool,
    number: int | None,
    strict: bool,
    no_advice: bool,
    jobs: int | None,
    pass_over: bool,
) -> None:
    """Every problem, verdict, remedy and piece of advice for the setups and rulesets under PATHs.

    Without a PATH it looks through the current folder. In folders, files count that say `format: setup/1` or another
    of speclint's; a PATH that is a file and says none is not checked, which is told and is status 2, so that nobody
    takes it for checked. A git hook names every changed file: it says --pass-over.

    With --apply the one illegal setup under PATHs is mended in its files by the remedy of that number, every other byte
    is left as it is, and the mended files are checked.

    Exit status: 0 nothing illegal and no problem; 1 something illegal or a problem in a file (under --strict also what
    is not shown, close calls, and advice on rulesets); 2 the command could not run as asked.
    """
    import gc

    # What is loaded, read and judged has no cycles: the collector would only walk it, for a tenth of the time.
    gc.disable()
    from speclint.check.cars import one_after_another
    from speclint.check.pipeline import extracted, hand_on
    from speclint.delivery import Asked, delivery
    from speclint.moments import days_from
    from speclint.reports import Order, RunOptions

    _refuse_unheard((report, *(kind for kind, _ in saves)), asks_coming=coming_days is not None, asks_only=bool(only))
    folder = current_folder(keeps_texts=number is not None, reads_once=True)
    source: Source = folder if as_of is None else _as_committed(as_of, is_to_change=number is not None)
    if as_of is not None:
        paths = tuple(map(folder.shown, paths))
    listing = _listing(source, paths or (".",), as_of, pass_over=pass_over)
    coming = None if coming_days is None else days_from(from_day or date.today(), coming_days)
    overrides = overrides_of(
        folder, ruleset=ruleset, class_id=class_id, on=on, known_on=known_on, from_day=from_day, coming=coming
    )
    options = RunOptions(overrides, as_of, full, only)
    untracked = _untracked_in(folder if as_of is None else None)
    progress = counter()

    def judged(
        source: "Source", extract: "Callable[[EntryResult], Extract]", cars: "Cars" = one_after_another
    ) -> "Results[Extract]":
        return extracted(
            listing.files,
            source,
            overrides,
            extract,
            with_advice=not no_advice,
            named=listing.named,
            untracked=untracked,
            progress=progress,
            cars=cars,
        )

    with (
        delivery("check", Asked(report, saves), Order(paper(), options), folder, progress.wipe) as reports,
        _shared_out(jobs, len(listing.files)) as cars,
    ):
        try:
            if number is not None:
                _apply(hand_on(judged(source, lambda _: None), lambda _: None), number, folder)
                source = current_folder()
            tally = hand_on(judged(source, reports.extract, cars), reports.add)
        finally:
            progress.wipe()
        reports.end(tally)
    is_done = end_of(reports) and not listing.troubles and not listing.passed_over
    _exit_by(tally, is_done=is_done, strict=strict)


def _exit_by(tally: "Tally", *, is_done: bool, strict: bool) -> None:
    """Ends with the status that says what was found; defects are told first."""
    for defect in tally.defects:
        tell_defect(defect.traceback, f"{defect.what} could not be worked out; what stands in the report is whole")
    if tally.defects:
        raise click.exceptions.Exit(EXIT_DEFECT)
    if not is_done:
        raise click.exceptions.Exit(EXIT_USAGE)
    if tally.failed(strict=strict):
        raise click.exceptions.Exit(EXIT_FAILED)


def _refuse_unheard(kinds: "Sequence[Kind]", *, asks_coming: bool, asks_only: bool) -> None:
    """Refuses an option whose answer would not stand in a report that is asked for."""
    from speclint.reports.kinds import refuse_left_out

    if asks_coming:
        refuse_left_out(kinds, "--coming")
    if asks_only and all(kind.name != "text" for kind in kinds):
        raise UsageError(
            f"--only chooses what a text report shows, and {kinds[0].name} shows everything: leave one out"
        )


@contextmanager
def _shared_out(jobs: int | None, files: int) -> "Iterator[Cars]":
    """How the cars are judged: one after the other, or shared out among processes, which are gone at the end."""
    if jobs == 1 or (jobs is None and files < _LEAST_SHARED_OUT):
        from speclint.check.cars import one_after_another

        yield one_after_another
        return
    from speclint.workers import Workers  # slow to import, and few cars are judged as quickly by one process

    with Workers(jobs) as workers:
        yield workers.cars


def _listing(source: "Source", paths: "Sequence[str]", as_of: str | None, *, pass_over: bool) -> "Found":
    """The files to check; what of the paths is not among them is told."""
    listing = source.find(paths, pass_over=pass_over)
    for trouble in listing.troubles:
        note(f"{trouble}{next((near_path(path) for path in paths if trouble.startswith(f'{path}: there is no')), '')}")
    for file in listing.passed_over:
        note(f"{file} was not checked: it says no `format:`; a setup begins with `format: setup/1`")
    # A revision of this repository's own is none of that one's.
    revision = f" --as-of {as_of}" if as_of in ("index", "HEAD") or typed_day(as_of or "") is not None else ""
    for submodule in () if pass_over else listing.submodules:
        note(
            f"{submodule} was not checked: it is a repository of its own, a submodule of this one:"
            f" `cd {submodule} && speclint check{revision}` checks it"
        )
    if not listing.files and listing.troubles:
        raise click.exceptions.Exit(EXIT_USAGE)
    if not listing.files and not pass_over:
        where = "here" if as_of is None else "that git has here"
        raise UsageError(f"there is nothing to check: no file {where} says `format: setup/1` or another of speclint's")
    return listing


def _untracked_in(folder: "Folder | None") -> "Callable[[Iterable[str]], frozenset[str]]":
    """Says which files of the folder's repository git does not have; none outside one, or of what git itself gave."""

    def untracked(files: "Iterable[str]") -> "frozenset[str]":
        top = folder.repository if folder is not None else None
        if folder is None or top is None:
            return frozenset()
        from speclint.history import untracked as untracked_of

        return untracked_of(top, {file: folder.full(file) for file in files})

    return untracked


def _as_committed(as_of: str, *, is_to_change: bool) -> "Source":
    """The files of an earlier revision, named from the current folder; to be looked at, not to be changed."""
    if is_to_change:
        raise UsageError("--apply changes the files as they are now, and --as-of looks at earlier ones: leave one out")
    return files_as_of(as_of)


def _apply(tally: "Tally", number: int, folder: "Folder") -> None:
    """Puts the remedy of this number into the files, and says what was changed."""
    from speclint.edits.changes import apply_changes
    from speclint.places import dotted
    from speclint.remedies.chosen import chosen

    remedy = chosen(tally.car_remedies, number)
    changed = {change.file for change in remedy.changes}
    # What the verdict rests on has to be as it was judged; other cars may change meanwhile.
    judged = [text for text in folder.kept_texts if text.declares != "setup" or text.file in changed]
    apply_changes(folder, remedy.changes, judged)
    for change in remedy.changes:
        note(f"{change.file}: {dotted(change.path)} is {change.value} now")
    for kind in remedy.rebuilds:
        note(f"once it is done, `speclint log FILE rebuild --did {kind}` says so in the motor's own file")
