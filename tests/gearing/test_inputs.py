"""What a prediction is made of: readings that count, else what stands in for them, always told."""

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from speclint.errors import UsageError
from speclint.gearing.case import CarModel
from speclint.gearing.plan import Plan
from speclint.gearing.start import Reason
from speclint.gearing.wording import reason_text, sure_text
from speclint.physics.bands import Band
from speclint.physics.motor import speed_constant_rpm_per_v
from speclint.problems import Problem
from speclint.reports.kinds import GEARING
from speclint.workspace.overrides import Overrides
from tests.gearing.geared_cars import BATTERY, BENCH, TRACK, demo, planned, rated, written
from tests.reports.report_text import kinds_of, report_text

SHEET = "{ab_mohm: 36.5, bc_mohm: 36.5, ca_mohm: 36.5, winding_c: 25}"


def assumed(plan: Plan) -> dict[str, str]:
    return {each.what: f"{each.value}; {each.why}" for each in plan.case.assumed}


def breadth(can_c: Band) -> float:
    """Of a band, over the likely rise above air of 19 °C."""
    return (can_c.high - can_c.low) / (can_c.median - 19.0)


def known(plan: Plan) -> CarModel:
    assert plan.case.model is not None
    return plan.case.model


def test_a_car_with_everything_stated_assumes_nothing_but_the_constants(tmp_path: Path) -> None:
    plan = planned(tmp_path, track="hall")
    assert assumed(plan) == {}
    assert known(plan).motor.measured
    assert known(plan).motor.ranges == ()


def test_the_motor_is_the_one_of_the_newest_bench_run_that_counts() -> None:
    motor = known(demo("car-12-carpet")).motor
    assert motor.origin == "the bench run of 12 March 2026"
    # 2360 rpm/V at 3.7 V with 3.5 A through 37.7 milliohm: the drop is given back.
    assert speed_constant_rpm_per_v(motor.model.torque_constant_nm_per_a) == pytest.approx(
        2360 / (1 - 3.5 * 0.0377 / 3.7), rel=1e-3
    )


def test_a_stale_bench_run_does_not_count_and_the_band_grows() -> None:
    plan, measured = demo("car-31-stale-bench-run"), demo("car-31-pan")
    motor = known(plan).motor
    assert not motor.measured
    assert motor.origin == "typical values for 13.5 turns, not measured"
    assert "from before the rotor swap of 20 March 2026" in assumed(plan)["speed per volt and no-load current"]
    assert {each.name for each in motor.ranges} == {"speed_factor", "no_load_factor", "winding_factor"}
    by_pair = {each.pair: each.outlook for each in measured.pairs}
    for each in plan.pairs:
        other = by_pair[each.pair]
        assert each.outlook is not None
        assert other is not None
        assert breadth(each.outlook.can_c) > breadth(other.can_c)


@pytest.mark.parametrize(
    ("bench", "told"),
    [
        ("{date: 2026-02-20, supply_v: 7.4, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25}", "winding"),
        (f"{{date: 2026-02-20, supply_v: 7.4, kv_rpm_per_v: 2400, can_c: 25, winding: {SHEET}}}", "no-load torque"),
        (f"{{date: 2026-02-20, supply_v: 7.4, current_a: 3.3, speed_rpm: 17760, can_c: 25, winding: {SHEET}}}", None),
        (f"{{date: 2026-02-20, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25, winding: {SHEET}}}", "speed per volt and no-load current"),
        ("{date: 2026-02-20, supply_v: 7.4, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25, winding: {ab_mohm: 36.5, bc_mohm: 36.5, ca_mohm: 36.5}}", "winding temperature on the bench"),
    ],
)  # fmt: skip
def test_what_a_bench_run_lacks_is_told(tmp_path: Path, bench: str, told: str | None) -> None:
    motor = f"{{turns: 17.5, bench_runs: [{bench}]}}"
    plan = planned(tmp_path, track="hall", motor=motor)
    assert list(assumed(plan)) == ([] if told is None else [told])


def test_the_factory_sheet_s_winding_counts_where_no_bench_run_has_one(tmp_path: Path) -> None:
    bench = "{date: 2026-02-20, supply_v: 7.4, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25}"
    motor = f"{{turns: 17.5, bench_runs: [{bench}], factory_sheet: {{winding: {SHEET}}}}}"
    plan = planned(tmp_path, track="hall", motor=motor)
    assert assumed(plan) == {}
    assert known(plan).motor.model.resistance_ohm == pytest.approx(0.0365)


