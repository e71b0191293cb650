"""What a racer is told, in full, and when nothing is said. Thresholds: common practice unless a source stands there."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from speclint.cli import speclint
from speclint.rules.checks import Verdict
from tests.advice.hearing import findings_of, told
from tests.check.world import verdict_of

SWAPPED = """format: setup/1
entries: [{ruleset: coastal-league, class: pan-12, on: 2026-03-21}]
motor:
  bench_runs:
    - {date: 2026-03-15, rotor: torque, kv_rpm_per_v: 3250, timing_deg: [35.7, 36.0, 36.1]}
  rebuilds:
    - {date: 2026-03-20, did: [rotor-swap]}
"""
SHIMMED = """format: setup/1
entries: [{ruleset: coastal-league, class: stock-17, on: 2026-03-21}]
motor:
  bench_runs:
    - {date: 2026-03-15, RUN}
  rebuilds:
    - {date: 2026-03-20, did: [shim]}
"""


def test_a_rotor_swap_asks_for_a_bench_run_with_the_usual_caution(tmp_path: Path) -> None:
    assert told(findings_of(tmp_path, [SWAPPED])) == [
        (
            "retest-after-rotor-swap",
            "the rotor was swapped on 20 March 2026, and no bench run has been made since: the rotor is part of the timing,"
            " so measure timing, speed and current again; clamp the motor, take the pinion off and stay below the maker's"
            " no-load voltage",
        )
    ]


def test_a_run_on_the_evening_of_the_swap_needs_a_time_to_count(tmp_path: Path) -> None:
    text = SWAPPED.replace("2026-03-15", "2026-03-20")
    ((_, message),) = told(findings_of(tmp_path, [text]))
    assert '(for one later on 20 March 2026, give both a time, as in "2026-03-20 19:30")' in message
    timed = text.replace("2026-03-20, rotor", '"2026-03-20 20:15", rotor').replace(
        "2026-03-20, did", '"2026-03-20 19:30", did'
    )
    assert told(findings_of(tmp_path, [timed])) == []


def test_a_bench_run_after_the_race_day_mends_it_as_well(tmp_path: Path) -> None:
    text = SWAPPED.replace("  rebuilds", "    - {date: 2026-03-22, timing_deg: 36}\n  rebuilds")
    assert told(findings_of(tmp_path, [text])) == []


def test_shimming_ends_current_and_balance_but_not_the_winding(tmp_path: Path) -> None:
    text = SHIMMED.replace("RUN", "current_a: 3.9, sensor_spread_percent: 1.2, timing_deg: 38")
    ((id_, message),) = told(findings_of(tmp_path, [text]))
    assert id_ == "retest-after-rebuild"
    assert message.startswith(
        "the bench run of 15 March 2026 is from before the shimming of 20 March 2026, so its current and balance no longer"
        " count: measure again when you can"
    )
    assert told(findings_of(tmp_path, [SHIMMED.replace("RUN", "timing_deg: 38")])) == []


def test_what_a_rule_says_already_is_not_said_again(tmp_path: Path) -> None:
    text = SWAPPED.replace("rotor-swap", "timing-change")
    findings = findings_of(tmp_path, [text])
    assert any("before the timing change" in check.reason for check in findings.entries[0].checks)
    assert told(findings) == []


def test_unequal_phases_are_told_with_their_readings(tmp_path: Path) -> None:
    text = """format: setup/1
instruments: {four-wire: {accuracy_percent: 0.5, resolution: 0.1, unit: mohm}}
motor:
  bench_runs: [{date: 2026-03-10, winding: {ab_mohm: 20.0, bc_mohm: 21.0, ca_mohm: 20.0, instrument: four-wire}}]
