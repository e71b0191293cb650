"""Numbers of bench runs as text: values, changes and their blur, with the digits that the blur supports."""

import math
from fractions import Fraction
from typing import Final

from speclint.comparison.compared import COMPARED, ComparedQuantity
from speclint.comparison.differences import QuantityChange
from speclint.comparison.trend import MONTH_DAYS, FittedLine, Trend
from speclint.comparison.uncertainty import expanded_uncertainty_of
from speclint.readings.digits import UNITS, supported_places, with_unit
from speclint.readings.exact import decimal_text, exact
from speclint.readings.measured import Number, value_of

_TORQUE: Final = " mNm/A"
_PLAIN_PLACES: Final = {
    "rpm_per_v": 0,
    "mnm_per_a": 2,
    "a": 2,
    "mohm": 2,
    "percent": 1,
    "deg": 1,
}
"""Decimals of a value of which no blur is known."""


def united(text: str, unit: str) -> str:
    """A number's text with its unit."""
    return with_unit(text, unit) if unit in UNITS else text + _TORQUE


def common_text(supply_v: Fraction | None) -> str:
    """What values are taken to before they are compared, and by which model each."""
    at = f"{with_unit(decimal_text(supply_v, 2), 'v')} and " if supply_v is not None else ""
    return f"taken to {at}20 °C. " + "; ".join(f"{quantity.title}: {quantity.model}" for quantity in COMPARED[:4])


def places_of(quantity: ComparedQuantity, expanded_uncertainty: float | None) -> int:
    """Decimals that a blur supports, those usual for the quantity where none is known; no more than two further."""
    usual = _PLAIN_PLACES[quantity.unit]
    if expanded_uncertainty is None or not (math.isfinite(expanded_uncertainty) and expanded_uncertainty > 0):
        return usual
    return min(supported_places(expanded_uncertainty), usual + 2)


def value_text(quantity: ComparedQuantity, number: Number | None, expanded_uncertainty: float | None = None) -> str:
    """A value without its unit, with the decimals of its own blur or of the one that is given; `-` for none."""
    if number is None:
        return "-"
    own_uncertainty = expanded_uncertainty_of(number) or None
    return decimal_text(
        value_of(number),
        places_of(quantity, expanded_uncertainty if expanded_uncertainty is not None else own_uncertainty),
    )


def change_text(change: QuantityChange) -> str:
    """A difference with its sign and unit, and the blur where it is known: `-77 ± 21 rpm/V`."""
    if change.difference is None:
        return "-"
    places = places_of(change.quantity, change.expanded_uncertainty)
    text = signed(_shown_difference(change, places), places)
    if change.expanded_uncertainty:
        text += f" ± {decimal_text(exact(change.expanded_uncertainty), places)}"
    return united(text, change.quantity.unit)


def _shown_difference(change: QuantityChange, places: int) -> Fraction:
    """The difference of the values as they are shown, where that is the same but for rounding: 21.36 after 21.37 is -0.01."""
    difference = value_of(change.difference or Fraction(0))
    if change.first is None or change.second is None:
        return difference
    first, second = (exact(decimal_text(value_of(value), places)) for value in (change.first, change.second))
    last_digit = Fraction(1, 10**places) if places >= 0 else Fraction(10**-places)
    return second - first if abs(second - first - difference) <= last_digit else difference


def percent_text(change: QuantityChange) -> str:
    """A change in percent of the first value, with its sign; "" where that is no number."""
    return "" if change.percent is None else f"{signed(change.percent, 1)} %"


def signed(value: Fraction, places: int) -> str:
    """A number with its sign, plus signs too; nothing before zero."""
    text = decimal_text(value, places)
    return text if text.startswith("-") or not text.strip("0.") else f"+{text}"


def slope_text(trend: Trend, line: FittedLine) -> str:
    """The slope of a trend for a month of 30 days, with its blur and unit."""
    slope, expanded_uncertainty = line.slope * MONTH_DAYS, line.slope_uncertainty * MONTH_DAYS
    places = places_of(trend.quantity, expanded_uncertainty)
    text = (
        f"{signed(slope, places)} ± {decimal_text(exact(expanded_uncertainty), places)}"
        if expanded_uncertainty
        else signed(slope, places)
    )
    return f"{united(text, trend.quantity.unit)} a month"
