"""The `csv` report of a check: a row for each check, as RFC 4180 writes it, for a spreadsheet.

Where days to come are asked about there is a last column `coming`: empty in the row of a check, and in a row for each change
on these days it says what changes.
"""

import re
from collections.abc import Callable, Iterable
from typing import Any, Final, NamedTuple

from speclint.findings import ComingChange, EntryResult, Tally
from speclint.plain import one_line
from speclint.reports import Order
from speclint.reports.check.fields import declared_value, judged_value, margin, unit_code
from speclint.rules.checks import Check
from speclint.rules.wording import asks, message, title


class _CheckedRule(NamedTuple):
    """What a row is about."""

    entry: EntryResult
    check: Check


_COLUMNS: Final[tuple[tuple[str, Callable[[_CheckedRule], Any]], ...]] = (
    ("file", lambda row: row.entry.file),
    ("name", lambda row: row.entry.name),
    ("ruleset", lambda row: row.entry.flat.ruleset.id),
    ("version", lambda row: row.entry.flat.ruleset.version),
    ("class", lambda row: row.entry.flat.id),
    ("on", lambda row: row.entry.on.isoformat()),
    ("entry_verdict", lambda row: row.entry.verdict.value),
    ("rule", lambda row: row.check.rule.id),
    ("clause", lambda row: row.check.rule.cite),
    ("what", lambda row: title(row.check)),
    ("verdict", lambda row: row.check.verdict.value),
    ("value", lambda row: judged_value(row.check)),
    ("expanded_uncertainty", lambda row: row.check.outcome and row.check.outcome.expanded_uncertainty),
    ("unit", lambda row: unit_code(row.check)),
    ("limit", lambda row: asks(row.check)),
    ("margin", lambda row: margin(row.check)),
    ("close_call", lambda row: row.check.close_call),
    ("declared", lambda row: declared_value(row.entry, row.check)),
    ("message", lambda row: message(row.check)),
)

_OF_CHANGES: Final[dict[str, Callable[[ComingChange], Any]]] = {
    "file": lambda change: change.file,
    "name": lambda change: change.name,
    "ruleset": lambda change: change.book.partition("/")[0],
    "class": lambda change: change.book.partition("/")[2],
    "on": lambda change: change.on.isoformat(),
    "verdict": lambda change: change.verdict and change.verdict.value,
    "message": lambda change: change.text,
}
"""What a row for a change says; its other cells are empty."""

_COMING: Final = "coming"

_FORMULA: Final = re.compile(r"[=+\-@\t\r]")
"""How a text begins that a spreadsheet would take for something to work out."""

_NEEDS_QUOTES: Final = re.compile(r'[",\r\n]')

_MARK: Final = "\ufeff"
"""By which a spreadsheet knows that the text is UTF-8."""


class CsvReport:
    """Writes the rows of an entry as soon as it is judged, those of what comes at the end."""

    def __init__(self, order: Order) -> None:
        self._tells_coming = order.asked.coming is not None
        self._before = f"{_MARK}{self._row(_COMING, (name for name, _ in _COLUMNS))}"

    def extract(self, result: EntryResult) -> str:
        """A row for each of its checks."""
        return "".join(
            self._row("", (_cell(value(_CheckedRule(result, check))) for _, value in _COLUMNS))
            for check in result.checks
        )

    def add(self, extract: str) -> str:
        """The rows, the first under the heading."""
        before, self._before = self._before, ""
        return before + extract

    def end(self, tally: Tally) -> str:
        """The heading, where there was no entry, and a row for each change to come."""
        return self._before + "".join(
            self._row(change.sort.value, (_cell(_OF_CHANGES.get(name, _nothing)(change)) for name, _ in _COLUMNS))
            for change in tally.coming
        )

    def _row(self, coming: str, cells: Iterable[str]) -> str:
        return ",".join((*cells, coming) if self._tells_coming else cells) + "\r\n"


begin: Final = CsvReport


def _nothing(_: ComingChange) -> None:
    """Where a row has nothing to say."""


def _cell(value: Any) -> str:
    """A value as one cell: text on one line and never a formula, several values one after another, nothing for none."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return repr(value)
    text = one_line("; ".join(map(str, value)) if isinstance(value, list) else str(value))
    if _FORMULA.match(text):
        text = f"'{text}"
    return f'"{text.replace(chr(34), chr(34) * 2)}"' if _NEEDS_QUOTES.search(text) else text
