"""`one_of`: the value is one of a few."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.forms.item_values import ItemValues
from speclint.forms.limit import Circumstances, Form, FormExample, Judgement, Limit, Misfit, Places
from speclint.forms.looked_up import choices_shape, item_of
from speclint.forms.matching import judge_allowed
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.unsized import Unsized
from speclint.forms.words import scalars, shown, words, written
from speclint.limits.decisions import Decision
from speclint.quantities.facts import Fact
from speclint.quantities.kinds import takes
from speclint.quantities.model import Quantity, Sort
from speclint.schema_nodes import Schema


class _OneOf(NamedTuple):
    values: tuple[Scalar, ...]
    source: str = ""


class OneOf(_OneOf, Unsized):
    """The value is one of these; `source` says where one that was looked up comes from."""

    __slots__ = ()

    @property
    def requirement(self) -> object:
        """The values that are allowed."""
        return "one_of", self.values

    def misfits(self, quantity: Quantity, key: str) -> Iterator[Misfit]:
        """Values of another kind than the quantity's."""
        return value_misfits(self.values, quantity, key)

    def judge(self, fact: Fact, decision: Decision, circumstances: Circumstances) -> Judgement:
        """Legal where every value is one that is allowed."""
        return judge_allowed(fact, self.values, decision)

    def asked(self, unit: str) -> str:
        """The values that are allowed."""
        says = words(self.values) if len(self.values) == 1 else f"one of {words(self.values, ', ')}"
        return f"{says} ({self.source})" if self.source else says

    def offered(self, example: Any, lists: DayLists) -> Scalar | None:
        """The first that is allowed."""
        return self.values[0]

    def choices(self, lists: DayLists) -> tuple[Scalar, ...] | None:
        """The values that are allowed."""
        return self.values


def value_misfits(values: tuple[Scalar, ...], quantity: Quantity, key: str) -> Iterator[Misfit]:
    """The values of a limit that no value of the quantity can be equal to."""
    if quantity.is_open:
        return
    kind = Fraction if quantity.numeric else bool if quantity.sort is Sort.FLAG else str
    for value in values:
        if not isinstance(value, kind):
            message = (
                f"{quantity.name} is {quantity.sort.value}; {written(value)} is not, so nothing can be equal to it"
            )
            yield Misfit("limit-unfit", message, key, of_key=False)
        elif quantity.choices and value not in quantity.choices:
            message = f"{quantity.name} is never {shown(value)}: {takes(quantity, value)}"
            yield Misfit("limit-unfit", message, key, of_key=False)


def _shapes() -> dict[str, Schema]:
    return {"one_of": choices_shape("one of", "The value must be one of these.", ["standard", "torque"])}


def _read(keys: Mapping[str, Any], _places: Places) -> Limit:
    allowed = keys["one_of"]
    return ItemValues(item_of(allowed), is_barred=False) if isinstance(allowed, dict) else OneOf(scalars(allowed))


ONE_OF: Final = Form(
    ("one_of",),
    _shapes,
    _read,
    FormExample(
        "quantity: rotor_kind, one_of: [standard, torque]",
        "motor: {rotor: {kind: torque}}",
        "motor: {rotor: {kind: sintered}}",
    ),
)
