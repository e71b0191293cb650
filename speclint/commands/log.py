"""`speclint log`: a record put into the file of a setup or a motor, by options or by questions on a terminal."""

import sys
from datetime import date
from typing import Any, Final

import click

from speclint.commands.shell import CONTEXT, EXIT_FAILED, EXIT_USAGE, current_folder, note
from speclint.edits.diff import unified
from speclint.edits.write import ChangedMeanwhileError, Rewrite, write_all
from speclint.errors import UsageError
from speclint.files import Folder
from speclint.logbook.answers import Misread, value_of
from speclint.logbook.entering import EnteredRecord, complaint_about, entered, record_of
from speclint.logbook.fields import RecordField, Shape, fields_of
from speclint.logbook.kinds import KINDS, KINDS_BY_NAME, RecordKind
from speclint.logbook.remarks import remarks_on
from speclint.logbook.target import Target, find_target, instruments_around
from speclint.places import dotted
from speclint.plain import one_line
from speclint.problems import Problem

__all__ = ["log"]

_ATTEMPTS: Final = 5
"""How often a record is put into a file anew that somebody else changes at the same moment."""

_METAVARS: Final = {
    Shape.TEXT: "TEXT",
    Shape.NUMBER: "NUMBER",
    Shape.RATIO: "RATIO",
    Shape.READING: "NUMBER[@INSTRUMENT]",
    Shape.SEVERAL: "NUMBER[,NUMBER...][@INSTRUMENT]",
    Shape.WORDS: "WORD[,WORD...]",
}
_SPINNING: Final = "Clamp the motor, take the pinion off, and keep clear of it."


