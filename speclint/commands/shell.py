"""What the commands share: how a day and a report are written, and where the folder, the paper and the notes are."""

import os
import sys
from collections.abc import Callable, Iterable
from datetime import date
from typing import TYPE_CHECKING, Any, Final, TextIO, TypeVar, cast

import click

from speclint.commands.completion import CLASS, FILE, RULESET, ParamType, completions
from speclint.errors import UnreadableError, UsageError
from speclint.reports import Paper
from speclint.reports.kinds import Kind, printed, saved

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from speclint.delivery import Delivery
    from speclint.files import FileText, Folder
    from speclint.moments import Period
    from speclint.progress import Counter
    from speclint.rulesets.model import Ruleset
    from speclint.workspace.overrides import Overrides
    from speclint.workspace.source import NamedFiles, Source
    from speclint.workspace.workspace import Workspace

CONTEXT: Final = {"help_option_names": ["-h", "--help"], "max_content_width": 100}
"""How every command shows its help."""

_Command = TypeVar("_Command", bound=Callable[..., Any])
_Folder = TypeVar("_Folder", bound="Folder")
_Value = TypeVar("_Value")

EXIT_FAILED: Final = 1
EXIT_USAGE: Final = 2
EXIT_DEFECT: Final = 70

_WIDTH_OF_FILES: Final = 120
"""Columns of a report that does not go to a terminal."""


class Typed(ParamType[_Value]):
    """What is typed for an option, as a function reads it, which raises UsageError for what cannot be meant."""

    def __init__(self, name: str, read: Callable[[str], _Value]) -> None:
        self.name = name
        self._read = read

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> _Value:
        """The value that was meant; one that is none of a text is it already."""
        try:
            return self._read(value) if isinstance(value, str) else cast("_Value", value)
        except UsageError as error:
            self.fail(str(error), param, ctx)


def _day(text: str) -> date:
    from speclint.starters.typed import typed_race_day  # needed where somebody types a day

    return typed_race_day(text)


DAY: Final = Typed("date", _day)
"""A day, written 2026-03-14, or with dots as 14.3.2026."""

DAY_OR_TODAY: Final = Typed("date|today", lambda text: date.today() if text == "today" else _day(text))


class _Printed(ParamType[Kind]):
    """A kind of report for standard output."""

    name = "KIND"

    def __init__(self, command: str) -> None:
        self._command = command

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> "list[CompletionItem]":  # noqa: ARG002
        """The kinds that begin like this."""
        return completions(printed(self._command), incomplete)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Kind:
        """The kind of that name."""
        if isinstance(value, Kind):
            return value
        kinds = printed(self._command)
        if value not in kinds:
            from speclint.spelling import known_words

            self.fail(f"there is no report {value} for standard output{known_words(str(value), kinds)}", param, ctx)
        return kinds[value]


class _Saved(ParamType[tuple[Kind, str]]):
    """A file for a report, whose ending says the kind."""

    name = "FILE"

    def __init__(self, command: str) -> None:
        self._command = command

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> "list[CompletionItem]":
        """Files."""
        return FILE.shell_complete(ctx, param, incomplete)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[Kind, str]:
        """The kind and the path."""
        if isinstance(value, tuple):
            return value
        kinds = saved(self._command)
        kind = kinds.get(os.path.splitext(str(value))[1].lower())
        if kind is None:
            self.fail(f"{value} ends in none of {', '.join(kinds)}, which say what kind of report to save", param, ctx)
        return kind, str(value)


def _given_once(context: click.Context, parameter: click.Parameter, values: tuple[Kind, ...]) -> Kind:
    if len(values) > 1:
        raise click.BadParameter(
            "one report goes to standard output: give --report once, and --save FILE for the others", context, parameter
        )
    return values[0]


