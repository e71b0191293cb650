"""Records of a motor that cannot all be true, and records that only seem so. Tolerances: common practice, from memory."""

from pathlib import Path
from typing import Final

import pytest

from speclint.check.pipeline import check, gathered
from speclint.files import Folder
from speclint.workspace.overrides import Overrides
from tests.advice.hearing import TODAY, findings_of

ROOT: Final = Path(__file__).parents[2]

MOTOR: Final = """format: setup/1
entries: [{ruleset: coastal-league, class: stock-17, on: 2026-03-21}]
instruments:
  meter: {accuracy_percent: 0.25, resolution: 0.01, unit: mohm}
  probe: {accuracy: 1, resolution: 0.1, unit: C}
motor:
  serial: "00417"
  timing_deg: 38
  rotor: {kind: torque, part: R-13}
  factory_sheet: {serial: "00417", date: 2025-11-02, winding: {ab_mohm: 21.4, bc_mohm: 21.5, ca_mohm: 21.3, winding_c: 20}}
  bench_runs:
    - date: 2026-03-10
      rotor: standard
      supply_v: 3.7
      speed_rpm: 9065
      kv_rpm_per_v: 2450
      timing_deg: [37.8, 38.1, 38.3]
      winding: {ab_mohm: 22.3, bc_mohm: 22.4, ca_mohm: 22.2, winding_c: 31, instrument: meter, thermometer: probe}
    - date: 2026-03-12
      rotor: torque
      supply_v: 3.7
      kv_rpm_per_v: 2360
      timing_deg: [38.1, 38.4, 38.5]
      winding: {ab_mohm: 22.0, bc_mohm: 22.1, ca_mohm: 21.9, winding_c: 27.5, instrument: meter, thermometer: probe}
  rebuilds:
    - {date: 2026-03-11, did: [rotor-swap]}
"""


def problems(folder: Path, *changes: tuple[str, str]) -> list[tuple[str, str, str]]:
    """Id, pointer and message of each problem of the motor above with something changed."""
    text = MOTOR
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return [(one.id, one.place.pointer, one.message) for one in findings_of(folder, [text]).problems]


def ids(folder: Path, *changes: tuple[str, str]) -> list[str]:
    return [id_ for id_, _, _ in problems(folder, *changes)]


def test_sound_records_contradict_nothing(tmp_path: Path) -> None:
    assert problems(tmp_path) == []


def test_the_factory_sheet_of_another_motor(tmp_path: Path) -> None:
    assert problems(tmp_path, ('{serial: "00417"', '{serial: "00471"')) == [
        (
            "serials-differ",
            "/motor/factory_sheet/serial",
            "the factory sheet is that of motor 00471, and this motor is 00417: correct the one that is mistyped, or take"
            " the sheet out, as its winding and ratios are those of another motor",
        )
    ]


def test_timing_that_was_changed_without_a_word(tmp_path: Path) -> None:
    assert problems(tmp_path, ("  timing_deg: 38\n", "  timing_deg: 30\n")) == [
        (
            "timing-differs",
            "/motor/timing_deg",
            "the timing is set to 30° and the bench run of 12 March 2026 measured 38.33°, which is more than the 5° that a"
            " mark on the end bell may be off: correct timing_deg, or record the timing change under rebuilds and measure"
            " again",
        )
    ]


@pytest.mark.parametrize("did", ["timing-change", "rotor-swap", "stator-swap"])
def test_a_rebuild_since_explains_another_timing(tmp_path: Path, did: str) -> None:
    rebuilt = ("  rebuilds:\n", f"  rebuilds:\n    - {{date: 2026-03-13, did: [{did}]}}\n")
    assert ids(tmp_path, ("  timing_deg: 38\n", "  timing_deg: 30\n"), rebuilt) == []


