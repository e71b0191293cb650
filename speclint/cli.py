"""The command line: finds the command that is asked for, and turns whatever happens into an exit status."""

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import Any, Final, NoReturn

import click

from speclint import __version__
from speclint.commands.misspelt import NamedCommands, unknown_option
from speclint.commands.shell import CONTEXT, EXIT_DEFECT, EXIT_FAILED, EXIT_USAGE, note, tell_defect
from speclint.errors import FileProblemsError, SpeclintError, reason_of
from speclint.standard_streams import guarded

EXIT_INTERRUPTED: Final = 130

COMMANDS: Final = {
    "check": "Every problem, verdict, remedy and piece of advice for setups and rulesets.",
    "explain": "What a quantity, a rule, a verdict or a problem means, and who says so.",
    "gearing": "The safe start of a setup's gearing, and the next steps up.",
    "compare": "Two bench runs of a motor, or several motors, side by side.",
    "pin": "The version and digest of a ruleset into the garage, so that it cannot change unseen.",
    "publish": "A ruleset as a site of plain pages, with all that a team needs.",
    "log": "Adds a bench run, a track run or a rebuild to a file, or a car to an inspection.",
    "editor": "A language server: what check says, in an editor, while you type.",
    "schema": "The schemas by which an editor helps to write a file.",
    "start": "Writes a commented file to start from.",
}
"""Every command with what it does in a line, so that listing them loads none of them."""


def main() -> NoReturn:
    """Runs the command line and exits with its status."""
    output = guarded("stdout")
    guarded("stderr")
    with _signals_as_interrupts():
        status = _status()
    if sys.stdout is not None:
        sys.stdout.flush()
    if output is not None and output.trouble is not None:
        note(f"standard output cannot be written: {reason_of(output.trouble)}")
        status = EXIT_USAGE
    if sys.stderr is not None:
        sys.stderr.flush()
    sys.exit(status)


def _status() -> int:
    """Runs the command that is asked for; every way that it can end has a status."""
    try:
        status = speclint.main(standalone_mode=False)
    except click.exceptions.Exit as exit_:
        return exit_.exit_code
    except (click.Abort, KeyboardInterrupt) as error:
        _tell_what_is_written()
        signal_error = error if isinstance(error, EndedBySignalError) else error.__cause__
        return signal_error.status if isinstance(signal_error, EndedBySignalError) else EXIT_INTERRUPTED
    except click.ClickException as error:
        _tell_misuse(unknown_option(error) if isinstance(error, click.NoSuchOption) else error)
        return EXIT_USAGE
    except FileProblemsError as error:
        note(str(error), *error.lines)
        return EXIT_FAILED
    except SpeclintError as error:
        note(str(error))
        return EXIT_USAGE
    except Exception:
        import traceback

        tell_defect(traceback.format_exc(), "your files are as they were")
        return EXIT_DEFECT
    return status if isinstance(status, int) else 0


def _tell_misuse(error: click.ClickException) -> None:
    """Says how the words of the command do not fit; nothing in them can steer the terminal, or make up a line of its own."""
    from speclint.plain import one_line

    click.UsageError(one_line(error.format_message()), getattr(error, "ctx", None)).show()


class EndedBySignalError(KeyboardInterrupt):
    """The process was asked to end, and clears up as after an interrupt; its status is what a shell gives the signal."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.status = 128 + number


@contextmanager
def _signals_as_interrupts() -> Iterator[None]:
    """Has what asks the process to end (TERM, and HUP from a terminal that goes) handled like an interrupt."""

    def end(number: int, _: object) -> None:
        raise EndedBySignalError(number)

    numbers = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    handled = [number for number in numbers if signal.getsignal(number) is signal.SIG_DFL]
    for number in handled:
        signal.signal(number, end)
    try:
        yield
    finally:
        for number in handled:
            signal.signal(number, signal.SIG_DFL)


def _tell_what_is_written() -> None:
    """Says what was in its place already when the command was interrupted."""
    whole_files = sys.modules.get("speclint.whole_files")
    for file in whole_files.PUT_IN_PLACE if whole_files is not None else ():
        note(f"interrupted, but {file} is written")


class _Commands(NamedCommands):
    """The commands, each loaded when it is asked for; until then a name and a line of help stand for it."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(
            commands={name: click.Command(name, help=about) for name, about in COMMANDS.items()}, **settings
        )

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"speclint.commands.{cmd_name}")
        command: click.Command = getattr(module, cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=_Commands, context_settings=CONTEXT, no_args_is_help=False, invoke_without_command=True)
@click.version_option(__version__, prog_name="speclint")
@click.pass_context
def speclint(ctx: click.Context) -> None:
    """Keeps spec-class electric model cars legal, from plain text in git.

    \b
    speclint check                 is every car here legal, and what mends it?
    speclint explain rollout_mm    what does a quantity, a rule or a verdict mean?
    speclint start setup car-12.yaml a file to start from
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())
