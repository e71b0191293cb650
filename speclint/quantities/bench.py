"""What the newest bench run says of the motor, and the formulas for what follows from it."""

from datetime import date
from fractions import Fraction
from typing import Any, Final

from speclint.quantities import rebuilds
from speclint.quantities.model import Given, Home, Input, Key, Quantity, Sort, span
from speclint.readings.copper import at_temperature, spread_percent
from speclint.readings.measured import Number, least_of, mean_of, spread_of

Sensors = tuple[Number, ...]
"""One value for each sensor of the motor."""


def timing_mean_deg(timing_deg: Sensors) -> Number:
    """Mean of the timing over the sensors, in degrees."""
    return mean_of(timing_deg)


def timing_spread_deg(timing_deg: Sensors) -> Number:
    """Largest minus smallest timing of the sensors, in degrees."""
    return spread_of(timing_deg)


def winding_mean_mohm(ab: Number, bc: Number, ca: Number, winding_c: Number, reference_c: Fraction) -> Number:
    """Mean of the three line-to-line resistances in mΩ, at the reference temperature (IEC 60034-1)."""
    return at_temperature(mean_of((ab, bc, ca)), winding_c, reference_c)


def winding_lowest_mohm(ab: Number, bc: Number, ca: Number, winding_c: Number, reference_c: Fraction) -> Number:
    """Lowest of the three line-to-line resistances in mΩ, at the reference temperature (IEC 60034-1)."""
    return at_temperature(least_of((ab, bc, ca)), winding_c, reference_c)


def raw_mean_mohm(ab: Number, bc: Number, ca: Number) -> Number:
    """Mean of the three line-to-line resistances in mΩ, as read."""
    return mean_of((ab, bc, ca))


def raw_lowest_mohm(ab: Number, bc: Number, ca: Number) -> Number:
    """Lowest of the three line-to-line resistances in mΩ, as read."""
    return least_of((ab, bc, ca))


def winding_spread_percent(ab: Number, bc: Number, ca: Number) -> Number:
    """Largest minus smallest resistance in percent of the mean; the temperature is common to all and cancels."""
    return spread_percent((ab, bc, ca))


def winding_drift_percent(
    ab: Number, bc: Number, ca: Number, winding_c: Number,
    sheet_ab: Number, sheet_bc: Number, sheet_ca: Number, sheet_c: Number, reference_c: Fraction,
) -> Number:  # fmt: skip
    """Change of the mean resistance from the factory sheet in percent, both at the reference temperature."""
    sheet = winding_mean_mohm(sheet_ab, sheet_bc, sheet_ca, sheet_c, reference_c)
    return (winding_mean_mohm(ab, bc, ca, winding_c, reference_c) / sheet - 1) * 100


def raw_drift_percent(
    ab: Number, bc: Number, ca: Number, sheet_ab: Number, sheet_bc: Number, sheet_ca: Number
) -> Number:
    """Change of the mean resistance from the factory sheet in percent, both as read."""
    return (mean_of((ab, bc, ca)) / mean_of((sheet_ab, sheet_bc, sheet_ca)) - 1) * 100


def bench_age_days(bench_date: date, entry_date: date) -> Fraction:
    """Whole days between the newest bench run and the entry."""
    return Fraction((entry_date - bench_date).days)


_BENCH_METER: Final = ("instrument",)
_METER: Final = ("winding", "instrument")
_THERMOMETER: Final = ("winding", "thermometer")


def _winding(home: Home) -> tuple[Key, Key, Key, Key]:
    """The keys of a winding's three resistances and its temperature, in one kind of record."""
    ab, bc, ca = (Key(home, ("winding", name), instrument=_METER) for name in ("ab_mohm", "bc_mohm", "ca_mohm"))
    return ab, bc, ca, Key(home, ("winding", "winding_c"), instrument=_THERMOMETER)


