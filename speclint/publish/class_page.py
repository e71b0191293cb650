"""What a class's page says: the line of time, every rule with all that belongs to it, its lists, and who is excused."""

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import Any, NamedTuple

from speclint.forms.parts_lists import ListItem, PartsList, Scalar
from speclint.forms.words import shown
from speclint.moments import Period, day_after, day_text
from speclint.quantities.declared import Declared
from speclint.quantities.registry import quantity, title_of_key, unit_of_key
from speclint.readings.digits import with_unit
from speclint.rules.sentences import Sentence, doubt_text, sentence_of, terms, waiver_text
from speclint.rules.wording import asked
from speclint.rulesets.library import Library
from speclint.rulesets.model import FlatClass, Rule, Ruleset
from speclint.rulesets.not_found import NotFound
from speclint.rulesets.threads import Thread, Turn, threads_of


class TimeEntry(NamedTuple):
    """A day on the line of time, and what happens on it."""

    day: str
    texts: tuple[str, ...]


class PageLink(NamedTuple):
    """A place on the page, and what it is called."""

    anchor: str
    text: str


class PublishedRule(NamedTuple):
    """A rule as it is published: `days` is empty where it binds all season."""

    anchor: str
    sentence: Sentence
    days: str
    because: str
    notes: tuple[str, ...]
    penalty: str
    clause: str
    origin: str
    lists: tuple[PageLink, ...]


class PublishedThread(NamedTuple):
    """A rule with its amendments; links lead to `anchor`."""

    anchor: str
    rules: tuple[PublishedRule, ...]


class PublishedItem(NamedTuple):
    """An item of a list: the days that it counts, and what else the list says of it."""

    id: str
    days: str
    details: str


class PublishedList(NamedTuple):
    """A list of approved things."""

    anchor: str
    id: str
    about: str
    frozen: str
    approved: tuple[PublishedItem, ...]


class ClassPage(NamedTuple):
    """All that the page of a class says."""

    id: str
    title: str
    about: str
    days: str
    times: tuple[TimeEntry, ...]
    threads: tuple[PublishedThread, ...]
    taken_away: tuple[str, ...]
    lists: tuple[PublishedList, ...]
    waivers: tuple[str, ...]


def class_page_of(flat: FlatClass, library: Library) -> ClassPage:
    """The page of a class."""
    threads = threads_of(flat)
    layers = library.stack(flat.ruleset)
    stated: dict[str, Any] = next(
        (layer.data["classes"][flat.id] for layer in reversed(layers) if flat.id in layer.classes), {}
    )
    lists = tuple(
        _list(flat.lists[list_id], layers, flat.quantities) for list_id in lists_named(threads) if list_id in flat.lists
    )
    return ClassPage(
        id=flat.id,
        title=flat.title,
        about=str(stated.get("about", "")),
        days=flat.ruleset.in_force.text,
        times=tuple(_times(flat, threads, library)),
        threads=tuple(_thread(thread, flat, library, layers) for thread in threads),
        taken_away=tuple(_taken_away(flat, layers)),
        lists=lists,
        waivers=tuple(waiver_text(waiver) for waiver in flat.waivers if waiver.class_id in (None, flat.id)),
    )


def lists_named(threads: tuple[Thread, ...]) -> tuple[str, ...]:
    """The lists that the rules name, in their order."""
    return tuple(
        dict.fromkeys(
            list_id for thread in threads for stretch in thread.stretches for list_id in _lists_of(stretch.rule)
        )
    )


def _lists_of(rule: Rule) -> tuple[str, ...]:
    return tuple(dict.fromkeys(list_id for _, list_id in rule.lists))


def _list_anchor(list_id: str) -> str:
    """No rule's id has a capital letter, so that none is taken twice on a page."""
    return f"List-{list_id}"


def change_text(turn: Turn) -> str:
    """What a turn brings, with what was before."""
    if turn.after is None:
        return f"No longer asked: {sentence_of(turn.before)}" if turn.before is not None else ""
    clause, before = turn.after.clause_behind, turn.before
    if before is None:
        return f"{str(sentence_of(turn.after)).rstrip('.')}{clause}; until then nothing was asked."
    was = asked(before) if before.quantity == turn.after.quantity else str(sentence_of(before)).rstrip(".")
    return f"{str(sentence_of(turn.after)).rstrip('.')}{clause}; until then {was}."


def _times(flat: FlatClass, threads: tuple[Thread, ...], library: Library) -> Iterator[TimeEntry]:
    """Everything that happens in the season, day by day."""
    season = flat.ruleset.in_force
    happenings = [(turn.day, change_text(turn)) for thread in threads for turn in thread.turns(season)]
    for list_id in lists_named(threads):
        parts = flat.lists.get(list_id)
        happenings += (
            [] if parts is None else [(day, text) for item in parts.items for day, text in _of_item(item, parts)]
        )
    happenings = [(day, text) for day, text in happenings if day in season and day != season.start]
    if season.start is not None:
        happenings.append((season.start, f"Version {flat.ruleset.version} comes into force."))
    following = None if season.start is None else library.following(flat.ruleset, season.start, None)
    if following is not None and following.in_force.start is not None:
        happenings.append((following.in_force.start, f"Version {following.version} takes over."))
    if season.end is not None and (following is None or following.in_force.start != day_after(season.end)):
        happenings.append((season.end, "The last day of this version."))
    for day, group in groupby(
        sorted(happenings, key=lambda happening: happening[0]), key=lambda happening: happening[0]
    ):
        yield TimeEntry(day_text(day), tuple(text for _, text in group))


