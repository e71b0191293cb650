"""One entry as text: the answer, what to do, and its rules row by row with what matters beneath them."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from speclint.advice.model import Advice
from speclint.findings import EntryResult
from speclint.moments import day_text
from speclint.remedies.judged_entry import CarRemedies
from speclint.reports.check.deciding import (
    A_CLOSE_CALL,
    CLOSE,
    FAILING,
    LATER,
    deciding,
    in_short,
    later_in_short,
    mark_of,
    turns_out_worse,
    why_not_shown,
)
from speclint.reports.check.lacking import lacking
from speclint.reports.layout import Column, Layout, Line, Span, Style
from speclint.rules.checks import Check, Remedy, Verdict
from speclint.rules.wording import asked, explanation, has, margin, title

_COLUMNS: Final = (
    Column("", 12, 3),
    Column("the car has", 10, 4),
    Column("the rule asks", 14, 1),
    Column("margin", 9, 2),
    Column("clause", 4),
)
_MARGIN: Final = "  "
_LABEL: Final = 11
_BENEATH: Final = 6
_FAR_FROM_IT: Final = ("± ", "beyond doubt")
_CORRECTIONS: Final = ("corrected from ", "both at ")

VERDICT_STYLES: Final = {Verdict.ILLEGAL: Style.FAIL, Verdict.NOT_SHOWN: Style.ASK}
"""How a verdict is coloured; what is legal is quiet."""


def verdict_word(verdict: Verdict) -> str:
    """A verdict as people read it: `not shown`."""
    return verdict.value.replace("-", " ")


def slip(
    result: EntryResult,
    layout: Layout,
    remedies: CarRemedies | None,
    advice: Sequence[Advice],
    checks: Sequence[Check] | None = None,
) -> list[Line]:
    """The whole of an entry: the answer in the first line, what to do in the second, then every rule.

    Args:
        result: the entry.
        layout: the paper.
        remedies: what makes the car legal in all of its entries, where it is illegal.
        advice: what there is to say of the car beside the rules.
        checks: the rules to show, all that apply if left out.
    """
    verdict = result.verdict
    style = VERDICT_STYLES.get(verdict, Style.HEAD)
    ruleset = result.flat.ruleset
    inspected = sum(1 for check in result.checks if check.verdict is Verdict.TO_INSPECT)
    beside = f" ({inspected} to inspect)" if inspected else ""
    where = _where(result.checks) or result.file
    about = f"{result.flat.title} · {day_text(result.on)} · {ruleset.title} {ruleset.version} · {where}"
    shown = [check for check in (result.checks if checks is None else checks) if _applies(check)]
    lines = [
        *layout.wrapped(
            [Span(f"{result.name}:", Style.HEAD), Span(verdict_word(verdict), style), Span(beside)], "", "  "
        ),
        *layout.wrapped(Span(to_do(result, remedies), Style.DO), _MARGIN),
        *layout.wrapped(Span(about, Style.SOFT), _MARGIN),
        (),
        *rule_rows(shown, layout, where, with_heading=True),
    ]
    idle = len(result.checks) - len(shown) if checks is None else 0
    if idle:
        many = "1 rule does" if idle == 1 else f"{idle} rules do"
        lines += [(), *layout.wrapped(f"{many} not apply to this car.", _MARGIN)]
    return [*lines, *afterwards(result, layout, remedies, advice)]


def failing_rows(
    result: EntryResult,
    layout: Layout,
    remedies: CarRemedies | None,
    advice: Sequence[Advice],
    checks: Sequence[Check],
    *,
    is_alone: bool,
) -> list[Line]:
    """An entry among others: which car it is, and the rows that keep it from being legal.

    Args:
        result: the entry.
        layout: the paper.
        remedies: what makes the car legal in all of its entries, where it is illegal.
        advice: what there is to say of the car beside the rules.
        checks: the rules that are asked about.
        is_alone: whether all entries are of one class and day, which goes without saying then.
    """
    failing = [check for check in checks if check.verdict in FAILING]
    lost = remedies is not None and result.verdict is Verdict.ILLEGAL and not remedies.remedies
    where = _where(failing) or result.file
    about = "" if is_alone else f"{result.flat.title}, {day_text(result.on)} · "
    head = [Span(result.name, Style.HEAD), Span(f"· {about}{where}", Style.SOFT)]
    return [
        *layout.wrapped(head, "", "  "),
        *rule_rows(failing, layout, where, with_heading=False),
        *(layout.wrapped(Span(to_do(result, remedies), Style.DO), " " * _BENEATH) if lost else ()),
        *afterwards(result, layout, remedies, advice),
    ]


def to_do(result: EntryResult, remedies: CarRemedies | None) -> str:
    """What to do about an entry, in one sentence."""
    if result.verdict is Verdict.ILLEGAL:
        illegal = [check for check in result.checks if check.verdict is Verdict.ILLEGAL]
        if len(illegal) == 1 and illegal[0].remedies:
            return f"To be legal: {' → '.join(illegal[0].remedies[0].message.split(': ', 1))}."
        if remedies is not None and remedies.remedies:
            return f"To be legal: {remedies.remedies[0].message}."
        reason = remedies.reason if remedies is not None else ""
        return f"No change to this car makes it legal: {reason}." if reason else f"{in_short(illegal[0])}."
    if result.verdict is Verdict.NOT_SHOWN:
        return f"{'; '.join(_to_show(result))}."
    mark, text, _ = deciding(result)
    coming = min((later.on for check in result.checks for later in check.later if turns_out_worse(later)), default=None)
    if coming is not None and mark == LATER:
        return f"Legal now; {text}."
    if mark == CLOSE:
        return f"A close call: {text.removesuffix(A_CLOSE_CALL)}."
    return f"Nothing to do; {text}." if text else "Nothing to do."


def _to_show(result: EntryResult) -> Iterator[str]:
    unshown = [check for check in result.checks if check.verdict is Verdict.NOT_SHOWN]
    missing = list(dict.fromkeys(title(check) for check in unshown if check.missing))
    stale = [title(check) for check in unshown if not check.missing and check.outcome is None]
    near = [title(check) for check in unshown if check.outcome is not None]
    for what, names in (("Add", missing), ("Measure again", stale), ("Too near the limit for this reading", near)):
        if names:
            yield f"{what}: {', '.join(dict.fromkeys(names))}"


def _applies(check: Check) -> bool:
    return check.verdict is not Verdict.NOT_APPLICABLE or bool(check.waived or check.later)


def _where(checks: Iterable[Check]) -> str:
    """The place to edit for the first rule that fails and has a value; "" where there is none."""
    for check in checks:
        if check.verdict in FAILING and check.fact is not None and check.fact.value is not None:
            return f"{check.place.file}:{check.place.line}"
    return ""


def rule_rows(checks: Sequence[Check], layout: Layout, where: str, *, with_heading: bool) -> list[Line]:
    """A row for each rule, those that fail first, with what matters beneath it; `where` is told already."""
    ranked = sorted(
        checks, key=lambda check: FAILING.index(check.verdict) if check.verdict in FAILING else len(FAILING)
    )
    rows = [_cells(check) for check in ranked]
    widths = layout.widths(_COLUMNS, rows, indent=4)
    lines: list[Line] = []
    if widths is not None and with_heading and rows:
        lines += layout.row([Span(spec.heading, Style.SOFT) for spec in _COLUMNS], widths, (Span("    "),))
    for check, cells in zip(ranked, rows, strict=True):
        mark = Span(f"  {layout.clean(mark_of(check))} ", VERDICT_STYLES.get(check.verdict, Style.PLAIN))
        lines += _stacked(mark, cells, layout) if widths is None else layout.row(cells, widths, (mark,))
        lines += _beneath(check, layout, where)
    return lines


def _cells(check: Check) -> tuple[Span, ...]:
    style = VERDICT_STYLES.get(check.verdict, Style.PLAIN)
    ask, value = asked(check.rule), has(check)
    if check.verdict is Verdict.TO_INSPECT:
        value, ask = "to inspect", check.reason or ask
    elif check.verdict is Verdict.NOT_APPLICABLE:
        ask = check.waived or check.reason
    elif not value and check.fact is not None:
        value = "no reading counts" if check.fact.record is not None else "not stated"
    return Span(title(check), style), Span(value), Span(ask), Span(_margin_cell(check), style), Span(check.rule.cite)


def _margin_cell(check: Check) -> str:
    """The margin, and in a word what it does not say by itself."""
    by_how_much = margin(check)
    if check.waived:
        return f"waived, {by_how_much}" if by_how_much else "waived"
    match check.verdict:
        case Verdict.NOT_SHOWN if by_how_much:
            return f"{by_how_much}: not shown"
        case Verdict.LEGAL if check.close_call:
            return f"{by_how_much}: close call"
        case Verdict.TO_INSPECT | Verdict.NOT_APPLICABLE:
            return ""
    return by_how_much or verdict_word(check.verdict)


def _stacked(mark: Span, cells: Sequence[Span], layout: Layout) -> list[Line]:
    """A rule where the columns do not fit: its name, then whatever there is to say."""
    name, value, ask, by_how_much, clause = cells
    is_plainly_met = by_how_much.text == verdict_word(Verdict.LEGAL)
    said = ", ".join(part.text for part in (value, ask) if part.text)
    by_how_much = Span("") if is_plainly_met else by_how_much
    tail = f": {by_how_much.text}" if by_how_much.text else ""
    behind = f" ({clause.text})" if clause.text else ""
    text = [Span(f"{name.text}:", name.style), Span(f"{said}{tail}{behind}")]
    return [(mark, *line[1:]) if i == 0 else line for i, line in enumerate(layout.wrapped(text, "    ", "      "))]


def _beneath(check: Check, layout: Layout, where: str) -> Iterator[Line]:
    """Under a rule: what it costs, what mends it, why it is there, how the value came about, and what comes later."""
    is_failing = check.verdict in FAILING
    for label, texts in (
        *(_about_failing(check, where) if is_failing else ()),
        ("how", _how(check)),
        ("later", later_in_short(check)),
    ):
        yield from _labelled(label, texts, layout, Style.DO if label.startswith(("fix", "measure")) else Style.PLAIN)


def _labelled(label: str, texts: Sequence[str], layout: Layout, style: Style = Style.PLAIN) -> Iterator[Line]:
    """Texts one below the other, the first one behind its label."""
    for i, text in enumerate(texts):
        first = f"{' ' * _BENEATH}{(label if i == 0 else '').ljust(_LABEL)} "
        yield from layout.wrapped(Span(text, style), first, " " * len(first), Style.SOFT)


def _about_failing(check: Check, where: str) -> Iterator[tuple[str, Sequence[str]]]:
    rule, remedies = check.rule, check.remedies
    if check.verdict is Verdict.ILLEGAL:
        reason = () if margin(check) or not check.reason else (check.reason,)
        yield "what", reason
        yield "penalty", (rule.penalty,) if rule.penalty else ()
        yield "fix" if len(remedies) == 1 else "fix one of", [_remedy(remedy, check) for remedy in remedies]
    else:
        yield "what", (why_not_shown(check),) if check.reason else ()
        # What is lacking is told with the keys to add, and how each is measured.
        yield "measure", (rule.measure,) if rule.measure and not check.missing else ()
    yield "why", (rule.because,) if rule.because else ()
    own = _where((check,))
    yield "where", (own,) if own not in ("", where) else ()


def _remedy(remedy: Remedy, check: Check) -> str:
    """A change with what comes of it; the quantity that the row is about goes without saying."""
    change, _, outcome = remedy.message.partition(": ")
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


def afterwards(
    result: EntryResult, layout: Layout, remedies: CarRemedies | None, advice: Sequence[Advice]
) -> Iterator[Line]:
    """What stands under the rows: whole remedies, the keys to add, and advice."""
    yield from _whole_car(result, remedies, layout)
    cautions = [
        caution
        for check in result.checks
        if check.verdict in FAILING and check.fact is not None
        for caution in check.fact.quantity.cautions
    ]
    yield from _labelled("care", tuple(dict.fromkeys(cautions)), layout)
    for missing in lacking(result):
        yield ()
        yield from layout.wrapped(Span(f"Add to {missing.file}:", Style.DO), _MARGIN)
        for line in missing.lines:
            yield from _yaml_line(line, layout)
    if advice:
        yield ()
        yield from layout.wrapped(Span("Advice, which no rule asks for", Style.SOFT), _MARGIN)
        for piece in advice:
            yield from layout.wrapped(f"{piece.message} ({source_text(piece.source)})", "  - ", "    ")


def _whole_car(result: EntryResult, remedies: CarRemedies | None, layout: Layout) -> Iterator[Line]:
    """Remedies for the whole car, where that is more than the one failing rule says."""
    illegal = sum(1 for check in result.checks if check.verdict is Verdict.ILLEGAL)
    if remedies is not None and remedies.remedies and illegal > 1:
        yield ()
        yield from layout.wrapped(Span("To be legal in every entry, one of these (--apply N)", Style.DO), _MARGIN)
        for number, remedy in enumerate(remedies.remedies, 1):
            yield from layout.wrapped(remedy.message, f"  {number}  ", "     ")


def _yaml_line(line: str, layout: Layout) -> list[Line]:
    """A line to paste: a comment may be wrapped, a key stays whole."""
    indent = " " * (4 + len(line) - len(line.lstrip()))
    text = line.lstrip()
    if text.startswith("# "):
        return layout.wrapped(Span(text.removeprefix("# "), Style.SOFT), f"{indent}# ", style=Style.SOFT)
    return [(Span(f"{indent}{layout.clean(text)}"),)]


def source_text(source: str) -> str:
    """Where advice comes from, as a racer reads it."""
    return source.replace("from memory", "estimate")


def advice_on(result: EntryResult, advice: Iterable[Advice]) -> list[Advice]:
    """The advice on the files of an entry's car: its setup and its motor."""
    motor = result.facts.car.motor
    files = {result.file} if motor is None else {result.file, motor.document.file}
    return [piece for piece in advice if piece.place.file in files]
