"""`stated`: any value will do, but there has to be one."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any, Final, NamedTuple

from speclint.forms.limit import Circumstances, Form, FormExample, Judgement, Misfit, Names, Places, Target
from speclint.forms.parts_lists import DayLists, Scalar
from speclint.forms.words import value_text
from speclint.limits.decisions import Decision, Outcome, Ruling
from speclint.quantities.facts import Fact, Value
from speclint.quantities.model import Quantity
from speclint.schema_nodes import Schema, only_true


class Stated(NamedTuple):
    """The setup states the value, whatever it is."""

    @property
    def requirement(self) -> object:
        """That it is stated."""
        return "stated"

    @property
    def lead(self) -> str:
        """What makes it a sentence."""
        return "that it is "

    def misfits(self, quantity: Quantity, key: str) -> Iterator[Misfit]:
        """Nothing: every quantity can be stated."""
        return iter(())

    def judge(self, fact: Fact, decision: Decision, circumstances: Circumstances) -> Judgement:
        """Legal: what is not stated never gets here."""
        return Judgement(Ruling.LEGAL, fact)

    def asked(self, unit: str) -> str:
        """That it is stated."""
        return "stated"

    def has(self, fact: Fact, value: Value, outcome: Outcome | None, unit: str) -> str:
        """The value."""
        return value_text(value, unit)

    def margin(self, fact: Fact, outcome: Outcome | None, unit: str) -> str:
        """Nothing."""
        return ""

    def offered(self, example: Any, lists: DayLists) -> Scalar | None:
        """None: the quantity's own example will do."""
        return None

    def targets(self, value: Fraction, step: Fraction) -> frozenset[Target]:
        """None: no value breaks it."""
        return frozenset()

    def choices(self, lists: DayLists) -> tuple[Scalar, ...] | None:
        """None: anything is allowed."""
        return None

    @property
    def names(self) -> Names:
        """Nothing."""
        return Names()

    def listing(self, lists: DayLists) -> Iterator[str]:
        """Nothing."""
        return iter(())


def _shapes() -> dict[str, Schema]:
    return {"stated": only_true("stated", "The value must be stated, whatever it is.")}


def _read(_keys: Mapping[str, Any], _places: Places) -> Stated:
    return Stated()


STATED: Final = Form(
    ("stated",),
    _shapes,
    _read,
    FormExample("quantity: motor_serial, stated: true", 'motor: {serial: "00417"}', "car: {mass_g: 1350}", "not-shown"),
)
