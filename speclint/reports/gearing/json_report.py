"""The `json` report of a gearing: `gearing/1`, one pair a line, in an order that never changes for the same input."""

from speclint.gearing.plan import Plan
from speclint.reports import Order, Paper, Whole
from speclint.reports.gearing.fields import REPORT
from speclint.reports.json_text import document


def render(plan: Plan, paper: Paper) -> str:
    """The report as text; of the paper it matters only whether it takes more than ASCII."""
    return document(REPORT.fields, plan, ascii_only=paper.ascii_only)


def begin(order: Order) -> Whole[Plan]:
    """The report."""
    return Whole(render, order)
