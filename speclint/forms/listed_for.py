"""`listed_for`: the value stands in the list's item that another quantity names."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.forms.limit import Circumstances, Form, FormExample, Judgement, Misfit, Names, Places, Target
from speclint.forms.listed_in import no_list
from speclint.forms.matching import judge_allowed
from speclint.forms.parts_lists import DayLists, ListItem, Scalar
from speclint.forms.quantity_key import quantity_key
from speclint.forms.words import same, shown, value_text, words
from speclint.limits.decisions import Decision, Outcome, Ruling
from speclint.quantities.facts import Fact, Value
from speclint.quantities.model import Quantity
from speclint.quantities.registry import quantity
from speclint.schema_nodes import Schema, mapping, name, text


class ListedFor(NamedTuple):
    """The value stands under a key of the list's item that another quantity names."""

    list_id: str
    item: str
    under: str

    @property
    def requirement(self) -> object:
        """The list and where to look in it."""
        return "listed_for", *self

    @property
    def lead(self) -> str:
        """What makes it a sentence."""
        return "for one "

    def misfits(self, quantity: Quantity, key: str) -> Iterator[Misfit]:
        """Nothing: an item holds texts and numbers alike."""
        return iter(())

    def judge(self, fact: Fact, decision: Decision, circumstances: Circumstances) -> Judgement:
        """Legal where each value stands there."""
        owner = circumstances.facts.fact(self.item)
        if owner.value is None:
            reason = owner.reason or f"what is allowed depends on {', '.join(owner.missing)}"
            return Judgement(Ruling.NOT_SHOWN, owner, reason=reason, missing=owner.missing)
        if self.list_id not in circumstances.lists.lists:
            return Judgement(Ruling.NOT_SHOWN, fact, reason=no_list(self.list_id))
        owner_text = shown(owner.value)
        listed = [
            (item, standing)
            for item, standing in circumstances.lists.standings(self.list_id)
            if same(owner.value, item.id)
        ]
        items = [item for item, standing in listed if not standing]
        if not items:
            reason = (
                f"on the list {self.list_id}, {owner_text} {listed[0][1]}"
                if listed
                else f"{owner_text} is not on the list {self.list_id}, so nothing is approved for it"
            )
            return Judgement(Ruling.ILLEGAL, fact, reason=reason)
        allowed = tuple(value for item in items for value in self._under(item))
        judgement = judge_allowed(fact, allowed, decision)
        if judgement.ruling is not Ruling.ILLEGAL:
            return judgement
        approved = (
            f"approved for {owner_text}: {words(allowed, joined=', ')}"
            if allowed
            else f"nothing is approved for {owner_text}"
        )
        return judgement._replace(reason=approved)

    def _under(self, item: ListItem) -> tuple[Scalar, ...]:
        return item.keys.get(self.under, ())

    def asked(self, unit: str) -> str:
        """The list, and what names the item."""
        owner = quantity(self.item)
        return f"listed in {self.list_id} for this {owner.title if owner is not None else self.item}"

    def has(self, fact: Fact, value: Value, outcome: Outcome | None, unit: str) -> str:
        """The value."""
        return value_text(value, unit)

    def margin(self, fact: Fact, outcome: Outcome | None, unit: str) -> str:
        """Nothing: a name has no size."""
        return ""

    def offered(self, example: Any, lists: DayLists) -> Scalar | None:
        """None: what is allowed depends on the item."""
        return None

    def targets(self, value: Fraction, step: Fraction) -> frozenset[Target]:
        """None: what is allowed depends on the item."""
        return frozenset()

    def choices(self, lists: DayLists) -> tuple[Scalar, ...] | None:
        """None: what is allowed depends on the item."""
        return None

    @property
    def names(self) -> Names:
        """The list, and the quantity that names its item."""
        return Names(((("listed_for", "item"), self.item),), ((("listed_for", "list"), self.list_id),))

    def listing(self, lists: DayLists) -> Iterator[str]:
        """What is approved for each item that counts, and which items do not."""
        for item in lists.counting(self.list_id):
            yield f"for {item.id}: {words(self._under(item), ', ') or 'nothing'}"
        if left_out := lists.left_out(self.list_id):
            yield left_out


def _shapes() -> dict[str, Schema]:
    shape = mapping(
        "listed for", "The value must stand in one key of the list's item for this car, such as a rotor that is"
        " approved for this motor.",
        {
            "list": name("list", "Id of the list.", "motors"),
            "item": quantity_key("item", "The quantity that names the item", "motor_part"),
            "under": text("under", "The key of the item that must hold the value.", "rotors"),
        },
        {"list": "motors", "item": "motor_part", "under": "rotors"},
        required=["list", "item", "under"],
    )  # fmt: skip
    return {"listed_for": shape}


def _read(keys: Mapping[str, Any], _places: Places) -> ListedFor:
    looked_up = keys["listed_for"]
    return ListedFor(looked_up["list"], looked_up["item"], looked_up["under"])


LISTED_FOR: Final = Form(
    ("listed_for",),
    _shapes,
    _read,
    FormExample(
        "quantity: rotor_part, listed_for: {list: motors, item: motor_part, under: rotors}",
        "motor: {part: M-1, rotor: {part: R-1}}",
        "motor: {part: M-1, rotor: {part: R-9}}",
    ),
)
