"""What no prediction is made from: a stated value so far outside of what the trade meets that it is a slip of the pen."""

from typing import Final

from speclint.quantities.facts import Facts
from speclint.quantities.registry import BY_NAME
from speclint.readings.digits import plain_text, with_unit
from speclint.readings.exact import to_float
from speclint.readings.measured import Number, value_of

FED_TO_THE_MODEL: Final = (
    "tyre_diameter_mm",
    "internal_ratio",
    "mass_g",
    "battery_voltage_v",
    "battery_capacity_mah",
    "motor_turns",
    "kv_rpm_per_v",
    "no_load_speed_rpm",
    "current_a",
    "winding_mean_mohm",
)
"""What the model multiplies and divides by."""

LEEWAY: Final = 3
"""How many times outside of the usual range an odd car may lie; `check` warns of all that is outside of it."""


def implausible_inputs(facts: Facts) -> tuple[str, ...]:
    """Each value that is out of all proportion, with what is usual, in words."""
    listed = []
    for name in FED_TO_THE_MODEL:
        quantity, value = BY_NAME[name], facts.fact(name).value
        if quantity.typical is None or not isinstance(value, Number):
            continue
        (low, high), stated = quantity.typical, value_of(value)
        # An offset that leaves nothing above zero makes a value a missing one, which is told elsewhere.
        if stated > 0 and not low / LEEWAY <= stated <= high * LEEWAY:
            usual = with_unit(f"{plain_text(low)} to {plain_text(high)}", quantity.unit)
            shown = with_unit(f"{to_float(stated):.6g}", quantity.unit)
            listed.append(f"{quantity.title} is {shown}, where {usual} is usual")
    return tuple(listed)
