"""The `json` report of a comparison: `comparison/1`, in an order that never changes for the same input."""

from speclint.comparison.findings import ComparisonFindings
from speclint.reports import Order, Paper, Whole
from speclint.reports.comparison.fields import REPORT
from speclint.reports.json_text import document


def render(findings: ComparisonFindings, paper: Paper) -> str:
    """The report as text; of the paper it matters only whether it takes more than ASCII."""
    return document(REPORT.fields, findings, ascii_only=paper.ascii_only)


def begin(order: Order) -> Whole[ComparisonFindings]:
    """The report."""
    return Whole(render, order)