def report_options(command: str) -> Callable[[_Command], _Command]:
    """The options `--report`, a kind, and `--save`, kinds with a path each, of a command."""
    kinds, endings = printed(command), saved(command)

    def with_options(function: _Command) -> _Command:
        save = click.option(
            "--save",
            "saves",
            type=_Saved(command),
            multiple=True,
            help=f"Write a report into a file as well; its ending says the kind: {', '.join(endings)}. May be repeated.",
        )
        report = click.option(
            "--report",
            type=_Printed(command),
            multiple=True,
            default=(next(iter(kinds)),),
            callback=_given_once,
            show_default=True,
            help=f"What to write to standard output: {', '.join(kinds)}.",
        )
        return report(save(function))

    return with_options


def end_of(reports: "Delivery") -> bool:
    """Says what was written and what could not be; whether all was."""
    for path in reports.written:
        note(f"{path} is written")
    for trouble in reports.troubles:
        note(trouble)
    return not reports.troubles


def current_folder(*, keeps_texts: bool = False, reads_once: bool = False) -> "Folder":
    """The current folder; it keeps what it reads where a change is to be held against that, or reads files once.

    Raises:
        UnreadableError: it is not there any more.
    """
    from speclint.files import Folder

    return current_folder_as(Folder, keeps_texts=keeps_texts, reads_once=reads_once)


def current_folder_as(kind: type[_Folder], **options: bool) -> _Folder:
    """The current folder as a source of another kind.

    Raises:
        UnreadableError: it is not there any more.
    """
    try:
        return kind(os.getcwd(), ignored=_ignored, **options)
    except OSError as error:
        raise UnreadableError("the current folder is not there any more") from error


def files_as_of(revision: str) -> "NamedFiles":
    """The files of an earlier git revision, named from the current folder.

    Raises:
        UsageError: there is no such revision, or no git to ask.
    """
    from speclint import history
    from speclint.workspace.source import NamedFiles

    files = history.revision(revision)
    return NamedFiles(files, history.place_in_repository(), files.submodules)


def _ignored(top: str, paths: "Iterable[str]") -> frozenset[str]:
    from speclint.history import ignored  # most repositories ask nothing of git

    return ignored(top, paths)


def note(text: str, *details: str) -> None:
    """Says something beside the reports, each detail on a line below; nothing from a file's name can steer the terminal."""
    say(f"speclint: {text}", err=True)
    for detail in details:
        say(f"  {detail}", err=True)


def say(text: str, *, err: bool = False) -> None:
    """Says a sentence in one line, or on a terminal in as many as it needs."""
    from speclint.plain import one_line

    stream = sys.stderr if err else sys.stdout
    width = _columns() if stream is not None and stream.isatty() else None
    click.echo(folded(one_line(text), width), err=err)


