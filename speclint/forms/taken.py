"""`taken`: how a reading has to have been taken to count, in the one shape of conditions."""

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from fractions import Fraction
from typing import Any, NamedTuple

from speclint.forms.conditions import Condition, read_when
from speclint.forms.limit import Misfit, Places
from speclint.forms.one_of import OneOf
from speclint.forms.parts_lists import Scalar
from speclint.forms.size import Size
from speclint.forms.words import shown, value_text
from speclint.moments import day_text
from speclint.quantities.facts import Fact
from speclint.quantities.key_reading import Value
from speclint.quantities.keys import from_bench
from speclint.quantities.model import Quantity, Sort
from speclint.quantities.taken import TAKEN_KEYS, TakenKey
from speclint.readings.digits import plain_text, with_unit
from speclint.readings.exact import to_number
from speclint.schema_nodes import Schema, mapping, use


class TakenCondition(NamedTuple):
    """In one respect, how a reading has to have been taken."""

    key: TakenKey
    condition: Condition

    @property
    def asked(self) -> str:
        """What has to be said there: `8.4 V`, `at most 7 days`, `14 March 2026`."""
        limit = self.condition.limit
        if isinstance(limit, OneOf):
            return " or ".join(self._told(value) for value in limit.values)
        return limit.asked(self.key.quantity.unit)

    def _told(self, value: Scalar) -> str:
        if isinstance(value, Fraction):
            return with_unit(plain_text(value), self.key.quantity.unit)
        return _day_text(value) if self.key.name == "on" else shown(value)

    def refusal(self, value: Value) -> str:
        """Why a reading does not count of which this is said: `read at 8.2 V, the rule asks 8.4 V`."""
        if self.key.is_derived and isinstance(value, Fraction) and value < 0:
            return f"read after the race, the rule asks {self.asked}"
        holds = self.condition.holds(Fact(self.key.quantity, value, ()))
        if holds is True:
            return ""
        text = _day_text(value) if self.key.name == "on" else value_text(value, self.key.quantity.unit)
        why = f" ({holds})" if isinstance(holds, str) else ""
        return f"{self.key.phrase.format(text)}, the rule asks {self.asked}{why}"


Taken = tuple[TakenCondition, ...]
"""Conditions, all of which have to hold of a reading."""


def _day_text(value: object) -> str:
    day = _day(str(value))
    return str(value) if day is None else day_text(day)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def taken_text(taken: Taken) -> str:
    """How a reading has to have been taken, in words: `read at 8.4 V and with the can at at most 30 °C`; "" for anyhow."""
    if not taken:
        return ""
    first, *others = (condition.key.phrase.format(condition.asked) for condition in taken)
    return " and ".join((first, *(words.removeprefix("read ") for words in others)))


def taken_example(taken: Taken, on: str) -> dict[str, Any] | None:
    """What a reading or a bench run of a day says so that it counts; None where no value is named.

    Args:
        taken: how it has to have been taken.
        on: the day, which makes its age none at all.
    """
    example: dict[str, Any] = {}
    for key, condition in taken:
        value = on if key.is_derived else condition.example
        if value is None:
            return None
        example["on" if key.is_derived else key.name] = to_number(value) if isinstance(value, Fraction) else value
    return example


def read_taken(keys: Mapping[str, Any] | None, places: Callable[[str], Places]) -> Taken:
    """The conditions of a rule's key; `places` gives the decimals written below each."""
    if not keys:
        return ()
    conditions = {condition.quantity: condition for condition in read_when(keys, places)}
    return tuple(TakenCondition(key, conditions[key.name]) for key in TAKEN_KEYS if key.name in conditions)


def taken_misfits(taken: Taken, limited: Quantity) -> Iterator[Misfit]:
    """Why no reading of the quantity can have been taken so; each names a key below `taken`, "" for that itself."""
    is_of_entry = limited.name.startswith("entry.")
    if is_of_entry or not (limited.sort is Sort.MEASURED or limited.is_open):
        what = "what an entry states" if is_of_entry else limited.sort.value
        yield Misfit("limit-unfit", f"`taken` goes with a reading, and {limited.name} is {what}", "")
        return
    bench_keys = ", ".join(key.name for key in TAKEN_KEYS if key.bench)
    for key, condition in taken:
        if from_bench(limited) and not key.bench:
            message = f"{limited.name} is read in a bench run, which does not say `{key.name}`; it says {bench_keys}"
            yield Misfit("limit-unfit", message, key.name)
            continue
        for misfit in condition.limit.misfits(key.quantity, key.name):
            yield misfit._replace(key=key.name)
        yield from _no_days(condition)


def _no_days(condition: Condition) -> Iterator[Misfit]:
    """What stands where a day is asked for, and is none."""
    values = condition.limit.values if condition.quantity == "on" and not isinstance(condition.limit, Size) else ()
    for value in values:
        if isinstance(value, str) and _day(value) is None:
            yield Misfit("limit-unfit", f"{value} is no day: write it as in 2026-03-14", "on")


def taken_shape() -> Schema:
    """The shape of the key of a rule."""
    keys = {
        key.name: use("condition", key.quantity.title, key.quantity.about, key.quantity.example, unit=key.quantity.unit)
        for key in TAKEN_KEYS
    }
    return mapping(
        "taken", "Only a reading counts that was taken so, each key as in a condition: of a bench run its own keys count,"
        " of any other reading what it states under `taken`.", keys, {"supply_v": 8.4}, {"at": "after-run"},
        minProperties=1,
    )  # fmt: skip
