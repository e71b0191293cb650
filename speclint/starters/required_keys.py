"""What the rules of a class want stated: each key with its help, an example that fits, and what is asked of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.words import words
from speclint.places import Path
from speclint.quantities.keys import keys_behind
from speclint.quantities.model import Home, Key
from speclint.quantities.registry import OPEN_PREFIXES, quantity
from speclint.readings.exact import to_number
from speclint.rules.rulebook import rulebook
from speclint.rules.wording import asked
from speclint.rulesets.model import FlatClass, Rule


@dataclass(frozen=True, slots=True)
class RequiredKey:
    """A key that rules of a class rest on. `example` is None where the key's own help has a better one."""

    home: Home
    path: Path
    example: Any
    asks: tuple[str, ...]


def required_keys(flat: FlatClass, on: date) -> tuple[RequiredKey, ...]:
    """Every key that a rule of the class rests on, of those that bind on the day and those that begin later."""
    book = rulebook(flat, on)
    required: dict[tuple[Home, Path], RequiredKey] = {}
    for rule in (*book.rules, *book.later):
        for home, path, example, ask in _of_rule(rule, flat, on):
            before = required.get((home, path))
            asks = () if before is None else before.asks
            kept = example if before is None or before.example is None else before.example
            required[home, path] = RequiredKey(home, path, kept, tuple(dict.fromkeys((*asks, ask))))
    return tuple(required.values())


def _of_rule(rule: Rule, flat: FlatClass, on: date) -> Iterator[tuple[Home, Path, Any, str]]:
    clause = f" ({rule.cite})" if rule.cite else ""
    since = f" from {rule.period.start}" if rule.period.start is not None and rule.period.start > on else ""
    for name, values in rule.when:
        yield from _keys(name, values[0], f"Rule {rule.id}{clause} applies where this is {words(values)}.")
    if rule.quantity is None or rule.limit is None:
        return
    names = rule.limit.names
    for _, name in names.quantities:
        lists = " and ".join(list_id for _, list_id in names.lists)
        yield from _keys(name, None, f"Rule {rule.id}{clause} looks it up in the list {lists}.")
    limited = quantity(rule.quantity)
    if limited is not None:
        title = "" if limited.key is not None or "." in limited.name else f"{limited.title} "
        where = "".join(f", where {tested.removeprefix('entry.')} is {words(values)}" for tested, values in rule.when)
        ask = f"Rule {rule.id}{clause}{since}: {title}{asked(rule)}{where}."
        yield from _keys(rule.quantity, rule.limit.offered(limited.example, DayLists(flat.lists, on)), ask)


def _keys(name: str, example: Any, ask: str) -> Iterator[tuple[Home, Path, Any, str]]:
    if name.startswith(OPEN_PREFIXES):
        prefix, _, open_key = name.partition(".")
        path: Path = ("extra", open_key) if prefix == "extra" else ("entries", 0, open_key)
        yield Home.SETUP, path, _plain(example, "as the ruleset words it"), ask
        return
    limited = quantity(name)
    if limited is None:
        return
    for key in keys_behind(limited):
        yield key.home, _path(key), _plain(example, None) if key == limited.key else None, ask


def _path(key: Key) -> Path:
    homes: dict[Home, Path] = {Home.BENCH: ("bench_runs", 0), Home.SHEET: ("factory_sheet",)}
    return (*homes.get(key.home, ()), *key.path)


def _plain(value: Scalar | Any, otherwise: Any) -> Any:
    if value is None or value == "":
        return otherwise
    if isinstance(value, Fraction):
        return to_number(value)
    return value