def talks_to_a_person(shown_on: TextIO) -> bool:
    """Whether a person can answer what is asked, and sees what is shown."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, shown_on))


def folded(text: str, width: int | None) -> str:
    """A notice on lines that a terminal of so many columns need not break inside a word; as it is where nobody looks."""
    if width is None or len(text) < width:
        return text
    import textwrap

    indent = " " * (len(text) - len(text.lstrip()))
    lines = textwrap.wrap(
        text, max(width - 1, 30), subsequent_indent=f"{indent}  ", break_long_words=False, break_on_hyphens=False
    )
    return "\n".join(lines)


def tell_defect(traceback: str, comfort: str) -> None:
    """Says that speclint has met a defect of its own, and what is whole all the same."""
    from speclint import __version__

    click.echo(traceback, err=True)
    click.echo(
        f"speclint {__version__} has met a defect of its own, for which we are sorry: {comfort}."
        " Please report the text above, with the file that brought it about if you may share it.",
        err=True,
    )


def paper() -> Paper:
    """What standard output is: how wide, whether it takes colour, and whether only ASCII can be shown there."""
    is_terminal = sys.stdout is not None and sys.stdout.isatty()
    encoding = (getattr(sys.stdout, "encoding", None) or "ascii").lower().replace("-", "")
    paint = None
    if _wants_colour(is_terminal):
        from speclint.colours import painter  # slow to import, and never needed by a pipe or a hook

        paint = painter()
    return Paper(
        width=_columns() if is_terminal else _WIDTH_OF_FILES,
        ascii_only=not encoding.startswith("utf"),
        paint=paint,
    )


def _columns() -> int:
    import shutil

    return shutil.get_terminal_size().columns


def _wants_colour(is_terminal: bool) -> bool:
    if os.environ.get("NO_COLOR"):
        return False
    forced = os.environ.get("FORCE_COLOR", "")
    if forced:
        return forced != "0"
    return is_terminal and os.environ.get("TERM") != "dumb"


def counter() -> "Counter":
    """A count of the work that is done, on standard error, where that is a terminal."""
    from speclint.progress import Counter

    return Counter(sys.stderr)


def _bundled_rulesets() -> "list[FileText]":
    """The rulesets that come with speclint, under names that no file of a user has: to read, never to judge by."""
    from speclint.files import FileText
    from speclint.resources import ruleset_texts
    from speclint.workspace.ruleset_index import BUNDLED

    return [FileText(f"{BUNDLED}{name}", text, is_ours=True) for name, text in ruleset_texts()]


def overrides_of(
    folder: "Folder",
    *,
    ruleset: str | None,
    class_id: str | None = None,
    on: date | None = None,
    known_on: date | None = None,
    from_day: date | None = None,
    coming: "Period | None" = None,
) -> "Overrides":
    """What the options `--ruleset`, `--class`, `--on`, `--known-on`, `--from` and `--coming` put over entries."""
    from speclint.workspace.overrides import Overrides

    return Overrides(
        today=on or date.today(),
        ruleset=None if ruleset is None else folder.shown(ruleset),
        class_id=class_id,
        on=on,
        known_on=known_on,
        from_day=from_day,
        coming=coming,
    )


def overriding_options(command: _Command) -> _Command:
    """The options `--ruleset`, `--class` and `--on`, for a command that judges."""
    options = (
        click.option(
            "--ruleset",
            type=RULESET,
            metavar="NAME",
            help="Judge by this ruleset, in place of those of the entries: an id, id@version or a file.",
        ),
        click.option(
            "--class",
            "class_id",
            type=CLASS,
            metavar="NAME",
            help="Judge in this class, in place of those of the entries.",
        ),
        click.option("--on", type=DAY, help="Judge for this day, in place of those of the entries."),
    )
    for option in reversed(options):
        command = option(command)
    return command


def workspace_beside(folder: "Folder", file: str, ruleset: str = "", *, source: "Source | None" = None) -> "Workspace":
    """The repository around a file of this name, with the rulesets that come with speclint, for one that is asked for.

    `source` is where the files come from, if not from the folder itself.
    """
    from speclint.workspace.loaded import Files
    from speclint.workspace.workspace import Workspace

    return Workspace(
        Files(source or folder),
        overrides_of(folder, ruleset=ruleset or None),
        near=(file,),
        bundled=_bundled_rulesets(),
    )


def ruleset_named(
    folder: "Folder", reference: str, beside: str = "", *, source: "Source | None" = None
) -> "tuple[Workspace, Ruleset]":
    """The ruleset of an id, `id@version` or a file, with the repository around it; of several versions the newest.

    Args:
        folder: the current folder.
        reference: what the command line says.
        beside: a file around which rulesets count, where the reference is no file itself; "" for the current folder.
        source: where the files come from, if not from the folder itself.

    Raises:
        FileProblemsError: it has problems.
        UsageError: there is none.
    """
    from speclint.workspace.overrides import UnsoundRuleset, is_file_name
    from speclint.workspace.ruleset_index import problems_error

    near = folder.shown(reference) if is_file_name(reference) else beside or NEW_FILE
    workspace = workspace_beside(folder, near, reference, source=source)
    named = workspace.ruleset
    if isinstance(named, UnsoundRuleset):
        problems = (*workspace.refusal, *workspace.index.problems)
        raise problems_error(f"{reference} has problems of its own: see {named.file}", problems, named.file)
    if named is None:
        raise UsageError(f"there is no ruleset {reference}")
    library = workspace.index.library
    ruleset = library.newest(named.id) if named.version is None else library.versions(named.id).get(named.version)
    if ruleset is None:
        raise UsageError(f"there is no ruleset {reference}")
    return workspace, ruleset


NEW_FILE: Final = "a new file"
"""Stands for a file in the current folder, where only its folder matters."""
