"""Whom a change of a ruleset hits: every entry that comes out otherwise by the new text, the worst first."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from typing import Final, NamedTuple

from speclint.comparison.ruleset_changes import IndexedVersion
from speclint.comparison.setups import RuleOutcome
from speclint.models.cars import Car
from speclint.models.setups import Entry, Setup
from speclint.moments import Period
from speclint.rules.checks import FAILING, Check, LaterRule, Verdict
from speclint.rules.judge import entry_facts, entry_verdict, judge
from speclint.rules.rulebook import Rulebook, rulebook
from speclint.rules.wording import later_text, margin, title
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass
from speclint.rulesets.not_found import NotFound
from speclint.workspace.overrides import overridden
from speclint.workspace.workspace import Workspace


class ChangedRule(NamedTuple):
    """A rule that comes to something else for an entry; None where a text has no such rule."""

    title: str
    clause: str
    before: RuleOutcome | None
    after: RuleOutcome | None


class ChangedEntry(NamedTuple):
    """An entry that comes out otherwise by the new text.

    Attributes:
        file: the setup's file.
        name: what its owner calls it.
        race: ruleset and class.
        on: the day.
        before: the verdict by the old text.
        after: that by the new one; None where it has no such class.
        rules: the rules that come to something else.
        warnings: what the new text says of later days that the old one did not.
        follows: whether the entry's own ruleset only builds on the one that changes, and is taken to follow it.
    """

    file: str
    name: str
    race: str
    on: date
    before: Verdict
    after: Verdict | None
    rules: tuple[ChangedRule, ...]
    warnings: tuple[str, ...]
    follows: bool
    rank: int


class ChangedEntries(NamedTuple):
    """The entries that a comparison looked at: how many by either text, and those that come out otherwise."""

    judged: int
    changed: tuple[ChangedEntry, ...]


class _Texts(NamedTuple):
    """A class in the old text and in the new one."""

    before: FlatClass
    after: FlatClass | None
    follows: bool


def changed_entries(
    old: IndexedVersion, new: IndexedVersion, setups: Sequence[Setup], workspace: Workspace
) -> ChangedEntries:
    """Every entry under one of two texts, or under a ruleset that builds on the old one, judged by both.

    Args:
        old: the old text.
        new: the new one.
        setups: sound setups.
        workspace: the repository that they stand in; its overrides say another day or class.
    """
    rebased = _rebased(old, new, workspace)
    judged = 0
    changed: list[ChangedEntry] = []
    for setup in setups:
        car = workspace.car(setup).car
        for entry, _ in overridden(setup, None, workspace.overrides):
            texts = _texts(entry, old, new, workspace, rebased)
            if texts is None or _is_past(entry.on, texts.after):
                continue
            judged += 1
            changed += _compared(car, entry, texts)
    return ChangedEntries(judged, tuple(sorted(changed, key=_order)))


def _is_past(on: date, after: FlatClass | None) -> bool:
    end = None if after is None else after.ruleset.in_force.end
    return end is not None and on > end


def _texts(
    entry: Entry, old: IndexedVersion, new: IndexedVersion, workspace: Workspace, rebased: Library
) -> _Texts | None:
    """The class that an entry is in, by both texts; None where neither has to do with it."""
    if entry.ruleset in (old.ruleset.id, new.ruleset.id):
        before = old.flat(entry.class_id)
        return None if before is None else _Texts(before, new.flat(entry.class_id), follows=False)
    library = workspace.index.library
    ruleset = workspace.index.ruleset(entry.ruleset, entry.version, entry.on, None)
    if isinstance(ruleset, NotFound):
        return None
    layers = library.layers(ruleset)
    if isinstance(layers, NotFound) or all(layer.name != old.ruleset.name for layer in layers[:-1]):
        return None
    before_flat = library.flat(ruleset, entry.class_id)
    if isinstance(before_flat, NotFound):
        return None
    after_flat = rebased.flat(rebased.versions(ruleset.id)[ruleset.version], entry.class_id)
    if isinstance(after_flat, NotFound):
        return _Texts(before_flat, None, follows=True)
    return _Texts(before_flat, _from_then_on(after_flat, new.ruleset.in_force), follows=True)


def _from_then_on(flat: FlatClass, base_season: Period) -> FlatClass:
    """A class of a ruleset that follows its base: from the day on that this is in force itself."""
    season = flat.ruleset.in_force
    starts = [start for start in (season.start, base_season.start) if start is not None]
    in_force = Period(max(starts, default=None), season.end)
    return flat._replace(ruleset=flat.ruleset._replace(in_force=in_force))


def _rebased(old: IndexedVersion, new: IndexedVersion, workspace: Workspace) -> Library:
    """The rulesets of the cars, with those that build on the old text building on the new one."""
    rulesets = {layer.name: layer for layer in new.library.stack(new.ruleset)}
    for ruleset in workspace.index.rulesets:
        follows = (new.ruleset.id, new.ruleset.version)
        is_on_old = ruleset.based_on == (old.ruleset.id, old.ruleset.version)
        rulesets.setdefault(ruleset.name, ruleset._replace(based_on=follows) if is_on_old else ruleset)
    return Library(rulesets.values())


def _compared(car: Car, entry: Entry, texts: _Texts) -> Iterator[ChangedEntry]:
    """The entry, where it comes out otherwise."""
    before, after = texts.before, texts.after
    book = rulebook(before, entry.on)
    old_checks = _judged(car, entry, book)
    old_verdict = entry_verdict(old_checks, book)[0]
    described = car.setup.document.file, car.setup.name, before.label, entry.on, old_verdict
    if after is None:
        yield ChangedEntry(*described, None, (), (), texts.follows, _WORST)
        return
    start = after.ruleset.in_force.start
    new_book = (
        rulebook(before, entry.on, after) if start is not None and entry.on < start else rulebook(after, entry.on)
    )
    new_checks = _judged(car, entry, new_book)
    new_verdict = entry_verdict(new_checks, new_book)[0]
    rules = tuple(_changed_rules(old_checks, new_checks))
    warnings = tuple(_warnings(old_checks, new_checks))
    if old_verdict is not new_verdict or rules or warnings:
        shown_rules = tuple(changed for changed, _ in rules)
        rank = _rank(old_verdict, new_verdict, [moved for _, moved in rules], is_warned=bool(warnings))
        yield ChangedEntry(*described, new_verdict, shown_rules, warnings, texts.follows, rank)


def _judged(car: Car, entry: Entry, book: Rulebook) -> tuple[Check, ...]:
    facts = entry_facts(car, entry, book.flat)
    return judge(book, facts, car.setup.document.place(entry.path))


def _changed_rules(
    old_checks: Iterable[Check], new_checks: Iterable[Check]
) -> Iterator[tuple[ChangedRule, Fraction | None]]:
    """The rules that come to something else, each with how far its margin moves, where that is a number."""
    old_by_id = {check.rule.id: check for check in old_checks if not _is_notice(check)}
    new_by_id = {check.rule.id: check for check in new_checks if not _is_notice(check)}
    gone = {rule_id: check for rule_id, check in old_by_id.items() if rule_id not in new_by_id}
    for rule_id, after in new_by_id.items():
        before = old_by_id.get(rule_id) or _taken_over(after, gone)
        if _is_news(after) if before is None else (before.verdict, margin(before)) != (after.verdict, margin(after)):
            yield (
                ChangedRule(title(after), after.rule.cite, before and RuleOutcome.of(before), RuleOutcome.of(after)),
                _moved(before, after),
            )
    for before in gone.values():
        if before.verdict in FAILING:
            yield ChangedRule(title(before), before.rule.cite, RuleOutcome.of(before), None), None


def _is_news(check: Check) -> bool:
    """Whether a rule that was not asked before says more than that it is met, or does not bind."""
    return check.verdict in (*FAILING, Verdict.TO_INSPECT) or check.outcome is not None


def _is_notice(check: Check) -> bool:
    """Whether the check stands only for what is to come."""
    return check.verdict is Verdict.NOT_APPLICABLE and bool(check.later) and check.fact is None


def _taken_over(check: Check, gone: dict[str, Check]) -> Check | None:
    """The check of a rule of another id on the same quantity, taken out of those that are gone."""
    rule_id = next((name for name, before in gone.items() if before.rule.quantity == check.rule.quantity), None)
    return None if rule_id is None else gone.pop(rule_id)


def _moved(before: Check | None, after: Check) -> Fraction | None:
    if before is None or before.outcome is None or after.outcome is None:
        return None
    return after.outcome.margin - before.outcome.margin


def _warnings(old_checks: Iterable[Check], new_checks: Iterable[Check]) -> Iterator[str]:
    """What a later day brings by the new text that a car cannot meet as it is, and the old text did not say."""
    old_notices = {_notice_key(later) for check in old_checks for later in check.later}
    for check in new_checks:
        for later in check.later:
            if later.verdict in FAILING and _notice_key(later) not in old_notices:
                yield f"{title(later.check)}: {later_text(later)}"


def _notice_key(later: LaterRule) -> tuple[date, str, Verdict]:
    return later.on, later.rule.id, later.verdict


def _order(entry: ChangedEntry) -> tuple[int, int, str, date]:
    """The worst first, also among those that one thing happens to."""
    severity = 0 if entry.after is None else _SEVERITY.get(entry.after, 0)
    return entry.rank, -severity, entry.file, entry.on


_SEVERITY: Final[Mapping[Verdict, int]] = {Verdict.LEGAL: 0, Verdict.NOT_SHOWN: 1, Verdict.ILLEGAL: 2}
_WORST: Final = 0


def _rank(before: Verdict, after: Verdict, moves: Sequence[Fraction | None], *, is_warned: bool) -> int:
    """The worst first: what becomes illegal, or not shown; what is warned; what gets nearer to a limit; what gets better."""
    change = _SEVERITY.get(after, 0) - _SEVERITY.get(before, 0)
    if change > 0:
        return _WORST if after is Verdict.ILLEGAL else 1
    if change < 0:
        return 5
    if is_warned:
        return 2
    return 3 if any(move is None or move < 0 for move in moves) else 4
