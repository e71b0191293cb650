"""What runs are held against each other by: the list of quantities, and the level of one in one run."""

from dataclasses import dataclass
from typing import Final

from speclint.comparison.recorded import RecordedValue
from speclint.quantities import rebuilds
from speclint.readings.measured import Number


@dataclass(frozen=True, slots=True)
class ComparedQuantity:
    """One quantity that runs are held against each other by; `model` says how it is taken to common conditions."""

    name: str
    title: str
    unit: str
    family: str
    model: str


COMPARED: Final = (
    ComparedQuantity("kv_rpm_per_v", "speed per volt", "rpm_per_v", rebuilds.SPEED,
             "n0 = kn × (U − I0 × R), at the common voltage and 20 °C"),
    ComparedQuantity("torque_mnm_per_a", "torque per ampere", "mnm_per_a", rebuilds.SPEED,
             "kM × kn = 60/2π, at 20 °C"),
    ComparedQuantity("current_a", "no-load current", "a", rebuilds.CURRENT,
             "at the common voltage; friction stays, iron and air losses go with speed"),
    ComparedQuantity("winding_mean_mohm", "winding, mean", "mohm", rebuilds.WINDING,
             "line to line at 20 °C, IEC 60034-1 resistance method"),
    ComparedQuantity("winding_spread_percent", "spread of the winding", "percent", rebuilds.WINDING,
             "largest − smallest, of the mean"),
    ComparedQuantity("timing_mean_deg", "measured timing", "deg", rebuilds.TIMING, "mean of the sensors, as read"),
    ComparedQuantity("timing_spread_deg", "spread of timing", "deg", rebuilds.TIMING, "largest − smallest, as read"),
    ComparedQuantity("sensor_spread_percent", "unevenness of the sensor signals", "percent", rebuilds.BALANCE, "as read"),
    ComparedQuantity("pole_difference_percent", "difference of the poles", "percent", rebuilds.BALANCE, "as read"),
)  # fmt: skip
"""Everything that is compared, in the order of the table."""

COMPARED_BY_NAME: Final = {quantity.name: quantity for quantity in COMPARED}


@dataclass(frozen=True, slots=True)
class CommonValue:
    """One quantity of one run at common conditions.

    Attributes:
        number: the value; None where keys are missing.
        sources: the readings that it mainly rests on, whose instruments decide what can be told from it.
        missing: the keys that would have to be added to the run.
    """

    number: Number | None
    sources: tuple[RecordedValue, ...] = ()
    missing: tuple[str, ...] = ()
