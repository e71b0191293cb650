"""`listed_in`: the value is an item of a list."""

from collections.abc import Iterator, Mapping
from typing import Any, Final, NamedTuple

from speclint.forms.limit import Circumstances, Form, FormExample, Judgement, Misfit, Names, Places
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.unsized import Unsized
from speclint.forms.words import same, shown, values_of
from speclint.limits.decisions import Decision, Ruling
from speclint.moments import day_text
from speclint.quantities.facts import Fact
from speclint.quantities.model import Quantity, Sort
from speclint.schema_nodes import Schema, name
from speclint.spelling import nearest_listed


class _ListedIn(NamedTuple):
    list_id: str


class ListedIn(_ListedIn, Unsized):
    """The value is an item of a list that is in force."""

    __slots__ = ()

    @property
    def requirement(self) -> object:
        """The list; what stands on it is compared by nobody here."""
        return "listed_in", self.list_id

    @property
    def lead(self) -> str:
        """What makes it a sentence."""
        return "for one "

    def misfits(self, quantity: Quantity, key: str) -> Iterator[Misfit]:
        """A quantity that is no text."""
        if quantity.sort is not Sort.TEXT and not quantity.is_open:
            yield Misfit(
                "limit-unfit",
                f"{quantity.name} is {quantity.sort.value}, and the items of a list are texts, so it is never one of them",
                key,
            )

    def judge(self, fact: Fact, decision: Decision, circumstances: Circumstances) -> Judgement:
        """Legal where each value is an item that counts; else what is wrong with the first that is not."""
        lists = circumstances.lists
        if self.list_id not in lists.lists:
            return Judgement(Ruling.NOT_SHOWN, fact, reason=no_list(self.list_id))
        unquoted = ""
        for value in values_of(fact):
            text = shown(value)
            if not isinstance(value, str) and any(text == item.id for item, _ in lists.standings(self.list_id)):
                unquoted = unquoted or (
                    f'the list {self.list_id} has the text "{text}", and {text} without quotes is not one: put it in quotes'
                )
            elif reason := self._why_not(value, lists):
                return Judgement(Ruling.ILLEGAL, fact, reason=reason)
        return Judgement(Ruling.NOT_SHOWN if unquoted else Ruling.LEGAL, fact, reason=unquoted)

    def _why_not(self, value: object, lists: DayLists) -> str:
        items = lists.standings(self.list_id)
        standings = [standing for item, standing in items if same(value, item.id)]
        if "" in standings:
            return ""
        text = shown(value)
        if standings:
            return f"on the list {self.list_id}, {text} {standings[0]}"
        return f"{text} is not on the list {self.list_id}{nearest_listed(text, (item.id for item, _ in items))}"

    def asked(self, unit: str) -> str:
        """The list."""
        return f"on the list {self.list_id}"

    def offered(self, example: Any, lists: DayLists) -> Scalar | None:
        """The first item that counts, unless the quantity's own example does."""
        counting = self.choices(lists)
        return None if not counting or example in counting else counting[0]

    def choices(self, lists: DayLists) -> tuple[Scalar, ...]:
        """The items that count."""
        return tuple(item.id for item in lists.counting(self.list_id))

    @property
    def names(self) -> Names:
        """The list."""
        return Names(lists=((("listed_in",), self.list_id),))

    def listing(self, lists: DayLists) -> Iterator[str]:
        """What stands on the list, and what does not count."""
        if self.list_id in lists.lists:
            counting = ", ".join(item.id for item in lists.counting(self.list_id))
            yield f"on the list {self.list_id} on {day_text(lists.on)}: {counting or 'nothing'}"
            if left_out := lists.left_out(self.list_id):
                yield left_out


def no_list(list_id: str) -> str:
    """Why nothing can be said by a list that is not there."""
    return f"the ruleset has no list {list_id}"


def _shapes() -> dict[str, Schema]:
    return {"listed_in": name("listed in", "The value must be an item of this list that is in force.", "motors")}


def _read(keys: Mapping[str, Any], _places: Places) -> ListedIn:
    return ListedIn(keys["listed_in"])


LISTED_IN: Final = Form(
    ("listed_in",),
    _shapes,
    _read,
    FormExample("quantity: motor_part, listed_in: motors", "motor: {part: M-1}", "motor: {part: M-9}"),
)
