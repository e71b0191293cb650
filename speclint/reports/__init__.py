"""Reports: findings as text, one module a kind. A report is made when its kind is asked for."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from speclint.findings import Findings


@dataclass(frozen=True, slots=True)
class Paper:
    """What a report is written on: how wide it is, whether it takes colour, and whether only ASCII can be shown."""

    width: int = 100
    colour: bool = False
    ascii_only: bool = False


KINDS: Final = {
    "text": ("speclint.reports.text", "a slip for each entry, for people"),
    "lines": ("speclint.reports.lines", "a line for each thing to mend: file:line:column: message"),
    "json": ("speclint.reports.json_report", "report/1, for programs"),
    "html": ("speclint.reports.check.page", "inspection slips to print, and an index of a field"),
}
"""Every kind of report by name: the module that writes it, and what it is for."""


def write(kind: str, findings: "Findings", paper: Paper) -> str:
    """The findings as a report of the kind, which is one of `KINDS`."""
    render: Callable[[Findings, Paper], str] = import_module(KINDS[kind][0]).render
    return render(findings, paper)
