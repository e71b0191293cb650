"""`none_of`: the value is none of a few."""

from collections.abc import Iterator, Mapping
from typing import Any, Final, NamedTuple

from speclint.forms.item_values import ItemValues
from speclint.forms.limit import Circumstances, Form, FormExample, Judgement, Limit, Misfit, Places
from speclint.forms.looked_up import choices_shape, item_of
from speclint.forms.matching import judge_barred
from speclint.forms.one_of import value_misfits
from speclint.forms.parts_lists import Scalar
from speclint.forms.unsized import Unsized
from speclint.forms.words import scalars, words
from speclint.limits.decisions import Decision
from speclint.quantities.facts import Fact
from speclint.quantities.model import Quantity
from speclint.schema_nodes import WORD, Schema, several


class _NoneOf(NamedTuple):
    values: tuple[Scalar, ...]


class NoneOf(_NoneOf, Unsized):
    """The value is none of these."""

    __slots__ = ()

    @property
    def requirement(self) -> object:
        """The values that are barred."""
        return "none_of", self.values

    def misfits(self, quantity: Quantity, key: str) -> Iterator[Misfit]:
        """Values of another kind than the quantity's."""
        return value_misfits(self.values, quantity, key)

    def judge(self, fact: Fact, decision: Decision, circumstances: Circumstances) -> Judgement:
        """Legal where no value is one that is barred."""
        return judge_barred(fact, self.values, decision)

    def asked(self, unit: str) -> str:
        """The values that are barred."""
        return f"not {words(self.values)}"


def _shapes() -> dict[str, Schema]:
    return {"none_of": choices_shape("none of", "The value must be none of these.", ["sintered"])}


def plain_shape() -> Schema:
    """The same without a list to look into."""
    return several("none of", "The value must be none of these.", WORD, ["sintered"], minItems=1)


def read_plain(barred: Any) -> NoneOf:
    """Values that are barred, as they stand in the rule."""
    return NoneOf(scalars(barred))


def _read(keys: Mapping[str, Any], _places: Places) -> Limit:
    barred = keys["none_of"]
    return ItemValues(item_of(barred), is_barred=True) if isinstance(barred, dict) else read_plain(barred)


NONE_OF: Final = Form(
    ("none_of",),
    _shapes,
    _read,
    FormExample(
        "quantity: rotor_kind, none_of: [sintered]",
        "motor: {rotor: {kind: torque}}",
        "motor: {rotor: {kind: sintered}}",
    ),
)