def test_a_speed_in_rpm_and_a_speed_per_volt_give_the_same_motor(tmp_path: Path) -> None:
    per_volt = known(planned(tmp_path, track="hall")).motor.model
    bench = BENCH.replace("kv_rpm_per_v: 2400", "speed_rpm: 17760")
    in_rpm = known(planned(tmp_path, track="hall", motor=f"{{bench_runs: [{bench}]}}")).motor.model
    assert in_rpm.torque_constant_nm_per_a == pytest.approx(per_volt.torque_constant_nm_per_a)
    assert in_rpm.no_load_torque_nm == pytest.approx(per_volt.no_load_torque_nm)


def test_a_warm_bench_reading_is_taken_to_one_temperature(tmp_path: Path) -> None:
    # 36.5 milliohm at 25 °C are 36.5 x 270/260 = 37.9038 at 35 °C (IEC 60034-1): the same motor, read warm.
    cold = planned(tmp_path, track="hall").start
    warm = BENCH.replace("36.5,", "37.9038,").replace("winding_c: 25", "winding_c: 35")
    hot = planned(tmp_path, track="hall", motor=f"{{turns: 17.5, bench_runs: [{warm}]}}")
    motor = known(hot).motor.model
    assert motor.measured_c == 25
    assert motor.resistance_ohm == pytest.approx(0.0365, rel=1e-5)
    assert (cold is None) == (hot.start is None)


def test_an_instrument_s_offset_is_taken_off_the_supply_voltage(tmp_path: Path) -> None:
    garage = f"format: garage/1\ninstruments: {{meter: {{offset: 0.4, unit: V}}}}\ntracks: {{hall: {TRACK}}}\n"
    bench = BENCH.replace("supply_v: 7.4", "supply_v: {value: 7.8, instrument: meter}")
    plain = planned(tmp_path, track="hall")
    offset = planned(tmp_path, track="hall", garage=garage, motor=f"{{turns: 17.5, bench_runs: [{bench}]}}")
    constants = [known(each).motor.model.torque_constant_nm_per_a for each in (plain, offset)]
    assert constants[0] == pytest.approx(constants[1])


def test_without_a_track_a_club_hall_is_assumed_and_told(tmp_path: Path) -> None:
    plan = planned(tmp_path, garage=None)
    assert list(assumed(plan)) == ["lap", "longest straight", "speed off the straight", "air"]
    assert plan.case.track.name == ""
    assert all("no track is named" in each or "--ambient-c" in each for each in assumed(plan).values())


def test_a_track_that_an_entry_names_and_no_garage_knows_is_told(tmp_path: Path) -> None:
    entries = "[{ruleset: harbour-city, class: stock-17, on: 2026-03-14, track: elsewhere}]"
    plan = planned(tmp_path, entries=entries)
    assert "the garage has no track elsewhere" in assumed(plan)["lap"]


def test_a_lap_time_gives_the_speed_off_the_straight(tmp_path: Path) -> None:
    garage = "format: garage/1\ntracks: {hall: {lap_m: 110, straight_m: 24, lap_s: 15.5, ambient_c: 20}}\n"
    plan = planned(tmp_path, track="hall", garage=garage)
    fitted = next(each for each in plan.pairs if (each.pair.spur, each.pair.pinion) == (96, 42))
    assert fitted.outlook is not None
    assert fitted.outlook.lap_s.median == pytest.approx(15.5, abs=0.1)
    assert assumed(plan) == {}


def test_a_lap_time_says_how_long_a_lap_takes_better_than_a_speed_of_a_part_of_it(tmp_path: Path) -> None:
    widths = []
    for known_by in ("lap_s: 15.5", "infield_speed_kmh: 23.1"):
        garage = f"format: garage/1\ntracks: {{hall: {{lap_m: 110, straight_m: 24, {known_by}, ambient_c: 20}}}}\n"
        fitted = planned(tmp_path, track="hall", garage=garage, sums=(138, 138)).pairs[0]
        assert fitted.outlook is not None
        widths.append((fitted.outlook.lap_s.high - fitted.outlook.lap_s.low) / fitted.outlook.lap_s.median)
    assert widths[0] < 0.85 * widths[1]
    # The day is left: corners differ by 2.4 % in speed, so nine of ten laps by some 3 % up and down.
    assert widths[0] > 0.05


