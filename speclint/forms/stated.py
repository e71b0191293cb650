"""`stated`: any value will do, but there has to be one."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from speclint.forms.limit import Circumstances, Form, FormExample, Judgement, Misfit, Places
from speclint.forms.unsized import Unsized
from speclint.limits.decisions import Decision, Ruling
from speclint.quantities.facts import Fact
from speclint.quantities.model import Quantity
from speclint.schema_nodes import Schema, only_true


class Stated(Unsized):
    """The setup states the value, whatever it is."""

    __slots__ = ()

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


def _shapes() -> dict[str, Schema]:
    return {"stated": only_true("stated", "The value must be stated, whatever it is.")}


_IS_STATED: Final = Stated()


def _read(_keys: Mapping[str, Any], _places: Places) -> Stated:
    return _IS_STATED


STATED: Final = Form(
    ("stated",),
    _shapes,
    _read,
    FormExample("quantity: motor_serial, stated: true", 'motor: {serial: "00417"}', "car: {mass_g: 1350}", "not-shown"),
)
