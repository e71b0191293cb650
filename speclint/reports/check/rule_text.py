"""Rules as rows of text: what the car has, what the rule asks, the margin, and what matters beneath."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from speclint.findings import EntryResult
from speclint.plain import clipped, counted
from speclint.reports.check.deciding import later_in_short, mark_of, rank_of, why_not_shown
from speclint.reports.check.inspected_text import beside_reading
from speclint.reports.check.remarks import rests_on_motor_trouble
from speclint.reports.layout import Column, Layout, Line, Span, Style
from speclint.rules.checks import FAILING, Check, Remedy, Verdict
from speclint.rules.wording import asks, explanation, has, margin, title, unstated_title
from speclint.rulesets.model import Ruleset

_COLUMNS: Final = (
    Column("", 12, 3),
    Column("the car has", 10, 4),
    Column("the rule asks", 14, 1),
    Column("margin", 9, 2),
    Column("clause", 4),
)
_LABEL: Final = 11
_MOST_ROWS: Final = 300
"""Rules of an entry that are told in text, those that fail first: nobody reads more."""
BENEATH: Final = 6
_FEW: Final = 2
_FAR_FROM_IT: Final = ("± ", "beyond doubt")
_OF_THE_RULE: Final = ("penalty", "why")
"""What is the same for every car that fails a rule."""

_CORRECTIONS: Final = ("corrected from ", "both at ")

VERDICT_STYLES: Final = {Verdict.ILLEGAL: Style.FAIL, Verdict.NOT_SHOWN: Style.ASK}
"""How a verdict is coloured; what is legal is quiet."""


def ruleset_text(ruleset: Ruleset, most: int | None = None) -> str:
    """The ruleset of an entry, its title in `most` signs, with its file where that lies above the current folder.

    Such a file may be nobody's here: it does not take over in silence.
    """
    words = f"{ruleset.title} {ruleset.version}"
    above = f" (from {ruleset.place.file})" if ruleset.place.file.startswith(("../", "/")) else ""
    return f"{words if most is None else clipped(words, most)}{above}"


def place_of(checks: Iterable[Check]) -> str:
    """The place to edit for the first rule that fails and has a value; "" where there is none."""
    for check in checks:
        if check.verdict in FAILING and check.fact is not None and check.fact.value is not None:
            return f"{check.place.file}:{check.place.line}"
    return ""


def rule_rows(
    checks: Sequence[Check],
    layout: Layout,
    where: str,
    result: EntryResult,
    *,
    is_brief: bool = False,
    explained: set[str] | None = None,
) -> list[Line]:
    """A row for each rule, those that fail first, with what matters beneath it.

    Args:
        checks: the rules.
        layout: the paper.
        where: a place to edit that is told already.
        result: the entry that they are of.
        is_brief: leave out the headings, how values came about, and all but the best two remedies.
        explained: the rules of a large field whose reason and penalty are told already, and those of this entry after
            it; each rule has its best remedy alone. None to tell them again.
    """
    ranked = sorted(checks, key=lambda check: rank_of(check.verdict))
    left_out = len(ranked) - _MOST_ROWS
    ranked = ranked[:_MOST_ROWS]
    rows = [_cells(check, result) for check in ranked]
    widths = layout.widths(_COLUMNS, rows, indent=4)
    lines: list[Line] = []
    if widths is not None and rows and not is_brief:
        lines += layout.headings(_COLUMNS, widths, 4)
    for check, cells in zip(ranked, rows, strict=True):
        mark = Span(f"  {layout.clean(mark_of(check))} ", VERDICT_STYLES.get(check.verdict, Style.PLAIN))
        lines += _stacked(mark, cells, layout) if widths is None else layout.row(cells, widths, (mark,))
        lines += _beneath(check, layout, where, result, is_brief=is_brief, explained=explained)
    if left_out > 0:
        lines += layout.wrapped(f"and {counted(left_out, 'more rule')}, told in full by `--report json`", "    ")
    return lines


def _cells(check: Check, result: EntryResult) -> tuple[Span, ...]:
    style = VERDICT_STYLES.get(check.verdict, Style.PLAIN)
    ask, value = asks(check), has(check)
    if check.verdict is Verdict.TO_INSPECT:
        value, ask = "to inspect", check.reason or ask
    elif check.verdict is Verdict.NOT_APPLICABLE:
        ask = check.waived or check.reason
    elif not value and check.fact is not None and check.fact.value is None:
        unstated = unstated_title(check)
        value = "not stated" if unstated == title(check) else f"{unstated} not stated"
        value = "no reading counts" if check.fact.record is not None or check.fact.refused else value
        value = "not read" if rests_on_motor_trouble(result, check) else value
    return Span(title(check), style), Span(value), Span(ask), Span(_margin_cell(check), style), Span(check.rule.cite)


def _margin_cell(check: Check) -> str:
    """The margin, and in a word what it does not say by itself."""
    by_how_much = margin(check)
    if check.waived:
        return f"waived, {by_how_much}" if by_how_much else "waived"
    match check.verdict:
        case Verdict.NOT_SHOWN if by_how_much:
            return f"{by_how_much.partition(', ')[0]}: not shown"
        case Verdict.LEGAL if check.close_call:
            return f"{by_how_much}: close call"
        case Verdict.TO_INSPECT | Verdict.NOT_APPLICABLE:
            return ""
    return by_how_much or check.verdict.words


def _stacked(mark: Span, cells: Sequence[Span], layout: Layout) -> list[Line]:
    """A rule where the columns do not fit: its name, then whatever there is to say."""
    name, value, ask, by_how_much, clause = cells
    is_plainly_met = by_how_much.text == Verdict.LEGAL.words
    words = ", ".join(part.text for part in (value, ask) if part.text)
    by_how_much = Span("") if is_plainly_met else by_how_much
    tail = f": {by_how_much.text}" if by_how_much.text else ""
    behind = f" ({clause.text})" if clause.text else ""
    text = [Span(f"{name.text}:", name.style), Span(f"{words}{tail}{behind}")]
    return layout.wrapped(text, mark, "      ")


def _beneath(
    check: Check, layout: Layout, where: str, result: EntryResult, *, is_brief: bool, explained: set[str] | None
) -> Iterator[Line]:
    """Under a rule: what it costs, what mends it, why it is there, how the value came about, and what comes later."""
    sections: list[tuple[str, Sequence[str]]] = [*beside_reading(check, result)]
    # A motor file that cannot be read is told once, among the problems.
    if check.verdict in FAILING and not rests_on_motor_trouble(result, check):
        most = 1 if explained is not None else _FEW if is_brief else len(check.remedies)
        rule_name = f"{result.flat.ruleset.name}/{result.flat.id}/{check.rule.id}"
        is_explained = explained is not None and rule_name in explained
        sections += (
            section for section in _about_failing(check, most) if not (is_explained and section[0] in _OF_THE_RULE)
        )
        if explained is not None:
            explained.add(rule_name)
    if is_brief:
        sections.append(("how", [line for line in _how(check) if line.startswith(_CORRECTIONS)]))
    else:
        own_place = place_of((check,))
        sections += [
            ("where", (own_place,) if own_place not in ("", where) else ()),
            ("how", _how(check)),
            ("later", later_in_short(check)),
        ]
    for label, texts in sections:
        yield from labelled(label, texts, layout, Style.DO if label.startswith(("fix", "measure")) else Style.PLAIN)


def labelled(label: str, texts: Sequence[str], layout: Layout, style: Style = Style.PLAIN) -> Iterator[Line]:
    """Texts one below the other, the first one behind its label."""
    for i, text in enumerate(texts):
        first = f"{' ' * BENEATH}{(label if i == 0 else '').ljust(_LABEL)} "
        yield from layout.wrapped(Span(text, style), first, " " * len(first), Style.SOFT)


def _about_failing(check: Check, most: int) -> Iterator[tuple[str, Sequence[str]]]:
    rule, remedies = check.rule, check.remedies
    if check.verdict is Verdict.ILLEGAL:
        reason = () if margin(check) or not check.reason else (check.reason,)
        yield "what", reason
        yield "penalty", (rule.penalty,) if rule.penalty else ()
        yield (
            "fix one of" if len(remedies[:most]) > 1 else "fix",
            [_remedy(remedy, check) for remedy in remedies[:most]],
        )
    else:
        # What it hangs on is told as a close call, below.
        yield "what", (why_not_shown(check),) if check.reason != check.near else ()
        # What is lacking is told with the keys to add, and how each is measured.
        yield "measure", (rule.measure,) if rule.measure and not check.missing else ()
    yield "why", (rule.because,) if rule.because and not check.missing else ()


def _remedy(remedy: Remedy, check: Check) -> str:
    """A change with what comes of it; the quantity that the row is about goes without saying."""
    change, _, outcome = remedy.message.partition(": ")
    if change.startswith(f"{outcome} instead of "):
        return change
    return f"{change} → {outcome.removeprefix(f'{title(check)} ')}" if outcome else change


def _how(check: Check) -> tuple[str, ...]:
    """How the value came about: all of it where the verdict hangs on it, a correction for temperature always.

    Where an uncertainty comes from is told where it matters: near the limit.
    """
    if check.verdict in FAILING or check.close_call:
        is_near = check.close_call or (check.verdict is Verdict.NOT_SHOWN and check.outcome is not None)
        return tuple(line for line in explanation(check) if is_near or not line.startswith(_FAR_FROM_IT))
    if check.outcome is not None and check.fact is not None and check.fact.quantity.formula_text:
        return tuple(line for line in explanation(check) if line.startswith(_CORRECTIONS))
    return ()
