"""The `csv` report of a check: a row for each check, as RFC 4180 writes it, for a spreadsheet."""

import re
from collections.abc import Callable
from typing import Any, Final, NamedTuple

from speclint.findings import EntryResult, Tally
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

_FORMULA: Final = re.compile(r"[=+\-@\t\r]")
"""How a text begins that a spreadsheet would take for something to work out."""

_NEEDS_QUOTES: Final = re.compile(r'[",\r\n]')

_MARK: Final = "\ufeff"
"""By which a spreadsheet knows that the text is UTF-8."""


class CsvReport:
    """Writes the rows of an entry as soon as it is judged."""

    def __init__(self) -> None:
        self._before = f"{_MARK}{_row(name for name, _ in _COLUMNS)}"

    def entry(self, result: EntryResult) -> str:
        """A row for each of its checks."""
        before, self._before = self._before, ""
        return before + "".join(
            _row(_cell(value(_CheckedRule(result, check))) for _, value in _COLUMNS) for check in result.checks
        )

    def end(self, _: Tally) -> str:
        """The heading, where there was no entry."""
        return self._before


def begin(_: Order) -> CsvReport:
    """The report; it is the same on any paper."""
    return CsvReport()


def _row(cells: Any) -> str:
    return ",".join(cells) + "\r\n"


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
