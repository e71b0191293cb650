"""What somebody meant by an option, a command or a word that is none: the nearest ones, by name."""

import os
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import click

from speclint.spelling import known_words, nearest, nearest_by_parts


class NamedCommands(click.Group):
    """A group that says which of its commands was meant by one that is none."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that is asked for, its name and the rest of the words.

        Raises:
            click.UsageError: there is no such command, or an option stands in its place.
        """
        if self.get_command(ctx, args[0]) is None:
            if args[0].startswith("-"):
                raise click.NoSuchOption(args[0].partition("=")[0], ctx=ctx)
            near = nearest(args[0], self.list_commands(ctx))
            if not near and ctx.parent is None and os.path.exists(args[0]):
                near = f"check {args[0]}"
            raise click.UsageError(_no_such("command", args[0], (near,) if near else ()), ctx)
        return super().resolve_command(ctx, args)


if TYPE_CHECKING:
    Choice = click.Choice[str]
else:
    Choice = click.Choice  # takes no type before release 8.2


class KnownWord(Choice):
    """One of a few words."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The word, if it is one of them."""
        if value not in self.choices:
            self.fail(f"there is no {value}{known_words(str(value), self.choices)}", param, ctx)
        return super().convert(value, param, ctx)


def unknown_option(error: click.NoSuchOption) -> click.UsageError:
    """The same error with the options of the command that were meant perhaps, in every release of the library alike."""
    return click.UsageError(
        _no_such("option", error.option_name, options_meant(error.option_name, error.ctx)), error.ctx
    )


def options_meant(typed: str, ctx: click.Context | None) -> tuple[str, ...]:
    """The options that were meant perhaps; where a command is left out, behind its name. Of -f nothing can be guessed."""
    if ctx is None or not typed.startswith("--"):
        return ()
    command = ctx.command
    options = {option: option for option in _options(command)}
    if isinstance(command, click.Group):
        for name in command.list_commands(ctx):
            inner = command.get_command(ctx, name)
            for option in () if inner is None else _options(inner):
                options.setdefault(option, f"{name} {option}")
    return tuple(options[option] for option in nearest_by_parts(typed, options))


def _options(command: click.Command) -> list[str]:
    return [name for param in command.params for name in param.opts if name.startswith("--")] + ["--help"]


def _no_such(what: str, typed: str, meant: Iterable[str]) -> str:
    *first, last = [f"'{name}'" for name in meant] or [""]
    listed = f"{', '.join(first)} or {last}" if first else last
    return f"No such {what} '{typed}'.{f' Did you mean {listed}?' if listed else ''}"


def near_path(path: str) -> str:
    """The end of a sentence about a path that leads nowhere: the file or folder beside it that was meant, if any is like it."""
    if os.path.lexists(path):
        return "; it is there now, but what git has lacks it"
    folder, name = os.path.split(path.rstrip("/"))
    try:
        # Cars go by their numbers: another number is another car.
        near = nearest(name, (entry for entry in os.listdir(folder or ".") if _digits(entry) == _digits(name)))
    except OSError:
        return ""
    return f"; did you mean {os.path.join(folder, near)}?" if near else ""


def _digits(name: str) -> str:
    return "".join(filter(str.isdigit, name))
