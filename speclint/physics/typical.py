"""A stock motor of which only the turns are known, for a first guess before any bench run."""

from typing import Final

from speclint.physics.assumptions import Assumption, assumption
from speclint.physics.motor import MotorModel, torque_constant_nm_per_a
from speclint.physics.units import rad_per_s

SPEED_PER_VOLT_TIMES_TURNS: Final = 40_000.0
"""Speed per volt times turns of a stock motor at zero timing: 39,000 to 41,000 in published club limits."""

WINDING_OHM_PER_TURN2: Final = 0.000_1195
"""Resistance between two leads over turns squared at 25 °C, four-wire: 3 to 6 % above the published least windings of
35.4 mΩ (17.5 turns) and 20.6 mΩ (13.5 turns) of an indoor series of 2019-20."""

NO_LOAD_TORQUE_NM: Final = 0.013
"""Friction and iron of a 540-size stock motor at its rated speed: 2.5 to 4 A at 7.4 V in a 17.5 (estimate)."""

RATED_V: Final = 7.4

UNMEASURED: Final = (
    assumption("speed_factor").narrowed(1.05, 0.97, 1.18),
    assumption("no_load_factor").narrowed(1.2, 0.75, 1.9),
)
"""A motor that no bench run shows, beside the typical one at zero timing: timing adds up to a fifth of speed, and can
double the no-load torque (estimate)."""

NO_CURRENT: Final = assumption("no_load_factor").narrowed(1.0, 0.72, 1.45)
"""No-load torque of a motor whose no-load current nobody read."""

UNMEASURED_WINDING: Final = assumption("winding_factor").narrowed(1.0, 0.94, 1.07)
"""Winding of a motor of which only the turns are known."""


def typical_motor(turns: float) -> MotorModel:
    """A stock motor of which only the turns are known, at 25 °C.

    Speed per volt goes with one over the turns and resistance with their square (same copper, same slots).

    Raises:
        ValueError: The turns are not above zero.
    """
    if not turns > 0:
        raise ValueError("turns must be above zero")
    constant = SPEED_PER_VOLT_TIMES_TURNS / turns
    return MotorModel(
        torque_constant_nm_per_a(constant),
        WINDING_OHM_PER_TURN2 * turns**2,
        25.0,
        NO_LOAD_TORQUE_NM,
        rad_per_s(constant * RATED_V),
    )


def known_winding(low: float, high: float) -> Assumption:
    """A winding that a rule or a sheet states, with how far a motor may lie from it."""
    return assumption("winding_factor").narrowed(1.0, low, high)