def _of_item(item: ListItem, parts: PartsList) -> Iterator[tuple[date, str]]:
    start, end = item.period.start, item.period.end
    if _waits(item, parts):
        if start is not None:
            yield start, f"{item.id} comes onto the list {parts.id}, which is frozen: it waits for the next season."
        return
    if start is not None:
        yield start, f"{item.id} counts on the list {parts.id}."
    if end is not None:
        yield day_after(end), f"{item.id} no longer counts on the list {parts.id}."


def _waits(item: ListItem, parts: PartsList) -> bool:
    """Whether it came onto a list after that was frozen."""
    start = item.period.start
    return start is not None and parts.frozen_on is not None and start > parts.frozen_on


def _thread(thread: Thread, flat: FlatClass, library: Library, layers: tuple[Ruleset, ...]) -> PublishedThread:
    """The rules of a thread; those that follow the first have anchors of their own."""
    rules, taken = [], {thread.id}
    for i, stretch in enumerate(thread.stretches):
        rule, season = stretch.rule, flat.ruleset.in_force
        is_all_season = len(thread.stretches) == 1 and (stretch.start, stretch.end) == (season.start, season.end)
        anchor = rule.id if i and rule.id not in taken else ""
        taken.add(rule.id)
        rules.append(
            PublishedRule(
                anchor=anchor,
                sentence=sentence_of(rule),
                days="" if is_all_season else Period(stretch.start, stretch.end).text,
                because=rule.because,
                notes=tuple(_notes(rule, flat)),
                penalty=rule.penalty,
                clause=rule.cite,
                origin=_origin(rule, flat, library, layers),
                lists=tuple(PageLink(_list_anchor(list_id), list_id) for list_id in _lists_of(rule)),
            )
        )
    return PublishedThread(thread.id, tuple(rules))


def _notes(rule: Rule, flat: FlatClass) -> Iterator[str]:
    """How it is measured, and who gets the doubt."""
    limited = quantity(rule.quantity) if rule.quantity is not None else None
    measure = rule.measure or (limited.measure if limited is not None else "")
    yield from filter(None, (measure, *terms(rule, flat), doubt_text(rule, flat)))


def _origin(rule: Rule, flat: FlatClass, library: Library, layers: tuple[Ruleset, ...]) -> str:
    """Whose rule it is, since when it is known, and what it takes the place of."""
    stating = next((layer for layer in layers if layer.id == rule.ruleset), flat.ruleset)
    parts = [f"{stating.title or stating.id}, {stating.version}"]
    if rule.replaces is not None:
        parts.append(f"amends {rule.replaces}")
    if rule.published is not None and rule.published != stating.published:
        parts.append(f"made known on {day_text(rule.published)}")
    inherited = _inherited(rule, flat, library, layers[: layers.index(stating)]) if stating in layers else None
    if inherited is not None:
        parts.append(f"in place of a rule of {inherited.ruleset}: {asked(inherited)}{inherited.clause_behind}")
    return "; ".join(parts)


def _inherited(rule: Rule, flat: FlatClass, library: Library, below: tuple[Ruleset, ...]) -> Rule | None:
    for layer in reversed(below):
        base = library.flat(layer, flat.id)
        if not isinstance(base, NotFound):
            return base.rule(rule.id)
    return None


def _taken_away(flat: FlatClass, layers: tuple[Ruleset, ...]) -> Iterator[str]:
    """Inherited rules that do not bind here."""
    kept = {rule.id for rule in flat.rules}
    for layer in layers:
        for rule in layer.classes[flat.id].rules if flat.id in layer.classes else ():
            if rule.withdrawn and rule.replaces is None and rule.id not in kept:
                why = f": {rule.because}" if rule.because else ""
                yield f"{rule.id}{rule.cite_behind}, taken away by {layer.title or layer.id}{why}"


def _list(parts: PartsList, layers: tuple[Ruleset, ...], declared: Declared) -> PublishedList:
    stated: dict[str, Any] = next(
        (layer.data["lists"][parts.id] for layer in reversed(layers) if parts.id in (layer.data.get("lists") or {})), {}
    )
    taken = (
        f"Takes over the list {parts.basis.list_id} of {parts.basis.ruleset}, version {parts.basis.version}. "
        if parts.basis
        else ""
    )
    frozen = taken + (
        f"Frozen on {day_text(parts.frozen_on)}: what is added later counts for the next season."
        if parts.frozen_on is not None
        else ""
    )
    items = []
    for item in parts.items:
        details = "; ".join(_detail(key, values, declared) for key, values in item.keys.items())
        days = item.period.text
        items.append(
            PublishedItem(item.id, f"{days}, but waits for the next season" if _waits(item, parts) else days, details)
        )
    return PublishedList(_list_anchor(parts.id), parts.id, str(stated.get("about", "")), frozen, tuple(items))


def _detail(key: str, values: tuple[Scalar, ...], declared: Declared) -> str:
    """What an item has under a key: the title of the quantity that is meant, or the key as words, and a number with its unit."""
    meant = quantity(declared.get(f"extra.{key}") or key)
    unit = unit_of_key(key) if meant is None else meant.unit
    title = title_of_key(key, unit) if meant is None else meant.title
    listed_values = ", ".join(map(shown, values))
    return f"{title} {with_unit(listed_values, unit) if unit != title else listed_values}"
