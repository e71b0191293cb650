"""The `lines` report: one line for each thing to mend, `file:line:column: message`, never wrapped, never coloured.

The form is that of the GNU Coding Standards, section 4.4 (Formatting Error Messages).
"""

from collections.abc import Iterable
from typing import Final

from speclint.findings import EntryResult, Tally
from speclint.plain import clipped, in_ascii, one_line
from speclint.reports import Order
from speclint.reports.check.remarks import (
    EntryRemarks,
    Remark,
    RemarksByCar,
    advice_remarks,
    coming_remarks,
    problem_remarks,
    remarks_on,
)

_LONGEST: Final = 4000
"""Signs of one line that are shown; a value that makes it longer is somebody's mistake."""


class Lines:
    """Writes what is illegal, not shown or a close call car by car, then what comes, problems and advice; nothing where all is well."""

    def __init__(self, order: Order) -> None:
        self._ascii_only = order.paper.ascii_only
        self._remarks = RemarksByCar()

    def extract(self, result: EntryResult) -> EntryRemarks:
        """The remarks on it."""
        return remarks_on(result)

    def add(self, extract: EntryRemarks) -> str:
        """The lines of the car before, once an entry of the next one comes."""
        return self._text(self._remarks.add(extract))

    def end(self, tally: Tally) -> str:
        """The lines of the last car, and one for each change to come, each problem and each piece of advice."""
        at_the_end = (*coming_remarks(tally), *problem_remarks(tally), *advice_remarks(tally))
        return self._text((*self._remarks.last(), *at_the_end))

    def _text(self, remarks: Iterable[Remark]) -> str:
        lines = (f"{remark.place}: {remark.weight.value}: {remark.text}" for remark in remarks)
        text = "".join(f"{one_line(clipped(line, _LONGEST))}\n" for line in lines)
        return in_ascii(text) if self._ascii_only else text


begin: Final = Lines
