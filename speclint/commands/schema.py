"""`speclint schema`: the schemas by which an editor helps to write a file, printed or laid beside the files."""

from pathlib import Path

import click

from speclint.commands.completion import FILE
from speclint.commands.shell import CONTEXT, note
from speclint.errors import UsageError, WriteRefusedError, reason_of
from speclint.spelling import known_words


@click.command(context_settings=CONTEXT)
@click.argument("kind", required=False)
@click.option(
    "--copy", "folder", type=FILE, metavar="DIR", help="Write them into this folder, all where no KIND is named."
)
def schema(kind: str | None, folder: str | None) -> None:
    """The JSON Schema of a KIND of file: setup, motor, garage, ruleset, inspection, or a report.

    An editor with a YAML server takes the one that the first line of a file names:
    # yaml-language-server: $schema=../schemas/setup-1.schema.json

    With --copy they are laid into a folder; without KIND and --copy their names are listed.
    """
    from speclint.resources import schema_text
    from speclint.schemas import DOCUMENTS, file_name
    from speclint.whole_files import staged

    kinds = {name.rpartition("-")[0]: name for name in DOCUMENTS}
    if kind is not None and kinds.get(kind) is None:
        raise UsageError(f"there is no schema {kind}{known_words(kind, kinds)}")
    names = tuple(kinds.values()) if kind is None else (kinds[kind],)
    if folder is None:
        click.echo("\n".join(kinds) + "\n" if kind is None else schema_text(names[0]), nl=False)
        return
    top = Path(folder)
    try:
        top.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise UsageError(f"{folder} cannot be made: {reason_of(error)}") from error
    for name in names:
        file = top / file_name(name)
        with staged(str(file), str(file.absolute())) as new_file:
            try:
                new_file.write(schema_text(name).encode())
                new_file.replace()
            except OSError as error:
                raise WriteRefusedError(f"{file} cannot be written: {reason_of(error)}") from error
        note(f"{file} is written")
