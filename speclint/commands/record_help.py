"""What the help of `speclint log` says that an option takes, and how the many options of a car of an inspection are listed."""

from collections.abc import Iterable, Iterator
from typing import Final

import click

from speclint.logbook.fields import RecordField, Shape, fields_of
from speclint.logbook.kinds import KINDS_BY_NAME

_METAVARS: Final = {
    Shape.TEXT: "TEXT",
    Shape.NUMBER: "NUMBER",
    Shape.RATIO: "NUMBER|TEETH/TEETH",
    Shape.LABEL: "NUMBER|WORD",
    Shape.READING: "NUMBER[@INSTRUMENT]",
    Shape.SEVERAL: "NUMBER[,NUMBER...][@INSTRUMENT]",
    Shape.WORDS: "WORD[,WORD...]",
    Shape.ANSWER: "yes|no",
    Shape.NAMED: "NAME=VALUE[,NAME=VALUE...]",
}
_METAVARS_OF_KEYS: Final = {
    "date": "DAY", "class": "ID", "setup": "FILE|none", "at": "HH:MM", "instrument": "INSTRUMENT",
    "thermometer": "INSTRUMENT", "track": "ID", "ruling": "passed|failed",
}  # fmt: skip
"""Of texts that are of one kind."""


def metavar_of(field: RecordField) -> str:
    """What the option of a field takes, in short."""
    return (field.shape is Shape.TEXT and _METAVARS_OF_KEYS.get(field.key)) or _METAVARS[field.shape]


class CarCommand(click.Command):
    """The command that puts a car into an inspection: of what can be read on a car its help has the names alone."""

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """What says which car it is and what was looked at in full, and the readings by their sections."""
        sections: dict[str, list[str]] = {}
        fields = {field.option: field for field in fields_of(KINDS_BY_NAME[self.name or ""])}
        rows = []
        for param in self.get_params(ctx):
            field = fields.get(param.opts[0])
            if field is not None and field.path[0] == "readings":
                section = " ".join(str(step) for step in field.path[1:-1] if step != 0).replace("_", " ") or "extra"
                sections.setdefault(section, []).append(f"{field.option} {metavar_of(field).partition('[')[0]}")
            elif (row := param.get_help_record(ctx)) is not None:
                rows.append(row)
        with formatter.section("Options"):
            formatter.write_dl(rows)
        with formatter.section("What was read, a NUMBER perhaps with @INSTRUMENT behind it"):
            formatter.write_text("`speclint explain mass_g` tells what a key is, in which unit, and what is usual.")
            for section, options in sections.items():
                for line in _filled([f"{section}:", *options], formatter.width - formatter.current_indent - 2):
                    formatter.write(f"{' ' * formatter.current_indent}{line}\n")


def _filled(words: Iterable[str], width: int) -> Iterator[str]:
    """Words in lines of a width, those behind the first indented; an option stays with what it takes."""
    line = ""
    for word in words:
        if line and len(line) + 1 + len(word) > width:
            yield line
            line = " "
        line = f"{line} {word}" if line else word
    yield line
