"""The `sheet` report: a slip for each entry, as it would hang on a car at inspection, and a summary at the end."""

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from speclint.findings import EntryResult, Findings
from speclint.moments import day_text
from speclint.places import dotted
from speclint.plain import columns
from speclint.remedies.judged_entry import CarRemedies
from speclint.reports import Order, Paper
from speclint.reports.check.gathered import Gathered
from speclint.reports.check.summary import counted, summary
from speclint.reports.text_layout import TextLayout
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import asked, explanation, has, later_text, margin, message, title

_HEADINGS: Final = ("", "the car has", "the rule asks", "margin", "verdict", "clause")
_SHRINKING: Final = ((2, 28), (0, 18), (5, 8), (1, 17), (2, 22))
"""Columns that give way where the paper is narrow, and how far; the verdict and the margin never do."""

_GAP: Final = "  "
_WIDEST_CELL: Final = 38
_MARKS: Final = {Verdict.ILLEGAL: "x", Verdict.NOT_SHOWN: "?"}
_NO_MARK: Final = " "
_LABEL: Final = 8
_ROOMY: Final = 60
"""Columns of paper from which verdicts stand in a column of their own, even where nothing else does."""
_FAILING: Final = (Verdict.ILLEGAL, Verdict.NOT_SHOWN)
_TALKING: Final = (Verdict.TO_INSPECT, Verdict.NOT_APPLICABLE)
_TALKING_WIDTH: Final = 30

_CORRECTIONS: Final = ("corrected from ", "both at ")
_BUDGET: Final = "standard uncertainty from "
"""How the lines of an explanation begin that say what a temperature did, and where an uncertainty comes from."""


def begin(order: Order) -> Gathered:
    """The report."""
    return Gathered(_render, order)


def _render(findings: Findings, paper: Paper) -> str:
    """Every entry with all its rules, then problems and advice, then a summary that says what to mend."""
    layout = TextLayout(paper)
    car_remedies = {car_remedy.file: car_remedy for car_remedy in findings.car_remedies}
    blocks: list[list[str]] = []
    for file, of_file in groupby(findings.entries, key=lambda entry: entry.file):
        entries = list(of_file)
        blocks.extend(_slip(entry, layout) for entry in entries)
        if file in car_remedies:
            blocks.extend(_car_remedies(car_remedies[file], entries, layout))
    if findings.problems:
        blocks.append(_section("Problems with files", [f"{p.place}: {p.message}" for p in findings.problems], layout))
    if findings.advice:
        said = [f"{a.message} ({a.source}; {a.place.file}:{a.place.line})" for a in findings.advice]
        blocks.append(_section("Advice", said, layout))
    blocks.append(summary(findings, layout))
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _slip(entry: EntryResult, layout: TextLayout) -> list[str]:
    ruleset = entry.flat.ruleset
    inspect = sum(1 for check in entry.checks if check.verdict is Verdict.TO_INSPECT)
    beside = f", and {counted(inspect, 'thing')} to inspect" if inspect else ""
    word = entry.verdict.value
    heading = layout.wrapped(f"{layout.clean(entry.name, 120)}: {word}{beside}", "", "  ")
    heading[-1] = _coloured_last(heading[-1], word, layout)
    lines = [
        *heading,
        *layout.wrapped(
            f"{entry.flat.title}, {day_text(entry.on)}, by {ruleset.title}, version {ruleset.version}", "  "
        ),
        *layout.wrapped(entry.file, "  "),
        "",
    ]
    rows = [_row(check, layout) for check in entry.checks]
    # What is to be inspected, and why a rule does not apply, may be long: it is cut, and told in full beneath.
    asking = [check.verdict not in _TALKING for check in entry.checks]
    widths = _widths(
        [row if asks else (*row[:2], "", *row[3:]) for row, asks in zip(rows, asking, strict=True)], layout
    )
    if widths and rows:
        lines.append(
            f"  {_GAP.join(layout.padded(one, width) for one, width in zip(_HEADINGS, widths, strict=True))}".rstrip()
        )
    most = max((len(row[4]) for row in rows), default=0) if layout.width >= _ROOMY else 0
    for check, row in zip(entry.checks, rows, strict=True):
        lines.extend(_columns(check, row, widths, layout) if widths else _stacked(check, row, most, layout))
        lines.extend(_beneath(check, layout, is_cut=bool(widths) and columns(row[2]) > widths[2]))
    return lines if rows else [*lines, *layout.wrapped("No rule of this class binds on this day.", "  ")]


def _coloured_last(line: str, word: str, layout: TextLayout) -> str:
    """The line with its last verdict word coloured; a name that holds one as well is left alone."""
    before, found, after = line.rpartition(word)
    return f"{before}{layout.verdict(word)}{after}" if found else line


def _row(check: Check, layout: TextLayout) -> tuple[str, ...]:
    rule, verdict = check.rule, check.verdict
    has_text, ask = has(check), asked(rule)
    if verdict is Verdict.TO_INSPECT:
        has_text, ask = "", check.reason
    elif verdict is Verdict.NOT_APPLICABLE:
        ask = check.waived or check.reason
    elif not has_text and check.fact is not None:
        has_text = "no reading counts" if check.fact.record is not None else "not stated"
    return tuple(
        layout.clean(cell, 200) for cell in (title(check), has_text, ask, margin(check), verdict.value, rule.cite)
    )


