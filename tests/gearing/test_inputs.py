"""What a prediction is made of: readings that count, else what stands in for them, always told."""

from pathlib import Path
from typing import Any

import pytest

from speclint.errors import UsageError
from speclint.gearing.plan import Plan
from speclint.physics.motor import speed_constant_rpm_per_v
from speclint.problems import Problem
from speclint.reports.kinds import GEARING
from speclint.workspace.overrides import Overrides
from tests.gearing.geared_cars import BATTERY, BENCH, TRACK, demo, planned, rated, written
from tests.reports.report_text import kinds_of, report_text

SHEET = "{ab_mohm: 28, bc_mohm: 28, ca_mohm: 28, winding_c: 25}"


def assumed(plan: Plan) -> dict[str, str]:
    return {each.what: f"{each.value}; {each.why}" for each in plan.forecaster.case.assumed}


def test_a_car_with_everything_stated_assumes_nothing_but_the_constants(tmp_path: Path) -> None:
    plan = planned(tmp_path, track="hall")
    assert assumed(plan) == {}
    assert plan.forecaster.case.motor.measured
    assert len(plan.forecaster.case.motor.motors) == 1


def test_the_motor_is_the_one_of_the_newest_bench_run_that_counts() -> None:
    motor = demo("car-12-carpet").forecaster.case.motor
    assert motor.origin == "the bench run of 12 March 2026"
    # 2360 rpm/V at 3.7 V with 3.5 A through 22 milliohm: the drop is given back.
    assert speed_constant_rpm_per_v(motor.motors[0].torque_constant_nm_per_a) == pytest.approx(
        2360 / (1 - 3.5 * 0.022 / 3.7), rel=1e-4
    )


def test_a_stale_bench_run_does_not_count_and_the_band_grows() -> None:
    plan, measured = demo("car-31-stale-bench-run"), demo("car-31-pan")
    case = plan.forecaster.case
    assert not case.motor.measured
    assert case.motor.origin == "typical values for 13.5 turns, not measured"
    assert "from before the rotor swap of 20 March 2026" in assumed(plan)["speed per volt and no-load current"]
    assert len(case.motor.motors) == 3
    by_pair = {each.pair: each.outlook for each in measured.pairs}
    for each in plan.pairs:
        other = by_pair[each.pair]
        assert each.outlook is not None
        assert other is not None
        assert each.outlook.can_c.high - each.outlook.can_c.low > other.can_c.high - other.can_c.low
        assert each.outlook.can_c.high > other.can_c.high


