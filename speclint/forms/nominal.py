"""`nominal` with its `tolerance`."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Final

from speclint.forms.compared import Tolerance, compared
from speclint.forms.limit import Form, FormExample, Limit, Places
from speclint.forms.size import Size
from speclint.readings.digits import plain_text
from speclint.readings.exact import decimal_text, exact
from speclint.schema_nodes import Schema, mapping, number, use


def _tolerance() -> Schema:
    return {
        **mapping(
            "tolerance", "How far the value may lie from the nominal one: percent of it, or plus and minus in the unit"
            " of the quantity.",
            {
                "percent": number("percent", "To both sides, in percent of the nominal value.", 4, unit="percent",
                                  minimum=0, maximum=100),
                "plus": number("plus", "Upwards, in the unit of the quantity.", 0.5, minimum=0),
                "minus": number("minus", "Downwards, in the unit of the quantity, without a sign.", 0.3, minimum=0),
            },
            {"percent": 4}, {"plus": 0.5, "minus": 0.3},
        ),
        "dependentSchemas": {"percent": {"properties": {"plus": False, "minus": False}}},
        "if": {"properties": {"percent": False}},
        "then": {"required": ["plus", "minus"]},
    }  # fmt: skip


def _shapes() -> dict[str, Schema]:
    about = "The value that is meant, in the unit of the quantity; goes with `tolerance:`."
    return {"nominal": use("value", "nominal", about, 36.6), "tolerance": _tolerance()}


def _read(keys: Mapping[str, Any], places: Places) -> Limit:
    tolerance = _read_tolerance(keys["tolerance"])
    if isinstance(keys["nominal"], dict):
        return compared({"nominal": keys["nominal"]}, places, tolerance)
    nominal, written = exact(keys["nominal"]), places("nominal")
    if tolerance.percent is None:
        written = max(written, *(places("tolerance", side) for side in ("plus", "minus")))
    return Size(tolerance.around(nominal), written, f"{decimal_text(nominal, written)} {tolerance.words}")


def _read_tolerance(keys: Mapping[str, Any]) -> Tolerance:
    if "percent" in keys:
        return Tolerance(exact(keys["percent"]), Fraction(0), Fraction(0), f"± {keys['percent']} %")
    plus, minus = exact(keys["plus"]), exact(keys["minus"])
    upwards, downwards = plain_text(plus), plain_text(minus)
    return Tolerance(None, plus, minus, f"± {upwards}" if plus == minus else f"+ {upwards} − {downwards}")


NOMINAL: Final = Form(
    ("nominal",),
    _shapes,
    _read,
    FormExample(
        "quantity: mass_g, nominal: 1350, tolerance: {percent: 2}", "car: {mass_g: 1323}", "car: {mass_g: 1322.9}"
    ),
    beside=("tolerance",),
)
