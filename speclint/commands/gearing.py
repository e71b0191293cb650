"""`speclint gearing`: where to begin with spur and pinion, and the next steps up."""

from datetime import date
from typing import TYPE_CHECKING, Final

import click

from speclint.commands.completion import FILE
from speclint.commands.numbers import count, quantity
from speclint.commands.shell import (
    CONTEXT,
    EXIT_FAILED,
    EXIT_USAGE,
    Typed,
    counter,
    current_folder,
    end_of,
    overrides_of,
    overriding_options,
    paper,
    report_options,
)
from speclint.errors import UnreadableError, UsageError
from speclint.problems import NO_ACCESS
from speclint.reports.kinds import Kind

if TYPE_CHECKING:
    from speclint.files import FileText, Folder
    from speclint.findings import Tally
    from speclint.problems import Problem

_LONGEST_MINUTES: Final = 60.0
_AIR: Final = (-40.0, 60.0)


def _sums(text: str) -> tuple[int, int]:
    """A range of the sum of teeth, written 130-146."""
    low, _, high = text.partition("-")
    if not (low.isdecimal() and high.isdecimal() and len(low) < 5 and len(high) < 5 and int(low) <= int(high)):
        raise UsageError(f"{text} is not a range of the sum of spur and pinion teeth; write it as 130-146")
    return int(low), int(high)


@click.command(context_settings=CONTEXT)
@click.argument("setup", type=FILE, metavar="SETUP")
@click.option("--entry", type=count("the number of an entry"), metavar="N", help="Look at the setup's Nth entry alone.")
@overriding_options
@click.option("--track", metavar="ID", help="Predict for this track of the garage, in place of the entry's.")
@click.option("--ambient-c", type=quantity(*_AIR), help="Temperature of the air. [default: the track's]")
@click.option(
    "--minutes",
    type=quantity(0, _LONGEST_MINUTES, above=True, unit="minutes"),
    default=5.0,
    show_default=True,
    help="Length of the run.",
)
@click.option("--limit-c", type=quantity(0, 300, above=True), help="Limit for the can. [default: the motor's; else 71]")
@click.option(
    "--limit-rpm", type=quantity(0, 500_000, above=True), help="Limit for the motor's speed. [default: 40000]"
)
@click.option(
    "--tooth-sum",
    "sums",
    type=Typed("LOW-HIGH", _sums),
    help="Spur and pinion teeth together that the chassis takes. [default: 6 either way of those fitted]",
)
@click.option(
    "--full", is_flag=True, help="Tell also of every pair, every step, the track runs and all that is assumed."
)
@report_options("gearing")
def gearing(
    setup: str,
    *,
    entry: int | None,
    ruleset: str | None,
    class_id: str | None,
    on: date | None,
    track: str | None,
    ambient_c: float | None,
    minutes: float,
    limit_c: float | None,
    limit_rpm: float | None,
    sums: tuple[int, int] | None,
    full: bool,
    report: Kind,
    saves: tuple[tuple[Kind, str], ...],
) -> None:
    """Where to start gearing SETUP: the pair to begin with, the look that makes it safe, and the next steps up.

    \b
    speclint gearing cars/car-12.yaml                             on a terminal
    speclint gearing cars/car-12.yaml --minutes 8 --ambient-c 30  a long run on a hot day
    speclint gearing cars/car-12.yaml --save car-12.html          a page with plots

    The start is the tallest pair that is legal with a tooth to spare in every entry, and with which four of five cars like
    this stay below the limit of the can; else the coolest. A look at the can early in the first run tells of the fifth.
    Track runs in the setup make the band narrower.

    Exit status: 0 there is a start, and the fitted pair is neither illegal nor likely too hot; 1 one of these, or a file
    has a problem; 2 it could not run as asked.
    """  # noqa: D301 - click's own marker for unwrapped help
    from speclint.delivery import Asked, delivery
    from speclint.gearing.of_setup import gear
    from speclint.gearing.options import GearingOptions
    from speclint.reports import Order, RunOptions

    folder = current_folder()
    text = _text(folder, setup)
    overrides = overrides_of(folder, ruleset=ruleset, class_id=class_id, on=on)
    gearing_options = GearingOptions(
        track=track, ambient_c=ambient_c, minutes=minutes, limit_c=limit_c, limit_rpm=limit_rpm, sums=sums
    )
    options = RunOptions(overrides, full=full)
    with delivery("gearing", Asked(report, saves), Order(paper(), options), folder) as reports:
        progress = counter()
        try:
            plan = gear(text, folder, overrides, gearing_options, entry=entry, progress=progress)
        finally:
            progress.wipe()
        if not isinstance(plan, tuple):
            reports.end(plan)
    if isinstance(plan, tuple):
        with delivery("check", Asked(report, saves), Order(paper(), options), folder) as reports:
            reports.end(_only_problems(plan))
    if not end_of(reports):
        raise click.exceptions.Exit(EXIT_USAGE)
    if isinstance(plan, tuple) or plan.start is None or plan.is_fitted_wrong:
        raise click.exceptions.Exit(EXIT_FAILED)


def _only_problems(problems: "tuple[Problem, ...]") -> "Tally":
    """What stands in place of a gearing: files with problems are told as a check tells them, in each kind of report."""
    from speclint.findings import Counts, Tally

    return Tally(files=1, setups=1, counts=Counts(), problems=problems, car_remedies=(), advice=(), not_judged=())


def _text(folder: "Folder", setup: str) -> "FileText":
    text = folder.read(folder.shown(setup))
    if text.problem is not None and text.problem.id in NO_ACCESS:
        raise UnreadableError(f"{setup}: {text.problem.message}")
    if not text.declares and text.problem is None and not setup.endswith((".yaml", ".yml")):
        raise UsageError(f"{setup} is not a setup: it says no `format: setup/1`")
    return text
