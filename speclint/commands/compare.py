"""`speclint compare`: two runs of a motor, one motor over time, several motors, setups, or two rulesets."""

from datetime import date
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

import click

from speclint.commands.completion import FILE
from speclint.commands.shell import (
    CONTEXT,
    EXIT_FAILED,
    EXIT_USAGE,
    current_folder,
    end_of,
    files_as_of,
    note,
    overrides_of,
    overriding_options,
    paper,
    report_options,
    ruleset_named,
)
from speclint.delivery import Asked, delivery
from speclint.errors import UsageError
from speclint.reports import Order, RunOptions
from speclint.reports.kinds import Kind

if TYPE_CHECKING:
    from speclint.comparison.findings import ComparisonFindings
    from speclint.comparison.ruleset_changes import IndexedVersion
    from speclint.files import Folder
    from speclint.problems import Problem
    from speclint.workspace.overrides import Overrides


@click.command(context_settings=CONTEXT)
@click.argument("files", nargs=-1, required=True, metavar="FILE...", type=FILE)
@click.option(
    "--runs", nargs=2, metavar="RUN RUN", help="These two runs of one motor: a number, 1 being the oldest, or a day."
)
@click.option(
    "--since",
    metavar="REV",
    help="One setup or ruleset as it was in this git revision, or on this day, and as it is now.",
)
@click.option(
    "--cars", "car_paths", multiple=True, metavar="PATH", help="Of two rulesets: whom of the cars under PATH it hits."
)
@click.option("--strict", is_flag=True, help="Of two rulesets: fail where the new one can make a legal car illegal.")
@click.option("--trend", is_flag=True, help="Show the motor over time, however few runs there are.")
@click.option("--setup", type=FILE, metavar="FILE", help="The car that the motor is in, for the equivalent gearing.")
@click.option(
    "--garage", type=FILE, metavar="FILE", help="Describes the instruments, where no garage beside or above does."
)
@click.option("--full", is_flag=True, help="Tell also how it was compared, every trend, and all cautions.")
@overriding_options
@report_options("compare")
def compare(
    files: tuple[str, ...],
    *,
    runs: tuple[str, str] | None,
    since: str | None,
    car_paths: tuple[str, ...],
    strict: bool,
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
    speclint compare club@2026.1 club@2026.2 --cars cars   two rulesets: what changed, and whom it hits
    speclint compare rulesets/club.yaml --since v3         one ruleset, then and now

    FILEs are motors, or setups, or two rulesets (ids, ids with a version, or files), the old one first; one setup alone
    stands for its motor. No run of several motors that is newer than --on is taken.

    Exit status: 0 compared; 1 a file has a problem (under --strict also where a new ruleset can make a legal car illegal);
    2 it could not run as asked.
    """  # noqa: D301 - click's own marker for unwrapped help
    folder = current_folder()
    named = tuple(dict.fromkeys(map(folder.shown, files)))
    kind = _kind(folder, named, is_since=since is not None)
    if kind == "ruleset":
        _refuse("rulesets", runs=runs, trend=trend, setup=setup, garage=garage, ruleset=ruleset)
    else:
        _refuse("motors and setups", "rulesets", cars=car_paths, strict=strict)
    if kind == "setup":
        _refuse("setups", runs=runs, trend=trend, setup=setup, garage=garage)
    elif runs is not None and len(named) > 1:
        raise UsageError(
            "two runs are compared of one motor, and motors with each other by their newest runs: leave one out"
        )
    overrides = overrides_of(folder, ruleset=ruleset, class_id=class_id, on=on)
    options = RunOptions(overrides, full=full)
    with delivery("compare", Asked(report, saves), Order(paper(), options), folder) as reports:
        if kind == "ruleset":
            findings = _rulesets(folder, named, since, car_paths, overrides)
        elif kind == "setup":
            findings = _setups(folder, named, since, overrides)
        else:
            findings = _motors(folder, named, runs, overrides, setup=setup, garage=garage, trend=trend)
        reports.end(findings)
    if not end_of(reports):
        raise click.exceptions.Exit(EXIT_USAGE)
    if findings.problems or (strict and findings.rulesets is not None and findings.rulesets.tightens):
        raise click.exceptions.Exit(EXIT_FAILED)


def _kind(folder: "Folder", files: tuple[str, ...], *, is_since: bool) -> str:
    """What is compared: `setup`, `ruleset`, or `motor`, for which one setup stands.

    Raises:
        UsageError: files of several kinds are named.
    """
    from speclint.workspace.overrides import is_file_name

    kinds: dict[str, str] = {}
    for file in files:
        text = folder.read(file)
        is_id = text.problem is not None and text.problem.id == "file-missing" and not is_file_name(file)
        kinds[file] = "ruleset" if is_id else text.declares
    first = next((kind for kind in ("ruleset", "setup") if kind in kinds.values()), "motor")
    if first == "setup" and len(files) == 1 and not is_since:
        return "motor"
    other_file = next((file for file, kind in kinds.items() if kind not in (first, "")), None)
    if first != "motor" and other_file is not None:
        file = next(file for file, kind in kinds.items() if kind == first)
        raise UsageError(f"{file} is a {first} and {other_file} a {kinds[other_file]}: name files of one kind")
    return first if all(kind == first for kind in kinds.values()) else "setup" if is_since else "motor"


def _refuse(these: str, belongs_to: str = "motors", **given: object) -> None:
    """Refuses options that go with files of another kind, by name.

    Raises:
        UsageError: one is given.
    """
    for name, value in given.items():
        if value:
            raise UsageError(f"--{name} goes with {belongs_to}: these are {these}")


def _rulesets(
    folder: "Folder", named: tuple[str, ...], since: str | None, car_paths: tuple[str, ...], overrides: "Overrides"
) -> "ComparisonFindings":
    from speclint.comparison.findings import ComparisonFindings
    from speclint.comparison.of_rulesets import compare_rulesets, entries_hit

    if len(named) != (2 if since is None else 1):
        raise UsageError(
            "--since looks at one ruleset, then and now: name one"
            if since is not None
            else "name two rulesets, the old one first, or one with --since REV"
        )
    new = _version(folder, named[-1])
    old = _version(folder, named[0]) if since is None else _version_of(folder, new, since)
    entries = None
    problems: tuple[Problem, ...] = ()
    if car_paths:
        listing = folder.find(car_paths)
        for trouble in listing.troubles:
            note(trouble)
        if not listing.files:
            raise UsageError("--cars: there is no setup under the path")
        entries, problems = entries_hit(old, new, listing.files, folder, overrides)
    return ComparisonFindings(rulesets=compare_rulesets(old, new, since or "", entries), problems=problems)


def _version(folder: "Folder", reference: str) -> "IndexedVersion":
    from speclint.comparison.ruleset_changes import IndexedVersion

    workspace, ruleset = ruleset_named(folder, reference)
    return IndexedVersion(ruleset, workspace.index.library)


def _version_of(folder: "Folder", new: "IndexedVersion", since: str) -> "IndexedVersion":
    """A ruleset as a revision had it: the same file, else the newest version of the same id."""
    from speclint.comparison.ruleset_changes import IndexedVersion

    then = files_as_of(since)
    file = new.ruleset.place.file
    has_file = then.read(file).problem is None
    workspace, ruleset = ruleset_named(folder, file if has_file else new.ruleset.id, source=then)
    return IndexedVersion(ruleset, workspace.index.library)


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
    if len(files) > 1:
        raise UsageError("--since looks at one setup, then and now: name one file")
    then = files_as_of(since)
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
