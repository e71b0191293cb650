"""Reports of a gearing: one module a kind. A report is made when its kind is asked for."""

from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING, Final

from speclint.reports import Paper

if TYPE_CHECKING:
    from speclint.gearing.plan import Plan

KINDS: Final = {
    "text": ("speclint.reports.gearing.text", "for people at a terminal"),
    "json": ("speclint.reports.gearing.json_report", "gearing/1, for programs"),
    "page": ("speclint.reports.gearing.page", "one HTML page with plots"),
}
"""Every kind of report by name: the module that writes it, and what it is for."""


def write(kind: str, plan: "Plan", paper: Paper) -> str:
    """The gearing as a report of the kind, which is one of `KINDS`."""
    render: Callable[[Plan, Paper], str] = import_module(KINDS[kind][0]).render
    return render(plan, paper)
