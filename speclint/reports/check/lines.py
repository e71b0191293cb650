"""The `lines` report: one line for each thing to mend, `file:line:column: message`, never wrapped, never coloured.

The form is that of the GNU Coding Standards, section 4.4 (Formatting Error Messages).
"""

from collections.abc import Iterable
from typing import Final

from speclint.findings import EntryResult, Tally
from speclint.plain import clipped, in_ascii, one_line
from speclint.reports import Order, Paper
from speclint.reports.check.remarks import (
    Remark,
    advice_remarks,
    coming_remarks,
    entry_remarks,
    of_all_days,
    problem_remarks,
)

_LONGEST: Final = 4000
"""Signs of one line that are shown; a value that makes it longer is somebody's mistake."""


class Lines:
    """Writes what is illegal, not shown or a close call car by car, then what comes, problems and advice; nothing where all is well."""

    def __init__(self, paper: Paper) -> None:
        self._ascii_only = paper.ascii_only
        self._car = ""
        self._remarks: list[Remark] = []

    def entry(self, result: EntryResult) -> str:
        """The lines of the car before, once an entry of the next one comes."""
        text = "" if result.file == self._car else self._car_text()
        self._car = result.file
        self._remarks += entry_remarks(result)
        return text

    def end(self, tally: Tally) -> str:
        """The lines of the last car, and one for each change to come, each problem and each piece of advice."""
        return self._car_text() + self._text((*coming_remarks(tally), *problem_remarks(tally), *advice_remarks(tally)))

    def _car_text(self) -> str:
        remarks, self._remarks = of_all_days(self._remarks), []
        return self._text(remarks)

    def _text(self, remarks: Iterable[Remark]) -> str:
        lines = (f"{remark.place}: {remark.weight.value}: {remark.text}" for remark in remarks)
        text = "".join(f"{one_line(clipped(line, _LONGEST))}\n" for line in lines)
        return in_ascii(text) if self._ascii_only else text


def begin(order: Order) -> Lines:
    """The report."""
    return Lines(order.paper)
