"""One entry as text: the answer, what to do, and its rules row by row with what matters beneath them."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from speclint.advice.model import Advice
from speclint.findings import EntryResult
from speclint.moments import day_text
from speclint.plain import capitalised, counted
from speclint.quantities.model import Sort
from speclint.remedies.judged_entry import CarRemedies
from speclint.reports.check.deciding import A_CLOSE_CALL, CLOSE, LATER, deciding, in_short, turns_out_worse
from speclint.reports.check.inspected_text import about_inspection, differing, is_without_setup
from speclint.reports.check.lacking import lacking
from speclint.reports.check.remarks import rests_on_motor_trouble
from speclint.reports.check.rule_text import BENEATH, VERDICT_STYLES, labelled, place_of, rule_rows, ruleset_text
from speclint.reports.layout import Layout, Line, Span, Style
from speclint.rules.checks import FAILING, Check, Verdict
from speclint.rules.wording import title, unstated_title

_MARGIN: Final = "  "

_WRITTEN: Final = frozenset({Sort.TEXT, Sort.FLAG, Sort.COUNT})
"""What is put right with a pen, where a measured value is measured again."""


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
    inspected = sum(1 for check in result.checks if check.verdict is Verdict.TO_INSPECT)
    beside = f" ({inspected} to inspect)" if inspected else ""
    where = place_of(result.checks) or result.file
    about = f"{result.flat.title} · {day_text(result.on)} · {ruleset_text(result.flat.ruleset)} · {where}"
    shown = [check for check in (result.checks if checks is None else checks) if _applies(check)]
    lines = [
        *layout.wrapped([Span(f"{result.name}:", Style.HEAD), Span(verdict.words, style), Span(beside)], "", "  "),
        *layout.wrapped(Span(to_do(result, remedies), Style.DO), _MARGIN),
        *layout.wrapped(Span(about, Style.SOFT), _MARGIN),
        *(line for sentence in about_inspection(result) for line in layout.wrapped(sentence, _MARGIN)),
        *(line for note in result.notes for line in layout.wrapped(f"{capitalised(note)}.", _MARGIN)),
        (),
        *rule_rows(shown, layout, where, result),
    ]
    idle = len(result.checks) - len(shown) if checks is None else 0
    if idle:
        lines += [(), *layout.wrapped(f"{counted(idle, 'rule does', 'rules do')} not apply to this car.", _MARGIN)]
    return [*lines, *_whole_car(result, remedies, layout), *afterwards(result, layout, advice)]


def failing_rows(
    result: EntryResult,
    layout: Layout,
    remedies: CarRemedies | None,
    advice: Sequence[Advice],
    checks: Sequence[Check],
    *,
    is_alone: bool,
    explained: set[str] | None = None,
) -> list[Line]:
    """An entry among others: which car it is, and the rows that keep it from being legal.

    Args:
        result: the entry.
        layout: the paper.
        remedies: what makes the car legal in all of its entries, where it is illegal.
        advice: what there is to say of the car beside the rules.
        checks: the rules that are asked about.
        is_alone: whether all entries are of one class and day, which goes without saying then.
        explained: the rules of a large field that are told already, as `rule_rows` takes them.
    """
    failing = [check for check in checks if check.verdict in FAILING]
    illegal = [check for check in failing if check.verdict is Verdict.ILLEGAL]
    unread = [check for check in failing if check.missing] if is_without_setup(result) else []
    left_out = set(map(id, unread))
    failing = [check for check in failing if id(check) not in left_out]
    differ, in_rows = set(differing(result)), set(map(id, failing))
    failing += [check for check in checks if differ and id(check) not in in_rows and title(check) in differ]
    is_for_all = remedies is not None and illegal and (not remedies.remedies or len(illegal) > 1)
    where = place_of(failing) or result.file
    about = "" if is_alone else f"{result.flat.title}, {day_text(result.on)} · "
    head = [Span(result.name, Style.HEAD), Span(f"· {about}{where}", Style.SOFT)]
    return [
        *layout.wrapped(head, "", "  "),
        *(line for sentence in about_inspection(result) for line in layout.wrapped(sentence, _MARGIN)),
        *rule_rows(failing, layout, where, result, is_brief=True, explained=explained),
        *(layout.wrapped(f"Not read: {', '.join(map(title, unread))}.", _MARGIN) if unread else ()),
        *(layout.wrapped(Span(to_do(result, remedies), Style.DO), " " * BENEATH) if is_for_all else ()),
        *afterwards(result, layout, advice),
    ]


def to_do(result: EntryResult, remedies: CarRemedies | None) -> str:
    """What to do about an entry, in one sentence."""
    if result.verdict is Verdict.ILLEGAL:
        illegal = [check for check in result.checks if check.verdict is Verdict.ILLEGAL]
        # A remedy mends what is illegal; what is not shown is asked for as well.
        to_show = "" if is_without_setup(result) else "; ".join(_to_show(result))
        rest = f"; not shown yet, {to_show}" if to_show else ""
        if len(illegal) == 1 and illegal[0].remedies:
            remedy = " → ".join(illegal[0].remedies[0].message.split(": ", 1))
            return f"To be legal: {remedy}{rest}."
        if remedies is not None and remedies.remedies:
            return f"To be legal: {remedies.remedies[0].message}{rest}."
        reason = remedies.reason if remedies is not None else ""
        return _sentence(reason or in_short(illegal[0]))
    if result.reason:
        return _sentence(result.reason)
    if result.verdict is Verdict.NOT_SHOWN:
        return _sentence("; ".join(_to_show(result)))
    mark, text, _ = deciding(result)
    coming = min((later.on for check in result.checks for later in check.later if turns_out_worse(later)), default=None)
    if coming is not None and mark == LATER:
        return f"Legal now; {text}."
    if mark == CLOSE:
        return f"A close call: {text.removesuffix(A_CLOSE_CALL)}."
    return f"Nothing to do; {text}." if text else "Nothing to do."


def _sentence(text: str) -> str:
    return f"{capitalised(text)}."


def _to_show(result: EntryResult) -> Iterator[str]:
    unshown = [check for check in result.checks if check.verdict is Verdict.NOT_SHOWN]
    missing = list(dict.fromkeys(unstated_title(check) for check in unshown if check.missing))
    if any(rests_on_motor_trouble(result, check) for check in unshown):
        yield "the motor file is not read, see the problem below"
        unshown = [check for check in unshown if not rests_on_motor_trouble(result, check)]
    hanging = [title(check) for check in unshown if check.near and not check.missing]
    unshown = [check for check in unshown if not check.near]
    unread = [check for check in unshown if not check.missing and check.outcome is None]
    mistyped = [title(check) for check in unread if check.fact is not None and check.fact.quantity.sort in _WRITTEN]
    near = [check for check in unshown if check.outcome is not None]
    unnamed = [title(check) for check in near if check.outcome is None or check.outcome.expanded_uncertainty is None]
    parts = (
        ("add", missing),
        ("put right", mistyped),
        ("measure again", [name for name in map(title, unread) if name not in mistyped]),
        ("name the instrument of", unnamed),
        ("make sure whether the rule applies", hanging),
        ("too near the limit for this reading", [name for name in map(title, near) if name not in unnamed]),
    )
    for heading, names in parts:
        if names:
            yield f"{heading}: {', '.join(dict.fromkeys(names))}"


def _applies(check: Check) -> bool:
    return check.verdict is not Verdict.NOT_APPLICABLE or bool(check.waived or check.later)


def afterwards(result: EntryResult, layout: Layout, advice: Sequence[Advice]) -> Iterator[Line]:
    """What stands under the rows: cautions, the keys to add, and advice."""
    cautions = [
        caution
        for check in result.checks
        if check.verdict in FAILING and check.fact is not None and not is_without_setup(result)
        for caution in check.fact.quantity.cautions
    ]
    yield from labelled("care", tuple(dict.fromkeys(cautions)), layout)
    for missing in () if is_without_setup(result) else lacking(result):
        yield from layout.wrapped(Span(f"Add to {missing.file}:", Style.DO), _MARGIN)
        for line in missing.lines:
            yield from _yaml_line(line, layout)
    if advice:
        yield ()
        yield from layout.wrapped(Span("Advice, which no rule asks for", Style.SOFT), _MARGIN)
        for piece in advice:
            yield from layout.wrapped(f"{piece.message} ({piece.source})", "  - ", "    ")


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


def advice_on(result: EntryResult, advice: Iterable[Advice]) -> list[Advice]:
    """The advice on the files of an entry's car: its setup and its motor."""
    motor = result.facts.car.motor
    files = {result.file} if motor is None else {result.file, motor.document.file}
    return [piece for piece in advice if piece.place.file in files]
