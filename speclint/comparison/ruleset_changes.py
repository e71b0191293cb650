"""What differs between two rulesets, rule by rule: what each change does to a legal car is read from the two texts alone."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from enum import Enum
from itertools import groupby
from typing import Final, NamedTuple

from speclint.forms.parts_lists import PartsList
from speclint.moments import Period, day_after, day_before
from speclint.plain import capitalised
from speclint.quantities.declared import readings_of
from speclint.rules.declared import declared_among, declared_text
from speclint.rules.rulebook import asks
from speclint.rules.sentences import doubt_text, sentence_of, terms, waiver_text
from speclint.rules.wording import rule_title
from speclint.rulesets.amendments import binding, changes_after, days_of_change
from speclint.rulesets.implication import BindingRule, implies, spares_as_many
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass, Ruleset, Waiver
from speclint.rulesets.not_found import NotFound
from speclint.rulesets.threads import root_of


class Step(Enum):
    """The step that a version has to take, the largest one last; the names are those of semver.org."""

    NONE = "none"
    PATCH = "patch"
    MINOR = "minor"
    MAJOR = "major"

    @property
    def rank(self) -> int:
        """Its place in that order."""
        return list(Step).index(self)


class ChangeKind(Enum):
    """What became of a rule."""

    ADDED = "added"
    WITHDRAWN = "withdrawn"
    TIGHTENED = "tightened"
    LOOSENED = "loosened"
    CHANGED = "changed"
    MOVED = "moved in time"
    REWORDED = "reworded"


class RulesetChange(NamedTuple):
    """What became of a rule with all that amends it, on some days of the new text.

    Attributes:
        kind: what became of it.
        step: the step that this asks of the version: a major one where a legal car can become illegal.
        rule: its id; of an amendment that of the rule that is amended.
        title: what it is on.
        clause: where the new text has it, else the old one.
        days: the days on which it is so, open where that is as long as the new text is in force.
        before: what was asked, a sentence each.
        after: what is asked, a sentence each.
        details: what differs beside the sentences, or is not in them.
    """

    kind: ChangeKind
    step: Step
    rule: str
    title: str
    clause: str
    days: Period
    before: tuple[str, ...]
    after: tuple[str, ...]
    details: tuple[str, ...]

    @property
    def text(self) -> str:
        """The change in words, its kind apart."""
        days = self.days.text
        after, before = " ".join(self.after), " ".join(self.before)
        if self.kind is ChangeKind.REWORDED and after == before:
            sentences = f"{self.title}, {self.rule}"
        elif after and before and after != before:
            sentences = f"{after} Before: {before}"
        else:
            sentences = after or before
        sentences = f"{capitalised(days)}: {sentences}" if days else sentences
        return " ".join((sentences, *self.details))


class ClassChanges(NamedTuple):
    """What became of a class; `kind` is there where the class itself came or went."""

    id: str
    title: str
    kind: ChangeKind | None
    changes: tuple[RulesetChange, ...]

    @property
    def step(self) -> Step:
        """The step that this asks of the version."""
        if self.kind is not None:
            return Step.MAJOR if self.kind is ChangeKind.WITHDRAWN else Step.MINOR
        return largest_step(change.step for change in self.changes)

    @property
    def texts(self) -> tuple[str, ...]:
        """Every change in words, its kind at the front."""
        if self.kind is not None:
            return ("New class." if self.kind is ChangeKind.ADDED else "This class is no longer run.",)
        return tuple(f"{change.kind.value.capitalize()}: {change.text}" for change in self.changes)


class IndexedVersion(NamedTuple):
    """A version among the rulesets that it builds on."""

    ruleset: Ruleset
    library: Library

    @property
    def class_ids(self) -> tuple[str, ...]:
        """Its classes."""
        return self.library.class_ids(self.ruleset)

    def flat(self, class_id: str) -> FlatClass | None:
        """A class with all that it inherits; None where it has none of this id."""
        flat = self.library.flat(self.ruleset, class_id)
        return None if isinstance(flat, NotFound) else flat


def largest_step(steps: Iterable[Step]) -> Step:
    """The largest of some steps."""
    return max(steps, key=lambda step: step.rank, default=Step.NONE)


def changes_between(old: IndexedVersion, new: IndexedVersion) -> tuple[ClassChanges, ...]:
    """What has changed in each class, those without a change left out.

    The new text is looked at on each of its days, and held against what the old one says of that day, had it stayed in force.
    """
    changes = []
    for class_id in dict.fromkeys((*new.class_ids, *old.class_ids)):
        before, after = old.flat(class_id), new.flat(class_id)
        if before is not None and after is not None:
            in_class = tuple(_merged(_in_class(before, after)))
            if in_class:
                changes.append(ClassChanges(class_id, after.title, None, in_class))
        elif after is not None:
            changes.append(ClassChanges(class_id, after.title, ChangeKind.ADDED, ()))
        elif before is not None:
            changes.append(ClassChanges(class_id, before.title, ChangeKind.WITHDRAWN, ()))
    return tuple(changes)


class _Stretch(NamedTuple):
    """Some days on which nothing changes: the rules of both texts on the first of them."""

    days: Period
    old: tuple[BindingRule, ...]
    new: tuple[BindingRule, ...]


def _in_class(before: FlatClass, after: FlatClass) -> Iterator[RulesetChange]:
    stretches = tuple(_stretches(before, after))
    aliases = _aliases(stretches)

    def thread(binding_rule: BindingRule) -> str:
        root = root_of(binding_rule.rule, binding_rule.flat)
        return aliases.get(root, root) if binding_rule.flat is after else root

    roots = dict.fromkeys(thread(rule) for stretch in stretches for rule in (*stretch.new, *stretch.old))
    for root in roots:
        of_thread = [
            (
                stretch,
                tuple(rule for rule in stretch.old if thread(rule) == root),
                tuple(rule for rule in stretch.new if thread(rule) == root),
            )
            for stretch in stretches
        ]
        old_asks = {asks(rule.rule, before) for _, old_rules, _ in of_thread for rule in old_rules}
        new_asks = {asks(rule.rule, after) for _, _, new_rules in of_thread for rule in new_rules}
        for stretch, old_rules, new_rules in of_thread:
            change = _change(root, stretch, old_rules, new_rules)
            if change is None:
                continue
            # What asks the same on the day itself has other terms, and no other days.
            moves = change.before != change.after if old_asks == new_asks else not (change.before and change.after)
            if moves and old_asks and new_asks and change.kind is not ChangeKind.REWORDED:
                change = change._replace(kind=ChangeKind.MOVED)
            yield change
    yield from _waivers(before, after, stretches)


def _stretches(before: FlatClass, after: FlatClass) -> Iterator[_Stretch]:
    season = after.ruleset.in_force
    start = season.start or date.min
    waiver_days = {day for waiver in (*before.waivers, *after.waivers) for day in days_of_change(waiver.period)}
    days = {start, *changes_after(after, start), *changes_after(before, start), *waiver_days}
    in_season = sorted(day for day in days if day in season and day >= start)
    for day, following in zip(in_season, (*in_season[1:], None), strict=True):
        period = Period(None if day == start else day, None if following is None else day_before(following))
        yield _Stretch(
            period,
            tuple(BindingRule(rule, before, day) for rule in binding(before, day)),
            tuple(BindingRule(rule, after, day) for rule in binding(after, day)),
        )


def _aliases(stretches: Sequence[_Stretch]) -> dict[str, str]:
    """Rules of the new text that have another id and are on the only quantity that one of the old text has lost."""
    old_roots = {root_of(rule.rule, rule.flat): rule.rule for stretch in stretches for rule in stretch.old}
    new_roots = {root_of(rule.rule, rule.flat): rule.rule for stretch in stretches for rule in stretch.new}
    lost = {root: rule.quantity for root, rule in old_roots.items() if root not in new_roots and rule.quantity}
    gained = {root: rule.quantity for root, rule in new_roots.items() if root not in old_roots and rule.quantity}
    aliases: dict[str, str] = {}
    for root, name in gained.items():
        candidates = [old_root for old_root, old_name in lost.items() if old_name == name]
        if len(candidates) == 1 and list(gained.values()).count(name) == 1:
            aliases[root] = candidates[0]
    return aliases


def _change(
    root: str, stretch: _Stretch, old_rules: tuple[BindingRule, ...], new_rules: tuple[BindingRule, ...]
) -> RulesetChange | None:
    """What became of a rule in a stretch; None where nothing did."""
    tightens = any(not any(_leads_to(old, new) for old in stretch.old) for new in new_rules)
    loosens = any(not any(implies(new, old) for new in stretch.new) for old in old_rules)
    before, after = tuple(map(_text, old_rules)), tuple(map(_text, new_rules))
    if not (old_rules or new_rules):
        return None
    rules = [binding_rule.rule for binding_rule in (*new_rules, *old_rules)]
    details: tuple[str, ...] = ()
    if not (old_rules and new_rules):
        kind = ChangeKind.WITHDRAWN if old_rules else ChangeKind.ADDED
    else:
        kind = _KINDS[tightens, loosens]
        is_reworded = kind is ChangeKind.REWORDED
        if is_reworded and before == after and _words(old_rules) == _words(new_rules):
            return None
        details = (*_details(old_rules, new_rules), *(_reworded(old_rules, new_rules) if is_reworded else ()))
    step = Step.MAJOR if tightens else Step.PATCH if kind is ChangeKind.REWORDED else Step.MINOR
    clause = next((rule.cite for rule in rules if rule.cite), "")
    return RulesetChange(kind, step, root, rule_title(rules[0]), clause, stretch.days, before, after, details)


def _leads_to(old: BindingRule, new: BindingRule) -> bool:
    """Whether a car that was legal by an old rule, or excused from it, is so by a new one."""
    is_excusable = any(waiver.rule == old.rule.id for waiver in _waivers_on(old.flat, old.on))
    return implies(old, new) and (old.rule.id == new.rule.id or not is_excusable)


_KINDS: Final = {
    (True, True): ChangeKind.CHANGED,
    (True, False): ChangeKind.TIGHTENED,
    (False, True): ChangeKind.LOOSENED,
    (False, False): ChangeKind.REWORDED,
}


def _text(binding_rule: BindingRule) -> str:
    rule = binding_rule.rule
    return f"{str(sentence_of(rule)).rstrip('.')}{rule.clause_behind}."


def _words(rules: Sequence[BindingRule]) -> list[tuple[str, ...]]:
    return [(rule.because, rule.measure, rule.penalty, rule.cite, rule.id) for rule, _, _ in rules]


def _details(old_rules: Sequence[BindingRule], new_rules: Sequence[BindingRule]) -> Iterator[str]:
    """What a sentence does not say: how the value is read, who gets the doubt, what stands on a list."""
    old_terms = {text for binding_rule in old_rules for text in _terms(binding_rule)}
    yield from dict.fromkeys(
        text for binding_rule in new_rules for text in _terms(binding_rule) if text not in old_terms
    )
    declared_before = {str(name): name for rule in old_rules for name in declared_among(rule.rule.named)}
    for name in dict.fromkeys(name for rule in new_rules for name in declared_among(rule.rule.named)):
        before = declared_before.get(name)
        if before is not None and readings_of((before,)) != readings_of((name,)):
            yield f"{declared_text(name.quantity)} Before: {declared_text(before.quantity)}"
    old_lists, new_lists = old_rules[0].flat.lists, new_rules[0].flat.lists
    named = (list_id for rule in (*old_rules, *new_rules) for _, list_id in rule.rule.lists)
    for list_id in dict.fromkeys(named):
        yield from _list_texts(list_id, old_lists.get(list_id), new_lists.get(list_id))


def _reworded(old_rules: Sequence[BindingRule], new_rules: Sequence[BindingRule]) -> Iterator[str]:
    """What is said otherwise of a rule that asks the same."""
    for name, label in (("because", "Why"), ("measure", "Measured"), ("penalty", "Penalty")):
        was, now = ([getattr(rule.rule, name) for rule in rules] for rules in (old_rules, new_rules))
        yield from (f"{label}: {text}" for text in dict.fromkeys(now) if text and text not in was)


def _terms(binding_rule: BindingRule) -> tuple[str, ...]:
    rule, flat, _ = binding_rule
    return tuple(text for text in (*terms(rule, flat), doubt_text(rule, flat)) if text)


def _list_texts(list_id: str, before: PartsList | None, after: PartsList | None) -> Iterator[str]:
    old_items = {item.id: item for item in before.items} if before is not None else {}
    new_items = {item.id: item for item in after.items} if after is not None else {}
    added = [id_ for id_ in new_items if id_ not in old_items]
    removed = [id_ for id_ in old_items if id_ not in new_items]
    changed = [id_ for id_ in new_items if id_ in old_items and new_items[id_] != old_items[id_]]
    for label, ids in (("new", added), ("taken off", removed), ("with other days or details", changed)):
        if ids:
            yield f"List {list_id}, {label}: {', '.join(ids)}."
    if before is not None and after is not None and before.frozen_on != after.frozen_on:
        yield f"List {list_id} freezes on another day: {after.frozen_on or 'never'}."


def _waivers(before: FlatClass, after: FlatClass, stretches: Sequence[_Stretch]) -> Iterator[RulesetChange]:
    """What the club excused, and excuses now."""
    for stretch in stretches:
        day = stretch.days.start or after.ruleset.in_force.start or date.min
        old_waivers, new_waivers = _waivers_on(before, day), _waivers_on(after, day)
        for waiver in old_waivers:
            if not any(spares_as_many(waiver, new_waiver) for new_waiver in new_waivers):
                yield _waiver_change(waiver, ChangeKind.WITHDRAWN, stretch.days)
        for waiver in new_waivers:
            if not any(spares_as_many(waiver, old_waiver) for old_waiver in old_waivers):
                yield _waiver_change(waiver, ChangeKind.ADDED, stretch.days)


def _waivers_on(flat: FlatClass, day: date) -> tuple[Waiver, ...]:
    return tuple(waiver for waiver in flat.waivers if waiver.class_id in (None, flat.id) and day in waiver.period)


def _waiver_change(waiver: Waiver, kind: ChangeKind, days: Period) -> RulesetChange:
    texts = (f"Waiver of {waiver_text(waiver, is_dated=False)}.",)
    is_added = kind is ChangeKind.ADDED
    return RulesetChange(
        kind, Step.MINOR if is_added else Step.MAJOR, waiver.rule, "waiver", "", days,
        () if is_added else texts, texts if is_added else (), (),
    )  # fmt: skip


def _merged(changes: Iterable[RulesetChange]) -> Iterator[RulesetChange]:
    """The changes, with those joined that are alike on days that follow each other."""
    for _, group in groupby(changes, key=lambda change: change._replace(days=Period())):
        alike = list(group)
        start = 0
        for i in range(1, len(alike) + 1):
            if i == len(alike) or not _follows(alike[i - 1].days, alike[i].days):
                yield alike[start]._replace(days=Period(alike[start].days.start, alike[i - 1].days.end))
                start = i


def _follows(first: Period, second: Period) -> bool:
    return first.end is not None and second.start is not None and day_after(first.end) == second.start
