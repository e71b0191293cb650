"""What has changed between two versions of a ruleset, rule by rule and list by list, in sentences."""

from collections.abc import Iterator
from typing import Any, Final, NamedTuple

from speclint.forms.parts_lists import PartsList
from speclint.publish.class_page import lists_named
from speclint.publish.sentences import days_text, sentence_of
from speclint.publish.threads import Stretch, threads_of
from speclint.rules.wording import rule_title
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass, Rule, Ruleset
from speclint.rulesets.not_found import NotFound

_WORDS: Final = frozenset({"because", "measure", "penalty", "cite", "checked_on", "published", "id", "replaces"})
"""Keys of a rule that turn no verdict."""


class ClassChanges(NamedTuple):
    """What has changed in a class, a sentence each."""

    id: str
    title: str
    texts: tuple[str, ...]


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


def changes_between(old: IndexedVersion, new: IndexedVersion) -> tuple[ClassChanges, ...]:
    """What has changed in each class, those without a change left out."""
    changes = []
    for class_id in dict.fromkeys((*new.class_ids, *old.class_ids)):
        before, after = old.flat(class_id), new.flat(class_id)
        title = next(flat.title for flat in (after, before) if flat is not None)
        texts = tuple(_class_texts(before, after))
        if texts:
            changes.append(ClassChanges(class_id, title, texts))
    return tuple(changes)


def _class_texts(before: FlatClass | None, after: FlatClass | None) -> Iterator[str]:
    if before is None:
        yield "New class."
        return
    if after is None:
        yield "This class is no longer run."
        return
    old_rules, new_rules = _stretches(before), _stretches(after)
    for rule_id, stretch in new_rules.items():
        earlier = old_rules.get(rule_id)
        if earlier is None:
            yield f"New: {_text(stretch)}"
        elif _binding_keys(earlier.rule) != _binding_keys(stretch.rule) or _days(earlier) != _days(stretch):
            if _text(earlier) != _text(stretch):
                yield f"Changed: {_text(stretch)} Before: {_text(earlier)}"
            else:
                yield f"Changed in how it is read or decided: {_text(stretch)}"
        elif _words(earlier.rule) != _words(stretch.rule):
            yield f"Reworded, and asks the same: {rule_title(stretch.rule)}{_clause(stretch.rule)}."
    for rule_id, stretch in old_rules.items():
        if rule_id not in new_rules:
            yield f"No longer asked: {_text(stretch)}"
    named = (*lists_named(threads_of(before)), *lists_named(threads_of(after)))
    for list_id in dict.fromkeys(named):
        yield from _list_texts(list_id, before.lists.get(list_id), after.lists.get(list_id))
    if before.instruments != after.instruments:
        yield "The official instruments are described anew: see the index."


def _stretches(flat: FlatClass) -> dict[str, Stretch]:
    """The rules that bind at some time, by id; of one that binds twice the first time."""
    return {stretch.rule.id: stretch for thread in threads_of(flat) for stretch in reversed(thread.stretches)}


def _binding_keys(rule: Rule) -> dict[str, Any]:
    return {key: value for key, value in rule.data.items() if key not in _WORDS}


def _words(rule: Rule) -> dict[str, Any]:
    return {key: rule.data.get(key) for key in ("because", "measure", "penalty", "cite")}


def _days(stretch: Stretch) -> object:
    """The days that a rule states itself: a new season alone is no change of a rule."""
    return stretch.rule.period


def _text(stretch: Stretch) -> str:
    rule = stretch.rule
    days = days_text(rule.period.start, rule.period.end)
    return f"{str(sentence_of(rule)).rstrip('.')}{_clause(rule)}{f', {days}' if days else ''}."


def _clause(rule: Rule) -> str:
    return f", clause {rule.cite}" if rule.cite else ""


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
