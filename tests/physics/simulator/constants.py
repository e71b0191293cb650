"""What differs from car to car and from day to day in the simulator, with ranges of its own; nothing here is speclint's.

Each range holds about nine tenths of what is met. Most rest on general sources, named beside them; the rest are estimates.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from tests.physics.simulator.arrays import Array


@dataclass(frozen=True, slots=True)
class Range:
    """A quantity that differs: its least, usual and greatest value, with what they rest on."""

    low: float
    usual: float
    high: float
    source: str

    def draw(self, random: np.random.Generator, count: int) -> Array:
        """Values of a two-piece log-normal distribution whose 5 % and 95 % lie at the ends, cut a tenth past them."""
        normal = random.standard_normal(count)
        below, above = np.log(self.usual / self.low) / 1.645, np.log(self.high / self.usual) / 1.645
        values = self.usual * np.exp(np.where(normal < 0, below, above) * normal)
        return np.asarray(np.clip(values, self.low * 0.9, self.high * 1.1))


GRAVITY: Final = 9.80665
COPPER_ZERO_C: Final = -234.5
"""Copper's resistance falls to nothing at this temperature, on its straight line (IEC 60034-1 uses 235)."""

RANGES: Final = {
    "rolling": Range(0.02, 0.03, 0.05, "coast-down of 1/10 cars with gears engaged gives 0.1, an upper bound; estimate"),
    "air_density": Range(1.08, 1.19, 1.25, "ideal gas law between 5 and 35 °C and up to 900 m"),
    "corner_use": Range(0.72, 0.85, 0.96, "part of the grip that a club driver uses in corners: estimate"),
    "slip_base": Range(0.05, 0.09, 0.14, "steering drag of 1/10 cars, 0.10-0.16 of the side force at 0.4-0.75 g"),
    "slip_rise": Range(0.03, 0.09, 0.20, "tyre slip angles of 5-9 degrees at the limit: estimate"),
    "brake_use": Range(0.35, 0.6, 0.85, "estimate"),
    "throttle_swing": Range(0.15, 0.4, 0.75, "swing of the throttle about its mean, driving at part throttle: estimate"),
    "gear_efficiency": Range(0.88, 0.935, 0.965, "spur gear 0.98 (Schmid et al., ch. 14) with a belt or joints after it"),
    "belt_n": Range(0.1, 0.25, 0.6, "drag of belts, bearings and differentials at the tyre: estimate"),
    "turning_mass": Range(1.04, 1.08, 1.13, "four wheels of 35 g near the rim and the rotor through the gears"),
    "cell_ohm": Range(0.0012, 0.0024, 0.0045, "1-4 milliohm a cell for good packs, more for old and cold ones"),
    "plugs_ohm": Range(0.0013, 0.0023, 0.0038, "ASTM B258 wire tables, two plugs of half a milliohm a contact"),
    "switches_ohm": Range(0.0026, 0.004, 0.0065, "two switches of 0.5-1.5 milliohm, hot, and the motor's wires"),
    "current_limit": Range(95.0, 125.0, 160.0, "estimate"),
    "steady_share": Range(0.27, 0.40, 0.57, "no-load lines of fourteen 40 mm motors in a catalogue of 2013, at 17,000 rpm"),
    "load_iron": Range(0.05, 0.2, 0.45, "growth of the iron's loss at 60 A, by the field of the current: estimate"),
    "ripple": Range(0.01, 0.04, 0.12, "ripple of a chopped current at some 10 kHz: estimate"),
    "magnet_fall": Range(0.0009, 0.0011, 0.0013, "catalogues of neodymium magnets, 0.10-0.12 % a kelvin"),
    "returned_share": Range(0.1, 0.4, 0.8, "braking energy past the copper's that reaches the pack: estimate"),
    "winding_j": Range(11.0, 13.0, 17.0, "28 g of copper, with its insulation"),
    "iron_j": Range(24.0, 29.0, 36.0, "67 g of sheet at 435 J/(kg K)"),
    "can_j": Range(25.0, 33.0, 45.0, "35 g of aluminium or 75 g of steel"),
    "magnet_j": Range(10.0, 12.5, 16.0, "23-34 g of magnet and shaft at 480 J/(kg K)"),
    "winding_iron_k_w": Range(0.45, 0.9, 1.6, "slotted 40 mm motors list 1.35 to 3.1 up to the can; short stacks more"),
    "iron_can_k_w": Range(0.12, 0.3, 0.55, "a press fit: estimate"),
    "magnet_iron_k_w": Range(3.0, 5.0, 9.0, "half a millimetre of stirred air: estimate"),
    "can_air_k_w": Range(1.4, 2.3, 3.5, "cylinder in cross flow (Churchill & Bernstein 1977) at 6 m/s behind a body"),
    "air_power": Range(0.38, 0.5, 0.6, "the same, with part of the way through the mount"),
    "still_air_k_w": Range(8.0, 12.0, 17.0, "catalogues of 40 mm motors, 5-14 with their flange"),
    "magnet_iron_share": Range(0.05, 0.12, 0.25, "part of the iron's loss that falls in the magnet: estimate"),
    "bearing_share": Range(0.15, 0.3, 0.5, "part of the loss without speed that is bearings: estimate"),
    "pack_truth": Range(0.87, 0.95, 1.01, "true over printed capacity of packs in use: estimate"),
}  # fmt: skip

REST_VOLTAGE: Final = (
    (0.0, 3.30), (0.05, 3.55), (0.2, 3.695), (0.4, 3.762), (0.5, 3.793), (0.6, 3.836), (0.7, 3.909),
    (0.75, 3.952), (0.8, 3.994), (0.85, 4.041), (0.9, 4.088), (0.95, 4.138), (1.0, 4.20),
)  # fmt: skip
"""Charge left and volts a cell at rest: the LCO pouch cell of Ai et al. 2020, as open battery models carry it."""
