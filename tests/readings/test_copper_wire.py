"""Copper wire against the wire tables: diameters of ASTM B258, resistances at 20 °C, and one table's trap."""

from fractions import Fraction

import pytest

from speclint.readings.copper import at_temperature, wire_mohm
from speclint.readings.measured import value_of

# Gauge, inches, ohms for 1,000 ft at 20 °C: the table "American Wire Gauge" of HyperPhysics, Georgia State University.
WIRES = (
    (10, "0.10189", 0.9989), (12, "0.0808", 1.588), (14, "0.06408", 2.525), (16, "0.05082", 4.016), (18, "0.0403", 6.385),
    (20, "0.03196", 10.15), (22, "0.02535", 16.14), (24, "0.0201", 25.67), (26, "0.01594", 40.81), (28, "0.01264", 64.9),
    (30, "0.01002", 103.2), (32, "0.00795", 164.1), (36, "0.0050", 414.8), (40, "0.00314", 1049),
)  # fmt: skip
THOUSAND_FEET_M = Fraction("304.8")


def diameter_mm(gauge: int) -> Fraction:
    """ASTM B258: 0.005 in · 92 ^ ((36 − n) / 39)."""
    return Fraction(0.005 * 92 ** ((36 - gauge) / 39)) * Fraction("25.4")


@pytest.mark.parametrize(("gauge", "printed_in", "printed_ohm"), WIRES)
def test_a_wire_has_the_resistance_that_the_table_prints(gauge: int, printed_in: str, printed_ohm: float) -> None:
    places = len(printed_in.partition(".")[2])
    assert float(diameter_mm(gauge) / Fraction("25.4")) == pytest.approx(float(printed_in), abs=10**-places)
    assert float(wire_mohm(THOUSAND_FEET_M, diameter_mm(gauge))) / 1000 == pytest.approx(printed_ohm, rel=5e-4)


def test_a_table_that_calls_its_20_degrees_25_is_found_out_by_its_own_hot_column() -> None:
    # A trade table heads the 0.9989 Ω of AWG 10 with 25 °C, and prints 1.175 Ω at 65 °C beside it.
    ratio = 1.175 / 0.9989
    assert float(value_of(at_temperature(Fraction(1), Fraction(20), Fraction(65)))) == pytest.approx(ratio, rel=1e-3)
    assert float(value_of(at_temperature(Fraction(1), Fraction(25), Fraction(65)))) != pytest.approx(ratio, rel=1e-2)
