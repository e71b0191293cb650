"""The `json` report of a gearing: `gearing/1`, one pair a line, in an order that never changes for the same input."""

from functools import partial
from typing import Final

from speclint.reports.gearing.fields import REPORT
from speclint.reports.json_text import whole

begin: Final = partial(whole, REPORT)
