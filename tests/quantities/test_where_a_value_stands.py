"""A value points at the key that a person would edit, and one that is lacking at where it would stand, by the name of its key."""

import pytest

from speclint.rules.wording import explanation, message
from tests.check.world import check_of

RUN = "motor: {{bench_runs: [{{date: 2026-03-01, {}}}]}}"
GEARS = "spur_teeth: 96, pinion_teeth: 42, internal_ratio: 1.9"
PHASES = "ab_mohm: 37, bc_mohm: 37, ca_mohm: 37"
SHEET = f"factory_sheet: {{winding: {{{PHASES}, winding_c: 20}}}}"


@pytest.mark.parametrize(
    ("rule", "stated", "pointer"),
    [
        ("final_drive_ratio, at_least: 4", f"car: {{{GEARS}}}", "/car/pinion_teeth"),
        ("rollout_mm, at_least: 4", f"car: {{{GEARS}, tyre_diameter_mm: 62}}", "/car/pinion_teeth"),
        ("cell_voltage_v, at_most: 4", "battery: {cells: 2, voltage_v: 8.4}", "/battery/voltage_v"),
        ("bench_age_days, at_most: 4", "motor: {bench_runs: [{date: 2026-03-01}, {date: 2026-03-12}]}", "/motor/bench_runs/1"),
        ("motor_rebuilds, none_of: [rewind]", "motor: {rebuilds: []}", "/motor/rebuilds"),
        ("motor_rebuilds, none_of: [rewind]", "motor: {rebuilds: [{date: 2026-03-01, did: [clean]}]}", "/motor/rebuilds/0/did"),
        ("entry.number, at_most: 2", "entry", "/entries/0/number"),
    ],
)  # fmt: skip
def test_a_value_points_at_what_would_be_edited(rule: str, stated: str, pointer: str) -> None:
    is_stated_by_entry = stated == "entry"
    check = check_of(f"quantity: {rule}", "" if is_stated_by_entry else stated, entry="number: 12")
    assert check.place.pointer == pointer


@pytest.mark.parametrize(
    ("rule", "stated", "pointer", "lacking"),
    [
        ("final_drive_ratio, at_least: 4", "car: {spur_teeth: 96, internal_ratio: 1.9}", "/car/pinion_teeth",
         ["car.pinion_teeth"]),
        ("rollout_mm, at_least: 4", "car: {spur_teeth: 96, pinion_teeth: 42, tyre_diameter_mm: 62}",
         "/car/internal_ratio", ["car.internal_ratio"]),
        ("motor_turns, equals: 13.5", "", "/motor", ["motor.turns"]),
        ("motor_turns, equals: 13.5", "motor: {name: M}", "/motor/turns", ["motor.turns"]),
        ("motor_rebuilds, none_of: [rewind]", "", "/motor", ["motor.rebuilds"]),
        ("motor_rebuilds, none_of: [rewind]", "motor: {name: M}", "/motor/rebuilds", ["motor.rebuilds"]),
        ("bench_age_days, at_most: 4", "", "/motor", ["motor.bench_runs"]),
        ("bench_age_days, at_most: 4", "motor: {name: M}", "/motor/bench_runs", ["motor.bench_runs"]),
        ("winding_mean_mohm, at_most: 40", "motor: {name: M}", "/motor/bench_runs",
         [f"motor.bench_runs.winding.{key}" for key in ("ab_mohm", "bc_mohm", "ca_mohm", "winding_c")]),
        ("kv_rpm_per_v, at_most: 4", RUN.format("current_a: 3"), "/motor/bench_runs/0", ["motor.bench_runs[0].kv_rpm_per_v"]),
        ("winding_mean_mohm, at_most: 40", RUN.format("winding: {ab_mohm: 37, bc_mohm: 37}"),
         "/motor/bench_runs/0/winding/ca_mohm",
         ["motor.bench_runs[0].winding.ca_mohm", "motor.bench_runs[0].winding.winding_c"]),
        ("winding_drift_percent, at_most: 4", f"motor: {{{SHEET}}}", "/motor/factory_sheet", ["motor.bench_runs"]),
        ("winding_drift_percent, at_most: 4",
         f"motor: {{{SHEET}, bench_runs: [{{date: 2026-03-01, winding: {{{PHASES}}}}}]}}",
         "/motor/bench_runs/0/winding/winding_c", ["motor.bench_runs[0].winding.winding_c"]),
        ("winding_drift_percent, at_most: 4", RUN.format(f"winding: {{{PHASES}, winding_c: 20}}"),
         "/motor/factory_sheet/winding/ab_mohm",
         [f"motor.factory_sheet.winding.{key}" for key in ("ab_mohm", "bc_mohm", "ca_mohm", "winding_c")]),
        ("extra.x_mm, at_most: 2", "", "/extra/x_mm", ["extra.x_mm"]),
        ("extra.x_mm, at_most: 2", "extra: {x_mm: []}", "/extra/x_mm", ["extra.x_mm"]),
        ("entry.heat, at_most: 2", "", "/entries/0/heat", ["entries[0].heat"]),
    ],
)  # fmt: skip
def test_what_is_lacking_points_at_where_it_would_stand(
    rule: str, stated: str, pointer: str, lacking: list[str]
) -> None:
    check = check_of(f"quantity: {rule}", stated)
    assert check.verdict.value == "not-shown"
    assert check.place.pointer == pointer
    assert message(check).endswith(f"; add {' and '.join(lacking)}") or message(check).endswith(
        f" is not shown: add {' and '.join(lacking)}"
    )


