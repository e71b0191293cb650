"""The tables of README.md and of guides that come from the code, and these texts with their tables brought up to date."""

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Final

from speclint import cli
from speclint.commands import shell
from speclint.quantities.registry import QUANTITIES
from speclint.readings.digits import UNITS
from speclint.reports.kinds import KINDS
from speclint.structure.shapes.rule import asking_shapes

_MARKED: Final = re.compile(r"(?<=^<!-- table: )(\w+)( -->\n)(?:.*?)(?=^<!-- end -->$)", re.MULTILINE | re.DOTALL)


def with_current_tables(text: str) -> str:
    """The text with each table between `<!-- table: NAME -->` and `<!-- end -->` made anew.

    Raises:
        KeyError: there is no table of that name.
    """
    return _MARKED.sub(lambda match: f"{match[1]}{match[2]}{TABLES[match[1]]()}", text)


def _table(headings: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [headings, tuple("---" for _ in headings), *rows]
    return "".join(f"| {' | '.join(cell.replace('|', '&#124;') for cell in line)} |\n" for line in lines)


def _limits() -> str:
    return _table(
        ("limit", "meaning", "example"),
        (
            (f"`{key}`", shape["description"], f"`{_flow(shape['examples'][0])}`")
            for key, shape in asking_shapes().items()
        ),
    )


def _flow(value: object) -> str:
    """A value as YAML writes it on one line."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {_flow(member)}" for key, member in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(_flow(member) for member in value) + "]"
    return str(value).lower() if isinstance(value, bool) else str(value)


def _quantities() -> str:
    return _table(
        ("quantity", "unit", "meaning"),
        ((f"`{quantity.name}`", UNITS[quantity.unit].sign.strip(), quantity.about) for quantity in QUANTITIES),
    )


def _reports() -> str:
    return _table(
        ("kind", "for", "`--report`", "`--save`", "of"),
        (
            (
                kind.name,
                kind.about,
                f"`{kind.name}`" if kind.is_printed else "",
                f"`FILE{kind.ending}`" if kind.ending else "",
                ", ".join(f"`{command}`" for command in kind.modules),
            )
            for kind in KINDS
        ),
    )


def _commands() -> str:
    return _table(("command", "does"), ((f"`speclint {name}`", about) for name, about in cli.COMMANDS.items()))


def _exits() -> str:
    meanings = {
        0: "nothing is illegal, and no file has a problem",
        shell.EXIT_FAILED: "something is illegal, or a file has a problem; under `--strict` also a close call,"
        " something that is not shown, or advice on a ruleset",
        shell.EXIT_USAGE: "the command could not run as asked: a wrong option, nothing to check, a path that cannot be read",
        shell.EXIT_DEFECT: "a defect of speclint, with a request to report it",
        cli.EXIT_INTERRUPTED: "interrupted",
    }
    return _table(("status", "meaning"), ((str(status), meaning) for status, meaning in meanings.items()))


TABLES: Final[Mapping[str, Callable[[], str]]] = {
    "limits": _limits,
    "quantities": _quantities,
    "reports": _reports,
    "commands": _commands,
    "exits": _exits,
}
"""Every table by the name that README.md calls it by."""
