"""Worked examples of uncertainty from guides and standards, recomputed through plain arithmetic."""

import csv
import math
from fractions import Fraction
from pathlib import Path
from typing import Final

import pytest

from speclint.readings.distributions import student_factor
from speclint.readings.exact import exact, to_float
from speclint.readings.measured import Influence, Measured, Number

DATA: Final = Path(__file__).parents[1] / "data" / "readings"
RECTANGLE: Final = math.sqrt(3)
TRIANGLE: Final = math.sqrt(6)
ARCSINE: Final = math.sqrt(2)


def known(value: float | str, blur: float, name: str, freedom: float = math.inf) -> Measured:
    return Measured(exact(value), {Influence(name, name, freedom): blur})


def measured(number: Number) -> Measured:
    assert isinstance(number, Measured)
    return number


def test_gauge_block_of_gum_h1() -> None:
    # JCGM 100 H.1: inputs and u_c 32 nm as in GTC's GUM_H1 example; ν_eff 16 and U99 93 nm from memory.
    difference = known(215, 5.8, "repeats", 24) + known(0, 3.9, "random", 5) + known(0, 6.7, "systematic", 8)
    standard_nm = known(50000623, 25, "standard", 18)
    expansion = known("0.0000115", 2e-6 / RECTANGLE, "expansion")
    expansion_difference = known(0, 1e-6 / RECTANGLE, "expansion difference", 50)
    temperature = known("-0.1", 0.2, "mean temperature") + known(0, 0.5 / ARCSINE, "cycle")
    temperature_difference = known(0, 0.05 / RECTANGLE, "temperature difference", 2)
    length_nm = (
        standard_nm
        + difference
        - standard_nm * (expansion_difference * temperature + expansion * temperature_difference)
    )
    assert to_float(length_nm.value) == 50000838
    assert length_nm.standard_uncertainty == pytest.approx(31.664, abs=0.005)
    assert round(length_nm.standard_uncertainty) == 32
    assert math.floor(length_nm.effective_degrees_of_freedom) == 16
    assert student_factor(0.01, 16) * 32 == pytest.approx(93, abs=0.7)
    parts = {influence.id: abs(part) for influence, part in length_nm.budget()}
    # From memory: 16.6 nm by the temperature difference, 2.9 nm by the difference of expansion.
    assert parts["temperature difference"] == pytest.approx(16.6, abs=0.05)
    assert parts["expansion difference"] == pytest.approx(2.9, abs=0.05)


def test_resistance_and_reactance_of_gum_h2() -> None:
    # JCGM 100 H.2, five sets of readings taken together: R 127.732(71), X 219.847(295), Z 254.260(236) ohm.
    # Each set is an influence of its own, so that the covariances of the three means come out as they are.
    text = (DATA / "gum-h2.csv").read_text(encoding="utf-8")
    rows = [{name: exact(cell) for name, cell in row.items()} for row in csv.DictReader(text.splitlines())]
    count = len(rows)

    def mean(name: str) -> Measured:
        centre = sum((row[name] for row in rows), Fraction(0)) / count
        scale = math.sqrt(count * (count - 1))
        return Measured(
            centre,
            {Influence(f"set {i}", "one set"): float(row[name] - centre) / scale for i, row in enumerate(rows)},
        )

    volts, amperes, phase = mean("volt"), mean("milliampere") / 1000, mean("radian")
    impedance = volts / amperes
    resistance = impedance * phase.apply(math.cos, lambda x: -math.sin(x))
    reactance = impedance * phase.apply(math.sin, math.cos)
    for ohms, value, blur in (
        (resistance, 127.732, 0.071),
        (reactance, 219.847, 0.295),
        (impedance, 254.260, 0.236),
    ):
        assert to_float(ohms.value) == pytest.approx(value, abs=1e-3)
        assert ohms.standard_uncertainty == pytest.approx(blur, abs=1e-3)
    # The correlations that the guide prints: those of what was read, as GTC's example has them, and of the results
    # (-0.588, -0.485, 0.993; from memory).
    for left, right, printed in (
        (volts, amperes, -0.36),
        (volts, phase, 0.86),
        (amperes, phase, -0.65),
        (resistance, reactance, -0.588),
        (resistance, impedance, -0.485),
        (reactance, impedance, 0.993),
    ):
        assert correlation(measured(left), measured(right)) == pytest.approx(printed, abs=0.005)


