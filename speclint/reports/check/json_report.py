"""The `json` report of a check: `report/1`, one entry a line as they come, in an order that never changes for the same input."""

from typing import Final

from speclint.findings import EntryResult, Tally
from speclint.reports import Order
from speclint.reports.check.fields import ENTRY, HEAD, TAIL
from speclint.reports.json_text import dumped, members


class JsonReport:
    """Writes an entry as soon as it is judged; of the paper it matters only whether it takes more than ASCII."""

    def __init__(self, order: Order) -> None:
        self._ascii_only = order.paper.ascii_only
        self._before = f'{{{members(HEAD, order.asked, ascii_only=self._ascii_only)},\n "entries": ['
        self._has_entries = False

    def extract(self, result: EntryResult) -> str:
        """The entry as JSON."""
        return dumped(ENTRY.json(result), ascii_only=self._ascii_only)

    def add(self, extract: str) -> str:
        """One line."""
        before, self._before = self._before, ""
        comma, self._has_entries = ",\n  " if self._has_entries else "\n  ", True
        return f"{before}{comma}{extract}"

    def end(self, tally: Tally) -> str:
        """What was found beside the entries."""
        closed = "\n ]" if self._has_entries else "]"
        return f"{self._before}{closed},\n {members(TAIL, tally, ascii_only=self._ascii_only)}}}\n"


begin: Final = JsonReport
