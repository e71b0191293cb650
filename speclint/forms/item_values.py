"""The value is, or is not, one of those that a list's item has: a rotor that is approved for this motor."""

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from speclint.forms.limit import Circumstances, InItem, Judgement, Misfit, Names
from speclint.forms.looked_up import OfItem, listed_lines, looked_up
from speclint.forms.matching import judge_allowed, judge_barred
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.unsized import Unsized
from speclint.forms.words import shown, words
from speclint.limits.decisions import Decision, Ruling
from speclint.quantities.facts import Fact
from speclint.quantities.model import Quantity
from speclint.quantities.registry import quantity as quantity_of


class _ItemValues(NamedTuple):
    where: OfItem
    is_barred: bool


class ItemValues(_ItemValues, Unsized):
    """The value stands there or, where that `is_barred`, does not."""

    __slots__ = ()

    @property
    def requirement(self) -> object:
        """The list, and how it is looked up there."""
        return self.where, self.is_barred

    @property
    def lead(self) -> str:
        """What makes it a sentence."""
        return "" if self.is_barred else "for one "

    def misfits(self, quantity: Quantity, key: str) -> Iterator[Misfit]:
        """Nothing: an item holds texts and numbers alike."""
        return iter(())

    def judge(self, fact: Fact, decision: Decision, circumstances: Circumstances) -> Judgement:
        """Legal where each value stands there, or none does; nothing is approved for an item that is not in force."""
        lookup = looked_up(self.where, circumstances, "")
        if lookup.is_unlisted and not self.is_barred:
            return Judgement(Ruling.ILLEGAL, fact, reason=lookup.reason)
        if lookup.reason:
            return Judgement(Ruling.NOT_SHOWN, lookup.fact, reason=lookup.reason, missing=lookup.fact.missing)
        values = tuple(value for value in lookup.values if isinstance(value, str | bool | Fraction))
        judgement = judge_barred(fact, values, decision) if self.is_barred else judge_allowed(fact, values, decision)
        if judgement.ruling is not Ruling.ILLEGAL:
            return judgement
        owner = shown(lookup.fact.value)
        what = "barred" if self.is_barred else "approved"
        return judgement._replace(
            reason=f"{what} for {owner}: {words(values, joined=', ')}" if values else f"nothing is {what} for {owner}"
        )

    def on_car(self, circumstances: Circumstances) -> tuple[Scalar, ...] | None:
        """The values that are allowed on this car; None where they cannot be counted, or its item is not known."""
        lookup = looked_up(self.where, circumstances, "")
        if self.is_barred or lookup.reason:
            return None
        return tuple(value for value in lookup.values if isinstance(value, str | bool | Fraction))

    def asked(self, unit: str) -> str:
        """The list, and what names the item."""
        owner = quantity_of(self.where.item)
        listed = f"listed in {self.where.list_id} for this {owner.title if owner is not None else self.where.item}"
        return f"none of {self.where.under.replace('_', ' ')} {listed}" if self.is_barred else listed

    @property
    def names(self) -> Names:
        """The list, and the quantity that names its item."""
        key = "none_of" if self.is_barred else "one_of"
        return Names(
            (((key, "item"), self.where.item),),
            (((key, "list"), self.where.list_id),),
            looked_up=(InItem(self.where.list_id, self.where.under, is_size=False),),
        )

    def listing(self, lists: DayLists) -> Iterator[str]:
        """What the list has for each item that counts, and which items do not."""
        return listed_lines(self.where, lists)
