"""`speclint compare`: two runs of a motor, one motor over time, or several motors side by side."""

import os
from datetime import date
from typing import TYPE_CHECKING, Final

import click

from speclint.commands.compare_runs import Asked, findings_of
from speclint.commands.shell import CONTEXT, EXIT_FAILED, EXIT_USAGE, Day, current_folder, note, paper, report_option
from speclint.comparison.runs import looks_like_run
from speclint.delivery import deliver, refuse_clashes
from speclint.errors import UsageError
from speclint.reports import Paper

if TYPE_CHECKING:
    from speclint.comparison.findings import ComparisonFindings
    from speclint.files import Folder

__all__ = ["compare"]

_KINDS: Final = ("text", "json")
_TWO_RUNS: Final = 2


@click.command(context_settings=CONTEXT)
@click.argument("words", nargs=-1, required=True, metavar="FILE... [RUN RUN]")
@click.option("--trend", is_flag=True, help="Show the motor over time, however few runs there are.")
@click.option("--setup", metavar="FILE", help="The car that the motor is in, for the equivalent gearing.")
@click.option("--garage", metavar="FILE", help="Describes the instruments, where no garage beside or above does.")
@click.option("--ruleset", metavar="FILE", help="Judge by this ruleset, in place of those of the entries.")
@click.option("--class", "class_id", metavar="NAME", help="Judge in this class, in place of those of the entries.")
@click.option("--on", type=Day(), help="Judge for this day, and take no run of several motors that is newer.")
@report_option(_KINDS)
def compare(
    words: tuple[str, ...],
    *,
    trend: bool,
    setup: str | None,
    garage: str | None,
    ruleset: str | None,
    class_id: str | None,
    on: date | None,
    reports: tuple[tuple[str, str], ...],
) -> None:
    """What differs by more than the bench can blur, what it means, and the gearing that goes with it.

    \b
    speclint compare motors/00417.yaml                        the runs around its last rebuild
    speclint compare motors/00417.yaml 2026-03-10 2026-03-12  these two runs; 1 is the oldest
    speclint compare motors/00417.yaml --trend                one motor over time
    speclint compare motors/*.yaml                            several motors, to choose one

    FILE is a motor, or a setup with one. Exit status: 0 compared; 1 a file has a problem; 2 it could not run as asked.
    """  # noqa: D301 - click's own marker for unwrapped help
    folder = current_folder()
    refuse_clashes(reports, folder)
    files, runs = _parted(words, folder)
    asked = Asked(
        files=files,
        runs=runs,
        setup=setup,
        garage=garage,
        ruleset=ruleset,
        class_id=class_id,
        on=on,
        today=date.today(),
        trend=trend,
    )
    findings = findings_of(asked, folder)
    delivered = deliver(reports, lambda kind, on_paper: _write(kind, findings, on_paper), paper())
    for trouble in delivered.troubles:
        note(trouble)
    if delivered.troubles:
        raise click.exceptions.Exit(EXIT_USAGE)
    if findings.problems:
        raise click.exceptions.Exit(EXIT_FAILED)


def _parted(words: tuple[str, ...], folder: "Folder") -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Files and runs apart: what can be a run, and is no file, is one."""
    runs = tuple(
        conclusion
        for conclusion in words
        if looks_like_run(conclusion) and not os.path.lexists(folder.full(conclusion))
    )
    files = tuple(dict.fromkeys(conclusion for conclusion in words if conclusion not in runs))
    if not files:
        raise UsageError("name the file of a motor, or of a setup with one, before its runs")
    if runs and len(runs) != _TWO_RUNS:
        raise UsageError(
            f"name two runs to compare, or none; {', '.join(runs)} {'is one' if len(runs) == 1 else 'are more'}"
        )
    if runs and len(files) > 1:
        raise UsageError(
            "two runs are compared of one motor, and motors with each other by their newest runs: leave one out"
        )
    if runs != words[len(words) - len(runs) :]:
        raise UsageError("name the file first and its two runs after it")
    return files, runs


def _write(kind: str, findings: "ComparisonFindings", paper: Paper) -> str:
    from speclint.reports import comparison_json, comparison_text

    return comparison_json.render(findings) if kind == "json" else comparison_text.render(findings, paper)