"""
    # The largest less the smallest is 1.0, in percent of 20.33 that is 4.918. The steps of 0.1 mohm add 0.041 mohm to a
    # difference, U = 2 × 0.041 ÷ 20.33 = 0.4 %; what the meter is off as a whole cancels.
    ((id_, message),) = told(findings_of(tmp_path, [text]))
    assert id_ == "winding-unequal"
    assert message.startswith(
        "the phases of the winding differ by 4.9 ± 0.4 % (AB 20, BC 21, CA 20 mΩ), where about 3 % at most is usual"
    )


@pytest.mark.parametrize(
    ("connection", "said"),
    [
        # wye: a = (21.4 + 21.4 − 23.4) ÷ 2 = 9.7, b = c = 11.7, mean 11.033: 12.1 % below.
        ("wye", "; in a wye that is one phase, A, 12 % below the mean of the three: clean the contacts"),
        # delta: (a·b + b·c + c·a) ÷ a = 37.51, ÷ b = ÷ c = 31.10, mean 33.24: 12.9 % above. Kennelly's theorem.
        ("delta", "; in a delta that is one phase, BC, 13 % above the mean of the three: clean the contacts"),
        ("", " is usual: clean the contacts"),
    ],
)
def test_the_phase_that_stands_out_is_named_where_the_connection_is_known(
    tmp_path: Path, connection: str, said: str
) -> None:
    text = f"""format: motor/1
{f"connection: {connection}" if connection else ""}
bench_runs: [{{date: 2026-03-10, winding: {{ab_mohm: 21.4, bc_mohm: 23.4, ca_mohm: 21.4}}}}]
"""
    ((_, message),) = told(findings_of(tmp_path, [text]))
    assert said in message


@pytest.mark.parametrize(("step", "said"), [("0.1", ["winding-unequal"]), ("0.5", [])])
def test_phases_that_the_meter_cannot_tell_apart_are_equal(tmp_path: Path, step: str, said: list[str]) -> None:
    text = f"""format: setup/1
instruments: {{meter: {{resolution: {step}, unit: mohm}}}}
motor:
  bench_runs: [{{date: 2026-03-10, winding: {{ab_mohm: 20.0, bc_mohm: 21.0, ca_mohm: 20.0, instrument: meter}}}}]
