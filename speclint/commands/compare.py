"""`speclint compare`: two runs of a motor, one motor over time, several motors, or setups side by side."""

from datetime import date
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

import click

from speclint.commands.shell import (
    CONTEXT,
    EXIT_FAILED,
    EXIT_USAGE,
    current_folder,
    end_of,
    overrides_of,
    overriding_options,
    paper,
    report_options,
)
from speclint.delivery import Asked, delivery
from speclint.errors import UsageError
from speclint.reports import Order, RunOptions
from speclint.reports.kinds import Kind

if TYPE_CHECKING:
    from speclint.comparison.findings import ComparisonFindings
    from speclint.files import Folder
    from speclint.workspace.overrides import Overrides

__all__ = ["compare"]


@click.command(context_settings=CONTEXT)
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--runs", nargs=2, metavar="RUN RUN", help="These two runs of one motor: a number, 1 being the oldest, or a day."
)
@click.option(
    "--since", metavar="REV", help="One setup as it was in this git revision, or on this day, and as it is now."
)
@click.option("--trend", is_flag=True, help="Show the motor over time, however few runs there are.")
@click.option("--setup", metavar="FILE", help="The car that the motor is in, for the equivalent gearing.")
@click.option("--garage", metavar="FILE", help="Describes the instruments, where no garage beside or above does.")
@click.option("--full", is_flag=True, help="Tell also how it was compared, every trend, and all cautions.")
@overriding_options
@report_options("compare")
def compare(
    files: tuple[str, ...],
    *,
    runs: tuple[str, str] | None,
    since: str | None,
    trend: bool,
    setup: str | None,
    garage: str | None,
    full: bool,
    ruleset: str | None,
    class_id: str | None,
    on: date | None,
    report: Kind,
    saves: tuple[tuple[Kind, str], ...],
) -> None:
    """What differs, by more than the scatter of the bench where it was measured, and what that does.

    \b
    speclint compare motors/00417.yaml                     the runs around its last rebuild
    speclint compare motors/00417.yaml --runs 1 2026-03-12  these two runs
    speclint compare motors/00417.yaml --trend             one motor over time
    speclint compare motors/*.yaml                         several motors, to choose one
    speclint compare cars/12.yaml cars/14.yaml             setups: what differs, and what that does
    speclint compare cars/12.yaml --since HEAD~3           one setup, then and now

    FILEs are motors, or setups; one setup alone stands for its motor. No run of several motors that is newer than --on is
    taken.

    Exit status: 0 compared; 1 a file has a problem; 2 it could not run as asked.
    """  # noqa: D301 - click's own marker for unwrapped help
    folder = current_folder()
    named = tuple(dict.fromkeys(map(folder.shown, files)))
    are_setups = since is not None or _are_setups(folder, named)
    if are_setups:
        _refuse(runs=runs, trend=trend, setup=setup, garage=garage)
    elif runs is not None and len(named) > 1:
        raise UsageError(
            "two runs are compared of one motor, and motors with each other by their newest runs: leave one out"
        )
    overrides = overrides_of(folder, ruleset=ruleset, class_id=class_id, on=on)
    options = RunOptions(ruleset=ruleset, class_id=class_id, on=on, full=full)
    with delivery("compare", Asked(report, saves), Order(paper(), options), folder) as reports:
        if are_setups:
            findings = _setups(folder, named, since, overrides)
        else:
            findings = _motors(folder, named, runs, overrides, setup=setup, garage=garage, trend=trend)
        reports.end(findings)
    if not end_of(reports):
        raise click.exceptions.Exit(EXIT_USAGE)
    if findings.problems:
        raise click.exceptions.Exit(EXIT_FAILED)


def _are_setups(folder: "Folder", files: tuple[str, ...]) -> bool:
    """Whether several setups are named; one stands for its motor.

    Raises:
        UsageError: setups are named beside files of another kind.
    """
    kinds = {file: folder.read(file).declares for file in files}
    setups = [file for file, kind in kinds.items() if kind == "setup"]
    if not setups or len(files) == 1:
        return False
    other_file = next((file for file, kind in kinds.items() if kind not in ("setup", "")), None)
    if other_file is not None:
        raise UsageError(f"{setups[0]} is a setup and {other_file} a {kinds[other_file]}: name files of one kind")
    return len(setups) == len(files)


def _refuse(**given: object) -> None:
    """Refuses what goes with motors, by its name.

    Raises:
        UsageError: one is given.
    """
    for name, value in given.items():
        if value:
            raise UsageError(f"--{name} goes with motors: these are setups")


def _setups(
    folder: "Folder", files: tuple[str, ...], since: str | None, overrides: "Overrides"
) -> "ComparisonFindings":
    from speclint.check.compared_setups import SetupAt, compare_files

    if since is None:
        stems = [PurePosixPath(file).stem for file in files]
        labels = stems if len(set(stems)) == len(stems) else files
        return compare_files(
            [SetupAt(file, folder, label) for file, label in zip(files, labels, strict=True)], overrides
        )
    from speclint.history import place_in_repository, revision
    from speclint.workspace.source import NamedFiles

    if len(files) > 1:
        raise UsageError("--since looks at one setup, then and now: name one file")
    then = NamedFiles(revision(".", since), place_in_repository("."))
    return compare_files([SetupAt(files[0], then, since), SetupAt(files[0], folder, "now")], overrides)


def _motors(
    folder: "Folder",
    files: tuple[str, ...],
    runs: tuple[str, str] | None,
    overrides: "Overrides",
    *,
    setup: str | None,
    garage: str | None,
    trend: bool,
) -> "ComparisonFindings":
    from speclint.comparison.of_motors import MotorComparison, compare_motors
    from speclint.comparison.runs import looks_like_run

    for run in runs or ():
        if not looks_like_run(run):
            raise UsageError(f"--runs: {run} is no run: give its number, 1 being the oldest, or its day as 2026-03-14")
    asked = MotorComparison(
        files=files,
        runs=runs or (),
        setup=None if setup is None else folder.shown(setup),
        garage=None if garage is None else folder.shown(garage),
        trend=trend,
    )
    return compare_motors(asked, folder, overrides)