def test_the_entry_names_the_track_and_the_command_line_wins() -> None:
    own = known(demo("car-12-carpet")).conditions
    assert (own.track.lap_m, own.ambient_c) == (162, 19)
    from tests.gearing.geared_cars import PROJECT

    other = rated(PROJECT, "examples/cars/car-12-carpet.yaml", track="pine-hall", ambient_c=31.0, minutes=8.0)
    assert isinstance(other, Plan)
    asked = known(other).conditions
    assert other.case.track.name == "pine-hall"
    assert (asked.track.lap_m, asked.ambient_c, asked.minutes) == (150, 31, 8)


@pytest.mark.parametrize(
    ("car", "battery", "told"),
    [
        ({"mass_g": None}, BATTERY, ("mass", "1500 g")),
        ({}, {"cells": "2"}, ("pack voltage", "8.4 V")),
        ({}, {"cells": "2"}, ("capacity of the pack", "5000 mAh")),
        ({}, {"voltage_v": "4.1"}, ("cells", "1 in a row")),
    ],
)
def test_a_missing_mass_or_half_of_the_pack_is_assumed_and_told(
    tmp_path: Path, car: dict[str, str | None], battery: dict[str, str], told: tuple[str, str]
) -> None:
    plan = planned(tmp_path, track="hall", car=car, battery=battery)
    assert assumed(plan)[told[0]].startswith(told[1])


def test_without_the_chassis_s_own_ratio_there_is_no_final_drive_to_speak_of(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"without car\.internal_ratio"):
        planned(tmp_path, track="hall", car={"internal_ratio": None})


@pytest.mark.parametrize(
    ("more", "lacking"),
    [
        ({"car": {"tyre_diameter_mm": None}}, "car.tyre_diameter_mm"),
        ({"battery": {}}, "battery.cells or battery.voltage_v"),
        ({"motor": "{part: M-1}"}, "motor.turns, or a bench run with speed, current and winding"),
    ],
)
def test_without_what_no_prediction_can_do_without_there_is_a_start_all_the_same(
    tmp_path: Path, more: dict[str, Any], lacking: str
) -> None:
    plan = planned(tmp_path, track="hall", **more)
    assert plan.case.lacking == (lacking,)
    assert plan.start is not None
    assert plan.start.reason is Reason.SHORTEST
    assert plan.start.look.minutes == 1.0
    assert plan.start.look.go_on_c is not None
    assert plan.start.look.go_on_c < 45
    assert "Nothing is predicted without" in sure_text(plan)
    assert all(report_text(kind, plan, command=GEARING) for kind in kinds_of(GEARING))


SHEETED = "{part: M-1, factory_sheet: {starting_ratio: [4.2, 5]}}"


def test_a_motor_of_which_only_its_sheet_is_known_starts_in_the_shorter_half_of_what_the_sheet_suggests(
    tmp_path: Path,
) -> None:
    plan = planned(tmp_path, track="hall", motor=SHEETED, car={"tyre_diameter_mm": "63"})
    assert plan.start is not None
    assert plan.start.reason is Reason.SHEET
    assert 4.6 <= plan.start.rated.pair.ratio <= 5
    assert plan.start.look.minutes == 2.0


def test_a_sheet_s_ratio_is_for_its_tyre_and_another_tyre_keeps_the_rollout(tmp_path: Path) -> None:
    plain = planned(tmp_path, track="hall", car={"tyre_diameter_mm": "63"}, motor=SHEETED).case.starting
    larger = planned(tmp_path, track="hall", car={"tyre_diameter_mm": "84"}, motor=SHEETED).case.starting
    stated = SHEETED.replace("starting_ratio", "starting_tyre_mm: 84, starting_ratio")
    own = planned(tmp_path, track="hall", car={"tyre_diameter_mm": "84"}, motor=stated).case.starting
    assert plain == own == (Fraction("4.2"), Fraction(5))
    assert larger == (Fraction("5.6"), Fraction(20, 3))


def test_a_class_s_usual_ratio_is_where_an_unknown_motor_starts(tmp_path: Path) -> None:
    (tmp_path / "rulesets").mkdir(exist_ok=True)
    (tmp_path / "rulesets" / "club.yaml").write_text(
        "format: ruleset/1\nid: club\nversion: '1'\nin_force: {from: 2026-01-01}\nclasses:\n"
        "  base: {usual_ratio: [3.9, 4.7]}\n  stock: {based_on: base}\n",
        encoding="utf-8",
    )
    entries = "[{ruleset: club, class: stock, on: 2026-03-14, track: hall}]"
    plan = planned(tmp_path, entries=entries, motor="{part: M-1}")
    assert plan.start is not None
    assert plan.start.reason is Reason.USUAL
    assert 4.3 <= plan.start.rated.pair.ratio <= 4.7
    assert "from what is usual in the class, 3.9 to 4.7" in reason_text(plan)


