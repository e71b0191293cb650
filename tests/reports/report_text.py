"""A whole report as text, of results that are all at hand."""

from collections.abc import Iterable
from typing import Any

from speclint.findings import Tally
from speclint.reports import Order, Paper, RunOptions
from speclint.reports.kinds import CHECK, KINDS, begin

_PAPER = Paper()

BY_NAME = {kind.name: kind for kind in KINDS}


def report_text(
    kind: str, end: Any, paper: Paper = _PAPER, *, command: str = CHECK, full: bool = False, only: str = ""
) -> str:
    """What a command writes of what it found."""
    report = begin(BY_NAME[kind], command, Order(paper, RunOptions(full=full, only=only)))
    results: Iterable[Any] = end.entries if isinstance(end, Tally) else ()
    return "".join([*(report.add(report.extract(result)) for result in results), *report.end(end)])


def kinds_of(command: str) -> tuple[str, ...]:
    """The names of the kinds that a command writes."""
    return tuple(kind.name for kind in KINDS if command in kind.modules)
