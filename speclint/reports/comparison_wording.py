"""Numbers of bench runs as text: values, changes and their blur, with the digits that the blur supports."""

import math
from fractions import Fraction
from typing import Final

from speclint.comparison.compared import Compared
from speclint.comparison.differences import Change
from speclint.comparison.trend import MONTH_DAYS, Line, Trend
from speclint.comparison.uncertainty import blur_of
from speclint.readings.digits import UNITS, supported_places, with_unit
from speclint.readings.exact import decimal_text, exact
from speclint.readings.measured import Number, value_of

_TORQUE: Final = " mNm/A"
_PLAIN_PLACES: Final = {
    "rpm_per_v": 0, "mnm_per_a": 2, "a": 2, "mohm": 2, "percent": 1, "deg": 1,
}  # fmt: skip
"""Decimals of a value of which no blur is known."""


def united(text: str, unit: str) -> str:
    """A number's text with its unit."""
    return with_unit(text, unit) if unit in UNITS else text + _TORQUE


def places_of(quantity: Compared, blur: float | None) -> int:
    """Decimals that a blur supports, those usual for the quantity where none is known; no more than two further."""
    usual = _PLAIN_PLACES[quantity.unit]
    if blur is None or not (math.isfinite(blur) and blur > 0):
        return usual
    return min(supported_places(blur), usual + 2)


def value_text(quantity: Compared, number: Number | None, blur: float | None = None) -> str:
    """A value without its unit, with the decimals of its own blur or of the one that is given; `-` for none."""
    if number is None:
        return "-"
    own = blur_of(number) or None
    return decimal_text(value_of(number), places_of(quantity, blur if blur is not None else own))


def change_text(change: Change) -> str:
    """A difference with its sign and unit, and the blur where it is known: `-77 ± 21 rpm/V`."""
    if change.difference is None:
        return "-"
    places = places_of(change.quantity, change.blur)
    text = signed(value_of(change.difference), places)
    if change.blur:
        text += f" ± {decimal_text(exact(change.blur), places)}"
    return united(text, change.quantity.unit)


def percent_text(change: Change) -> str:
    """A change in percent of the first value, with its sign; "" where that is no number."""
    return "" if change.percent is None else f"{signed(change.percent, 1)} %"


def signed(value: Fraction, places: int) -> str:
    """A number with its sign, plus signs too; nothing before zero."""
    text = decimal_text(value, places)
    return text if text.startswith("-") or not text.strip("0.") else f"+{text}"


def slope_text(trend: Trend, line: Line) -> str:
    """The slope of a trend for a month of 30 days, with its blur and unit."""
    slope, blur = line.slope * MONTH_DAYS, line.slope_blur * MONTH_DAYS
    places = places_of(trend.quantity, blur)
    text = f"{signed(slope, places)} ± {decimal_text(exact(blur), places)}" if blur else signed(slope, places)
    return f"{united(text, trend.quantity.unit)} a month"