@pytest.mark.parametrize(
    ("bench", "told"),
    [
        ("{date: 2026-02-20, supply_v: 7.4, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25}", "winding"),
        (f"{{date: 2026-02-20, supply_v: 7.4, kv_rpm_per_v: 2400, can_c: 25, winding: {SHEET}}}", "no-load torque"),
        (f"{{date: 2026-02-20, supply_v: 7.4, current_a: 3.3, speed_rpm: 17760, can_c: 25, winding: {SHEET}}}", None),
        (f"{{date: 2026-02-20, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25, winding: {SHEET}}}", "speed per volt and no-load current"),
        ("{date: 2026-02-20, supply_v: 7.4, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25, winding: {ab_mohm: 28, bc_mohm: 28, ca_mohm: 28}}", "winding temperature on the bench"),
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
    assert plan.forecaster.case.motor.motors[0].resistance_ohm == pytest.approx(0.028)


def test_a_speed_in_rpm_and_a_speed_per_volt_give_the_same_motor(tmp_path: Path) -> None:
    per_volt = planned(tmp_path, track="hall").forecaster.case.motor.motors
    bench = BENCH.replace("kv_rpm_per_v: 2400", "speed_rpm: 17760")
    in_rpm = planned(tmp_path, track="hall", motor=f"{{bench_runs: [{bench}]}}").forecaster.case.motor.motors
    assert in_rpm[0].torque_constant_nm_per_a == pytest.approx(per_volt[0].torque_constant_nm_per_a)
    assert in_rpm[0].no_load_torque_nm == pytest.approx(per_volt[0].no_load_torque_nm)


def test_a_warm_bench_reading_is_taken_to_one_temperature(tmp_path: Path) -> None:
    # 28 milliohm at 25 °C are 28 x 270/260 = 29.077 at 35 °C (IEC 60034-1): the same motor, read warm.
    cold = planned(tmp_path, track="hall").start
    warm = BENCH.replace("28,", "29.0769,").replace("winding_c: 25", "winding_c: 35")
    hot = planned(tmp_path, track="hall", motor=f"{{turns: 17.5, bench_runs: [{warm}]}}")
    motor = hot.forecaster.case.motor.motors[0]
    assert motor.measured_c == 25
    assert motor.resistance_ohm == pytest.approx(0.028, rel=1e-5)
    assert (cold is None) == (hot.start is None)


def test_an_instrument_s_offset_is_taken_off_the_supply_voltage(tmp_path: Path) -> None:
    garage = f"format: garage/1\ninstruments: {{meter: {{offset: 0.4, unit: V}}}}\ntracks: {{hall: {TRACK}}}\n"
    bench = BENCH.replace("supply_v: 7.4", "supply_v: {value: 7.8, instrument: meter}")
    plain = planned(tmp_path, track="hall")
    offset = planned(tmp_path, track="hall", garage=garage, motor=f"{{turns: 17.5, bench_runs: [{bench}]}}")
    assert offset.forecaster.case.motor.motors[0].torque_constant_nm_per_a == pytest.approx(
        plain.forecaster.case.motor.motors[0].torque_constant_nm_per_a
    )


def test_without_a_track_a_club_hall_is_assumed_and_told(tmp_path: Path) -> None:
    plan = planned(tmp_path, garage=None)
    assert list(assumed(plan)) == ["lap", "longest straight", "air", "speed off the straight"]
    assert plan.forecaster.case.track == ""
    assert all("no track is named" in each for each in assumed(plan).values())


def test_a_track_that_an_entry_names_and_no_garage_knows_is_told(tmp_path: Path) -> None:
    entries = "[{ruleset: harbour-city, class: stock-17, on: 2026-03-14, track: elsewhere}]"
    plan = planned(tmp_path, entries=entries)
    assert "the garage has no track elsewhere" in assumed(plan)["lap"]


def test_a_lap_time_gives_the_speed_off_the_straight(tmp_path: Path) -> None:
    garage = "format: garage/1\ntracks: {hall: {lap_m: 90, straight_m: 22, lap_s: 12.5, ambient_c: 20}}\n"
    plan = planned(tmp_path, track="hall", garage=garage)
    fitted = next(each for each in plan.pairs if (each.pair.spur, each.pair.pinion) == (96, 42))
    assert fitted.outlook is not None
    assert fitted.outlook.likely.lap.time_s == pytest.approx(12.5, abs=0.02)
    assert "laps in 12.5 s" in next(each.source for each in plan.forecaster.case.assumed)


def test_the_entry_names_the_track_and_the_command_line_wins() -> None:
    own = demo("car-12-carpet").forecaster.case
    assert (own.track, own.run.track.lap_m, own.run.ambient_c) == ("harbour-hall", 162, 19)
    from tests.gearing.geared_cars import PROJECT

    other = rated(PROJECT, "examples/cars/car-12-carpet.yaml", track="pine-hall", ambient_c=31.0, minutes=8.0)
    assert isinstance(other, Plan)
    case = other.forecaster.case
    assert (case.track, case.run.track.lap_m, case.run.ambient_c, case.run.minutes) == ("pine-hall", 150, 31, 8)


@pytest.mark.parametrize(
    ("car", "battery", "told"),
    [
        ({"mass_g": None}, BATTERY, ("mass", "1500 g")),
        ({}, {"cells": "2"}, ("pack voltage", "8.4 V")),
        ({}, {"voltage_v": "4.1"}, ("cells", "1 in a row")),
    ],
)
def test_a_missing_mass_or_half_of_the_pack_is_assumed_and_told(
    tmp_path: Path, car: dict[str, str | None], battery: dict[str, str], told: tuple[str, str]
) -> None:
    plan = planned(tmp_path, track="hall", car=car, battery=battery)
    assert assumed(plan)[told[0]].startswith(told[1])


@pytest.mark.parametrize(
    ("more", "lacking"),
    [
        ({"car": {"internal_ratio": None}}, "car.internal_ratio"),
        ({"car": {"tyre_diameter_mm": None}}, "car.tyre_diameter_mm"),
        ({"battery": {}}, "battery.cells or battery.voltage_v"),
        ({"motor": "{part: M-1}"}, "motor.turns"),
    ],
)
def test_without_what_no_gearing_can_do_without_it_names_the_key(
    tmp_path: Path, more: dict[str, Any], lacking: str
) -> None:
    with pytest.raises(UsageError, match=lacking):
        planned(tmp_path, track="hall", **more)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"car": {"tyre_diameter_mm": "1e-300"}}, "tyre diameter is 1e-300 mm, where 35 to 140 mm is usual"),
        ({"car": {"tyre_diameter_mm": "1e300"}}, "tyre diameter is 1e.300 mm, where"),
        ({"car": {"mass_g": "1.35"}}, "mass is 1.35 g, where 300 to 4,?000 g is usual"),
        ({"motor": "{turns: 0.0175}"}, "turns is 0.0175"),
        ({"motor": f"{{turns: 17.5, bench_runs: [{BENCH.replace('28', '0.028')}]}}"}, "where 3 to 150 mΩ is usual"),
    ],
)
def test_no_gearing_is_worked_out_from_a_slip_of_the_pen(tmp_path: Path, more: dict[str, Any], told: str) -> None:
    with pytest.raises(UsageError, match=told):
        planned(tmp_path, track="hall", **more)


