"""What a setup is made to say for a quantity to have a value is what the quantity is then read as."""

from datetime import date
from fractions import Fraction

import pytest

from speclint.documents.parse import parse
from speclint.edits.spelled import flow
from speclint.models.cars import Car
from speclint.models.motors import motor_of
from speclint.models.setups import setup_of
from speclint.quantities.facts import Facts, Value
from speclint.quantities.model import Quantity
from speclint.quantities.registry import QUANTITIES
from speclint.quantities.statements import nested, statement_of
from speclint.readings.measured import Measured, value_of
from speclint.rulesets.declarations import declared_in
from speclint.structure.validate import validate

ON = date(2026, 3, 14)


def shown(name: str, value: str | bool | Fraction) -> Value | None:
    statement = statement_of(name, value, ON)
    assert statement is not None, name
    document, problems = parse("car.yaml", flow({"format": "setup/1", **nested([statement])}))
    assert document is not None
    assert (*problems, *validate(document, "setup/1")) == ()
    motor = motor_of(document, ("motor",)) if document.has(("motor",)) else None
    facts = Facts(Car(setup_of(document), motor, "", {}), on=ON, reference_c=Fraction(20), entry_keys={})
    found = facts.fact(name).value
    return value_of(found) if isinstance(found, Fraction | Measured) else found


@pytest.mark.parametrize("described", QUANTITIES, ids=lambda described: described.name)
def test_every_quantity_can_be_shown_at_the_value_of_its_example(described: Quantity) -> None:
    name, example = described.name, described.example
    if isinstance(example, bool | str) and not (isinstance(example, str) and "/" in example):
        assert shown(name, example) in (example, (example,))
        return
    value = Fraction(str((*example, 0.1)[0] if isinstance(example, list) else example))
    # Of a ratio of teeth the nearest that gears have.
    near = Fraction(1, 1000) if name == "spur_pinion_ratio" else Fraction(1, 10**6)
    assert abs(shown(name, value) - value) < near  # type: ignore[operator]


def test_a_ratio_is_shown_exactly() -> None:
    for value in (Fraction(4205, 1000), Fraction(40, 21), Fraction(9, 2)):
        assert shown("final_drive_ratio", value) == value
    for value in (Fraction(42, 10), Fraction(40, 21), Fraction(9, 2)):
        assert shown("spur_pinion_ratio", value) == value


def test_teeth_in_all_are_shown_from_the_first_that_leaves_the_spur_a_tooth() -> None:
    pinion = (statement_of("tooth_sum", Fraction(130), ON) or {})["car", "pinion_teeth"]
    assert shown("tooth_sum", Fraction(pinion + 1)) == pinion + 1
    assert statement_of("tooth_sum", Fraction(pinion), ON) is None
    assert statement_of("tooth_sum", Fraction(2 * pinion + 1, 2), ON) is None


def test_what_was_done_to_a_motor_is_shown_by_its_name_alone() -> None:
    assert statement_of("motor_rebuilds", Fraction(1), ON) is None


def test_what_has_no_such_value_is_shown_by_nothing() -> None:
    assert statement_of("final_drive_ratio", "tall", ON) is None
    assert statement_of("bench_age_days", "old", ON) is None
    assert statement_of("no_such_quantity", Fraction(1), ON) is None
    assert statement_of("bench_age_days", Fraction(-1), ON) is None
    assert statement_of("bench_age_days", Fraction(36500), ON) is None  # a hundred years


@pytest.mark.parametrize(
    ("declaration", "value", "statement"),
    [
        ("unit: kg, sum_of: [extra.driver_kg, extra.ballast_kg]", "80",
         {("extra", "driver_kg"): 80, ("extra", "ballast_kg"): 0}),
        # 4 lb are 1814.36948 g (NIST SP 811), and what speclint knows takes all of it.
        ("unit: lb, sum_of: [extra.pack_kg, mass_g]", "4", {("car", "mass_g"): 1814.36948, ("extra", "pack_kg"): 0}),
        ("unit: mm, sum_of: [width_mm, length_mm]", "4", None),
        ("unit: mm, sum_of: [extra.a_mm, extra.b_mm]", "wide", None),
        ("unit: kg, sum_of: [no_such_quantity, extra.ballast_kg]", "80", None),
        ("count_of: extra.roller_mm", "3", {("extra", "roller_mm"): [1, 1, 1]}),
        ("count_of: entry.helpers", "0", {("entry", "helpers"): []}),
        ("count_of: extra.roller_mm", "-1", None),
        ("count_of: extra.roller_mm", "36500", None),
    ],
)  # fmt: skip
def test_what_a_ruleset_adds_up_or_counts_is_shown_by_its_parts(
    declaration: str, value: str, statement: dict[tuple[str, ...], object] | None
) -> None:
    kind = "count" if "count_of" in declaration else "measured"
    document, _ = parse("club.yaml", f"id: club\nquantities: {{extra.whole: {{kind: {kind}, {declaration}}}}}")
    assert document is not None
    name = declared_in(document.data, {})["extra.whole"]
    assert statement_of(name, value if value == "wide" else Fraction(value), ON) == statement


@pytest.mark.parametrize(
    ("name", "value", "statement"),
    [
        # 1/3 is written by no decimals: nine of them, or as a ratio of teeth.
        ("width_mm", Fraction(1, 3), {("car", "width_mm"): 0.333333333}),
        ("mass_g", Fraction(2**40 + 1, 2**40), {("car", "mass_g"): 1}),
        ("internal_ratio", Fraction(1, 10**9), {("car", "internal_ratio"): 1e-9}),
        ("shims_drive_end_mm", Fraction(3, 10), {("motor", "shims_mm", "drive_end"): [0.3]}),
        ("spur_pinion_ratio", Fraction(9, 2), {("car", "spur_teeth"): 90, ("car", "pinion_teeth"): 20}),
        ("spur_pinion_ratio", Fraction(10, 3), {("car", "spur_teeth"): 70, ("car", "pinion_teeth"): 21}),
        ("bench_age_days", Fraction(0), {("motor", "bench_runs", 0, "date"): "2026-03-14"}),
        ("bench_age_days", Fraction(7), {("motor", "bench_runs", 0, "date"): "2026-03-07"}),
        ("extra.driver", "Kim", {("extra", "driver"): "Kim"}),
    ],
)
def test_a_number_is_stated_as_a_file_would_have_it(
    name: str, value: str | Fraction, statement: dict[tuple[str | int, ...], object]
) -> None:
    assert statement_of(name, value, ON) == statement


def test_a_reading_of_the_bench_is_one_value_for_each_sensor_and_phase() -> None:
    assert statement_of("timing_spread_deg", Fraction(3), ON) == {
        ("motor", "bench_runs", 0, "date"): "2026-03-14",
        ("motor", "bench_runs", 0, "timing_deg"): [36, 37.5, 39],
    }
    drift = statement_of("winding_drift_percent", Fraction(5), ON, Fraction(25)) or {}
    assert {value for path, value in drift.items() if path[-1] == "winding_c"} == {25}
    mohm = {path[1]: value for path, value in drift.items() if str(path[-1]).endswith("mohm")}
    assert mohm == {"factory_sheet": 20, "bench_runs": 21}
