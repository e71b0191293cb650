"""The `json` report of a comparison: `comparison/1`, in an order that never changes for the same input."""

from functools import partial
from typing import Final

from speclint.reports.comparison.fields import REPORT
from speclint.reports.json_text import whole

begin: Final = partial(whole, REPORT)
