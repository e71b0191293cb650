"""`nominal` with its `tolerance`."""

from collections.abc import Mapping
from typing import Any, Final

from speclint.forms.limit import Form, FormExample, Places
from speclint.forms.size import Size
from speclint.limits.decisions import Limits
from speclint.readings.digits import plain_text
from speclint.readings.exact import decimal_text, exact
from speclint.schema_nodes import Schema, mapping, number


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
    return {"nominal": number("nominal", about, 36.6), "tolerance": _tolerance()}


def _read(keys: Mapping[str, Any], places: Places) -> Size:
    tolerance, nominal = keys["tolerance"], exact(keys["nominal"])
    if "percent" in tolerance:
        plus = minus = abs(nominal) * exact(tolerance["percent"]) / 100
        text = f"± {tolerance['percent']} %"
        written = places("nominal")
    else:
        plus, minus = exact(tolerance["plus"]), exact(tolerance["minus"])
        upwards, downwards = plain_text(plus), plain_text(minus)
        text = f"± {upwards}" if plus == minus else f"+ {upwards} − {downwards}"
        written = max(places("nominal"), *(places("tolerance", side) for side in ("plus", "minus")))
    meant = f"{decimal_text(nominal, written)} {text}"
    return Size(Limits(low=nominal - minus, high=nominal + plus), written, meant)


NOMINAL: Final = Form(
    ("nominal",),
    _shapes,
    _read,
    FormExample(
        "quantity: mass_g, nominal: 1350, tolerance: {percent: 2}", "car: {mass_g: 1323}", "car: {mass_g: 1322.9}"
    ),
    beside=("tolerance",),
)
