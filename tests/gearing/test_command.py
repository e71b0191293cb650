"""`speclint gearing` as a person runs it: what it prints where, and its exit status."""

import json
import subprocess
from pathlib import Path

import pytest

from tests.console import Golden, in_process
from tests.gearing.geared_cars import PROJECT, TRACK, written

CAR_12 = "examples/cars/car-12-carpet.yaml"


def run(*words: str, folder: Path = PROJECT) -> subprocess.CompletedProcess[str]:
    return in_process(folder, "gearing", *words)


def test_the_sheet_goes_to_standard_output_and_a_safe_start_is_status_0(golden: Golden) -> None:
    done = run(CAR_12)
    assert (done.returncode, done.stderr) == (0, "")
    golden.holds(Path(__file__).parent / "golden" / "car-12-carpet.txt", done.stdout)


def test_reports_go_where_they_are_sent(tmp_path: Path) -> None:
    done = run(CAR_12, "--report", "json", "--save", str(tmp_path / "car.html"))
    assert done.returncode == 0
    start = json.loads(done.stdout)["start"]
    assert (start["spur_teeth"], start["pinion_teeth"]) == (96, 42)
    assert start["final_drive_ratio"] == pytest.approx(4.342857142857143)
    assert (tmp_path / "car.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_no_start_is_status_1() -> None:
    done = run(CAR_12, "--limit-c", "40")
    assert done.returncode == 1
    assert "There is no start to recommend" in done.stdout


def test_a_fitted_pair_that_is_illegal_or_likely_too_hot_is_status_1() -> None:
    illegal = run("examples/cars/car-14-one-tooth-too-tall.yaml")
    assert illegal.returncode == 1
    assert "illegal: the rule asks at least 4.2" in illegal.stdout
    hot = run("examples/setups/car-05-buggy.yaml", "--limit-c", "53", "--ambient-c", "25")
    assert hot.returncode == 1
    assert "likely to pass 53 °C" in hot.stdout


def test_problems_are_printed_with_their_places_and_are_status_1(tmp_path: Path) -> None:
    written(tmp_path, car={"pinion_tooth": "4"})
    done = run("car.yaml", folder=tmp_path)
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.startswith("Problems with files\n  car.yaml:5:119: `pinion_tooth` is not a key of `car`")


def test_a_report_of_problems_is_of_the_kind_that_was_asked_for_and_no_older_one_stays(tmp_path: Path) -> None:
    written(tmp_path)
    saves = ("--save", "gearing.json", "--save", "gearing.html", "--report", "json")
    run("car.yaml", *saves, folder=tmp_path)
    before = (tmp_path / "gearing.html").read_text(encoding="utf-8")
    written(tmp_path, car={"pinion_tooth": "4"})
    done = run("car.yaml", *saves, folder=tmp_path)
    assert done.returncode == 1
    (problem,) = json.loads(done.stdout)["problems"]
    assert problem["where"] == {"file": "car.yaml", "line": 5, "column": 119, "pointer": "/car/pinion_tooth"}
    assert (tmp_path / "gearing.json").read_text(encoding="utf-8") == done.stdout
    page = (tmp_path / "gearing.html").read_text(encoding="utf-8")
    assert page != before
    assert "car.yaml:5:119" in page
    written(tmp_path)
    assert run("car.yaml", *saves, folder=tmp_path).returncode in (0, 1)
    assert (tmp_path / "gearing.html").read_text(encoding="utf-8") == before


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["nowhere.yaml"], "nowhere.yaml: there is no such file"),
        (["examples/garage.yaml"], "examples/garage.yaml is not a setup"),
        (["pyproject.toml"], "pyproject.toml is not a setup"),
        ([CAR_12, "--track", "moon"], "there is no track moon in the setup's garage"),
        ([CAR_12, "--entry", "2"], "there is no entry 2: the setup has one entry"),
        ([CAR_12, "--entry", "0"], "0 is not the number of an entry: write a whole number, 1 or more"),
        ([CAR_12, "--minutes", "5:30"], "5:30 is not a number: write 5.5"),
        ([CAR_12, "--minutes", "5,5"], "5,5 is not a number: write 5.5, without a comma"),
        ([CAR_12, "--tooth-sum", "146-130"], "write it as 130-146"),
        ([CAR_12, "--minutes", "nan"], "nan is not above 0 and at most 60"),
        ([CAR_12, "--minutes", "0"], "0 is not above 0"),
        ([CAR_12, "--ambient-c", "inf"], "inf is not at least -40 and at most 60"),
        ([CAR_12, "--limit-c", "warm"], "warm is not a number"),
        ([CAR_12, "--on", "next week"], "write it as 2026-03-14"),
        ([CAR_12, "--report", "chart"], "there is no report chart"),
        ([CAR_12, "--report", "html"], "there is no report html for standard output"),
        ([CAR_12, "--save", CAR_12], "ends in none of .txt, .json, .html"),
        ([CAR_12, "--ruleset", "nowhere.yaml"], "nowhere.yaml"),
        ([], "Missing argument 'SETUP'"),
    ],
)
def test_what_cannot_be_run_as_asked_is_status_2_and_told_on_standard_error(words: list[str], told: str) -> None:
    done = run(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr
    assert "Traceback" not in done.stderr


def test_options_take_effect() -> None:
    document = json.loads(run(CAR_12, "--minutes", "8", "--ambient-c", "30", "--limit-c", "95", "--limit-rpm", "50000",
                              "--tooth-sum", "136-140", "--track", "pine-hall", "--report", "json").stdout)  # fmt: skip
    run_, gears = document["run"], document["gears"]
    assert (run_["minutes"], run_["model"]["ambient_c"], run_["limit_c"], run_["limit_rpm"]) == (8, 30, 95, 50000)
    assert (run_["track"], gears["tooth_sum"]) == ("pine-hall", [136, 140])
    assert {pair["tooth_sum"] for pair in document["pairs"]} <= set(range(136, 141))


def test_a_car_without_any_entry_gets_a_start_with_a_warning(tmp_path: Path) -> None:
    slow = TRACK.replace("infield_speed_kmh: 22", "infield_speed_kmh: 15")
    written(tmp_path, garage=f"format: garage/1\ntracks: {{hall: {slow}}}\n")
    done = run("car.yaml", "--track", "hall", folder=tmp_path)
    assert done.returncode == 0
    assert "no rules were asked" in done.stdout


def test_nothing_is_shown_of_its_progress_where_nobody_looks() -> None:
    assert run(CAR_12, "--minutes", "6").stderr == ""