@pytest.mark.parametrize(
    ("rule", "stated", "offset", "told"),
    [
        ("mass_g, at_least: 2", "car: {mass_g: 501}", 500, "mass is 1 g; "),
        ("mass_g, at_least: 2", "car: {mass_g: 500}", 500, "no reading in g can be this low: correct it, or the offset"),
        ("ride_height_mm, at_most: 2", "car: {ride_height_mm: 2.5}", 2.5, "ride height is 0 mm; "),
        ("kv_rpm_per_v, at_least: 2", RUN.format("kv_rpm_per_v: 2450"), 2449.5, "no-load speed per volt is 0.5 rpm/V; "),
        ("no_load_speed_rpm, at_least: 2", RUN.format("speed_rpm: 19400"), 19399.5, "no-load speed is 0.5 rpm; "),
        ("no_load_speed_rpm, at_least: 2", RUN.format("speed_rpm: 19400"), 19400, "no reading in rpm can be this low"),
        ("winding_mean_mohm, at_most: 40", RUN.format(f"winding: {{{PHASES}, winding_c: 20}}"), 36.5,
         "winding, mean is 0.5 mΩ; "),
        ("kv_rpm_per_v, at_least: 2", RUN.format("kv_rpm_per_v: 2450"), 2450, "no reading in rpm/V can be this low"),
        ("winding_mean_mohm, at_most: 40", RUN.format(f"winding: {{{PHASES}, winding_c: 20}}"), 37,
         "no reading in mΩ can be this low"),
    ],
)  # fmt: skip
def test_what_is_left_when_an_offset_is_taken_off_is_more_than_there_can_be_at_least(
    rule: str, stated: str, offset: float, told: str
) -> None:
    check = check_of(
        f"quantity: {rule}, instrument: meter", stated, top=f"instruments: {{meter: {{offset: {offset}}}}}"
    )
    assert told in message(check)


@pytest.mark.parametrize(
    ("rule", "stated", "lines"),
    [
        ("extra.all_a, at_most: 5", f"{RUN.format('current_a: 3.9')}\nextra: {{more_a: 1}}", ["3.9 A + 1 A = 4.9 A"]),
        ("extra.long_mm, at_most: 5",
         "car: {spur_teeth: 96, pinion_teeth: 42, internal_ratio: 40/21, tyre_diameter_mm: 62.5}\nextra: {more_in: 1}",
         ["(π × 62.5 mm ÷ (96 ÷ 42 × (40 ÷ 21))) + 1 in = 70.5 mm"]),
        ("timing_mean_deg, at_most: 50", RUN.format("timing_deg: [37, 38, 39]"),
         ["mean of 37°, 38°, 39° = 38°"]),
    ],
)  # fmt: skip
def test_a_formula_is_told_with_its_numbers(rule: str, stated: str, lines: list[str]) -> None:
    top = (
        "quantities: {extra.all_a: {kind: measured, unit: a, sum_of: [current_a, extra.more_a]},"
        " extra.long_mm: {kind: measured, unit: mm, sum_of: [rollout_mm, extra.more_in]}}"
    )
    assert [line for line in explanation(check_of(f"quantity: {rule}", stated, top=top)) if " = " in line] == lines


