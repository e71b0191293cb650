"""`speclint start`: a commented file to start from."""

import os
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from speclint.commands.completion import FILE
from speclint.commands.misspelt import KnownWord
from speclint.commands.shell import (
    CONTEXT,
    DAY,
    NEW_FILE,
    Typed,
    current_folder,
    note,
    say,
    talks_to_a_person,
    workspace_beside,
)
from speclint.errors import UsageError
from speclint.starters.options import KINDS
from speclint.starters.typed import typed_turns

_DEMO: Final = "demo"

if TYPE_CHECKING:
    from speclint.files import Folder
    from speclint.workspace.ruleset_index import RulesetIndex


@click.command(context_settings=CONTEXT)
@click.argument("kind", type=KnownWord((*KINDS, _DEMO)))
@click.argument("path", required=False, type=FILE, metavar="[PATH]")
@click.option("--name", help="What you call it; the title of a ruleset, the event of an inspection.")
@click.option(
    "--ruleset",
    metavar="NAME",
    help="Setup, motor: write the keys that the rules of a class of it rest on; inspection: what its rules want read. An id,"
    " id@version or a file.",
)
@click.option("--class", "class_id", metavar="ID", help="The class of that ruleset; of a new ruleset its first class.")
@click.option("--on", type=DAY, help="The race day; of a new ruleset its first day in force. [default: today]")
@click.option("--track", metavar="ID", help="Setup, garage, inspection: the track.")
@click.option("--venue", metavar="WORD", help="Setup, inspection: where it is run, in words that the rules test.")
@click.option("--motor", type=FILE, metavar="FILE", help="Setup: the file of its motor, as a path from here.")
@click.option("--garage", type=FILE, metavar="FILE", help="Setup: the file of the garage, as a path from here.")
@click.option("--turns", type=Typed("number", typed_turns), help="Motor: its turns.")
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
    if not options and not no_questions and talks_to_a_person(sys.stdout):
        options = _answers(kind, folder, file)
    for reference in ("motor", "garage"):
        if reference in options and kind == "setup":
            options[reference] = named_from(folder, file, reference, options[reference])
    asked = StarterOptions(today=date.today(), **options)
    text = starting_text(
        kind, asked, lambda reference: workspace_beside(folder, file, reference), schema_for(folder, file, kind), file
    )
    if path is None:
        # As bytes: a document is UTF-8 whatever the terminal speaks.
        click.echo(text.encode(), nl=False)
    else:
        write_new(file, folder.full(path), text)
        say(f"{file} is written: `speclint check {file}` tells what it still lacks", err=True)
    if asked.ruleset and _comes_with_speclint(folder, file, asked.ruleset):
        note(
            f"{asked.ruleset} comes with speclint to try things on, and judges no car: put your club's ruleset into a folder"
            " rulesets/ beside the file or above it, or try it all with `speclint start demo DIR`"
        )


def _lay_out(folder: "Folder", path: str | None, given: dict[str, Any]) -> None:
    """Writes the demonstration into a folder that is not there, or has nothing in it but git's own."""
    from speclint.resources import example_text, ruleset_texts
    from speclint.starters.demo import demo_files
    from speclint.starters.start import option
    from speclint.whole_folders import fill_folder

    if path is None:
        raise UsageError("name the folder that the demonstration goes into: `speclint start demo my-team`")
    for option_name, value in given.items():
        if value not in (None, ""):
            raise UsageError(f"{option(option_name)} does not go with start demo")
    target = Path(path).absolute()
    files = {name: text.encode() for name, text in demo_files(example_text, ruleset_texts())}
    fill_folder(folder.shown(path), str(target), files)
    is_here = target.samefile(Path.cwd())
    where, enter = ("here", "") if is_here else (f"in {path}", f"  cd {path}\n")
    click.echo(f"a team's repository is laid out {where}. Next:\n{enter}  speclint check cars", err=True)


def _comes_with_speclint(folder: "Folder", file: str, reference: str) -> bool:
    """Whether no ruleset of this id is in the repository around a file."""
    from speclint.workspace.ruleset_index import BUNDLED

    id_ = reference.partition("@")[0]
    index = workspace_beside(folder, file, reference).index
    files = [ruleset.place.file for ruleset in index.rulesets if ruleset.id == id_]
    return bool(files) and all(name.startswith(BUNDLED) for name in files)


def _answers(kind: str, folder: "Folder", file: str) -> dict[str, Any]:
    """What a person answers to the questions about a kind of file; enter leaves one open.

    Every answer is looked at as soon as it is given, so that none is lost to a later one.
    """
    from speclint.starters.questions import QUESTIONS, falls_away, known_answers

    say("Press enter to leave a question open.", err=True)
    index = workspace_beside(folder, file).index
    answers: dict[str, Any] = {}
    for option_name, question in QUESTIONS[kind].items():
        if falls_away(kind, option_name, answers):
            continue
        possible = known_answers(option_name, answers, index)
        files = _files_of(folder, option_name) if option_name in _FILES else ()
        listed = f" ({', '.join(possible or files)})" if possible or files else ""
        read = _answer_reader(option_name, possible, answers, index, folder, file)
        answer = click.prompt(f"{question}{listed}", default="", show_default=False, err=True, value_proc=read)
        if answer != "":
            answers[option_name] = answer
    return answers


_FILES: Final = ("motor", "garage")
_MOST_FILES: Final = 12


def _files_of(folder: "Folder", kind: str) -> tuple[str, ...]:
    """The files of a kind under the current folder, to choose from; none where there are too many to read."""
    files = tuple(text.file for text in folder.find((".",)).files if text.declares == kind)
    return files if len(files) <= _MOST_FILES else ()


def _answer_reader(
    option_name: str,
    possible: tuple[str, ...],
    answers: dict[str, Any],
    index: "RulesetIndex",
    folder: "Folder",
    file: str,
) -> Callable[[str], Any]:
    """Reads one answer, and refuses what cannot be one, so that the question is asked again."""
    from speclint.starters.neighbours import named_from
    from speclint.starters.questions import refuse_unknown, typed

    def read(text: str) -> Any:
        text = text.strip()
        try:
            if possible or not text:
                refuse_unknown(text, possible, is_needed=option_name == "class_id" and "ruleset" in answers)
            if not text:
                return ""
            if option_name in _FILES:
                named_from(folder, file, option_name, text)
            return typed(option_name, text, answers, index)
        except UsageError as error:
            raise click.BadParameter(str(error)) from error

    return read