def test_a_class_s_winding_stands_in_before_any_typical_one(tmp_path: Path) -> None:
    (tmp_path / "rulesets").mkdir(exist_ok=True)
    (tmp_path / "rulesets" / "club.yaml").write_text(
        "format: ruleset/1\nid: club\nversion: '1'\nin_force: {from: 2026-01-01}\nclasses:\n"
        "  stock: {rules: [{id: winding, quantity: winding_mean_mohm, nominal: 39, tolerance: {percent: 4}}]}\n"
        "  least: {rules: [{id: winding, quantity: winding_lowest_mohm, at_least: 35.4}]}\n",
        encoding="utf-8",
    )
    for class_id, mohm in (("stock", "39.0"), ("least", "35.4")):
        entries = f"[{{ruleset: club, class: {class_id}, on: 2026-03-14, track: hall}}]"
        plan = planned(tmp_path, entries=entries, motor="{turns: 17.5}")
        assert assumed(plan)["winding"].startswith(f"{mohm} mΩ at 20 °C")
        measured = planned(tmp_path, entries=entries)
        assert "winding" not in assumed(measured)


def test_two_no_load_points_of_a_bench_run_tell_friction_from_iron(tmp_path: Path) -> None:
    second = "second_point: {supply_v: 3.7, current_a: 2.75, speed_rpm: 8900}, can_c"
    plan = planned(tmp_path, track="hall", motor=f"{{bench_runs: [{BENCH.replace('can_c', second)}]}}")
    assert known(plan).motor.two_points
    share = next(each for each in known(plan).assumptions if each.name == "friction_share")
    assert 0.6 < share.value < 0.85
    assert share.high - share.low < 0.3 * share.value
    assert "second no-load point" in sure_text(planned(tmp_path, garage=None))
    assert "second no-load point" not in sure_text(plan)


def test_what_a_garage_says_of_a_track_narrows_what_is_assumed_of_it(tmp_path: Path) -> None:
    widths = []
    for more in ("", ", infield: flowing", ", infield: flowing, corners: 9"):
        track = TRACK.replace("}", f"{more}}}").replace(", grip: 1.4", "")
        plan = planned(tmp_path, track="hall", garage=f"format: garage/1\ntracks: {{hall: {track}}}\n")
        fitted = plan.fitted
        assert fitted is not None and fitted.outlook is not None
        widths.append(fitted.outlook.can_c.high - fitted.outlook.can_c.low)
    assert widths[1] < widths[0]
    assert known(plan).conditions.track.corners == 9


def test_a_fan_on_the_motor_makes_it_cooler(tmp_path: Path) -> None:
    cans = []
    for fan in ("false", "true"):
        plan = planned(tmp_path, track="hall", motor=f"{{turns: 17.5, fan: {fan}, bench_runs: [{BENCH}]}}")
        assert plan.fitted is not None
        cans.append(plan.fitted.likely_c)
    assert cans[1] < cans[0] - 4


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"car": {"tyre_diameter_mm": "1e-300"}}, "tyre diameter is 1e-300 mm, where 35 to 140 mm is usual"),
        ({"car": {"tyre_diameter_mm": "1e300"}}, "tyre diameter is 1e.300 mm, where"),
        ({"car": {"mass_g": "1.35"}}, "mass is 1.35 g, where 300 to 4,?000 g is usual"),
        ({"motor": "{turns: 0.0175}"}, "turns is 0.0175"),
        ({"motor": f"{{turns: 17.5, bench_runs: [{BENCH.replace('36.5', '0.0365')}]}}"}, "where 3 to 150 mΩ is usual"),
    ],
)
def test_no_gearing_is_worked_out_from_a_slip_of_the_pen(tmp_path: Path, more: dict[str, Any], told: str) -> None:
    with pytest.raises(UsageError, match=told):
        planned(tmp_path, track="hall", **more)


def test_without_gears_and_without_a_parts_box_it_says_what_to_add(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"add car\.spur_teeth and car\.pinion_teeth"):
        planned(tmp_path, track="hall", car={"pinion_teeth": None})