def test_without_gears_and_without_a_parts_box_it_says_what_to_add(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"add car\.spur_teeth and car\.pinion_teeth"):
        planned(tmp_path, track="hall", car={"pinion_teeth": None})


def test_the_motor_s_own_limit_counts_before_common_practice(tmp_path: Path) -> None:
    assert planned(tmp_path, track="hall").forecaster.case.limit_c == 71
    motor = f"{{turns: 17.5, limit_c: 85, bench_runs: [{BENCH}]}}"
    own = planned(tmp_path, track="hall", motor=motor).forecaster.case
    assert (own.limit_c, own.limit_origin) == (85, "the motor's own limit_c")
    assert planned(tmp_path, track="hall", motor=motor, limit_c=60.0).forecaster.case.limit_c == 60


def test_an_offset_that_leaves_nothing_of_a_reading_is_a_reading_that_is_missing(tmp_path: Path) -> None:
    garage = f"format: garage/1\ninstruments: {{bad: {{offset: 99}}}}\ntracks: {{hall: {TRACK}}}\n"
    bench = BENCH.replace("supply_v: 7.4", "supply_v: {value: 7.4, instrument: bad}")
    plan = planned(tmp_path, track="hall", garage=garage, motor=f"{{turns: 17.5, bench_runs: [{bench}]}}")
    assert list(assumed(plan)) == ["speed per volt and no-load current"]
    with pytest.raises(UsageError, match=r"car\.tyre_diameter_mm"):
        planned(tmp_path, track="hall", garage=garage, car={"tyre_diameter_mm": "{value: 62, instrument: bad}"})


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
    assert [one.label for one in plan.entered] == ["harbour-city/stock-17"]
    assert min(each.pair.ratio for each in plan.pairs if each.is_legal) >= 4.2
