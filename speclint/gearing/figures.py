"""A gearing's numbers as text: no more digits than the band behind them supports."""

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from speclint.gearing.pairs import GearPair
from speclint.gearing.start import RatedPair
from speclint.physics.bands import Band, Outlook
from speclint.physics.units import kmh
from speclint.readings.digits import plain_text, with_unit
from speclint.readings.exact import decimal_text, decimals_of, exact, text_beside
from speclint.readings.measured import value_of

if TYPE_CHECKING:
    from speclint.gearing.plan import Plan

_PLACES: Final = 3

CREDIBLE_C: Final = 150
"""Past this the model says "far too hot" and no more: insulation and magnets are at their end."""


def degrees(value_c: float) -> str:
    """A temperature, in whole degrees as the band supports."""
    return f"over {CREDIBLE_C} °C" if not value_c <= CREDIBLE_C else f"{value_c:.0f} °C"


def degrees_band(band: Band) -> str:
    """Both ends of a temperature."""
    if not band.low <= CREDIBLE_C:
        return degrees(band.low)
    if not band.high <= CREDIBLE_C:
        return f"{degrees(band.low)} to {degrees(band.high)}"
    low, high = f"{band.low:.0f}", f"{band.high:.0f}"
    return f"{high} °C" if low == high else f"{low} to {high} °C"


def can_text(outlook: Outlook | None) -> str:
    """The can after the run, from, to and likely; a dash where nothing is predicted."""
    if outlook is None:
        return "–"
    band = outlook.can_c
    low, high, likely = (f"{min(value, CREDIBLE_C):.0f}" for value in (band.low, band.high, band.median))
    more = "+" if not band.high <= CREDIBLE_C else ""
    return f"{low} – {high}{more} °C, likely {likely}"


def top_text(outlook: Outlook | None) -> str:
    """The likely speed at the end of the straight; a dash where nothing is predicted."""
    return "–" if outlook is None else with_unit(f"{kmh(outlook.top_m_per_s.median):.0f}", "kmh")


def teeth_text(pair: GearPair) -> str:
    """A pair as racers say it: the pinion on the spur."""
    return f"{pair.pinion} on {pair.spur}"


def whole_band(low: float, high: float, unit: str, step: int = 1) -> str:
    """Both ends of a quantity in steps of some size, with its unit once."""
    low_text, high_text = (f"{round(value / step) * step:,}" for value in (low, high))
    return with_unit(high_text if low_text == high_text else f"{low_text} to {high_text}", unit)


def lap_band(band: Band) -> str:
    """Both ends of a lap time; tenths only where they mean something."""
    places = 1 if band.high - band.low < 2.0 else 0
    low, high = f"{band.low:.{places}f}", f"{band.high:.{places}f}"
    return with_unit(high if low == high else f"{low} to {high}", "s")


def current_band(plan: "Plan", band: Band) -> str:
    """Mean current out of the pack for a charge taken in the run."""
    seconds = plan.case.minutes * 60.0
    return whole_band(band.low / seconds, band.high / seconds, "a")


def ratio_text(rated: RatedPair) -> str:
    """A final drive ratio to three decimals, or to as many as tell it from the limit beside it."""
    ratio = rated.pair.ratio
    limits = [standing.ratio_limit for standing in rated.standings if standing.ratio_limit is not None]
    nearest = min(limits, key=lambda limit: abs(limit - ratio), default=None)
    if nearest is None or (decimals_of(nearest) or 99) > _PLACES:
        return ratio_plain(ratio)
    return text_beside(ratio, nearest, least=_PLACES)


def ratio_plain(ratio: Fraction) -> str:
    """A final drive ratio to three decimals: a tooth more or less moves the second."""
    return decimal_text(ratio, _PLACES)


def rollout_text(rated: RatedPair) -> str:
    """Rollout to a tenth of a millimetre; empty where the tyre is not known."""
    return "" if rated.rollout is None else with_unit(decimal_text(value_of(rated.rollout), 1), "mm")


def minutes_text(minutes: float) -> str:
    """A length of time as people write it."""
    return f"{plain_text(exact(minutes))} minute{'' if minutes == 1 else 's'}"