def test_the_mark_on_the_end_bell_may_be_a_few_degrees_off(tmp_path: Path) -> None:
    # 38.33 measured; 5 degrees are taken as what a mark may be off.
    assert ids(tmp_path, ("  timing_deg: 38\n", "  timing_deg: 33.4\n")) == []
    assert ids(tmp_path, ("  timing_deg: 38\n", "  timing_deg: 33.3\n")) == ["timing-differs"]


def test_speed_is_voltage_times_speed_per_volt(tmp_path: Path) -> None:
    assert problems(tmp_path, ("9065", "10100")) == [
        (
            "speed-differs",
            "/motor/bench_runs/0/speed_rpm",
            "in the bench run of 10 March 2026, 3.7 V × 2450 rpm/V is 9065 rpm, and its speed is given as 10100 rpm: correct"
            " the one that is wrong",
        )
    ]
    # A supply of 3.7 V may be 3.65 or 3.75, which is 1.4 % on top of 3 %.
    assert ids(tmp_path, ("9065", "9400")) == []


def test_a_rotor_that_came_from_nowhere(tmp_path: Path) -> None:
    assert problems(tmp_path, ("2026-03-11, did", "2026-03-09, did")) == [
        (
            "rotor-differs",
            "/motor/bench_runs/0/rotor",
            "the bench run of 10 March 2026 was with the rotor standard, the motor has the rotor torque R-13, and no rotor"
            " swap after that run is recorded: add it under rebuilds, or correct the rotor",
        )
    ]


def test_a_rotor_may_be_called_by_its_kind_or_its_part(tmp_path: Path) -> None:
    assert ids(tmp_path, ("rotor: torque", "rotor: r-13")) == []
    assert ids(tmp_path, ("rotor: torque", "rotor: R-12")) == ["rotor-differs"]
    box = ("motor:\n", "parts_box: {rotors: [{kind: standard, part: R-12}]}\nmotor:\n")
    fitted = ("{kind: torque, part: R-13}", "{kind: standard}")
    assert ids(tmp_path, ("rotor: torque", "rotor: R-12"), box, fitted) == []


def test_a_swap_on_the_day_of_the_run_may_have_come_after_it(tmp_path: Path) -> None:
    assert ids(tmp_path, ("2026-03-11, did", "2026-03-10, did")) == []
    earlier = (("date: 2026-03-10\n", "date: 2026-03-10 20:00\n"), ("2026-03-11, did", '"2026-03-10 19:00", did'))
    assert ids(tmp_path, *earlier) == ["rotor-differs"]


def test_two_windings_of_one_motor(tmp_path: Path) -> None:
    # At 20 °C: 22.3 × 255 ÷ 266 = 21.378, and 23.2 × 255 ÷ 262.5 = 22.537: 1.159 apart, 5.1 % of the larger.
    changed = ("{ab_mohm: 22.0, bc_mohm: 22.1, ca_mohm: 21.9", "{ab_mohm: 23.2, bc_mohm: 23.3, ca_mohm: 23.1")
    assert problems(tmp_path, changed) == [
        (
            "readings-differ",
            "/motor/bench_runs/1/winding",
            "the bench runs of 10 March 2026 and 12 March 2026 contradict each other: the mean of the winding at 20 °C is"
            " 21.38 ± 0.15 mΩ in the older and 22.54 ± 0.15 mΩ in the newer, 5.1 % apart, and no rewinding or stator swap is"
            " recorded between: measure again, and mend or take out the wrong one",
        )
    ]
    assert ids(tmp_path, changed, ("did: [rotor-swap]", "did: [rotor-swap, rewind]")) == []


def test_a_warm_and_a_cold_reading_of_one_winding_agree(tmp_path: Path) -> None:
    # 21.38 at 20 °C is 21.38 × 296 ÷ 255 = 24.8 at 61 °C.
    warm = (
        "{ab_mohm: 22.0, bc_mohm: 22.1, ca_mohm: 21.9, winding_c: 27.5",
        "{ab_mohm: 24.8, bc_mohm: 24.9, ca_mohm: 24.7, winding_c: 61",
    )
    assert ids(tmp_path, warm) == []