@pytest.mark.parametrize(
    ("records", "line"),
    [
        (SHEET, "read on the factory sheet"),
        (f"bench_runs: [{{date: 2026-03-01, winding: {{{PHASES}, winding_c: 20}}}}]", "read on the bench run of 1 March 2026"),
    ],
)  # fmt: skip
def test_a_reading_says_of_which_record_it_is(records: str, line: str) -> None:
    assert line in explanation(check_of("quantity: winding_mean_mohm, at_most: 40", f"motor: {{{records}}}"))


@pytest.mark.parametrize(
    ("stated", "lines"),
    [
        # R₂ = R₁ · (235 + t₂) ÷ (235 + t₁) (IEC 60034-1): 37 mΩ at 30 °C are 35.60 mΩ at 20 °C, 3.77 % less.
        (RUN.format(f"winding: {{{PHASES}, winding_c: 30}}"),
         ["corrected from 30 °C to 20 °C: 37.00 → 35.60 mΩ, -3.77 % (copper, k = 235, IEC 60034-1)"]),
        (RUN.format(f"winding: {{{PHASES}, winding_c: 20}}"),
         ["corrected from 20 °C to 20 °C: 37.00 → 37.00 mΩ, 0.00 % (copper, k = 235, IEC 60034-1)"]),
        (RUN.format(f"winding: {{{PHASES}, winding_c: 19}}"),
         ["corrected from 19 °C to 20 °C: 37.00 → 37.15 mΩ, +0.39 % (copper, k = 235, IEC 60034-1)"]),
        (RUN.format(f"winding: {{{PHASES}, winding_c: 10}}"),
         ["corrected from 10 °C to 20 °C: 37.00 → 38.51 mΩ, +4.08 % (copper, k = 235, IEC 60034-1)"]),
    ],
)  # fmt: skip
def test_a_correction_says_from_where_to_where_and_by_how_much(stated: str, lines: list[str]) -> None:
    told = explanation(check_of("quantity: winding_mean_mohm, at_most: 40", stated))
    assert [line for line in told if line.startswith("corrected")] == lines


def test_the_blur_is_told_by_its_parts_of_which_a_small_one_goes_unsaid() -> None:
    meter = "instruments: {{meter: {{accuracy: {}, resolution: {}}}}}"
    stated = "car: {mass_g: {value: 1352, instrument: meter}}"

    def told(accuracy: float, resolution: float) -> str:
        lines = explanation(check_of("quantity: mass_g, at_least: 1", stated, top=meter.format(accuracy, resolution)))
        return next(line for line in lines if line.startswith("±"))

    # Variances of 3² ÷ 3 and 6² ÷ 12 are alike (JCGM 100 4.3.7); U = 2 × √6 g.
    assert told(3, 6) == "± 5 g is from accuracy of meter 50 %, resolution of meter 50 %"
    assert told(6, 6) == "± 8 g is from accuracy of meter 80 %, resolution of meter 20 %"
    assert told(6, 0.5) == "± 7 g is from accuracy of meter"


@pytest.mark.parametrize(
    ("offset", "line"),
    [(0.5, "meter shows 0.5 g too much, which is taken off"), (-0.5, "meter shows 0.5 g too little, which is added"), (0, None)],
)  # fmt: skip
def test_what_was_done_to_a_reading_is_told(offset: float, line: str | None) -> None:
    check = check_of(
        "quantity: mass_g, at_least: 1", "car: {mass_g: {value: 1352, instrument: meter}}",
        top=f"instruments: {{meter: {{offset: {offset}, resolution: 1}}}}",
    )  # fmt: skip
    assert [told for told in explanation(check) if "shows" in told] == ([line] if line else [])


def test_the_sensors_of_a_motor_are_no_repeats_of_one_reading() -> None:
    told = explanation(check_of("quantity: timing_mean_deg, at_most: 50", RUN.format("timing_deg: [37, 38, 39]")))
    assert [line for line in told if line.startswith("mean")] == ["mean of 37°, 38°, 39° = 38°"]
