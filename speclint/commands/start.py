"""`speclint start`: a commented file to start from."""

import os
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from speclint.commands.shell import CONTEXT, NEW_FILE, Day, ParamType, current_folder, workspace_beside
from speclint.errors import UsageError
from speclint.starters.options import KINDS

_DEMO: Final = "demo"

if TYPE_CHECKING:
    from speclint.files import Folder

__all__ = ["start"]


@click.command(context_settings=CONTEXT)
@click.argument("kind", type=click.Choice((*KINDS, _DEMO)))
@click.argument("path", required=False)
@click.option("--name", help="What you call it; the title of a ruleset.")
@click.option(
    "--ruleset",
    metavar="NAME",
    help="Setup, motor: write the keys that the rules of a class of it rest on; an id, id@version or a file.",
)
@click.option("--class", "class_id", metavar="ID", help="The class of that ruleset; of a new ruleset its first class.")
@click.option("--on", type=Day(), help="The race day; of a new ruleset its first day in force. [default: today]")
@click.option("--track", metavar="ID", help="Setup, garage: the track.")
@click.option("--venue", metavar="WORD", help="Setup: where it is run, in words that the rules test.")
@click.option("--motor", metavar="FILE", help="Setup: the file of its motor, as a path from here.")
@click.option("--garage", metavar="FILE", help="Setup: the file of the garage, as a path from here.")
@click.option("--turns", type=float, help="Motor: its turns.")
@click.option("--part", help="Motor: its part number.")
@click.option("--serial", help="Motor: its serial number.")
@click.option("--id", metavar="ID", help="Ruleset: its id.")
@click.option("--based-on", metavar="ID[@VERSION]", help="Ruleset: the one that it builds on.")
@click.option("--no-questions", is_flag=True, help="Ask nothing, not even on a terminal.")
def start(kind: str, path: str | None, *, no_questions: bool, **given: Any) -> None:
    """Writes a commented starting file, to PATH or to standard output, that passes `check` as it is.

    On a terminal it asks for what it needs to know, unless an option says so already. A file that is there is never
    written over. `speclint start demo DIR` lays out a small team's repository to try everything on.
    """
    from speclint.edits.write import write_new
    from speclint.starters.neighbours import named_from, schema_for
    from speclint.starters.options import StarterOptions
    from speclint.starters.start import start as starting_text

    folder = current_folder()
    if kind == _DEMO:
        _lay_out(folder, path, given)
        return
    file = NEW_FILE if path is None else folder.shown(path)
    if path is not None and os.path.lexists(path):
        raise UsageError(f"{path} is there already, and is left as it is: choose another name")
    options = {option_name: value for option_name, value in given.items() if value not in (None, "")}
    if not options and not no_questions and _talks_to_a_person():
        options = _answers(kind, folder, file)
    for reference in ("motor", "garage"):
        if reference in options and kind == "setup":
            options[reference] = named_from(folder, file, reference, options[reference])
    asked = StarterOptions(today=date.today(), **options)
    text = starting_text(
        kind, asked, lambda reference: workspace_beside(folder, file, reference), schema_for(folder, file, kind)
    )
    if path is None:
        # As bytes: a document is UTF-8 whatever the terminal speaks.
        click.echo(text.encode(), nl=False)
    else:
        write_new(file, folder.full(path), text)
        click.echo(f"{file} is written: `speclint check {file}` tells what it still lacks", err=True)


def _lay_out(folder: "Folder", path: str | None, given: dict[str, Any]) -> None:
    """Writes the demonstration into a folder that is not there, or has nothing in it."""
    from speclint.edits.write import write_new
    from speclint.resources import example_text, ruleset_texts
    from speclint.starters.demo import demo_files
    from speclint.starters.start import option

    if path is None:
        raise UsageError("name the folder that the demonstration goes into: `speclint start demo my-team`")
    for option_name, value in given.items():
        if value not in (None, ""):
            raise UsageError(f"{option(option_name)} does not go with start demo")
    target = Path(path)
    if os.path.lexists(path) and not (target.is_dir() and not any(target.iterdir())):
        raise UsageError(f"{path} is there already, and is left as it is: choose another name")
    for name, text in demo_files(example_text, ruleset_texts()):
        file = folder.shown(f"{path}/{name}")
        write_new(file, folder.full(file), text)
    click.echo(f"a team's repository is laid out in {path}. Next:\n  cd {path}\n  speclint check cars", err=True)


def _talks_to_a_person() -> bool:
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))


def _answers(kind: str, folder: "Folder", file: str) -> dict[str, Any]:
    """What a person answers to the questions about a kind of file; enter leaves one open."""
    from speclint.starters.questions import QUESTIONS, falls_away, known_answers

    click.echo("Press enter to leave a question open.", err=True)
    index = workspace_beside(folder, file).index
    found: dict[str, Any] = {}
    for option_name, question in QUESTIONS[kind].items():
        if falls_away(kind, option_name, found):
            continue
        known = known_answers(option_name, found, index)
        listed = f" ({', '.join(known)})" if known else ""
        read = _answer_reader(
            option_name, known, folder, file, is_needed=option_name == "class_id" and "ruleset" in found
        )
        answer = click.prompt(f"{question}{listed}", default="", show_default=False, err=True, value_proc=read)
        if answer != "":
            found[option_name] = answer
    return found


def _answer_reader(
    option_name: str, known: tuple[str, ...], folder: "Folder", file: str, *, is_needed: bool
) -> Callable[[str], Any]:
    """Reads one answer, and refuses what cannot be one, so that the question is asked again."""
    from speclint.starters.neighbours import named_from
    from speclint.starters.questions import refuse_unknown

    def read(answer: str) -> Any:
        answer = answer.strip()
        try:
            if answer and option_name in ("motor", "garage"):
                named_from(folder, file, option_name, answer)
            elif answer or is_needed:
                refuse_unknown(answer, known)
        except UsageError as error:
            raise click.BadParameter(str(error)) from error
        types: dict[str, ParamType[Any]] = {"on": Day(), "turns": click.FLOAT}
        return types[option_name].convert(answer, None, None) if answer and option_name in types else answer

    return read
