"""What the rules of a class want stated: each key, and what is asked of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from speclint.edits.spelled import flow
from speclint.forms.bodies import LimitTest
from speclint.forms.parts_lists import DayLists
from speclint.places import Path
from speclint.quantities.keys import keys_behind
from speclint.quantities.model import Home, Key, Quantity
from speclint.quantities.registry import OPEN_PREFIXES, quantity
from speclint.rules.rulebook import rulebook
from speclint.rules.wording import test_asked
from speclint.rulesets.model import FlatClass, Rule


@dataclass(frozen=True, slots=True)
class RequiredKey:
    """A key that rules of a class rest on, and what they ask of it."""

    home: Home
    path: Path
    asks: tuple[str, ...]


def required_keys(flat: FlatClass, on: date) -> tuple[RequiredKey, ...]:
    """Every key that a rule of the class rests on, of those that bind on the day and those that begin later."""
    book = rulebook(flat, on)
    required: dict[tuple[Home, Path], tuple[str, ...]] = {}
    for rule in (*book.rules, *book.later):
        for home, path, ask in _of_rule(rule, flat, on):
            required[home, path] = tuple(dict.fromkeys((*required.get((home, path), ()), ask)))
    return tuple(RequiredKey(home, path, asks) for (home, path), asks in required.items())


def _of_rule(rule: Rule, flat: FlatClass, on: date) -> Iterator[tuple[Home, Path, str]]:
    clause = f" ({rule.cite})" if rule.cite else ""
    since = f" from {rule.period.start}" if rule.period.start is not None and rule.period.start > on else ""
    for condition in rule.when:
        yield from _keys(condition.quantity, f"Rule {rule.id}{clause} applies where this is {condition.asked}.")
    for test in rule.tests:
        names = test.limit.names
        lists = " and ".join(list_id for _, list_id in names.lists)
        does = f"looks it up in the list {lists}" if lists else "compares with it"
        for _, name in names.quantities:
            yield from _keys(name, f"Rule {rule.id}{clause} {does}.")
        limited = quantity(test.quantity)
        if limited is not None:
            where = "".join(f", where {condition.words}" for condition in rule.when)
            example = "" if limited.numeric else _such_as(test, flat, on)
            yield from _keys(
                test.quantity, f"Rule {rule.id}{clause}{since}: {_ask(rule, test, limited)}{where}{example}."
            )


def _ask(rule: Rule, test: LimitTest, limited: Quantity) -> str:
    """What the rule asks of one quantity; of several ways, those that do."""
    title = "" if limited.key is not None or "." in limited.name else f"{limited.title} "
    asks = dict.fromkeys(test_asked(other) for other in rule.tests if other.quantity == test.quantity)
    is_one_way = any(other.quantity != test.quantity for other in rule.tests) and rule.test is None
    return f"{title}{', or '.join(asks)}{', by one of several ways' if is_one_way else ''}"


def _such_as(test: LimitTest, flat: FlatClass, on: date) -> str:
    """A word that a rule on words allows; a number is for the instrument to say."""
    offered = test.limit.offered(None, DayLists(flat.lists, on))
    return f", such as {flow(offered)}" if isinstance(offered, str) and offered not in test_asked(test) else ""


def _keys(name: str, ask: str) -> Iterator[tuple[Home, Path, str]]:
    if name.startswith(OPEN_PREFIXES):
        prefix, _, open_key = name.partition(".")
        yield Home.SETUP, ("extra", open_key) if prefix == "extra" else ("entries", 0, open_key), ask
        return
    limited = quantity(name)
    for key in () if limited is None else keys_behind(limited):
        yield key.home, _path(key), ask


def _path(key: Key) -> Path:
    homes: dict[Home, Path] = {Home.BENCH: ("bench_runs", 0), Home.SHEET: ("factory_sheet",)}
    return (*homes.get(key.home, ()), *key.path)
