"""What stands between the cells and the motor's terminals: open-circuit voltage, resistances, current limit."""

from dataclasses import dataclass
from math import sqrt


@dataclass(frozen=True, slots=True)
class Supply:
    """Pack, wiring and speed control as the motor sees them.

    Attributes:
        open_circuit_v: Pack without load, mean over the run.
        source_ohm: Cells, plugs and wires up to the speed control: carries the battery's current.
        controller_ohm: Switches and motor wires: carries the motor's current.
        current_limit_a: Largest motor current that the speed control lets through.
    """

    open_circuit_v: float
    source_ohm: float
    controller_ohm: float
    current_limit_a: float

    def __post_init__(self) -> None:
        """Raises ValueError for a supply that cannot drive anything."""
        if not (self.open_circuit_v > 0 and self.current_limit_a > 0):
            raise ValueError("voltage and current limit must be above zero")
        if not (self.source_ohm >= 0 and self.controller_ohm >= 0):
            raise ValueError("a resistance must not be negative")

    def battery_current_a(self, power_w: float) -> float:
        """Current out of the pack for a power behind its own resistance.

        The speed control is taken as an ideal chopper, so the current that solves (U − R·I)·I = P flows; of the
        two the smaller. Past the greatest power that the pack can give, its current at that power.
        """
        inside = self.open_circuit_v**2 - 4.0 * self.source_ohm * power_w
        # This form of the root stays exact for a pack without resistance.
        return 2.0 * power_w / (self.open_circuit_v + (sqrt(inside) if inside > 0 else 0.0))

    def loaded_voltage_v(self, current_a: float) -> float:
        """Voltage at the speed control with a current flowing."""
        return self.open_circuit_v - self.source_ohm * current_a
