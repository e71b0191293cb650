"""The `markdown` report of a comparison: of two rulesets a changelog to publish, of anything else the sheet as it is printed."""

from collections.abc import Iterable, Iterator

from speclint.comparison.findings import ComparisonFindings
from speclint.comparison.of_rulesets import RulesetComparison
from speclint.plain import one_line
from speclint.reports import LAST_WORD, Order, Paper, Whole
from speclint.reports.comparison import text
from speclint.reports.comparison.rulesets import HIT_COLUMNS, HIT_HEADING, class_heading, hit_notes, hit_rows
from speclint.reports.markdown_text import escaped


def begin(order: Order) -> Whole[ComparisonFindings]:
    """The report."""
    return Whole(render, order)


def render(findings: ComparisonFindings, _: Paper) -> str:
    """The whole report."""
    if findings.rulesets is None:
        sheet = text.render(findings, Paper()).replace("```", "'''")
        lines = ["```text", *map(one_line, sheet.splitlines()), "```"]
    else:
        lines = [*_changelog(findings.rulesets)]
        lines += [f"- {escaped(f'{problem.place}: {problem.message}')}" for problem in findings.problems]
        lines += ["", LAST_WORD]
    return "\n".join((*lines, "", "<!-- speclint compare -->")) + "\n"


def _changelog(comparison: RulesetComparison) -> Iterator[str]:
    yield f"## {escaped(comparison.new)}"
    yield ""
    yield escaped(comparison.answer)
    for changes in comparison.classes:
        yield from ("", f"### {escaped(class_heading(changes))}", "")
        if changes.kind is not None:
            yield from (f"- {line}" for line in changes.texts)
        yield from (f"- **{change.kind.value.capitalize()}.** {escaped(change.text)}" for change in changes.changes)
    if comparison.entries is not None and comparison.entries.changed:
        yield from ("", f"### {HIT_HEADING}", "", _row(HIT_COLUMNS), _row(["---"] * len(HIT_COLUMNS)))
        for entry in comparison.entries.changed:
            yield from (_row(map(escaped, cells)) for cells in hit_rows(entry))
            yield from (_row(("", "", "", escaped(note), "", "")) for note in hit_notes(entry))
    yield ""
    yield f"Digest before {comparison.old_digest}, now {comparison.new_digest}."
    yield ""


def _row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"
