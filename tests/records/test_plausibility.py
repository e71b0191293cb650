"""Misplaced decimal points and units mistaken for others, and values that are only unusual."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.quantities.model import Home, Key, Quantity, Sort
from speclint.quantities.registry import QUANTITIES
from speclint.records.plausibility import ImplausibleValue, implausible_values
from tests.check.world import a_ruleset, a_setup, find_in


def odd(text: str) -> tuple[ImplausibleValue, ...]:
    """The odd values of a setup whose keys these are, its motor in place."""
    document, problems = parse("car.yaml", f"format: setup/1\n{text}\n")
    assert document is not None, problems
    motor = motor_of(document, ("motor",)) if document.has(("motor",)) else None
    return implausible_values(Car(setup_of(document), motor, "", {}))


def slips(text: str) -> list[str]:
    return [implausible_value.message for implausible_value in odd(text) if implausible_value.slip]


def unusual(text: str) -> list[str]:
    return [implausible_value.message for implausible_value in odd(text) if not implausible_value.slip]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("car: {mass_g: 1.352}", "1.352 looks like kilograms; this key is in grams: 1352 g"),
        (
            "car: {mass_g: {value: 1.352, instrument: pit-scale}}",
            "1.352 looks like kilograms; this key is in grams: 1352 g",
        ),
        ("car: {width_mm: 0.1895}", "0.1895 looks like metres; this key is in millimetres: 189.5 mm"),
        ("car: {width_mm: 18.95}", "18.95 looks like centimetres; this key is in millimetres: 189.5 mm"),
        (
            "car: {mass_g: 135.2}",
            "135.2 g looks like a misplaced decimal point: mass is usually 300 to 4000 g, and 1352 g would be",
        ),
        # The exact factors of NIST SP 811 (2008), appendix B.8: 28.349523125 g, 453.59237 g, 25.4 mm, (t/°F − 32)/1.8.
        ("car: {mass_g: 47.7}", "47.7 looks like ounces; this key is in grams: 1352 g"),
        ("car: {mass_g: 2.98}", "2.98 looks like pounds; this key is in grams: 1352 g"),
        ("car: {width_mm: 7.47}", "7.47 looks like inches; this key is in millimetres: 189.7 mm"),
        ("car: {tyre_diameter_mm: 2.46}", "2.46 looks like inches; this key is in millimetres: 62.48 mm"),
        ("car: {ride_height_mm: 0.205}", "0.205 looks like inches; this key is in millimetres: 5.207 mm"),
        ("battery: {voltage_v: 838}", "838 V looks like a misplaced decimal point: battery voltage is usually"),
        ("motor: {rotor: {diameter_mm: 6.15}}", "6.15 mm looks like a radius; this key is the diameter: 12.3 mm"),
        ("car: {tyre_diameter_mm: 31.2}", "31.2 mm looks like a radius; this key is the diameter: 62.4 mm"),
        ("motor: {timing_deg: 380}", "380° looks like a misplaced decimal point"),
        (
            "track_runs: [{date: 2026-03-10, can_c: 185}]",
            "185 looks like degrees Fahrenheit; this key is in degrees Celsius: 85 °C",
        ),
        ("track_runs: [{date: 2026-03-10, minutes: 300}]", "300 looks like seconds; this key is in minutes: 5 min"),
        ("battery: {voltage_v: 8380}", "8380 looks like millivolts; this key is in volts: 8.38 V"),
        (
            "battery: {voltage_v: {readings: [8380, 8390]}}",
            "8390 looks like millivolts; this key is in volts: 8.39 V",
        ),
        (
            "battery: {capacity_mah: 6}",
            "6 looks like ampere-hours; this key is in milliampere-hours: 6000 mAh",
        ),
        (
            "motor: {turns: 175}",
            "175 looks like a misplaced decimal point: turns is usually 2 to 60, and 17.5 would be",
        ),
        (
            "motor: {bench_runs: [{date: 2026-03-10, kv_rpm_per_v: 2.45}]}",
            "2.45 looks like thousands of rpm per volt; this key is in rpm per volt: 2450 rpm/V",
        ),
        (
            "motor: {bench_runs: [{date: 2026-03-10, winding: {ab_mohm: 0.0214}}]}",
            "0.0214 looks like ohms; this key is in milliohms: 21.4 mΩ",
        ),
        (
            "motor: {factory_sheet: {winding: {ab_mohm: 0.0214, bc_mohm: 21.5, ca_mohm: 21.3}}}",
            "0.0214 looks like ohms; this key is in milliohms: 21.4 mΩ, as the other two pairs read about 21.3 mΩ",
        ),
        (
            "motor: {bench_runs: [{date: 2026-03-10, winding: {ab_mohm: 214, bc_mohm: 21.5, ca_mohm: 21.3}}]}",
            "214 mΩ looks like a misplaced decimal point: the other two pairs read about 21.5 mΩ, as 21.4 mΩ would",
        ),
        (
            "motor: {bench_runs: [{date: 2026-03-10, timing_deg: [37.8, 3.81, 38.3]}]}",
            "3.81° looks like a misplaced decimal point: the other sensors read about 37.8°, as 38.1° would",
        ),
    ],
)
def test_a_misplaced_decimal_point_is_told_with_what_was_meant(text: str, message: str) -> None:
    (slip,) = slips(text)
    assert slip.startswith(message)


def test_a_whole_winding_is_held_against_the_factory_sheet() -> None:
    # 2.23 × 255 ÷ 266 = 2.14.
    text = """motor:
  factory_sheet: {winding: {ab_mohm: 21.4, bc_mohm: 21.5, ca_mohm: 21.3, winding_c: 20}}
  bench_runs: [{date: 2026-03-10, winding: {ab_mohm: 2.23, bc_mohm: 2.24, ca_mohm: 2.22, winding_c: 31}}]"""
    assert slips(text) == [
        "all three pairs look like a misplaced decimal point: their mean is 2.14 mΩ at 20 °C, and the factory sheet says"
        " 21.4 mΩ"
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("car: {mass_g: 250}", "250 g is unusual: mass is usually 300 to 4000 g; was 2500 g meant?"),
        (
            "track_runs: [{date: 2026-03-10, can_c: 142}]",
            "142 °C is unusual: can temperature is usually -5 to 120 °C; 142 degrees Fahrenheit would be 61 °C",
        ),
        ("car: {spur_teeth: 20}", "20 teeth is unusual: spur is usually 40 to 160 teeth"),
        ('car: {internal_ratio: "50/11"}', "4.5455 is unusual: internal ratio is usually 1 to 4; was 0.4545 meant?"),
    ],
)
def test_what_is_only_unusual_is_no_slip(text: str, message: str) -> None:
    if "50/11" in text:
        message = "4.5455 is unusual: internal ratio is usually 1 to 4"
    assert (slips(text), unusual(text)) == ([], [message])


def test_a_car_that_is_small_all_over_is_a_small_car() -> None:
    # A car to a scale of 1 to 28: about 170 g, and its tyres 22 mm.
    small = odd("car: {mass_g: 170, width_mm: 75, wheelbase_mm: 98, tyre_diameter_mm: 22}")
    assert len(small) == 4
    assert not any(implausible_value.slip for implausible_value in small)


def test_kilograms_are_a_slip_even_beside_metres() -> None:
    assert len(slips("car: {mass_g: 1.352, width_mm: 0.19}")) == 2


IN_ONE_LINE = [
    (quantity, quantity.key)
    for quantity in QUANTITIES
    if quantity.key is not None and quantity.key.home in (Home.SETUP, Home.MOTOR) and quantity.typical is not None
]


@given(st.sampled_from(IN_ONE_LINE), st.floats(0, 1))
def test_nothing_is_said_of_a_usual_value(stated: tuple[Quantity, Key], share: float) -> None:
    quantity, key = stated
    assert quantity.typical is not None
    low, high = map(float, quantity.typical)
    written = repr(round(low + share * (high - low), 6))
    if quantity.sort is Sort.SUM:
        written = f"[{written}]"
    for step in reversed(key.path[1:]):
        written = f"{{{step}: {written}}}"
    in_place = f"motor: {{{key.path[0]}: {written}}}" if key.home is Home.MOTOR else f"{key.path[0]}: {written}"
    assert odd(in_place) == ()


@pytest.mark.parametrize(
    "file", sorted((Path(__file__).parents[1] / "data" / "published").glob("*.yaml")), ids=lambda p: p.stem
)
def test_no_car_of_a_published_ruleset_has_an_odd_value(file: Path) -> None:
    document, _ = parse(file.name, file.read_text(encoding="utf-8"))
    assert document is not None
    for i, example in enumerate(document.data["examples"]):
        inner = document.part(("examples", i, "setup")) if "setup" in example else None
        if inner is not None:
            motor = motor_of(inner, ("motor",)) if inner.has(("motor",)) else None
            assert implausible_values(Car(setup_of(inner), motor, "", {})) == ()


def test_swapped_gears_are_told_with_the_swap_and_nothing_else_is_said_of_them() -> None:
    (swapped,) = odd("car: {spur_teeth: 42, pinion_teeth: 96}")
    assert swapped.slip
    assert swapped.message == (
        "a pinion of 96 teeth on a spur of 42 turns the wheels faster than the motor: the two counts are swapped, so write"
        " spur_teeth: 96 and pinion_teeth: 42"
    )
    assert swapped.path == ("car", "pinion_teeth")
    (in_a_run,) = odd("track_runs: [{date: 2026-03-10, spur_teeth: 42, pinion_teeth: 96}]")
    assert in_a_run.slip


SMALL_CLASS = a_ruleset(
    "{id: weight, quantity: mass_g, at_least: 160}",
    "{id: tyre, quantity: tyre_diameter_mm, at_most: 22}",
    "{id: width, quantity: width_mm, between: [60, 75]}",
)


@pytest.mark.parametrize("car", ["mass_g: 160", "mass_g: 161", "mass_g: 150", "tyre_diameter_mm: 21", "width_mm: 70"])
def test_what_the_cars_own_class_asks_for_is_no_slip(car: str) -> None:
    findings = find_in({"club.yaml": SMALL_CLASS, "car.yaml": a_setup(f"car: {{{car}}}")})
    assert findings.problems == ()
    assert "value-unusual" not in {advice.id for advice in findings.advice}


def test_another_unit_is_a_slip_in_a_class_of_small_cars_too() -> None:
    findings = find_in({"club.yaml": SMALL_CLASS, "car.yaml": a_setup("car: {mass_g: 0.16}")})
    assert [problem.id for problem in findings.problems] == ["implausible-value"]


@pytest.mark.parametrize("written", ["1e20", "1e300", "1.7e308", "1e-300"])
def test_the_largest_and_the_smallest_numbers_are_told_like_any_other(written: str) -> None:
    keys = "mass_g: X, width_mm: X, tyre_diameter_mm: X, internal_ratio: X"
    found = find_in({"car.yaml": a_setup(f"car: {{{keys.replace('X', written)}}}\nbattery: {{voltage_v: {written}}}")})
    assert found.defects == ()