def test_the_motor_s_own_limit_counts_before_common_practice(tmp_path: Path) -> None:
    assert planned(tmp_path, track="hall").case.limit_c == 71
    motor = f"{{turns: 17.5, limit_c: 85, limit_rpm: 30000, bench_runs: [{BENCH}]}}"
    own = planned(tmp_path, track="hall", motor=motor).case
    assert (own.limit_c, own.limit_origin) == (85, "the motor's own limit_c")
    assert (own.limit_rpm, own.limit_rpm_origin) == (30_000, "the motor's own limit_rpm")
    asked = planned(tmp_path, track="hall", motor=motor, limit_c=60.0, limit_rpm=35_000.0).case
    assert (asked.limit_c, asked.limit_rpm) == (60, 35_000)


def test_an_offset_that_leaves_nothing_of_a_reading_is_a_reading_that_is_missing(tmp_path: Path) -> None:
    garage = f"format: garage/1\ninstruments: {{bad: {{offset: 99}}}}\ntracks: {{hall: {TRACK}}}\n"
    bench = BENCH.replace("supply_v: 7.4", "supply_v: {value: 7.4, instrument: bad}")
    plan = planned(tmp_path, track="hall", garage=garage, motor=f"{{turns: 17.5, bench_runs: [{bench}]}}")
    assert list(assumed(plan)) == ["speed per volt and no-load current"]
    tyreless = planned(tmp_path, track="hall", garage=garage, car={"tyre_diameter_mm": "{value: 62, instrument: bad}"})
    assert tyreless.case.lacking == ("car.tyre_diameter_mm",)


def test_gears_that_do_not_fit_together_make_no_pair(tmp_path: Path) -> None:
    plan = planned(tmp_path, track="hall", sums=(300, 310))
    assert plan.pairs == ()
    assert plan.start is None
    assert "300 to 310" in plan.no_start_reasons[0]
    assert all(report_text(kind, plan, command=GEARING) for kind in kinds_of(GEARING))


def problems_of(folder: Path, file: str = "car.yaml") -> list[str]:
    found = rated(folder, file)
    assert isinstance(found, tuple)
    assert all(isinstance(each, Problem) for each in found)
    return [f"{each.place}: {each.id}" for each in found]


def test_problems_of_the_files_are_what_it_says_instead(tmp_path: Path) -> None:
    written(tmp_path, motor="motor.yaml")
    assert problems_of(tmp_path) == ["car.yaml:7:8: file-missing"]
    (tmp_path / "motor.yaml").write_text("format: motor/1\nturnz: 17.5\n", encoding="utf-8")
    assert problems_of(tmp_path) == ["car.yaml:7:8: file-has-problems", "motor.yaml:2:1: unknown-key"]
    written(tmp_path, car={"pinion_tooth": "4"})
    assert problems_of(tmp_path) == ["car.yaml:5:119: unknown-key"]
    written(tmp_path, entries="[{ruleset: harbour-city, class: stock-71, on: 2026-03-14}]")
    assert problems_of(tmp_path) == ["car.yaml:4:42: unknown-class"]


def test_a_garage_an_unknown_track_and_an_unknown_entry_are_refused(tmp_path: Path) -> None:
    file = written(tmp_path)
    with pytest.raises(UsageError, match=r"garage\.yaml is not a setup"):
        rated(tmp_path, "garage.yaml")
    with pytest.raises(UsageError, match="there is no track hull in the setup's garage; did you mean hall"):
        rated(tmp_path, file, track="hull")
    with pytest.raises(UsageError, match="there is no entry 1: the setup has no entry"):
        rated(tmp_path, file, entry=1)


def test_a_setup_without_entries_is_judged_by_the_rules_that_are_asked_for(tmp_path: Path) -> None:
    from tests.gearing.geared_cars import PROJECT, TODAY

    (tmp_path / "club.yaml").write_text((PROJECT / "rulesets" / "harbour-city-2026.2.yaml").read_text("utf-8"), "utf-8")
    asked = Overrides(today=TODAY, ruleset="club.yaml", class_id="stock-17")
    plan = planned(tmp_path, track="hall", asked=asked, limit_c=95.0)
    assert [one.label for one in plan.entries] == ["harbour-city/stock-17"]
    assert min(each.pair.ratio for each in plan.pairs if each.is_legal) >= 4.2
