"""Copper windings: resistance at another temperature, and from the terminals to the phases behind them.

Every function is plain arithmetic on numbers, so a reading's uncertainty and that of the temperature come along.
"""

import math
from collections.abc import Sequence
from enum import Enum
from fractions import Fraction
from typing import Final

from speclint.copper import K_COPPER
from speclint.readings.exact import PI
from speclint.readings.measured import Influence, Measured, Number, mean_of, spread_of, value_of

REFERENCE_C: Final = Fraction(20)
"""The temperature in °C at which windings are compared, where no ruleset says otherwise (IEC 60028 states copper's there)."""

RESISTIVITY_MOHM_MM2_PER_M: Final = Fraction(1000, 58)
"""Copper at 20 °C, in mΩ for a wire of 1 m and 1 mm²: 1/58 Ω·mm²/m, the standard annealed copper of IEC 60028."""

COPPER_HALF_WIDTH_K: Final = 1.0
"""How far the copper may be from the spot that the thermometer touched after an hour's rest (estimate)."""


def copper_temperature(at_c: Number, where: str) -> Measured:
    """The temperature of a winding's copper in °C, where a thermometer beside it showed `at_c`.

    What lies between the two is anywhere within ±1 K (JCGM 100 4.3.7), and new in every measurement; `where` is which
    one it is.
    """
    gap = Influence(f"copper temperature:{where}", "temperature of the copper beside the thermometer")
    return Measured(value_of(at_c), {**(at_c.contributions if isinstance(at_c, Measured) else {}), gap: _GAP_K})


_GAP_K: Final = COPPER_HALF_WIDTH_K / math.sqrt(3.0)
"""The same as a standard uncertainty."""


class Connection(Enum):
    """How the three windings meet."""

    WYE = "wye"
    DELTA = "delta"


def at_temperature(resistance: Number, at_c: Number, to_c: Number, *, k: Fraction = K_COPPER) -> Number:
    """The resistance that a winding measured at `at_c` has at `to_c`: R · (k + to) / (k + at), IEC 60034-1.

    Swapping the two temperatures takes it back, exactly.

    Args:
        resistance: at `at_c`, in any unit; the result is in the same.
        at_c: the winding's temperature when it was measured, in °C.
        to_c: the temperature asked for, in °C.
        k: the constant of the conductor, in K.

    Raises:
        ZeroDivisionError: `at_c` is -k, where there would be no resistance to measure.
    """
    cold, warm = k + to_c, k + at_c
    if isinstance(cold, Fraction) and isinstance(warm, Fraction):
        return resistance * (cold / warm)
    return resistance * cold / warm


def wire_mohm(length_m: Fraction, diameter_mm: Fraction) -> Fraction:
    """The resistance of a round copper wire in mΩ at 20 °C: ρ · l / (π d² / 4), with ρ of IEC 60028.

    Raises:
        ZeroDivisionError: the wire has no thickness.
    """
    return RESISTIVITY_MOHM_MM2_PER_M * length_m * 4 / (PI * diameter_mm * diameter_mm)


def phases_from_lines(
    ab: Number, bc: Number, ca: Number, connection: Connection
) -> tuple[Number, Number, Number] | None:
    """The three phases of an unbalanced winding, solved exactly from the three readings between terminals.

    In a wye these are the phases a, b and c, as ab = a + b and so on: a = (ab + ca - bc) / 2. In a delta they are the
    phases between a and b, b and c, c and a: the wye that has the same terminal resistances, turned into a delta by
    A. E. Kennelly's theorem (Electrical World and Engineer 34, 1899; from memory): r_ab = (a·b + b·c + c·a) / c.

    Returns:
        None where no three windings can show these readings, as one is as large as the other two together.
    """
    a = (ab + ca - bc) / 2
    b = (ab + bc - ca) / 2
    c = (bc + ca - ab) / 2
    if not min(value_of(a), value_of(b), value_of(c)) > 0:
        return None
    if connection is Connection.WYE:
        return a, b, c
    products = a * b + b * c + c * a
    return products / c, products / a, products / b


def spread_percent(resistances: Sequence[Number]) -> Number:
    """Largest minus smallest, in percent of the mean.

    Raises:
        ValueError: there are no resistances.
        ZeroDivisionError: their mean is zero.
    """
    return spread_of(resistances) * 100 / mean_of(resistances)
