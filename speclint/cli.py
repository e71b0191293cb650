"""The command line: the one place that prints, exits, and looks at the clock, the terminal and the environment."""

import os
import sys
from datetime import date
from pathlib import Path
from typing import Any, Final, NoReturn

import click

from speclint import __version__
from speclint.errors import SpeclintError, UnreadableError, UsageError
from speclint.reports import KINDS, Paper

EXIT_FAILED: Final = 1
EXIT_USAGE: Final = 2
EXIT_DEFECT: Final = 70
EXIT_INTERRUPTED: Final = 130

_CONTEXT: Final = {"help_option_names": ["-h", "--help"], "max_content_width": 100}


def main() -> NoReturn:
    """Runs the command line and exits with its status."""
    _keep_printing_whatever_the_encoding()
    try:
        status = speclint.main(standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.Exit as exit_:
        status = exit_.exit_code
    except click.Abort:
        status = EXIT_INTERRUPTED
    except KeyboardInterrupt:
        status = EXIT_INTERRUPTED
    except click.ClickException as error:
        error.show()
        status = EXIT_USAGE
    except SpeclintError as error:
        click.echo(f"speclint: {error}", err=True)
        status = EXIT_USAGE
    except BrokenPipeError:
        # Whoever read the output has seen enough; Python must not complain about it again at its own exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 0
    except Exception:
        _report_defect()
        status = EXIT_DEFECT
    sys.exit(status if isinstance(status, int) else 0)


def _keep_printing_whatever_the_encoding() -> None:
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def _report_defect() -> None:
    import traceback

    click.echo(traceback.format_exc(), err=True)
    click.echo(
        f"speclint {__version__} has met a defect of its own, for which we are sorry: your files are as they were."
        " Please report the text above, with the file that brought it about if you may share it.",
        err=True,
    )


class _Day(click.ParamType[date]):
    """A day, written 2026-03-14."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(value)
        except ValueError:
            self.fail(f"{value} is not a day; write it as 2026-03-14", param, ctx)


class _Report(click.ParamType[tuple[str, str]]):
    """A kind of report, with a path where it is not for standard output."""

    name = "KIND[:PATH]"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[str, str]:
        if isinstance(value, tuple):
            return value
        kind, _, path = str(value).partition(":")
        if kind not in KINDS:
            from speclint.spelling import known_words

            self.fail(f"there is no report {kind}{known_words(kind, KINDS)}", param, ctx)
        return kind, path


@click.group(context_settings=_CONTEXT, no_args_is_help=False, invoke_without_command=True)
@click.version_option(__version__, prog_name="speclint")
@click.pass_context
def speclint(ctx: click.Context) -> None:
    """Keeps spec-class electric model cars legal, from plain text in git.

    \b
    speclint check                 is every car here legal, and what mends it?
    speclint explain rollout_mm    what does a quantity, a rule or a verdict mean?
    speclint new setup car-12.yaml a file to start from
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


@speclint.command()
@click.argument("paths", nargs=-1, metavar="[PATH]...")
@click.option("--report", "reports", type=_Report(), multiple=True,
              help=f"What to write, and where to if not to standard output: {', '.join(KINDS)}. May be repeated.")
@click.option("--ruleset", metavar="FILE", help="Judge by this ruleset, in place of those of the entries.")
@click.option("--class", "class_id", metavar="NAME", help="Judge in this class, in place of those of the entries.")
@click.option("--on", type=_Day(), help="Judge for this day, in place of those of the entries.")
@click.option("--known-on", type=_Day(), help="Leave out what was published after this day.")
@click.option("--strict", is_flag=True, help="Also fail on what is not shown, and on close calls.")
def check(
    paths: tuple[str, ...],
    reports: tuple[tuple[str, str], ...],
    ruleset: str | None,
    class_id: str | None,
    on: date | None,
    known_on: date | None,
    strict: bool,
) -> None:
    """Every problem, verdict, remedy and piece of advice for the setups and rulesets under PATHs.

    Without a PATH it looks through the current folder. Exit status: 0 nothing illegal and no problem; 1 something
    illegal or a problem in a file (under --strict also what is not shown); 2 the command could not run as asked.
    """
    from speclint.check.entries import Asked
    from speclint.check.shelf import BUNDLED
    from speclint.check.story import check as check_files
    from speclint.files import Folder, Source
    from speclint.reports import write
    from speclint.resources import ruleset_texts

    folder = Folder(os.getcwd())
    if ruleset is not None and not Path(ruleset).is_file():
        raise UnreadableError(f"{ruleset}: there is no such ruleset file")
    _refuse_two_for_one_place(reports)
    found = folder.find(paths or (".",))
    bundled = [Source(f"{BUNDLED}{name}", text) for name, text in ruleset_texts()]
    asked = Asked(
        today=on or date.today(),
        ruleset=None if ruleset is None else folder.shown(ruleset),
        class_id=class_id,
        on=on,
        known_on=known_on,
    )
    findings = check_files(found.sources, bundled, folder, asked)
    for kind, path in reports or (("sheet", ""),):
        if path:
            _save(path, write(kind, findings, Paper()))
        else:
            click.echo(write(kind, findings, _paper()), nl=False, color=True)
    for trouble in found.troubles:
        click.echo(f"speclint: {trouble}", err=True)
    if found.troubles:
        raise click.exceptions.Exit(EXIT_USAGE)
    if not found.sources:
        raise UsageError("there is nothing to check here: no file says `format: setup/1` or another of speclint's")
    if findings.failed(strict=strict):
        raise click.exceptions.Exit(EXIT_FAILED)


def _refuse_two_for_one_place(reports: tuple[tuple[str, str], ...]) -> None:
    places = [path for _, path in reports]
    for path in places:
        if places.count(path) > 1:
            raise UsageError(f"two reports cannot both go to {path or 'standard output'}")


def _paper() -> Paper:
    import shutil

    is_terminal = sys.stdout.isatty()
    encoding = (sys.stdout.encoding or "ascii").lower().replace("-", "")
    return Paper(
        width=shutil.get_terminal_size().columns if is_terminal else 120,
        colour=_wants_colour(is_terminal),
        ascii_only=not encoding.startswith("utf"),
    )


def _wants_colour(is_terminal: bool) -> bool:
    if os.environ.get("NO_COLOR"):
        return False
    forced = os.environ.get("FORCE_COLOR", "")
    if forced:
        return forced != "0"
    return is_terminal and os.environ.get("TERM") != "dumb"


def _save(path: str, text: str) -> None:
    try:
        Path(path).write_text(text, encoding="utf-8", newline="")
    except OSError as error:
        raise UnreadableError(f"{path}: the report cannot be written: {(error.strerror or str(error)).lower()}") from error
