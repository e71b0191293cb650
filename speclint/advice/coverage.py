"""Examples that a ruleset lacks: of each rule what passes, what fails on each side, what lies on the limit, on each day it turns."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from speclint.advice.limits import example, own_rules
from speclint.advice.model import AdviceSort, Observation, RulesetCase
from speclint.documents.parse import parse
from speclint.edits.spelled import flow
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.size import Size
from speclint.forms.taken import taken_example
from speclint.forms.words import scalars, value_text
from speclint.limits.decisions import Limits
from speclint.plain import counted
from speclint.quantities.keys import from_bench
from speclint.quantities.model import Quantity, Sort
from speclint.quantities.registry import quantity
from speclint.quantities.statements import Statement, nested, statement_of
from speclint.quantities.taken import TAKEN_KEY
from speclint.rules.checks import Check, Verdict
from speclint.rules.examples import checks_of
from speclint.rules.rulebook import Rulebook
from speclint.rules.wording import rule_title
from speclint.rulesets.amendments import binding
from speclint.rulesets.flattened import asked_by
from speclint.rulesets.load import example_of
from speclint.rulesets.model import FlatClass, Rule
from speclint.rulesets.not_found import NotFound
from speclint.rulesets.threads import Stretch, threads_of
from speclint.structure.validate import validate

if TYPE_CHECKING:
    from speclint.places import Path


class ExampleKind(Enum):
    """What an example shows of a rule."""

    PASSES = "met"
    FAILS = "not met"
    BELOW = "just too little"
    ON_LOW = "on the lower limit"
    ON_HIGH = "on the upper limit"
    ABOVE = "just too much"


class MissingExample(NamedTuple):
    """An example that is not there; `line` is it, ready to paste, "" where only a person can write it."""

    class_id: str
    rule: str
    kind: ExampleKind
    on: date
    line: str


def missing_examples(case: RulesetCase) -> tuple[MissingExample, ...]:
    """The examples that a ruleset's own rules lack, in the order of its rules.

    What several classes ask alike is one rule: examples of one of them are enough.
    """
    shown: dict[str, list[tuple[date, ExampleKind]]] = {}
    for result in case.examples:
        kind = None if result.check is None else _kind_shown(result.check)
        if result.check is not None and kind is not None:
            shown.setdefault(asked_by(result.check.rule), []).append((result.example.on, kind))
    missing: list[MissingExample] = []
    stretches: dict[str, dict[int, list[Stretch]]] = {}
    for class_id, rule, _ in own_rules(case):
        flat = case.library.flat(case.ruleset, class_id)
        if rule.test is None or isinstance(flat, NotFound):
            continue
        if class_id not in stretches:
            stretches[class_id] = _stretches(flat)
        days = _days(stretches[class_id].get(id(rule.data), ()))
        tried = shown.setdefault(asked_by(rule), [])
        due = tuple(_missing(rule, flat, days, tried))
        tried += ((example.on, example.kind) for example in due)
        missing += due
    return tuple(missing)


def _stretches(flat: FlatClass) -> dict[int, list[Stretch]]:
    """The times that each text of a rule binds."""
    by_text: dict[int, list[Stretch]] = {}
    for stretch in (stretch for thread in threads_of(flat) for stretch in thread.stretches):
        by_text.setdefault(id(stretch.rule.data), []).append(stretch)
    return by_text


def _kind_shown(check: Check) -> ExampleKind | None:
    """What an example shows of a rule by what became of it; None for nothing."""
    outcome = check.outcome
    # What has to be shown is never shown on the limit itself: there that is what an example tries.
    is_on_limit = outcome is not None and outcome.margin == 0
    if check.verdict not in (Verdict.LEGAL, Verdict.ILLEGAL, *((Verdict.NOT_SHOWN,) if is_on_limit else ())):
        return None
    if outcome is None:
        return ExampleKind.PASSES if check.verdict is Verdict.LEGAL else ExampleKind.FAILS
    limits = check.rule.limit.bounds if isinstance(check.rule.limit, Size) else outcome.limits
    is_low = outcome.limit == limits.low
    if outcome.margin == 0:
        return ExampleKind.ON_LOW if is_low else ExampleKind.ON_HIGH
    if outcome.margin > 0:
        return ExampleKind.PASSES if check.verdict is Verdict.LEGAL else None
    if check.verdict is Verdict.LEGAL:
        return None  # inside the leeway, or by the doubt of its reading
    if limits.low == limits.high:
        return ExampleKind.FAILS
    return ExampleKind.BELOW if is_low else ExampleKind.ABOVE


def _missing(
    rule: Rule, flat: FlatClass, days: tuple[date, ...], shown: Sequence[tuple[date, ExampleKind]]
) -> Iterator[MissingExample]:
    """The examples that one rule lacks: of each kind one, and one on each day on which it begins, or binds for the last time."""
    if not days:
        return
    kinds = {kind for _, kind in shown}
    due = [(days[0], kind) for kind in _kinds(rule) if kind not in kinds]
    tried = {day for day, _ in (*shown, *due)}
    season = flat.ruleset.in_force
    due += [
        (day, next(iter(_kinds(rule)))) for day in days if day not in tried and day not in (season.start, season.end)
    ]
    books = {day: _book(rule, flat, day) for day in dict.fromkeys(day for day, _ in due)}
    for day, kind in due:
        yield MissingExample(flat.id, rule.id, kind, day, _line(rule, books[day], kind))


def _book(rule: Rule, flat: FlatClass, on: date) -> Rulebook:
    """The class on a day with no rule but those of this one's id."""
    return Rulebook.of(
        flat, on, tuple(binding_rule for binding_rule in binding(flat, on) if binding_rule.id == rule.id)
    )


