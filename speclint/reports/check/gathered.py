"""A report that needs all entries at hand before its first line."""

from collections.abc import Callable

from speclint.findings import EntryResult, Findings, Tally
from speclint.reports import Order, Paper


class Gathered:
    """Keeps the entries until the end of the run, and then writes everything."""

    def __init__(self, render: Callable[[Findings, Paper], str], order: Order) -> None:
        self._render = render
        self._paper = order.paper
        self._entries: list[EntryResult] = []

    def entry(self, result: EntryResult) -> str:
        """Nothing yet."""
        self._entries.append(result)
        return ""

    def end(self, tally: Tally) -> str:
        """The report."""
        return self._render(tally.with_entries(self._entries), self._paper)
