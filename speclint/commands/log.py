"""`speclint log`: a record put into a setup, a motor or an inspection, by options or by questions on a terminal."""

import sys
from collections.abc import Callable
from datetime import date
from typing import Any, Final

import click

from speclint.commands.completion import FILE
from speclint.commands.inspected_car import AskedReadings
from speclint.commands.misspelt import NamedCommands, options_meant
from speclint.commands.record_help import CarCommand, metavar_of
from speclint.commands.shell import CONTEXT, EXIT_FAILED, EXIT_USAGE, current_folder, note, say, talks_to_a_person
from speclint.edits.diff import unified
from speclint.edits.spelled import flow
from speclint.edits.write import ChangedMeanwhileError, Rewrite, write_all
from speclint.errors import UsageError
from speclint.files import Folder
from speclint.logbook.answers import Misread, value_of
from speclint.logbook.entering import EnteredRecord, complaint_about, entered, record_of
from speclint.logbook.fields import RecordField, Shape, fields_of
from speclint.logbook.fitted_parts import MOVES_ROTOR, MOVES_SHIMS, FittedParts, typed_shims
from speclint.logbook.inspected import complete
from speclint.logbook.kinds import KINDS, KINDS_BY_NAME, RecordKind
from speclint.logbook.remarks import remarks_on, unknown_instrument
from speclint.logbook.target import Target, find_target, fitted_gears, instruments_around, rotors_around
from speclint.places import dotted
from speclint.plain import one_line
from speclint.problems import Problem

_ATTEMPTS: Final = 5
"""How often a record is put into a file anew that somebody else changes at the same moment."""

_SPINNING: Final = "Clamp the motor, take the pinion off, and keep clear of it."