*_phases, WINDING_C = _winding(Home.BENCH)
"""The last is the key of the temperature that a winding was measured at."""
_PHASES: Final = tuple(_phases)
_WARM: Final[tuple[Input, ...]] = (*_PHASES, WINDING_C, Given.REFERENCE_C)
_SHEET: Final = _winding(Home.SHEET)
_TIMING: Final = Key(Home.BENCH, ("timing_deg",), instrument=_BENCH_METER, each=True)
_FOUR_WIRE: Final = (
    "Measure all three pairs of leads with a four-wire milliohm meter, and note the winding's temperature"
    " after an hour's rest in the same room."
)
_SPINNING: Final = "Clamp the motor, take the pinion off, keep clear of it, and stay below the maker's no-load voltage."


def _recorded(path: str, **more: Any) -> Quantity:
    """A quantity that a bench run states under one key, all else as `Quantity` has it."""
    key = Key(Home.BENCH, (path,), instrument=_BENCH_METER)
    return Quantity(sort=Sort.MEASURED, key=key, principal=(key,), source="common practice", **more)


BENCH: Final[tuple[Quantity, ...]] = (
    Quantity(
        name="timing_mean_deg",
        title="measured timing",
        sort=Sort.MEASURED,
        unit="deg",
        about="Mean of the timing that the bench measures over the sensors.",
        source="common practice",
        example=38.1,
        inputs=(_TIMING,),
        formula=timing_mean_deg,
        formula_text="mean of {timing_deg}",
        principal=(_TIMING,),
        family=rebuilds.TIMING,
        typical=span("0", "60"),
        cautions=(_SPINNING,),
    ),
    Quantity(
        name="timing_spread_deg",
        title="spread of timing",
        sort=Sort.MEASURED,
        unit="deg",
        about="Largest minus smallest timing of the sensors.",
        source="common practice",
        example=0.5,
        inputs=(_TIMING,),
        formula=timing_spread_deg,
        formula_text="largest − smallest of {timing_deg}",
        compares_readings=True,
        principal=(_TIMING,),
        family=rebuilds.TIMING,
        typical=span("0", "10"),
        cautions=(_SPINNING,),
    ),
    _recorded(
        "kv_rpm_per_v",
        name="kv_rpm_per_v",
        title="no-load speed per volt",
        unit="rpm_per_v",
        about="No-load speed divided by the supply voltage.",
        example=2450,
        family=rebuilds.SPEED,
        above_lowest=True,
        typical=span("500", "12000"),
        cautions=(_SPINNING,),
    ),
    _recorded(
        "speed_rpm",
        name="no_load_speed_rpm",
        title="no-load speed",
        unit="rpm",
        about="Speed of the unloaded motor on the bench.",
        example=9065,
        family=rebuilds.SPEED,
        above_lowest=True,
        typical=span("1000", "80000"),
        cautions=(_SPINNING,),
    ),
    _recorded(
        "current_a",
        name="current_a",
        title="no-load current",
        unit="a",
        about="Current of the unloaded motor on the bench.",
        example=3.9,
        family=rebuilds.CURRENT,
        typical=span("0.1", "20"),
        cautions=(_SPINNING,),
    ),
    _recorded(
        "sensor_spread_percent",
        name="sensor_spread_percent",
        title="unevenness of the sensor signals",
        unit="percent",
        about="How far the three sensor signals differ in strength: largest minus smallest, in percent.",
        example=1.2,
        family=rebuilds.BALANCE,
        typical=span("0", "30"),
    ),
    _recorded(
        "pole_difference_percent",
        name="pole_difference_percent",
        title="difference of the poles",
        unit="percent",
        about="Difference between the magnet's poles.",
        example=0.8,
        family=rebuilds.BALANCE,
        typical=span("0", "30"),
    ),
    Quantity(
        name="winding_mean_mohm",
        title="winding, mean",
        sort=Sort.MEASURED,
        unit="mohm",
        about="Mean of the three line-to-line resistances, at the ruleset's reference temperature for copper.",
        source="IEC 60034-1, resistance method (k = 235 for copper)",
        example=21.4,
        inputs=_WARM,
        formula=winding_mean_mohm,
        raw_inputs=_PHASES,
        raw_formula=raw_mean_mohm,
        raw_formula_text="({ab_mohm} + {bc_mohm} + {ca_mohm}) ÷ 3",
        formula_text="({ab_mohm} + {bc_mohm} + {ca_mohm}) ÷ 3 × (235 + {reference_c}) ÷ (235 + {winding_c})",
        principal=_PHASES,
        family=rebuilds.WINDING,
        typical=span("3", "150"),
        measure=_FOUR_WIRE,
    ),
    Quantity(
        name="winding_lowest_mohm",
        title="winding, lowest",
        sort=Sort.MEASURED,
        unit="mohm",
        about="Lowest of the three line-to-line resistances, at the ruleset's reference temperature for copper.",
        source="IEC 60034-1, resistance method (k = 235 for copper)",
        example=21.2,
        inputs=_WARM,
        formula=winding_lowest_mohm,
        raw_inputs=_PHASES,
        raw_formula=raw_lowest_mohm,
        raw_formula_text="lowest of {ab_mohm}, {bc_mohm} and {ca_mohm}",
        formula_text="lowest of {ab_mohm}, {bc_mohm} and {ca_mohm}, × (235 + {reference_c}) ÷ (235 + {winding_c})",
        principal=_PHASES,
        family=rebuilds.WINDING,
        typical=span("3", "150"),
        measure=_FOUR_WIRE,
    ),
    Quantity(
        name="winding_spread_percent",
        title="spread of the winding",
        sort=Sort.MEASURED,
        unit="percent",
        about="Largest minus smallest line-to-line resistance, in percent of the mean.",
        source="common practice",
        example=0.9,
        inputs=_PHASES,
        formula=winding_spread_percent,
        formula_text="(largest − smallest) ÷ mean of {ab_mohm}, {bc_mohm} and {ca_mohm}",
        compares_readings=True,
        principal=_PHASES,
        family=rebuilds.WINDING,
        typical=span("0", "15"),
        measure=_FOUR_WIRE,
    ),
    Quantity(
        name="winding_drift_percent",
        title="drift of the winding",
        sort=Sort.MEASURED,
        unit="percent",
        about="Change of the mean resistance from the factory sheet, both at the reference temperature.",
        source="IEC 60034-1, resistance method (k = 235 for copper)",
        example=-0.4,
        inputs=(*_PHASES, WINDING_C, *_SHEET, Given.REFERENCE_C),
        formula=winding_drift_percent,
        formula_text="({ab_mohm} + {bc_mohm} + {ca_mohm}) ÷ ({sheet_ab_mohm} + {sheet_bc_mohm} + {sheet_ca_mohm})"
        " × (235 + {sheet_winding_c}) ÷ (235 + {winding_c}) − 1",
        raw_inputs=(*_PHASES, *_SHEET[:3]),
        raw_formula=raw_drift_percent,
        raw_formula_text="({ab_mohm} + {bc_mohm} + {ca_mohm})"
        " ÷ ({sheet_ab_mohm} + {sheet_bc_mohm} + {sheet_ca_mohm}) − 1",
        principal=_PHASES,
        family=rebuilds.WINDING,
        typical=span("-15", "15"),
        measure=_FOUR_WIRE,
    ),
    Quantity(
        name="bench_age_days",
        title="age of the bench run",
        sort=Sort.COUNT,
        unit="days",
        about="Days between the newest bench run and the entry.",
        source="the calendar",
        example=4,
        inputs=(Given.BENCH_DATE, Given.ENTRY_DATE),
        formula=bench_age_days,
        formula_text="{entry_date} − {bench_date}",
    ),
)
