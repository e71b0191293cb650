"""Every kind of report there is, for which commands, and under which ending it is saved."""

import re
from collections.abc import Iterable, Mapping
from importlib import import_module
from types import MappingProxyType
from typing import Any, Final, NamedTuple

from speclint.errors import UsageError
from speclint.reports import Order, Report


class Kind(NamedTuple):
    """A kind of report.

    Attributes:
        name: what `--report` calls it.
        about: what it is, in a few words.
        ending: how a file ends that `--save` writes it into.
        is_printed: whether `--report` puts it on standard output.
        known_by: a pattern in the first or the last signs of such a report, by which it is told from another's file.
        modules: the module that writes it, by the command that it is for; `begin` in it makes a `Report`.
        leaves_out: options of `check` whose answer has no place in it, with the reason.
    """

    name: str
    about: str
    ending: str
    is_printed: bool
    known_by: str
    modules: Mapping[str, str]
    leaves_out: Mapping[str, str] = MappingProxyType({})


def _modules(name: str, *commands: str) -> dict[str, str]:
    rooms = {"compare": "comparison"}
    return {command: f"speclint.reports.{rooms.get(command, command)}.{name}" for command in commands}


CHECK, GEARING, COMPARE = COMMANDS = ("check", "gearing", "compare")
"""The commands with a report."""

KINDS: Final = (
    Kind("text", "for people", ".txt", True, r"race director have the last word\.\s*\Z",
         _modules("text", CHECK, GEARING, COMPARE)),
    Kind("lines", "a line for each thing to mend: file:line:column: message", "", True, "", _modules("lines", CHECK)),
    Kind("json", "for programs", ".json", True, r'\A\{"format": "[a-z]+/1",\s*"tool": \{"name": "speclint"',
         _modules("json_report", CHECK, GEARING, COMPARE)),
    Kind("html", "a page to look at and to print", ".html", False, '<meta name="generator" content="speclint',
         _modules("page", CHECK, GEARING)),
    Kind("csv", "a row for each check, for a spreadsheet", ".csv", False, r"\A\ufefffile,name,ruleset,",
         _modules("csv_report", CHECK)),
    Kind("annotations", "for the log of a CI job: the ten worst beside the lines that they are about", "", True, "",
         _modules("annotations", CHECK)),
    Kind("markdown", "a summary for a CI job, and the changes of a ruleset", ".md", False, r"<!-- speclint [a-z]+ -->\s*\Z",
         _modules("markdown", CHECK, COMPARE)),
    Kind("sarif", "for code scanning (SARIF 2.1.0)", ".sarif", False,
         r'\A\{"\$schema": "[^"]+", "version": "2\.1\.0",\s*"runs": \[\s*\{"tool": \{"driver": \{"name": "speclint"',
         _modules("sarif", CHECK), {"--coming": "code scanning follows what is wrong now"}),
    Kind("junit", "for tables of tests (JUnit)", ".xml", False, r'<testsuites name="speclint"', _modules("junit", CHECK),
         {"--coming": "a table of tests has the verdicts of now"}),
)  # fmt: skip
"""Every kind, in the order in which they are named to people."""


def printed(command: str) -> dict[str, Kind]:
    """The kinds that a command puts on standard output, by name."""
    return {kind.name: kind for kind in KINDS if kind.is_printed and command in kind.modules}


def saved(command: str) -> dict[str, Kind]:
    """The kinds that a command saves, by the ending of the file."""
    return {kind.ending: kind for kind in KINDS if kind.ending and command in kind.modules}


def refuse_left_out(kinds: Iterable[Kind], option: str) -> None:
    """Nothing, where the answer to an option of `check` has a place in every one of these kinds.

    Raises:
        UsageError: it has none in one of them; leaving it out in silence would look like an answer.
    """
    for kind in kinds:
        if option in kind.leaves_out:
            takers = ", ".join(
                taker.name for taker in KINDS if CHECK in taker.modules and option not in taker.leaves_out
            )
            raise UsageError(
                f"{option} has no place in a {kind.name} report: {kind.leaves_out[option]}; leave out one of the two,"
                f" or ask for {takers}"
            )


def is_such_a_report(kind: Kind, ends: str) -> bool:
    """Whether a file is a report of the kind.

    Args:
        kind: the kind.
        ends: the first thousands of signs of the file, and the last ones.
    """
    return re.search(kind.known_by, ends) is not None


def begin(kind: Kind, command: str, order: Order) -> Report[Any, Any, Any]:
    """A report of a kind; what it takes in is what the command finds."""
    report: Report[Any, Any, Any] = import_module(kind.modules[command]).begin(order)
    return report
