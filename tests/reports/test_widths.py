"""Every example at the widths of terminals: no line is wider, no word is cut or lost, and no number parts from its unit."""

import re
from datetime import date
from functools import cache

import pytest

from speclint.check.pipeline import check, gathered
from speclint.files import Folder
from speclint.findings import Tally
from speclint.plain import columns
from speclint.reports import Paper
from speclint.workspace.overrides import Overrides
from tests.console import ROOT
from tests.reports.report_text import report_text

WORDS = re.compile(r"[\w.%°/-]+")
HEADINGS = frozenset(
    ["car", "the", "has", "rule", "asks", "margin", "clause", "verdict", "what", "decides", "it", "legal"]
)
"""Words that stand in a table alone, which a narrow paper has no room for."""


@cache
def examples() -> Tally:
    folder = Folder(str(ROOT))
    listing = folder.find(("examples/cars", "examples/setups"))
    return gathered(check(listing.files, folder, Overrides(today=date(2026, 3, 14)), named=listing.named))


@pytest.mark.parametrize("full", [False, True])
@pytest.mark.parametrize("width", [60, 80, 100, 140])
def test_every_example_reads_at_the_width(width: int, full: bool) -> None:
    text = report_text("text", examples(), Paper(width=width), full=full)
    assert max(map(columns, text.splitlines())) <= width
    wide = set(WORDS.findall(report_text("text", examples(), Paper(width=2000), full=full)))
    assert wide - set(WORDS.findall(text)) <= HEADINGS
    assert not re.search(r"(?:^|  )(?:mm|mΩ|g|V|A|mAh|rpm/V) (?:to spare|short|over)", text, re.MULTILINE)