"""
    assert [id_ for id_, _ in told(findings_of(tmp_path, [text]))] == said


@pytest.mark.parametrize(
    ("limit", "can", "said"),
    [
        # Without a maker's limit a published chart counts: 160 to 175 °F, which is 71 to 79 °C.
        ("", 70, []),
        ("", 71, ["can-near-limit"]),
        ("", 79, ["can-near-limit"]),
        ("", 80, ["can-over-limit"]),
        ("motor: {limit_c: 90}\n", 84, []),
        ("motor: {limit_c: 90}\n", 85, ["can-near-limit"]),
        ("motor: {limit_c: 90}\n", 90, ["can-near-limit"]),
        ("motor: {limit_c: 90}\n", 91, ["can-over-limit"]),
    ],
)
def test_the_makers_limit_comes_before_common_practice(tmp_path: Path, limit: str, can: int, said: list[str]) -> None:
    text = f"format: setup/1\n{limit}track_runs: [{{date: 2026-03-13, can_c: {can}}}]\n"
    assert [id_ for id_, _ in told(findings_of(tmp_path, [text]))] == said


def test_a_hot_motor_is_told_with_the_caution_and_how_to_read_it(tmp_path: Path) -> None:
    text = "format: setup/1\ntrack_runs: [{date: 2026-03-13, can_c: 88}]\n"
    assert told(findings_of(tmp_path, [text])) == [
        (
            "can-over-limit",
            "the can was at 88 °C after the run of 13 March 2026, over the 71 to 79 °C that common practice allows: let it"
            " cool before anybody touches it, take a shorter gear (a smaller pinion) or less timing, and do not run it"
            " longer than that; magnets and solder suffer first. Read the can as soon as the car stops, at several spots,"
            " and count the highest; an infrared thermometer reads a shiny can far too cool",
        )
    ]


def test_only_the_newest_run_counts_for_heat(tmp_path: Path) -> None:
    text = "format: setup/1\ntrack_runs: [{date: 2026-03-12, can_c: 88}, {date: 2026-03-13, can_c: 60}]\n"
    assert told(findings_of(tmp_path, [text])) == []


def test_a_pack_at_its_limit_is_full_and_one_over_it_is_dangerous(tmp_path: Path) -> None:
    # 4.20 V is the charge limit of the usual lithium-ion cell, 3.65 V that of iron phosphate (common practice).
    def said(chemistry: str, cells: int, volts: str) -> list[str]:
        text = f"format: setup/1\nbattery: {{chemistry: {chemistry}, cells: {cells}, voltage_v: {volts}}}\n"
        return [id_ for id_, _ in told(findings_of(tmp_path, [text]))]

    assert (
        said("LiPo", 2, "8.40") == said("LiPo", 3, "12.60") == said("LiFe", 2, "7.30") == said("LiHV", 2, "8.70") == []
    )
    assert said("LiPo", 2, "8.41") == said("LiFe", 2, "7.31") == said("LiHV", 2, "8.71") == ["cell-overcharged"]
    assert said("NiMH", 6, "9.0") == []


def test_64_dp_meshes_with_module_0_4_and_48_dp_with_neither_0_5_nor_0_6(tmp_path: Path) -> None:
    # 25.4 ÷ 64 = 0.397, 25.4 ÷ 48 = 0.529; module 0.6 is 42.33 dp.
    def said(pitch: int, module: str) -> list[str]:
        text = f"format: setup/1\ncar: {{gear_pitch_dp: {pitch}, gear_module_mm: {module}}}\n"
        return [message.partition(":")[0] for _, message in told(findings_of(tmp_path, [text]))]

    assert said(64, "0.4") == []
    assert said(48, "0.5") == ["48 dp is a module of 0.529 mm, and the gears are given as module 0.5 mm too"]
    assert said(48, "0.6") == ["48 dp is a module of 0.529 mm, and the gears are given as module 0.6 mm too"]


@pytest.mark.parametrize(
    ("gears", "said"),
    [
        ("spur_teeth: 96, pinion_teeth: 30", []),
        # The same axes in the other pitch: 146 teeth of 64 dp and 110 teeth of 48 dp are both 58 mm across.
        ("spur_teeth: 78, pinion_teeth: 32", []),
        ("spur_teeth: 150, pinion_teeth: 60", ["gears-of-another-car"]),
    ],
)
def test_a_track_run_had_gears_that_the_motor_mount_spans(tmp_path: Path, gears: str, said: list[str]) -> None:
    text = (
        "format: setup/1\ncar: {gear_pitch_dp: 64, spur_teeth: 100, pinion_teeth: 46}\n"
        f"track_runs: [{{date: 2026-03-13, {gears}}}]\n"
    )
    assert [id_ for id_, _ in told(findings_of(tmp_path, [text]))] == said


def test_a_lucky_reading_is_told_that_the_inspectors_instrument_decides(tmp_path: Path) -> None:
    text = """format: setup/1
entries: [{ruleset: harbour-city, class: stock-17, on: 2026-03-14}]
instruments: {pocket-meter: {accuracy_percent: 4, resolution: 0.1, unit: mohm}}
motor:
  bench_runs:
    - date: 2026-03-10
      winding: {ab_mohm: 34.9, bc_mohm: 34.7, ca_mohm: 34.9, winding_c: 20, instrument: pocket-meter}