def _days(stretches: Iterable[Stretch]) -> tuple[date, ...]:
    """The first and the last day of each time that a rule binds, the days of the ruleset itself among them."""
    days = (day for stretch in stretches for day in (stretch.start, stretch.end) if day not in (None, date.min))
    return tuple(dict.fromkeys(day for day in days if day is not None))


def _kinds(rule: Rule) -> tuple[ExampleKind, ...]:
    """What a rule's examples have to show."""
    limit = rule.limit
    if isinstance(limit, Size):
        low, high = limit.bounds.low, limit.bounds.high
        if low == high:
            return (ExampleKind.ON_LOW, ExampleKind.FAILS)
        below = (ExampleKind.BELOW, ExampleKind.ON_LOW) if low is not None else ()
        above = (ExampleKind.ON_HIGH, ExampleKind.ABOVE) if high is not None else ()
        return (ExampleKind.PASSES, *below, *above)
    described = quantity(rule.quantity or "")
    if limit is not None and limit.requirement == "stated":
        return (ExampleKind.PASSES,)
    return (ExampleKind.PASSES, ExampleKind.FAILS) if described is not None else ()


# --- one written for the organiser


def _line(rule: Rule, book: Rulebook, kind: ExampleKind) -> str:
    """An example of a kind, of which the rule says what it should; "" where none is found."""
    flat, on = book.flat, book.on
    described = quantity(rule.quantity or "")
    conditions = _conditions(rule, flat, on)
    if described is None or conditions is None:
        return ""
    for value in _values(rule, described, flat, on, kind):
        reference_c = flat.reference_c if rule.test is None else rule.test.corrected_to(flat.reference_c)
        statement = _taken_so(rule, described, statement_of(described.name, value, on, reference_c), on)
        if statement is None:
            return ""
        setup = nested((*conditions, statement))
        entry = setup.pop("entry", None)
        text = f"{rule_title(rule)} {value_text(value, described.unit)}, {kind.value}"
        data: dict[str, Any] = {"about": text, "class": flat.id, "on": on.isoformat()}
        data |= {"entry": entry} if entry else {}
        verdict = _verdict(book, {**data, "setup": setup, "expect": {}}, kind)
        if verdict is not None:
            return f"- {flow({**data, 'setup': setup, 'expect': {rule.id: verdict.value}})}"
    return ""


def _taken_so(rule: Rule, described: Quantity, statement: Statement | None, on: date) -> Statement | None:
    """A statement with how its reading was taken, as the rule asks; None where nothing is known to be so."""
    taken = () if rule.test is None else rule.test.taken
    circumstances = taken_example(taken, on.isoformat())
    if statement is None or not taken or circumstances is None:
        return statement if not taken else None
    if from_bench(described):
        run: Path = ("motor", "bench_runs", 0)
        return {
            **{
                (*run, *condition.key.bench): circumstances.get(condition.key.name, circumstances.get("on"))
                for condition in taken
            },
            **statement,
        }
    if len(statement) > 1:
        return None
    return {path: {"value": value, TAKEN_KEY: circumstances} for path, value in statement.items()}


def _conditions(rule: Rule, flat: FlatClass, on: date) -> tuple[Statement, ...] | None:
    """What makes the rule bind; None where nothing is known to."""
    statements: list[Statement] = []
    for condition in rule.when:
        value = condition.example if condition.example is not None else _OTHER_WORD
        statement = statement_of(condition.quantity, value, on, flat.reference_c)
        if statement is None:
            return None
        statements.append(statement)
    return tuple(statements)


_RATIO_PLACES: Final = 2
_OTHER_WORD: Final = "another"


