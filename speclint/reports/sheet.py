"""The `sheet` report: a slip for each entry, as it would hang on a car at inspection."""

import textwrap
from collections.abc import Iterator
from typing import Final

from speclint.findings import EntryResult, Findings
from speclint.moments import day_text
from speclint.places import dotted
from speclint.reports import Paper
from speclint.reports.plain import in_ascii, one_line
from speclint.rules.checks import Check, Verdict
from speclint.rules.wording import asked, explanation, has, later_text, margin, message, title

_HEADINGS: Final = ("", "the car has", "the rule asks", "", "", "clause")
_VERDICT_COLUMN: Final = 4
_GAP: Final = "  "
_WIDEST_VERDICT: Final = max(len(verdict.value) for verdict in Verdict)
_WIDEST_LIMIT: Final = 34
_LABEL: Final = 6

# Chosen to be told apart by everyone, and never needed: the words say the same.
_COLOURS: Final = {
    Verdict.LEGAL.value: "36",
    Verdict.ILLEGAL.value: "1;35",
    Verdict.NOT_SHOWN.value: "33",
    Verdict.TO_INSPECT.value: "34",
}

CLOSING: Final = "The club's own text, the maker's instructions and the race director have the last word."


def render(findings: Findings, paper: Paper) -> str:
    """Every entry with all its rules, then problems and advice, then a summary that says what to mend."""
    blocks = [_slip(entry, paper) for entry in findings.entries]
    if findings.problems:
        blocks.append(_section("Problems with files", [f"{p.place}: {p.message}" for p in findings.problems], paper))
    if findings.advice:
        blocks.append(
            _section("Advice", [f"{a.message} ({a.source}; {a.place.file}:{a.place.line})" for a in findings.advice], paper)
        )
    blocks.append(_summary(findings, paper))
    text = "\n".join(blocks)
    return in_ascii(text) if paper.ascii_only else text


def _slip(entry: EntryResult, paper: Paper) -> str:
    ruleset = entry.flat.ruleset
    lines = [
        f"{one_line(entry.name)}: {_word(entry.verdict.value, paper)}",
        *_wrapped(f"{entry.flat.title}, {day_text(entry.on)}, by {ruleset.title} {ruleset.version}", "  ", paper),
        f"  {one_line(entry.file)}",
        "",
    ]
    rows = [_row(check) for check in entry.checks]
    widths = [max(len(row[i]) for row in (_HEADINGS, *rows)) for i in range(len(_HEADINGS))]
    fits = 2 + sum(widths) + len(_GAP) * (len(widths) - 1) <= paper.width
    if fits and rows:
        lines.append(_columns(_HEADINGS, widths, paper))
    for check, row in zip(entry.checks, rows, strict=True):
        if fits:
            lines.append(_columns(row, widths, paper))
        else:
            lines.extend(_stacked(row, paper))
        lines.extend(_beneath(check, paper))
    return "\n".join([*lines, ""])


def _row(check: Check) -> tuple[str, ...]:
    rule = check.rule
    verdict = check.verdict.value
    if check.verdict is Verdict.TO_INSPECT:
        return title(check), "", _shortened(check.reason), "", verdict, rule.cite
    if check.verdict is Verdict.NOT_APPLICABLE:
        return title(check), has(check), _shortened(check.waived or check.reason), "", verdict, rule.cite
    has_text = has(check) or ("" if check.fact is None or check.fact.value is not None else "not stated")
    return title(check), has_text, _shortened(asked(rule)), margin(check), verdict, rule.cite


def _shortened(text: str, most: int = _WIDEST_LIMIT) -> str:
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def _columns(row: tuple[str, ...], widths: list[int], paper: Paper) -> str:
    cells = [one_line(cell).ljust(width) for cell, width in zip(row, widths, strict=True)]
    cells[_VERDICT_COLUMN] = _word(row[_VERDICT_COLUMN], paper) + " " * (
        widths[_VERDICT_COLUMN] - len(row[_VERDICT_COLUMN])
    )
    return f"  {_GAP.join(cells)}".rstrip()


def _stacked(row: tuple[str, ...], paper: Paper) -> list[str]:
    """A rule where the columns do not fit: its verdict first, then whatever there is to say."""
    name, has_text, ask, margin_text, verdict, cite = row
    said = "; ".join(part for part in (has_text, ask, margin_text, cite) if part)
    lines = _wrapped(f"{name}: {said}", f"  {verdict.ljust(_WIDEST_VERDICT)}  ", paper, hanging=" " * (_WIDEST_VERDICT + 4))
    return [lines[0].replace(verdict, _word(verdict, paper), 1), *lines[1:]]