"""
    assert told(findings_of(tmp_path, [text])) == [
        (
            "legal-by-doubt",
            "winding, mean is 34.8 ± 1.6 mΩ, past the limit of 35.1 to 38.1 mΩ (36.6 ± 4 %), and is legal only"
            " because the doubt of this reading counts for you: the inspector's instrument decides, and a better one has"
            " less doubt to give. Measure on the club's before it does",
        )
    ]


def test_a_motor_that_two_cars_share_is_told_of_once(tmp_path: Path) -> None:
    car = "format: setup/1\nmotor: motor.yaml\n"
    files = {"a.yaml": car, "b.yaml": car, "motor.yaml": "format: motor/1\nend_play_mm: 0.5\n"}
    assert [(one.id, one.place.file) for one in findings_of(tmp_path, files).advice] == [
        ("end-play-too-large", "motor.yaml")
    ]


def test_a_spare_motor_that_no_car_uses_is_looked_after_too(tmp_path: Path) -> None:
    assert [id_ for id_, _ in told(findings_of(tmp_path, ["format: motor/1\nend_play_mm: 0.5\n"]))] == [
        "end-play-too-large"
    ]


def test_advice_changes_no_verdict(tmp_path: Path) -> None:
    sound = (
        "format: setup/1\nentries: [{ruleset: coastal-league, class: stock-17, on: 2026-03-21}]\nmotor: {turns: 17.5}\n"
    )
    poor = sound.replace("turns: 17.5", "turns: 17.5, end_play_mm: 0.7, shims_mm: {sensor_end: [0.5]}")
    verdicts = [[check.verdict for check in findings_of(tmp_path, [text]).entries[0].checks] for text in (sound, poor)]
    assert verdicts[0] == verdicts[1]
    assert Verdict.NOT_SHOWN in verdicts[0]
    assert len(findings_of(tmp_path, [poor]).advice) == 2


def test_a_slip_of_the_pen_gets_no_advice_beside_its_problem(tmp_path: Path) -> None:
    text = "format: setup/1\nbattery: {chemistry: LiPo, cells: 2, voltage_v: 8380}\n"
    findings = findings_of(tmp_path, [text])
    assert [problem.id for problem in findings.problems] == ["implausible-value"]
    assert findings.advice == ()


def test_advice_can_be_left_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "car.yaml").write_text("format: setup/1\nmotor: {end_play_mm: 0.7}\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    shown = [
        CliRunner().invoke(speclint, ["check", "--report", "json", *more]).stdout for more in ([], ["--no-advice"])
    ]
    advice = [[one["id"] for one in json.loads(text)["advice"]] for text in shown]
    assert advice == [["end-play-too-large"], []]


RUN = "format: setup/1\ninstruments: {{meter: {{{meter}}}}}\nmotor: {{bench_runs: [{{date: 2026-03-10, instrument: meter, {values}}}]}}\n"


@pytest.mark.parametrize(
    ("meter", "values", "message"),
    [
        (
            "unit: V, offset: 0.2",
            "current_a: 3.9",
            "the meter reads V, and what it is named for (current_a) is in A: what is said of its error, its offset"
            " included, does not count here. Name the instrument that was read, or correct its unit",
        ),
        (
            "accuracy: 0.1, resolution: 0.1",
            "current_a: 3.9, supply_v: 3.7",
            "the meter is described without its unit, and what it is named for (current_a, supply_v) is in A or V: what is"
            " said of its error, its offset included, does not count here. Name the instrument that was read, or correct its"
            " unit",
        ),
    ],
)
def test_an_instrument_that_counts_for_nothing_it_is_named_for_is_told(
    tmp_path: Path, meter: str, values: str, message: str
) -> None:
    assert told(findings_of(tmp_path, [RUN.format(meter=meter, values=values)])) == [("instrument-unit", message)]


@pytest.mark.parametrize(
    ("meter", "values"),
    [
        ("unit: A, offset: 0.2", "current_a: 3.9, supply_v: 3.7"),
        ("accuracy_percent: 1", "current_a: 3.9"),
        ("unit: V, offset: 0.2", "current_a: {value: 3.9, standard_uncertainty: 0.1}"),
    ],
)
def test_an_instrument_that_counts_for_something_is_not(tmp_path: Path, meter: str, values: str) -> None:
    assert told(findings_of(tmp_path, [RUN.format(meter=meter, values=values)])) == []


@pytest.mark.parametrize(
    ("unit", "verdict"),
    [("g", "legal"), ("grams", "legal"), ("kg", "not-shown"), ("kilos", "not-shown"), ("stone", "not-shown")],
)
def test_what_an_instrument_says_of_another_unit_shows_nothing(unit: str, verdict: str) -> None:
    scale = f"{{accuracy: 0.001, resolution: 0.001, unit: {unit}}}"
    setup = f"instruments: {{scale: {scale}}}\ncar: {{mass_g: {{value: 1350.5, instrument: scale}}}}"
    assert verdict_of("quantity: mass_g, at_least: 1350, decision: must-show", setup) == verdict