def _values(rule: Rule, described: Quantity, flat: FlatClass, on: date, kind: ExampleKind) -> Iterator[Scalar]:
    """Values that may show what is wanted, the likeliest first."""
    limit = rule.limit
    if isinstance(limit, Size):
        places = max(limit.places, _RATIO_PLACES) if described.sort is Sort.RATIO else limit.places
        step = Fraction(1) if described.sort is Sort.COUNT else Fraction(1, 10**places)
        leeway = None if rule.test is None else rule.test.leeway
        bounds = limit.bounds if leeway is None or kind not in _FAILING else leeway.around(limit.bounds)
        for width in (step, 10 * step) if rule.test is None or rule.test.read_to is None else (rule.test.read_to,):
            yield from _sizes(bounds, width, kind)
        return
    if limit is None:
        return
    lists = DayLists(flat.lists, on, flat.known_on)
    offered = limit.offered(None, lists)
    yield from () if offered is None else (offered,)
    choices = limit.choices(lists) or ()
    yield from (*choices, *described.choices)
    yield from (choice + 1 for choice in choices if isinstance(choice, Fraction))
    yield from scalars(described.example) if isinstance(described.example, str | bool | int | float) else ()
    for key in ("none_of", "one_of"):
        named = rule.data.get(key)
        yield from scalars(named) if isinstance(named, list) else ()
    yield from (True, False) if described.sort is Sort.FLAG else (_OTHER_WORD,)


_FAILING: Final = (ExampleKind.FAILS, ExampleKind.BELOW, ExampleKind.ABOVE)


def _sizes(bounds: Limits, step: Fraction, kind: ExampleKind) -> Iterator[Fraction]:
    low, high = bounds.low, bounds.high
    if kind is ExampleKind.PASSES:
        yield from (low + step,) if low is not None else (high - step,) if high is not None else ()
    elif kind in (ExampleKind.BELOW, ExampleKind.FAILS, ExampleKind.ON_LOW) and low is not None:
        value = low if kind is ExampleKind.ON_LOW else low - step
        yield from (value,) if value >= 0 else ()
    elif high is not None:
        yield high if kind is ExampleKind.ON_HIGH else high + step


def _verdict(book: Rulebook, data: dict[str, Any], kind: ExampleKind) -> Verdict | None:
    """What the rule of a book says of an example, where that is what the example is to show."""
    setup, slips = parse("an example", flow({"format": "setup/1", **data["setup"]}))
    document, problems = parse("an example", flow({"examples": [data]}))
    if setup is None or document is None or slips or problems or validate(setup, "setup/1"):
        return None
    check = next(iter(checks_of(example_of(0, data), document, book)), None)
    return check.verdict if check is not None and _kind_shown(check) is kind else None


# --- the advice


def _lacking(case: RulesetCase) -> Iterator[Observation]:
    if not case.ruleset.examples:
        return
    missing = missing_examples(case)
    if not missing:
        return
    lines = tuple(absent.line for absent in missing if absent.line)
    count = len(missing)
    by_hand = f" {count - len(lines)} of them only a person can write." if len(lines) < count else ""
    yield Observation(
        f"{counted(count, 'example is', 'examples are')} missing, so that a slip can pass unseen:"
        f" {_named(missing)}. The whole report (--full) has them to paste under examples.{by_hand}",
        case.document.place(("examples",)),
        lines,
    )


_MOST_NAMED: Final = 6


def _named(missing: Iterable[MissingExample]) -> str:
    kinds: dict[str, list[str]] = {}
    for absent in missing:
        kinds.setdefault(f"{absent.class_id}/{absent.rule}", []).append(absent.kind.value)
    named = [f"{name} {', '.join(dict.fromkeys(words))}" for name, words in kinds.items()]
    more = f"; and {len(named) - _MOST_NAMED} more rules" if len(named) > _MOST_NAMED else ""
    return f"{'; '.join(named[:_MOST_NAMED])}{more}"


_TRIED: Final = """examples:
  - {class: stock-17, on: 2026-03-14, setup: {car: {width_mm: 189}}, expect: {width: legal}}
  - {class: stock-17, on: 2026-03-14, setup: {car: {width_mm: 190}}, expect: {width: legal}}
  - {class: stock-17, on: 2026-03-14, setup: {car: {width_mm: 189.5}}, expect: {width: legal}}
"""

COVERAGE: Final[tuple[AdviceSort[RulesetCase], ...]] = (
    AdviceSort(
        id="examples-missing",
        title="examples that are missing",
        because="A ruleset is tested like code: what no example tries may say anything, today or after an amendment.",
        example=(example("{id: width, quantity: width_mm, at_most: 190}")[0] + _TRIED,),
        find=_lacking,
    ),
)
