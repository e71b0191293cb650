"""The `json` report of a gearing: `gearing/1`, one pair a line, in an order that never changes for the same input."""

from speclint.gearing.plan import Plan
from speclint.reports import Order, Whole
from speclint.reports.gearing.fields import REPORT
from speclint.reports.json_text import whole


def begin(order: Order) -> Whole[Plan]:
    """The report."""
    return whole(REPORT, order)