def _widths(rows: list[tuple[str, ...]], layout: TextLayout) -> list[int]:
    """How wide each column is, the widest cells cut where the paper asks for it; empty where no columns fit."""
    if not rows:
        return []
    widths = [max(columns(row[i]) for row in (_HEADINGS, *rows)) for i in range(len(_HEADINGS))]
    widths = [min(width, _WIDEST_CELL) for width in widths]
    widths[2] = max(widths[2], _TALKING_WIDTH)
    over = 2 + sum(widths) + len(_GAP) * (len(widths) - 1) - layout.width
    for i, least in _SHRINKING:
        if over > 0:
            taken = min(over, max(0, widths[i] - least))
            widths[i] -= taken
            over -= taken
    return [] if over > 0 else widths


def _columns(check: Check, row: tuple[str, ...], widths: list[int], layout: TextLayout) -> list[str]:
    cells = [layout.padded(_cut(cell, width, layout), width) for cell, width in zip(row, widths, strict=True)]
    word = row[4]
    cells[4] = layout.verdict(word) + " " * (widths[4] - columns(word))
    return [f"{_MARKS.get(check.verdict, _NO_MARK)} {_GAP.join(cells)}".rstrip()]


def _cut(text: str, width: int, layout: TextLayout) -> str:
    if columns(text) <= width:
        return text
    dots = layout.clean("…")
    while columns(text) + len(dots) > width and text:
        text = text[:-1]
    return f"{text.rstrip()}{dots}"


def _stacked(check: Check, row: tuple[str, ...], most: int, layout: TextLayout) -> list[str]:
    """A rule where the columns do not fit: its verdict first, then whatever there is to say."""
    name, has_text, ask, margin_text, verdict, cite = row
    ask = f"asked {ask}" if ask and check.verdict not in _TALKING else ask
    said = "; ".join(part for part in (has_text, ask, margin_text) if part)
    lines = layout.wrapped(
        f"{name}: {said}{f' ({cite})' if cite else ''}",
        f"{_MARKS.get(check.verdict, _NO_MARK)} {verdict.ljust(most)}  ",
        " " * (most + 4) if layout.width >= _ROOMY else "    ",
    )
    return [lines[0].replace(verdict, layout.verdict(verdict), 1), *lines[1:]]


def _beneath(check: Check, layout: TextLayout, *, is_cut: bool) -> Iterator[str]:
    """Under a rule that is not plainly met: why it is there, how the value came about, where, and what mends it."""
    rule, verdict = check.rule, check.verdict
    is_failing = verdict in _FAILING
    if is_failing and rule.because:
        yield from _labelled("why", rule.because, layout)
    if verdict in _TALKING and is_cut:
        yield from _labelled("what", check.waived or check.reason, layout)
    elif check.waived and check.reason:
        yield from _labelled("what", check.reason, layout)
    elif is_failing:
        yield from _labelled("what", _what(check, is_cut=is_cut), layout)
    for line in _how(check):
        yield from _labelled("how", line, layout)
    if is_failing:
        where = f"{check.place.file}:{check.place.line}"
        yield from _labelled("where", f"{where}, {_pointed(check)}" if _pointed(check) else where, layout)
    if verdict is Verdict.NOT_SHOWN or check.close_call:
        yield from _labelled("measure", rule.measure, layout)
    for i, remedy in enumerate(check.remedies):
        yield from _labelled("mend" if i == 0 else "or", remedy.message, layout)
    if verdict is Verdict.ILLEGAL:
        yield from _labelled("then", rule.penalty, layout)
    known = check.fact.quantity if is_failing and check.fact is not None else None
    for caution in known.cautions if known is not None else ():
        yield from _labelled("care", caution, layout)
    for later in check.later:
        yield from _labelled("later", later_text(later), layout)


def _what(check: Check, *, is_cut: bool) -> str:
    """What is the matter, where the row itself does not say it."""
    if check.verdict is Verdict.NOT_SHOWN:
        return message(check).removeprefix(f"{title(check)} is not shown: ")
    return check.reason or (message(check) if is_cut else "")


def _how(check: Check) -> Iterator[str]:
    """How the value came about: all of it where the verdict hangs on it, a correction for temperature always.

    Where an uncertainty comes from is told where it matters: near the limit.
    """
    if check.verdict in _FAILING or check.close_call:
        is_near = check.close_call or (check.verdict is Verdict.NOT_SHOWN and check.outcome is not None)
        yield from (line for line in explanation(check) if is_near or not line.startswith(_BUDGET))
    elif check.outcome is not None and check.fact is not None and check.fact.quantity.formula_text:
        yield from (line for line in explanation(check) if line.startswith(_CORRECTIONS))


def _pointed(check: Check) -> str:
    fact = check.fact
    if fact is None or not fact.origins:
        return ""
    return dotted(fact.origins[0][1])


def _labelled(label: str, text: str, layout: TextLayout) -> list[str]:
    return layout.wrapped(text, f"      {label.ljust(_LABEL)}", " " * (6 + _LABEL)) if text else []


def _car_remedies(car_remedy: CarRemedies, entries: list[EntryResult], layout: TextLayout) -> Iterator[list[str]]:
    """What makes a setup legal in all of its entries at once, where that is more than its one failing rule says."""
    if not car_remedy.remedies:
        yield _section("Not to be mended by a change alone", [car_remedy.reason], layout, "  ")
    elif sum(1 for entry in entries for check in entry.checks if check.verdict is Verdict.ILLEGAL) > 1:
        numbered = [f"{i}  {one.message}" for i, one in enumerate(car_remedy.remedies, 1)]
        yield _section("To be legal in every entry, one of these", numbered, layout, "  ")


def _section(heading: str, items: list[str], layout: TextLayout, indent: str = "") -> list[str]:
    return [*layout.wrapped(heading, indent), *(line for item in items for line in layout.wrapped(item, "  ", "    "))]