def correlation(left: Measured, right: Measured) -> float:
    """Of two results, by what their sum is uncertain by beside each: u²(a + b) = u²(a) + u²(b) + 2 r u(a) u(b)."""
    u_left, u_right = left.standard_uncertainty, right.standard_uncertainty
    # In units of their own uncertainties, so that neither is lost beside the other.
    joint = measured(left * exact(1 / u_left) + right * exact(1 / u_right)).standard_uncertainty
    return (joint**2 - 2.0) / 2.0


def test_ten_kiloohm_resistor_of_ea_4_02() -> None:
    # EA-4/02 example S3: 10000.178 ohm, U 17 milliohm, as in a published budget with 10000.1780007665;
    # the inputs are from memory.
    standard = known("10000.053", 0.0025, "standard")
    drift = known("0.020", 0.010 / RECTANGLE, "drift")
    standard_temperature = known(0, 0.00275 / RECTANGLE, "temperature of the standard")
    coupling = known(1, 1e-6 / TRIANGLE, "coupling")
    ratio = known("1.0000105", 7e-8, "ratio")
    own_temperature = known(0, 0.0055 / RECTANGLE, "temperature of the resistor")
    ohms = (standard + drift + standard_temperature) * coupling * ratio - own_temperature
    assert to_float(ohms.value) == pytest.approx(10000.1780007665, abs=1e-9)
    assert ohms.standard_uncertainty == pytest.approx(8.33e-3, abs=5e-6)
    assert round(ohms.expanded() * 1000) == 17


def test_calibration_standard_of_eurachem_a1() -> None:
    # EURACHEM/CITAC QUAM example A1, as in GTC's CITAC_A1: 1002.7 mg/l, u 0.835199.
    mass, purity = known("100.28", 0.05, "mass"), known("0.9999", 0.0001 / RECTANGLE, "purity")
    volume = (
        known(100, 0.1 / TRIANGLE, "flask") + known(0, 0.02, "filling") + known(0, 0.084 / RECTANGLE, "temperature")
    )
    concentration = 1000 * mass * purity / volume
    assert to_float(concentration.value) == pytest.approx(1002.69972, abs=1e-5)
    assert concentration.standard_uncertainty == pytest.approx(0.835199, abs=1e-5)


def test_thermal_expansion_of_nist_tn_1900_example_13() -> None:
    # NIST TN 1900 E13: 1.73e-5 with u 1.8e-6 per degree; the first length stands in the formula twice.
    first, second = known("1.4999", 0.0001, "first length"), known("1.5021", 0.0002, "second length")
    cold, hot = known("288.15", 0.02, "cold"), known("373.10", 0.05, "hot")
    expansion = (second - first) / (first * (hot - cold))
    assert to_float(expansion.value) == pytest.approx(1.73e-5, abs=0.5e-7)
    assert expansion.standard_uncertainty == pytest.approx(1.8e-6, abs=0.05e-6)


def test_copper_resistance_by_temperature_coefficient() -> None:
    # Inputs from suncal's example of a temperature coefficient; the result is computed, no source states it.
    resistance, coefficient = known(1, 0.00025, "resistance"), known("0.0039", 0.0039 * 0.01 / 2, "coefficient")
    warmer = known(28, 0.025, "temperature") - known(20, 0.025, "reference")
    result = measured(resistance * (1 + coefficient * warmer))
    assert to_float(result.value) == 1.0312
    assert result.standard_uncertainty == pytest.approx(3.3137e-4, abs=1e-8)


def test_welch_satterthwaite_of_gum_g_4_1() -> None:
    # JCGM 100 G.4.1: 0.25, 0.57 and 0.82 % with 9, 4 and 14 degrees of freedom give 1.03 %, 19.0, U95 2.2 %; memory.
    product = known(1, 0.0025, "a", 9) * known(1, 0.0057, "b", 4) * known(1, 0.0082, "c", 14)
    assert product.standard_uncertainty == pytest.approx(0.0103, abs=5e-5)
    assert product.effective_degrees_of_freedom == pytest.approx(19.0, abs=0.05)
    assert student_factor(0.05, 19) * product.standard_uncertainty == pytest.approx(0.022, abs=5e-4)
