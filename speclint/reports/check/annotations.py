"""The `annotations` report: workflow commands that put remarks beside the lines of a change, and the rest as plain lines.

A CI service shows ten errors and ten warnings of a step, so that the ten worst are annotations. The form of a command is
that which GitHub Actions documents: `::error file=…,line=…::message`, with %, CR and LF escaped, in its settings : and , too.
"""

from collections.abc import Iterator
from typing import Final

from speclint.findings import EntryResult, Tally
from speclint.plain import clipped, in_ascii, one_line
from speclint.reports import Order, Spool
from speclint.reports.check.remarks import (
    EntryRemarks,
    FirstRemarks,
    Remark,
    RemarksByCar,
    Weight,
    advice_remarks,
    coming_remarks,
    problem_remarks,
    remarks_on,
)

_MOST: Final = 10
_LONGEST: Final = 4000
"""Signs of one message that are shown."""

_COMMANDS: Final = {
    Weight.ILLEGAL: "error",
    Weight.PROBLEM: "error",
    Weight.NOT_SHOWN: "warning",
    Weight.CLOSE_CALL: "warning",
    Weight.DIFFERS: "warning",
    Weight.COMING: "notice",
    Weight.ADVICE: "notice",
}


class Annotations:
    """Writes nothing before the end: the ten worst come first. What is no candidate for these is put aside as a line."""

    def __init__(self, order: Order) -> None:
        self._ascii_only = order.paper.ascii_only
        self._order = order
        self._by_car = RemarksByCar()
        self._first = FirstRemarks(_MOST)
        self._lines: Spool | None = None
        self._numbers: dict[Weight, list[int]] = {weight: [] for weight in Weight}

    def extract(self, result: EntryResult) -> EntryRemarks:
        """The remarks on it."""
        return remarks_on(result)

    def add(self, extract: EntryRemarks) -> str:
        """Nothing yet."""
        for remark in self._by_car.add(extract):
            self._sort_in(remark)
        return ""

    def end(self, tally: Tally) -> Iterator[str]:
        """The ten worst remarks as commands, the others as lines, and how many these are."""
        for remark in (*self._by_car.last(), *problem_remarks(tally), *advice_remarks(tally), *coming_remarks(tally)):
            self._sort_in(remark)
        for remark in self._first.of(*Weight)[:_MOST]:
            yield self._on_paper(_command(remark, tally))
        commands = _MOST
        for weight in Weight:
            first = self._first.of(weight)
            yield from (self._on_paper(_line(remark)) for remark in first[commands:])
            commands = max(commands - len(first), 0)
            if self._lines is not None:
                yield from (self._on_paper(self._lines.get(number)) for number in self._numbers[weight])
        rest = sum(self._first.counts.values()) - _MOST
        if rest > 0:
            yield self._on_paper(f"::notice title=speclint::{rest} more: the log of this step has them all")

    def _sort_in(self, remark: Remark) -> None:
        if self._first.add(remark):
            return
        if self._lines is None:
            self._lines = self._order.spool()
        self._numbers[remark.weight].append(self._lines.put(_line(remark)))

    def _on_paper(self, line: str) -> str:
        return f"{in_ascii(line) if self._ascii_only else line}\n"


begin: Final = Annotations


def _line(remark: Remark) -> str:
    return f"{remark.place}: {remark.weight.value}: {_shown(remark.text)}"


def _command(remark: Remark, tally: Tally) -> str:
    place, document = remark.place, tally.document_of(remark.place.file)
    settings = {"file": place.file, "line": place.line}
    if document is not None:
        line, column = document.end_of(place)
        settings |= {"endLine": line, "col": place.column, "endColumn": column}
    settings["title"] = f"speclint: {remark.weight.value}"
    text = ",".join(f"{name}={_setting(value)}" for name, value in settings.items())
    return f"::{_COMMANDS[remark.weight]} {text}::{_shown(remark.text).replace('%', '%25')}"


def _setting(value: object) -> str:
    return _shown(str(value)).replace("%", "%25").replace(":", "%3A").replace(",", "%2C")


def _shown(text: str) -> str:
    return one_line(clipped(text, _LONGEST))