class _Kinds(NamedCommands):
    """A command for each kind of record, made from its schema when it is asked for."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] in ctx.help_option_names:
            click.echo(ctx.get_help(), color=ctx.color)
            ctx.exit()
        kind = ctx.params.get("file")
        if kind in KINDS_BY_NAME and args[0] not in KINDS_BY_NAME:
            raise click.UsageError(f"the file comes first: speclint log {args[0]} {kind}", ctx)
        return super().resolve_command(ctx, args)

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return list(KINDS_BY_NAME)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        kind = KINDS_BY_NAME.get(cmd_name)
        return None if kind is None else _command(kind)


@click.group(cls=_Kinds, invoke_without_command=True, no_args_is_help=True, context_settings=CONTEXT)
@click.argument("file", type=FILE, metavar="FILE")
@click.pass_context
def log(ctx: click.Context, file: str) -> None:
    """Adds a bench run, a track run or a rebuild to FILE, a setup or a motor, or a car to an inspection.

    \b
    speclint log motors/00417.yaml bench --supply-v 3.7 --current-a 3.9 --kv-rpm-per-v 2450
    speclint log cars/car-12.yaml track --minutes 5 --ambient-c 19 --can-c 61@infrared-thermometer
    speclint log motors/00417.yaml rebuild --did rotor-swap,clean
    speclint log round-3.yaml car --number 12 --class stock-17 --mass-g 1351@tech-scale --looked-at body=passed

    Nothing else in the file is touched. On a terminal and without options it asks. What belongs to a motor goes into the motor's own file, where the setup
    names one.
    """  # noqa: D301 - click's own marker for unwrapped help
    ctx.obj = file
    if ctx.invoked_subcommand is None:
        raise UsageError(f"say what to add to {file}: {', '.join(kind.name for kind in KINDS)}")


_PARTS: Final = {
    "rotor": (
        "--rotor",
        "PART",
        "Which rotor went in, by its part number in a parts box; the motor's keys then say so.",
    ),
    "shims_drive_end": ("--shims-drive-end", "MM[,MM...]", "Which shims went in at the drive end; 0 for none."),
    "shims_sensor_end": ("--shims-sensor-end", "MM[,MM...]", "Which shims went in at the sensor end; 0 for none."),
}
"""The options of a rebuild that say what is in the motor after it."""


def _command(kind: RecordKind) -> click.Command:
    fields = fields_of(kind)
    options: list[click.Parameter] = [
        click.Option(
            [field.option, f"field_{i}"],
            metavar=metavar_of(field),
            help=f"{field.about} For example {field.example}.",
        )
        for i, field in enumerate(fields)
    ]
    parts = _PARTS if kind.name == "rebuild" else {}
    options += [
        click.Option([option, name], metavar=metavar, help=about) for name, (option, metavar, about) in parts.items()
    ]
    options.append(click.Option(["--dry-run"], is_flag=True, help="Show what would change, and write nothing."))

    @click.pass_context
    def run(ctx: click.Context, /, dry_run: bool, **given: str | None) -> None:
        answers = {field: text for i, field in enumerate(fields) if (text := given[f"field_{i}"]) is not None}
        typed = {name: text for name in parts if (text := given[name]) is not None}
        for word in ctx.args:
            raise UsageError(_stray(word, ctx))
        _run(ctx.obj, kind, answers, _fitted(typed), dry_run=dry_run)

    dated = " The date is today unless another one is given." if kind.is_dated else ""
    of_kind = click.Command if kind.is_dated else CarCommand
    return of_kind(
        kind.name,
        callback=run,
        params=options,
        help=f"{kind.about}{dated}",
        context_settings={"allow_extra_args": True},
    )


def _stray(word: str, ctx: click.Context) -> str:
    """What to write in place of a word that belongs to no option, such as `kv_rpm_per_v=2450` or `kv 2450`."""
    key, _, value = word.partition("=")
    meant = options_meant(f"--{key}", ctx)
    hint = f"; did you mean {' or '.join(f'{option} {value}'.strip() for option in meant)}?" if meant else ""
    return f"nothing was written: {word} belongs to no option{hint}"


def _fitted(typed: dict[str, str]) -> FittedParts:
    """What went into the motor, as it was typed."""
    shims = {end: typed_shims(typed[end]) for end in ("shims_drive_end", "shims_sensor_end") if end in typed}
    return FittedParts(typed.get("rotor"), shims.get("shims_drive_end"), shims.get("shims_sensor_end"))


def _run(file: str, kind: RecordKind, answers: dict[RecordField, str], parts: FittedParts, *, dry_run: bool) -> None:
    folder = current_folder()
    shown = folder.shown(file)
    today = date.today()
    asks = not answers and talks_to_a_person(sys.stderr)
    if answers:
        values = _values(answers)
        if kind.is_dated:
            values.setdefault(next(field for field in fields_of(kind) if field.key == "date"), today.isoformat())
        _add_fitted_gears(kind, values, _sound(find_target(folder, shown, kind)))
    elif asks:
        values, parts = _asked(kind, _sound(find_target(folder, shown, kind)), today, folder)
    else:
        raise UsageError(
            f"say what the {kind.title} holds, in options: `speclint log {shown} {kind.name} --help` lists them"
        )
    if not kind.is_dated:
        document = _sound(find_target(folder, shown, kind)).document
        complete(kind, values, document)
        asked_readings = AskedReadings(folder, document)
        for field, value in values.items() if answers else ():
            if complaint := asked_readings.complaint(field, value, without_rules=True):
                raise UsageError(f"nothing was written: {field.option}: {complaint}")
    record = record_of(kind, values)
    if asks and not dry_run:
        made, target = _entered(folder, shown, kind, record, parts, writes=False)
        _show(made)
        if not click.confirm("Write this?", default=True, err=True):
            note("nothing was written")
            return
    made, target = _entered(folder, shown, kind, record, parts, writes=not dry_run)
    _tell(made, target, dry_run=dry_run)
    for remark in remarks_on(made, target, today, lambda: instruments_around(folder, kind)):
        note(remark)


def _add_fitted_gears(kind: RecordKind, values: dict[RecordField, Any], target: Target) -> None:
    """The gears that are on the car, where a track run says nothing of them."""
    if kind.name != "track":
        return
    added = {
        field: teeth
        for field in fields_of(kind)
        if field not in values and (teeth := fitted_gears(target).get(field.path)) is not None
    }
    if added:
        values.update(added)
        note(f"with the gears that are fitted: {', '.join(f'{field.key} {teeth}' for field, teeth in added.items())}")


def _entered(
    folder: Folder, shown: str, kind: RecordKind, record: dict[str, Any], parts: FittedParts, *, writes: bool
) -> tuple[EnteredRecord, Target]:
    """The record in its file, which is read anew whenever somebody else was faster at writing it."""
    for left in reversed(range(_ATTEMPTS)):
        target = _sound(find_target(folder, shown, kind))
        motor = target.car.motor
        is_of_motor = kind.of_motor and motor is not None and parts != FittedParts()
        changes = parts.changes(motor, rotors_around(folder)) if is_of_motor and motor is not None else ()
        made = entered(target, kind, record, changes)
        if not isinstance(made, EnteredRecord):
            note("nothing was written:", *made)
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
        say(made.line)
        for path, value in made.changes:
            say(f"{made.before.file}: {dotted(path)} is {'empty' if value is None else flow(value)} now")
        return
    _show(made)
    note("this is a dry run: nothing was written")


def _show(made: EnteredRecord) -> None:
    """What changes in the file, line by line."""
    for line in unified(made.before.file, made.before.text, made.after.text):
        click.echo(one_line(line))


def _sound(target: Target | tuple[Problem, ...]) -> Target:
    if isinstance(target, Target):
        return target
    note("nothing was written; mend this first:")
    for problem in target:
        say(f"{problem.place}: {problem.message}", err=True)
    raise click.exceptions.Exit(EXIT_FAILED)


def _values(answers: dict[RecordField, str]) -> dict[RecordField, Any]:
    values = {field: value_of(field, answer) for field, answer in answers.items()}
    for field, value in values.items():
        if isinstance(value, Misread):
            raise UsageError(f"nothing was written: {field.option}: {value.message}")
    return values


def _asked(kind: RecordKind, target: Target, today: date, folder: Folder) -> tuple[dict[RecordField, Any], FittedParts]:
    """The values that a person gives on a terminal, each looked at before the next is asked for."""
    say(f"A {kind.title} for {target.document.file}.", err=True)
    if kind.name == "bench":
        say(_SPINNING, err=True)
    say("Press enter to leave a question open.", err=True)
    instruments = frozenset(target.car.instruments) | instruments_around(folder, kind)
    if instruments:
        say(f"Instruments that are described: {', '.join(sorted(instruments))}.", err=True)
    presets = {("date",): today.isoformat(), **(fitted_gears(target) if kind.name == "track" else {})}
    values: dict[RecordField, Any] = {}
    asked = None if kind.is_dated else AskedReadings(folder, target.document)
    for field in fields_of(kind):
        if _is_idle(field, values) if asked is None else not asked.has(field, values):
            continue
        preset = str(presets.get(field.path, ""))
        value = _answer(kind, field, preset, instruments, None if asked is None else asked.complaint)
        if value is not None:
            values[field] = value
    if all(field.path in presets for field in values):
        raise UsageError("no question was answered, so nothing was written")
    did = next((value for field, value in values.items() if field.key == "did"), ())
    return values, _asked_parts(frozenset(did), folder)


def _asked_parts(did: frozenset[str], folder: Folder) -> FittedParts:
    """Which rotor and shims went in at a rebuild that moved them."""
    typed: dict[str, str] = {}
    if MOVES_ROTOR in did:
        rotors = ", ".join(str(rotor.part or rotor.kind) for rotor in rotors_around(folder))
        typed["rotor"] = _part(f"Which rotor went in, by its part number{f' ({rotors})' if rotors else ''}", str)
    if did & MOVES_SHIMS:
        for end in ("drive", "sensor"):
            question = f"Which shims are at the {end} end now, in mm, such as 0.1,0.2; 0 for none"
            typed[f"shims_{end}_end"] = _part(question, typed_shims)
    return _fitted({name: text for name, text in typed.items() if text})


def _part(question: str, read: Callable[[str], Any]) -> str:
    """A part as it was typed, once it can be read."""

    def checked(text: str) -> str:
        try:
            read(text.strip())
        except UsageError as error:
            raise click.BadParameter(str(error)) from error
        return text.strip()

    answer: str = click.prompt(question, default="", show_default=False, err=True, value_proc=checked)
    return answer


def _is_idle(field: RecordField, values: dict[RecordField, Any]) -> bool:
    """Whether a question is idle: the temperature and the instruments of a winding that was not measured."""
    return (
        len(field.path) > 1
        and not field.key.endswith("_mohm")
        and not any(filled.path[:-1] == field.path[:-1] for filled in values)
    )


def _answer(
    kind: RecordKind,
    field: RecordField,
    preset: str,
    instruments: frozenset[str],
    complaint: Callable[[RecordField, Any], str] | None = None,
) -> Any:
    needed = field.key in ("date", "did", "class")
    if field.shape is Shape.WORDS:
        say(field.about, err=True)
    words = _question(field) if preset else f"{_question(field)}, such as {field.example}"
    doubted = ""
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
            if not wrong and complaint is not None:
                wrong = complaint(field, value)
            if not wrong:
                wrong = "" if answer == doubted else unknown_instrument({field.key: value}, instruments)
                doubted = answer
            if not wrong:
                return value
        say(f"  {wrong}", err=True)


def _question(field: RecordField) -> str:
    return field.title if field.title.endswith(field.key) else f"{field.title} ({dotted(field.path)})"