class _Kinds(click.Group):
    """A command for each kind of record, made from its schema when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return list(KINDS_BY_NAME)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        kind = KINDS_BY_NAME.get(cmd_name)
        return None if kind is None else _command(kind)


@click.group(cls=_Kinds, invoke_without_command=True, no_args_is_help=True, context_settings=CONTEXT)
@click.argument("file")
@click.pass_context
def log(ctx: click.Context, file: str) -> None:
    """Adds a bench run, a track run or a rebuild to FILE, a setup or a motor, and touches nothing else in it.

    \b
    speclint log motors/00417.yaml bench --supply-v 3.7 --current-a 3.9 --kv-rpm-per-v 2450
    speclint log cars/car-12.yaml track --minutes 5 --ambient-c 19 --can-c 61@infrared-thermometer
    speclint log motors/00417.yaml rebuild --did rotor-swap,clean

    On a terminal and without options it asks. What belongs to a motor goes into the motor's own file, where the setup
    names one.
    """  # noqa: D301 - click's own marker for unwrapped help
    ctx.obj = file
    if ctx.invoked_subcommand is None:
        raise UsageError(f"say what to add to {file}: {', '.join(kind.name for kind in KINDS)}")


def _command(kind: RecordKind) -> click.Command:
    fields = fields_of(kind)
    options: list[click.Parameter] = [
        click.Option([field.option, f"field_{i}"], metavar=_METAVARS[field.shape], help=_help(field))
        for i, field in enumerate(fields)
    ]
    options.append(click.Option(["--dry-run"], is_flag=True, help="Show what would change, and write nothing."))

    @click.pass_context
    def run(ctx: click.Context, /, dry_run: bool, **given: str | None) -> None:
        answers = {field: text for i, field in enumerate(fields) if (text := given[f"field_{i}"]) is not None}
        _run(ctx.obj, kind, answers, dry_run=dry_run)

    return click.Command(
        kind.name, callback=run, params=options, help=f"{kind.about} The date is today unless another one is given."
    )


def _help(field: RecordField) -> str:
    return f"{field.about} For example {field.example}."


def _run(file: str, kind: RecordKind, answers: dict[RecordField, str], *, dry_run: bool) -> None:
    folder = current_folder()
    shown = folder.shown(file)
    today = date.today()
    date_field = next(field for field in fields_of(kind) if field.key == "date")
    if answers:
        values = _values(answers)
        values.setdefault(date_field, today.isoformat())
    elif _talks_to_a_person():
        values = _asked(kind, _sound(find_target(folder, shown, kind)), today)
    else:
        raise UsageError(
            f"say what the {kind.title} holds, in options: `speclint log {shown} {kind.name} --help` lists them"
        )
    made, target = _entered(folder, shown, kind, record_of(kind, values), writes=not dry_run)
    _tell(made, target, dry_run=dry_run)
    for remark in remarks_on(made, target, today, lambda: instruments_around(folder)):
        note(remark)


def _entered(
    folder: Folder, shown: str, kind: RecordKind, record: dict[str, Any], *, writes: bool
) -> tuple[EnteredRecord, Target]:
    """The record in its file, which is read anew whenever somebody else was faster at writing it."""
    for left in reversed(range(_ATTEMPTS)):
        target = _sound(find_target(folder, shown, kind))
        made = entered(target, kind, record)
        if not isinstance(made, EnteredRecord):
            note("nothing was written:")
            for complaint in made:
                click.echo(f"  {one_line(complaint)}", err=True)
            raise click.exceptions.Exit(EXIT_USAGE)
        file = made.before.file
        try:
            if writes:
                write_all((Rewrite(file, folder.full(file), made.before.text, made.after.text),))
        except ChangedMeanwhileError:
            if not left:
                raise
        else:
            return made, target
    raise AssertionError


def _tell(made: EnteredRecord, target: Target, *, dry_run: bool) -> None:
    if target.named_by:
        where = "would be changed" if dry_run else "was changed"
        note(f"{target.named_by} names the motor {made.before.file}: that file {where}")
    if not dry_run:
        click.echo(one_line(made.line))
        return
    for line in unified(made.before.file, made.before.text, made.after.text):
        click.echo(one_line(line))
    note("this is a dry run: nothing was written")


def _sound(target: Target | tuple[Problem, ...]) -> Target:
    if isinstance(target, Target):
        return target
    note("nothing was written; mend this first:")
    for problem in target:
        click.echo(one_line(f"{problem.place}: {problem.message}"), err=True)
    raise click.exceptions.Exit(EXIT_FAILED)


def _values(answers: dict[RecordField, str]) -> dict[RecordField, Any]:
    values = {field: value_of(field, answer) for field, answer in answers.items()}
    for field, value in values.items():
        if isinstance(value, Misread):
            raise UsageError(f"nothing was written: {field.option}: {value.message}")
    return values


def _asked(kind: RecordKind, target: Target, today: date) -> dict[RecordField, Any]:
    """The values that a person gives on a terminal, each looked at before the next is asked for."""
    click.echo(one_line(f"A {kind.title} for {target.document.file}."), err=True)
    if kind.name == "bench":
        click.echo(_SPINNING, err=True)
    click.echo("Press enter to leave a question open.", err=True)
    values: dict[RecordField, Any] = {}
    for field in fields_of(kind):
        if _is_idle(field, values):
            continue
        preset = today.isoformat() if field.key == "date" else ""
        value = _answer(kind, field, preset)
        if value is not None:
            values[field] = value
    if len(values) < 2:
        raise UsageError("no question was answered, so nothing was written")
    return values


def _is_idle(field: RecordField, values: dict[RecordField, Any]) -> bool:
    """Whether a question is idle: the temperature and the instruments of a winding that was not measured."""
    return len(field.path) > 1 and not field.key.endswith("_mohm") and not any(
        filled.path[:-1] == field.path[:-1] for filled in values
    )  # fmt: skip


def _answer(kind: RecordKind, field: RecordField, preset: str) -> Any:
    needed = field.key in ("date", "did")
    if field.shape is Shape.WORDS:
        click.echo(one_line(field.about), err=True)
    words = _question(field) if preset else f"{_question(field)}, such as {field.example}"
    while True:
        answer = click.prompt(
            words, default=preset, show_default=bool(preset), err=True, value_proc=lambda text: str(text).strip()
        )
        if not answer:
            if not needed:
                return None
            wrong = f"a record without `{field.key}` cannot be kept; Ctrl-C ends without writing"
        else:
            value = value_of(field, answer)
            wrong = value.message if isinstance(value, Misread) else complaint_about(kind, field, value)
            if not wrong:
                return value
        click.echo(f"  {one_line(wrong)}", err=True)


def _question(field: RecordField) -> str:
    return field.title if field.title.endswith(field.key) else f"{field.title} ({dotted(field.path)})"


def _talks_to_a_person() -> bool:
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stderr))
