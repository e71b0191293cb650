"""What the rules of a class want stated: each key, and what is asked of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from speclint.edits.spelled import flow
from speclint.forms.bodies import LimitTest, Table
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.taken import taken_example, taken_text
from speclint.places import Path
from speclint.quantities.keys import from_bench, keys_behind
from speclint.quantities.model import Home, Key, Quantity
from speclint.quantities.registry import OPEN_PREFIXES, quantity
from speclint.quantities.taken import TAKEN_KEY
from speclint.rules.declared import declared_help
from speclint.rules.rulebook import rulebook
from speclint.rules.wording import test_asked
from speclint.rulesets.model import FlatClass, Rule


@dataclass(frozen=True, slots=True)
class RequiredKey:
    """A key that rules of a class rest on, what they ask of it, and the values that they name, where these can be counted."""

    home: Home
    path: Path
    asks: tuple[str, ...]
    named: tuple[Scalar, ...] = ()
    declared: Quantity | None = None
    """What the ruleset declares the key to be, where it does."""

    @property
    def path_in_setup(self) -> Path:
        """Its path from the top of a setup that holds its motor's keys in place."""
        return self.path if self.home is Home.SETUP else ("motor", *self.path)


def required_keys(flat: FlatClass, on: date) -> tuple[RequiredKey, ...]:
    """Every key that a rule of the class rests on, of those that bind on the day and those that begin later."""
    book = rulebook(flat, on)
    required: dict[tuple[Home, Path], RequiredKey] = {}
    for rule in (*book.rules, *book.later):
        for key in _of_rule(rule, flat, on):
            earlier = required.get((key.home, key.path), RequiredKey(key.home, key.path, ()))
            asks = tuple(dict.fromkeys((*earlier.asks, *key.asks)))
            named = tuple(dict.fromkeys((*earlier.named, *key.named)))
            declared = earlier.declared or key.declared
            required[key.home, key.path] = RequiredKey(key.home, key.path, asks, named, declared)
    return tuple(required.values())


def _of_rule(rule: Rule, flat: FlatClass, on: date) -> Iterator[RequiredKey]:
    since = f" from {rule.period.start}" if rule.period.start is not None and rule.period.start > on else ""
    day_lists = DayLists(flat.lists, on)
    for condition in rule.when:
        named = condition.limit.choices(day_lists) or ()
        yield from _keys(
            condition.quantity, f"Rule {rule.id}{rule.cite_behind} applies where this is {condition.asked}.", named
        )
    if isinstance(rule.body, Table):
        yield from _keys(rule.body.by, f"Rule {rule.id}{rule.cite_behind} has a limit for each value of this.")
    for test in rule.tests:
        names = test.limit.names
        lists = " and ".join(list_id for _, list_id in names.lists)
        does = f"looks it up in the list {lists}" if lists else "compares with it"
        for _, name in names.quantities:
            yield from _keys(name, f"Rule {rule.id}{rule.cite_behind} {does}.")
        limited = quantity(test.quantity)
        if limited is not None:
            where = "".join(f", where {condition.words}" for condition in rule.when)
            example = "" if limited.numeric else _such_as(test, flat, on)
            so = f", {text}" if (text := read_so(test, limited)) else ""
            ask = f"Rule {rule.id}{rule.cite_behind}{since}: {_ask(rule, test, limited)}{where}{example}{so}."
            is_stated = _is_stated(limited)
            for taken_key in run_keys(test, limited):
                yield RequiredKey(Home.BENCH, ("bench_runs", 0, *taken_key), (ask,))
            yield from _keys(test.quantity, ask, (test.limit.choices(day_lists) or ()) if is_stated else ())


def _ask(rule: Rule, test: LimitTest, limited: Quantity) -> str:
    """What the rule asks of one quantity; of several ways, those that do."""
    title = "" if _is_stated(limited) else f"{limited.title} "
    asks = dict.fromkeys(test_asked(rule_test) for rule_test in rule.tests if rule_test.quantity == test.quantity)
    is_one_way = any(rule_test.quantity != test.quantity for rule_test in rule.tests) and rule.test is None
    return f"{title}{', or '.join(asks)}{', by one of several ways' if is_one_way else ''}"


def _is_stated(limited: Quantity) -> bool:
    return limited.key is not None or not limited.inputs


def read_so(test: LimitTest, limited: Quantity) -> str:
    """How a reading has to be taken, and how one says so: `read at after-run: {value: NUMBER, taken: {at: after-run}}`."""
    example = {} if not test.taken or from_bench(limited) else taken_example(test.taken, "DAY")
    text = taken_text(test.taken)
    return f"{text}: {{value: NUMBER, {TAKEN_KEY}: {flow(example)}}}" if example else text


def run_keys(test: LimitTest, limited: Quantity) -> tuple[Path, ...]:
    """The keys of a bench run that say how it was made, where the rule asks."""
    return tuple(condition.key.bench for condition in test.taken) if from_bench(limited) else ()


def keys_of_taken_readings(flat: FlatClass, on: date) -> dict[Path, tuple[RequiredKey, ...]]:
    """What readings of a setup have to say of how they were taken, by the path of each reading in a setup."""
    keys_of_readings: dict[Path, dict[Path, RequiredKey]] = {}
    book = rulebook(flat, on)
    for test in (test for rule in (*book.rules, *book.later) for test in rule.tests if test.taken):
        limited = quantity(test.quantity)
        for required in () if limited is None or from_bench(limited) else _keys(test.quantity, ""):
            reading = required.path_in_setup
            for condition in test.taken:
                path = (*reading, TAKEN_KEY, "on" if condition.key.is_derived else condition.key.name)
                named = condition.condition.limit.choices(book.lists) or ()
                keys_of_readings.setdefault(reading, {})[path] = RequiredKey(Home.SETUP, path, (), named)
    return {reading: tuple(keys.values()) for reading, keys in keys_of_readings.items()}


def _such_as(test: LimitTest, flat: FlatClass, on: date) -> str:
    """A word that a rule on words allows; a number is for the instrument to say."""
    offered = test.limit.offered(None, DayLists(flat.lists, on))
    return f", such as {flow(offered)}" if isinstance(offered, str) and offered not in test_asked(test) else ""


def _keys(name: str, ask: str, named: tuple[Scalar, ...] = ()) -> Iterator[RequiredKey]:
    limited = quantity(name)
    if limited is not None and limited.declared_by and limited.inputs:
        for part in limited.inputs:
            yield from _keys(part, ask) if isinstance(part, str) else ()
        return
    if name.startswith(OPEN_PREFIXES):
        prefix, _, open_key = name.partition(".")
        path: Path = ("extra", open_key) if prefix == "extra" else ("entries", 0, open_key)
        declared = limited if limited is not None and limited.declared_by else None
        about = () if declared is None else (declared_help(declared),)
        yield RequiredKey(Home.SETUP, path, (*about, ask), named, declared)
        return
    for key in () if limited is None else keys_behind(limited):
        yield RequiredKey(key.home, _path(key), (ask,), named)


def _path(key: Key) -> Path:
    homes: dict[Home, Path] = {Home.BENCH: ("bench_runs", 0), Home.SHEET: ("factory_sheet",)}
    return (*homes.get(key.home, ()), *key.path)
