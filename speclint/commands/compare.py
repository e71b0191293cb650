"""`speclint compare`: two runs of a motor, one motor over time, or several motors side by side."""

from datetime import date

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

__all__ = ["compare"]


@click.command(context_settings=CONTEXT)
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--runs", nargs=2, metavar="RUN RUN", help="These two runs of one motor: a number, 1 being the oldest, or a day."
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
    """What differs by more than the scatter of the bench, what it means, and the gearing that goes with it.

    \b
    speclint compare motors/00417.yaml                     the runs around its last rebuild
    speclint compare motors/00417.yaml --runs 1 2026-03-12  these two runs
    speclint compare motors/00417.yaml --trend             one motor over time
    speclint compare motors/*.yaml                         several motors, to choose one

    FILE is a motor, or a setup with one. No run of several motors that is newer than --on is taken.

    Exit status: 0 compared; 1 a file has a problem; 2 it could not run as asked.
    """  # noqa: D301 - click's own marker for unwrapped help
    from speclint.comparison.of_motors import MotorComparison, compare_motors
    from speclint.comparison.runs import looks_like_run

    folder = current_folder()
    named = tuple(dict.fromkeys(map(folder.shown, files)))
    if runs is not None and len(named) > 1:
        raise UsageError(
            "two runs are compared of one motor, and motors with each other by their newest runs: leave one out"
        )
    for run in runs or ():
        if not looks_like_run(run):
            raise UsageError(f"--runs: {run} is no run: give its number, 1 being the oldest, or its day as 2026-03-14")
    asked = MotorComparison(
        files=named,
        runs=runs or (),
        setup=None if setup is None else folder.shown(setup),
        garage=None if garage is None else folder.shown(garage),
        trend=trend,
    )
    overrides = overrides_of(folder, ruleset=ruleset, class_id=class_id, on=on)
    options = RunOptions(ruleset=ruleset, class_id=class_id, on=on, full=full)
    with delivery("compare", Asked(report, saves), Order(paper(), options), folder) as reports:
        findings = compare_motors(asked, folder, overrides)
        reports.end(findings)
    if not end_of(reports):
        raise click.exceptions.Exit(EXIT_USAGE)
    if findings.problems:
        raise click.exceptions.Exit(EXIT_FAILED)
