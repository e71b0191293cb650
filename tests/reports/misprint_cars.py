"""What the tests of reports judge: the cars of `tests/data/misprints`."""

from datetime import date
from functools import cache
from typing import Final

from speclint.check.pipeline import check, gathered
from speclint.files import Folder
from speclint.findings import Tally
from speclint.workspace.overrides import Overrides
from tests.console import DATA

MISPRINTS: Final = DATA / "misprints"
CARS: Final = {
    "legal": ("legal.yaml",),
    "illegal": ("illegal.yaml",),
    "not-shown": ("not-shown.yaml",),
    "close-call": ("close-call.yaml",),
    "waived": ("waived.yaml",),
    "ended": ("ended.yaml",),
    "later": ("later.yaml",),
    "inspected": ("inspected.yaml",),
    "problems": ("broken.yaml", "mistyped.yaml", "no-entry.yaml"),
}


@cache
def findings(*files: str) -> Tally:
    folder = Folder(str(MISPRINTS))
    listing = folder.find(files)
    return gathered(check(listing.files, folder, Overrides(today=date(2026, 3, 1)), named=listing.named))
