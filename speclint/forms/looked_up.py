"""Values that a limit looks up: those of another quantity of the car, or what a list's item says."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.forms.limit import Circumstances, Misfit
from speclint.forms.parts_lists import DayLists, ListItem, Scalar
from speclint.forms.quantity_key import quantity_key
from speclint.forms.words import same, shown, value_text, words
from speclint.quantities.facts import Fact, Value
from speclint.quantities.model import Quantity
from speclint.quantities.registry import quantity
from speclint.readings.digits import plain_text, with_unit
from speclint.readings.exact import exact
from speclint.readings.measured import Number
from speclint.readings.units import in_unit, is_of_one_dimension
from speclint.schema_nodes import WORD, Schema, name, needs_one, node, number, text
from speclint.spelling import nearest_listed


class OfQuantity(NamedTuple):
    """Another quantity's value, times a factor, and so much more or, below zero, less."""

    quantity: str
    times: Fraction
    shift: Fraction

    def around(self, value: str, unit: str) -> str:
        """The sum in words, with the value as it is told: `1.25 × height`, `ambient 21 °C + 5 °C`."""
        factor = "" if self.times == 1 else f"{plain_text(self.times)} × "
        if not self.shift:
            return f"{factor}{value}"
        return f"{factor}{value} {'+' if self.shift > 0 else '−'} {with_unit(plain_text(abs(self.shift)), unit)}"


class OfItem(NamedTuple):
    """What stands under a key of the list's item that another quantity names."""

    list_id: str
    item: str
    under: str


LookedUp = OfQuantity | OfItem


class Lookup(NamedTuple):
    """What a car has there.

    Attributes:
        values: the values; none where it is not known.
        words: where they come from, for people.
        fact: the fact that was looked at.
        reason: why there is none, in words.
        is_unlisted: there is none as the list has no such item in force.
    """

    values: tuple[Value, ...]
    words: str
    fact: Fact
    reason: str = ""
    is_unlisted: bool = False


def looked_up(wanted: LookedUp, circumstances: Circumstances, unit: str) -> Lookup:
    """What a car and the lists of the day say; `unit` is that of the limit."""
    if isinstance(wanted, OfItem):
        return _in_list(wanted, circumstances)
    fact = circumstances.facts.fact(wanted.quantity)
    if fact.value is None:
        reason = fact.reason or f"the limit depends on {', '.join(fact.missing)}"
        return Lookup((), "", fact, reason)
    stated = fact.value if isinstance(fact.value, tuple) else (fact.value,)
    own_unit = fact.quantity.unit
    values = tuple(
        in_unit(value, own_unit, unit) if isinstance(value, Number) and own_unit != unit else value for value in stated
    )
    told = f"{fact.quantity.title} {value_text(fact.value, fact.quantity.unit)}"
    return Lookup(values, wanted.around(told, unit), fact)


def _in_list(wanted: OfItem, circumstances: Circumstances) -> Lookup:
    owner = circumstances.facts.fact(wanted.item)
    if owner.value is None:
        reason = owner.reason or f"what is allowed depends on {', '.join(owner.missing)}"
        return Lookup((), "", owner, reason)
    if wanted.list_id not in circumstances.lists.lists:
        return Lookup((), "", owner, f"the ruleset has no list {wanted.list_id}")
    owner_text = shown(owner.value)
    standings = circumstances.lists.standings(wanted.list_id)
    listed = [(item, standing) for item, standing in standings if same(owner.value, item.id)]
    items = [item for item, standing in listed if not standing]
    if not items:
        reason = (
            f"on the list {wanted.list_id}, {owner_text} {listed[0][1]}"
            if listed
            else f"{owner_text} is not on the list {wanted.list_id}, so nothing is approved for it"
            f"{nearest_listed(owner_text, (item.id for item, _ in standings), only_alike=True)}"
        )
        return Lookup((), "", owner, reason, is_unlisted=True)
    values = tuple(value for item in items for value in under(wanted, item))
    return Lookup(values, f"{wanted.list_id}: {owner_text}", owner)


def under(wanted: OfItem, item: ListItem) -> tuple[Scalar, ...]:
    """What an item has under the key."""
    return item.keys.get(wanted.under, ())