def _beneath(check: Check, paper: Paper) -> Iterator[str]:
    """Under a rule that is not plainly met: why it is there, how the value came about, where, and what mends it."""
    is_failing = check.verdict in (Verdict.ILLEGAL, Verdict.NOT_SHOWN)
    rule = check.rule
    if is_failing and rule.because:
        yield from _labelled("why", rule.because, paper)
    if check.verdict is Verdict.NOT_SHOWN or (check.verdict is Verdict.ILLEGAL and check.reason):
        yield from _labelled("what", message(check), paper)
    if is_failing or check.close_call or _is_corrected(check):
        for line in explanation(check):
            yield from _labelled("how", line, paper)
    if check.waived and check.reason:
        yield from _labelled("what", check.reason, paper)
    if is_failing:
        where = f"{check.place.file}:{check.place.line}"
        yield from _labelled("where", f"{where}, {_pointed(check)}" if _pointed(check) else where, paper)
        if check.verdict is Verdict.NOT_SHOWN and rule.measure:
            yield from _labelled("do", rule.measure, paper)
        for i, remedy in enumerate(check.remedies):
            yield from _labelled("mend" if i == 0 else "or", remedy.message, paper)
        if check.verdict is Verdict.ILLEGAL and rule.consequence:
            yield from _labelled("else", rule.consequence, paper)
        known = check.fact.quantity if check.fact is not None else None
        for caution in known.cautions if known is not None else ():
            yield from _labelled("care", caution, paper)
    for later in check.later:
        yield from _labelled("later", later_text(check, later), paper)


def _is_corrected(check: Check) -> bool:
    """Whether a temperature was taken out of the value, which is always said."""
    fact = check.fact
    return fact is not None and check.outcome is not None and "reference_c" in fact.quantity.formula_text and (
        not check.rule.uncorrected
    )  # fmt: skip


def _pointed(check: Check) -> str:
    fact = check.fact
    if fact is None or not fact.origins:
        return ""
    return dotted(fact.origins[0][1])


def _labelled(label: str, text: str, paper: Paper) -> list[str]:
    return _wrapped(text, f"      {label.ljust(_LABEL)}", paper, hanging=" " * (6 + _LABEL))


def _wrapped(text: str, indent: str, paper: Paper, hanging: str | None = None) -> list[str]:
    return textwrap.wrap(
        one_line(text),
        max(paper.width, 40),
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _section(heading: str, items: list[str], paper: Paper) -> str:
    lines = [line for item in items for line in _wrapped(item, "  ", paper, hanging="    ")]
    return "\n".join([heading, *lines, ""])


def _summary(findings: Findings, paper: Paper) -> str:
    counts = [f"{findings.count(verdict)} {verdict.value}" for verdict in (Verdict.LEGAL, Verdict.ILLEGAL, Verdict.NOT_SHOWN)]
    inspect = sum(1 for entry in findings.entries for check in entry.checks if check.verdict is Verdict.TO_INSPECT)
    more = [
        _counted(inspect, "thing to inspect", "things to inspect"),
        _counted(findings.close_calls, "close call", "close calls"),
        _counted(len(findings.problems), "problem", "problems"),
        _counted(len(findings.not_judged), "not judged", "not judged"),
    ]
    entries = _counted(len(findings.entries), "entry", "entries") or "0 entries"
    lines = _wrapped(f"{entries}: {', '.join(counts)}; {', '.join(part for part in more if part)}".rstrip("; "), "", paper)
    for entry in findings.entries:
        if entry.verdict is not Verdict.LEGAL:
            failing = [check for check in entry.checks if check.verdict is entry.verdict]
            said = "; ".join(_brief(check) for check in failing)
            head = f"{one_line(entry.name)}, {entry.flat.ruleset.id}/{entry.flat.id}, {day_text(entry.on)}"
            lines += _wrapped(f"{entry.verdict.value}: {head}: {said}", "  ", paper, hanging="    ")
    for one in findings.not_judged:
        lines += _wrapped(f"not judged: {one.file}: {one.reason}", "  ", paper, hanging="    ")
    return "\n".join([*lines, *_wrapped(CLOSING, "", paper), ""])


def _brief(check: Check) -> str:
    if check.verdict is Verdict.NOT_SHOWN:
        return title(check)
    return f"{title(check)} {margin(check)}".rstrip()


def _counted(count: int, one: str, many: str) -> str:
    return "" if count == 0 else f"{count} {one if count == 1 else many}"


def _word(verdict: str, paper: Paper) -> str:
    colour = _COLOURS.get(verdict)
    return f"\x1b[{colour}m{verdict}\x1b[0m" if paper.colour and colour else verdict