def test_a_poor_meter_contradicts_nobody(tmp_path: Path) -> None:
    changed = ("{ab_mohm: 22.0, bc_mohm: 22.1, ca_mohm: 21.9", "{ab_mohm: 23.2, bc_mohm: 23.3, ca_mohm: 23.1")
    assert ids(tmp_path, changed, ("accuracy_percent: 0.25", "accuracy_percent: 4")) == []


def test_two_speeds_of_one_motor_at_one_voltage(tmp_path: Path) -> None:
    third = (
        "  rebuilds:\n",
        "    - {date: 2026-03-14, rotor: torque, supply_v: 3.7, kv_rpm_per_v: 2600}\n  rebuilds:\n",
    )
    assert ids(tmp_path, third) == ["readings-differ"]
    assert ids(tmp_path, (third[0], third[1].replace("supply_v: 3.7", "supply_v: 7.4"))) == []
    assert ids(tmp_path, (third[0], third[1].replace("2600", "2450"))) == []
    assert (
        ids(
            tmp_path,
            third,
            ("    - {date: 2026-03-11", "    - {date: 2026-03-13, did: [timing-change]}\n    - {date: 2026-03-11"),
        )
        == []
    )


def test_records_from_before_the_motor_was_made(tmp_path: Path) -> None:
    assert problems(tmp_path, ("date: 2026-03-10\n", "date: 2025-03-10\n")) == [
        (
            "dates-out-of-order",
            "/motor/bench_runs/0/date",
            "this bench run is dated 10 March 2025, before the factory sheet of 2 November 2025, which is older than all:"
            " correct one of the two dates",
        )
    ]
    assert problems(tmp_path, ("2025-11-02", "2026-11-02")) == [
        (
            "dates-out-of-order",
            "/motor/factory_sheet/date",
            "the factory sheet is dated 2 November 2026, after records of 10 March 2026 and later, and it is older than all:"
            " correct its date",
        )
    ]


def test_records_from_years_ahead(tmp_path: Path) -> None:
    assert problems(tmp_path, ("date: 2026-03-12", "date: 2062-03-12")) == [
        (
            "dates-out-of-order",
            "/motor/bench_runs/1/date",
            "this bench run is dated 12 March 2062, 36 years after the last race day of the setup, 21 March 2026: correct"
            " the year",
        )
    ]


def test_a_season_goes_on_after_the_race(tmp_path: Path) -> None:
    later = "    - {date: 2026-09-14, rotor: torque, supply_v: 3.7, kv_rpm_per_v: 2380}\n  rebuilds:\n"
    runs = "track_runs: [{date: 2026-09-15, minutes: 5}]\nmotor:\n"
    assert ids(tmp_path, ("  rebuilds:\n", later), ("motor:\n", runs)) == []


def test_a_motor_that_two_cars_share_has_its_problem_once(tmp_path: Path) -> None:
    car = "format: setup/1\nmotor: motor.yaml\n"
    motor = 'format: motor/1\nserial: "1"\nfactory_sheet: {serial: "2"}\n'
    findings = findings_of(tmp_path, {"a.yaml": car, "b.yaml": car, "motor.yaml": motor})
    assert [(one.id, one.place.file) for one in findings.problems] == [("serials-differ", "motor.yaml")]


def test_a_spare_motor_that_no_car_uses_is_read_too(tmp_path: Path) -> None:
    motor = 'format: motor/1\nserial: "1"\nfactory_sheet: {serial: "2"}\n'
    assert [one.id for one in findings_of(tmp_path, [motor]).problems] == ["serials-differ"]


@pytest.mark.parametrize("folder", ["examples", "rulesets", "tests/data/published"])
def test_what_is_known_to_be_sound_has_no_problem(folder: str) -> None:
    source = Folder(str(ROOT))
    assert gathered(check(source.find((folder,)).files, source, Overrides(today=TODAY))).problems == ()