def of_words(wanted: LookedUp, unit: str) -> str:
    """What is looked up, before a car is there: `ambient + 5 °C`."""
    if isinstance(wanted, OfQuantity):
        return wanted.around(_title(wanted.quantity), unit)
    return f"what {wanted.list_id} has as {wanted.under.replace('_', ' ')} for this {_title(wanted.item)}"


def listed_lines(wanted: OfItem, lists: DayLists) -> Iterator[str]:
    """What the list has for each item that counts, and which items do not."""
    for item in lists.counting(wanted.list_id):
        yield f"for {item.id}: {words(under(wanted, item), ', ') or 'nothing'}"
    if left_out := lists.left_out(wanted.list_id):
        yield left_out


def of_misfits(wanted: LookedUp, limited: Quantity, key: str) -> Iterator[Misfit]:
    """Why a quantity cannot be compared with another."""
    if not isinstance(wanted, OfQuantity):
        return
    other = quantity(wanted.quantity)
    if wanted.quantity == limited.name:
        yield Misfit("limit-unfit", f"{limited.name} is compared with itself, which says nothing", key)
    elif other is not None and not is_of_one_dimension(limited.unit, other.unit):
        measures = [with_unit("1", unit) if unit else "no unit" for unit in (limited.unit, other.unit)]
        message = f"{limited.name} ({measures[0]}) and {other.name} ({measures[1]}) cannot be compared: they are of other units"
        yield Misfit("limit-unfit", message, key)


def _title(name_written: str) -> str:
    named = quantity(name_written)
    return named.title if named is not None else name_written


def item_of(keys: Mapping[str, Any]) -> OfItem:
    """The list, the item and the key that a mapping names."""
    return OfItem(keys["list"], keys["item"], keys["under"])


def read_lookup(keys: Mapping[str, Any]) -> LookedUp:
    """The value that a mapping says to look up."""
    if "list" in keys:
        return item_of(keys)
    shift = exact(keys.get("plus", 0)) - exact(keys.get("minus", 0))
    return OfQuantity(keys["of"], exact(keys.get("times", 1)), shift)


_ITEM: Final = {"list": "motors", "item": "motor_part", "under": "lowest_mohm"}
_OF: Final = {"of": "extra.ambient_c", "plus": 5}


def _list_keys() -> dict[str, Schema]:
    return {
        "list": name("list", "Id of the list.", "motors"),
        "item": quantity_key("item", "The quantity that names the item", "motor_part"),
        "under": text("under", "The key of the item that holds it.", "rotors"),
    }


_TOGETHER: Final = {"list": ["item", "under"], "item": ["list", "under"], "under": ["list", "item"]}


def value_shape(about: str) -> Schema:
    """A number, or where to look it up; `about` is what it is for."""
    keys = {
        "of": quantity_key("of", "The quantity whose value it is", "extra.ambient_c"),
        "times": number("times", "A factor on the value of that quantity.", 1.25, exclusiveMinimum=0),
        "plus": number("plus", "So much more, in the unit of the rule's quantity.", 5, exclusiveMinimum=0),
        "minus": number("minus", "So much less, in the unit of the rule's quantity.", 2, exclusiveMinimum=0),
        **_list_keys(),
    }
    return {
        **node(
            "value", about, [4.2, _OF, _ITEM], type=["number", "object"], properties=keys, additionalProperties=False
        ),
        "dependentRequired": {**_TOGETHER, **{key: ["of"] for key in ("times", "plus", "minus")}},
        "dependentSchemas": {
            "list": {"properties": dict.fromkeys(("of", "times", "plus", "minus"), False)},
            "plus": {"properties": {"minus": False}},
        },
        "if": {"type": "object"},
        "then": needs_one("a value", ["of", "list"]),
    }


def choices_shape(title: str, about: str, *examples: Any) -> Schema:
    """Words, or the list's item that holds them."""
    shape = node(
        title,
        f"{about} A list of values, or the list and the item that hold them.",
        [*examples, {"list": "motors", "item": "motor_part", "under": "rotors"}],
        type=["array", "object"],
        items=WORD,
        minItems=1,
        properties=_list_keys(),
        additionalProperties=False,
    )
    return {**shape, "if": {"type": "object"}, "then": {"required": ["list", "item", "under"]}}
