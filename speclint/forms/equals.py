"""`equals`: one value, a number or a word."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Final

from speclint.forms.compared import compared
from speclint.forms.limit import Form, FormExample, Limit, Places
from speclint.forms.looked_up import value_shape
from speclint.forms.one_of import OneOf
from speclint.forms.size import Size
from speclint.forms.words import scalar, shown
from speclint.limits.decisions import Limits
from speclint.schema_nodes import WORD, Schema


def _shapes() -> dict[str, Schema]:
    about = "The value must be exactly this, or what is looked up."
    shape = value_shape(about)
    types = [*WORD["type"], "object"]
    return {"equals": {**shape, "title": "equals", "type": types, "minLength": 1, "examples": ["LiPo", 2, True]}}


def _read(keys: Mapping[str, Any], places: Places) -> Limit:
    if isinstance(keys["equals"], dict):
        return compared({"equals": keys["equals"]}, places)
    value = scalar(keys["equals"])
    if isinstance(value, Fraction):
        return Size(Limits(low=value, high=value), places("equals"), nominal=shown(value))
    return OneOf((value,))


EQUALS: Final = Form(
    ("equals",),
    _shapes,
    _read,
    FormExample(
        "quantity: battery_chemistry, equals: LiPo", "battery: {chemistry: LiPo}", "battery: {chemistry: NiMH}"
    ),
)
