"""The `json` report of a comparison: `comparison/1`, in an order that never changes for the same input."""

from speclint.comparison.findings import ComparisonFindings
from speclint.reports import Order, Whole
from speclint.reports.comparison.fields import REPORT
from speclint.reports.json_text import whole


def begin(order: Order) -> Whole[ComparisonFindings]:
    """The report."""
    return whole(REPORT, order)
