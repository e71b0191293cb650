"""`between`: a window."""

from collections.abc import Mapping
from typing import Any, Final

from speclint.forms.limit import Form, FormExample, Places
from speclint.forms.size import Size
from speclint.limits.decisions import Limits
from speclint.readings.exact import exact
from speclint.schema_nodes import Schema, several


def _shapes() -> dict[str, Schema]:
    about = "Lowest and highest value, both allowed, in the unit of the quantity."
    return {"between": several("between", about, {"type": "number"}, [36, 40], minItems=2, maxItems=2)}


def read_window(keys: Mapping[str, Any], places: Places) -> Size:
    """The window that a rule or a condition states."""
    low, high = keys["between"]
    return Size(Limits(low=exact(low), high=exact(high)), max(places("between", 0), places("between", 1)))


BETWEEN: Final = Form(
    ("between",),
    _shapes,
    read_window,
    FormExample("quantity: timing_set_deg, between: [36, 40]", "motor: {timing_deg: 40}", "motor: {timing_deg: 41}"),
)
