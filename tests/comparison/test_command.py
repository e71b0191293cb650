"""`speclint compare` as a person uses it: whole outputs, exit statuses, and the report for programs."""

import json
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any, Final

import jsonschema
import pytest

from speclint.resources import schema_text
from tests.console import Golden, in_process

ROOT: Final = Path(__file__).parents[2]
GOLDEN: Final = ROOT / "tests" / "data" / "comparison"
CAR: Final = "examples/cars/car-12-carpet.yaml"
SEASON: Final = "examples/motors/00463.yaml"


@pytest.fixture(scope="module")
def team(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository with the examples and their rulesets, and nothing else."""
    top = tmp_path_factory.mktemp("team")
    shutil.copytree(ROOT / "examples", top / "examples")
    shutil.copytree(ROOT / "rulesets", top / "rulesets")
    (top / ".git").mkdir()
    return top


def bench(where: Path, *words: str, encoding: str = "utf-8") -> subprocess.CompletedProcess[str]:
    return in_process(where, "compare", *words, encoding=encoding)


WHOLE: Final = {
    "rotor-swap.txt": (SEASON, "--setup", CAR),
    "instruments-not-named.txt": ("examples/motors/00417.yaml",),
    "side-by-side.txt": (
        "examples/motors/00417.yaml", SEASON, "examples/motors/00455.yaml", "examples/motors/00631.yaml",
        "--ruleset", "rulesets/harbour-city-2026.2.yaml", "--class", "stock-17", "--on", "2026-04-28",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", WHOLE)
def test_whole_outputs(team: Path, name: str, golden: Golden) -> None:
    done = bench(team, *WHOLE[name])
    assert done.stderr == ""
    assert done.returncode == 0
    golden.holds(GOLDEN / name, done.stdout)


def test_it_reads_the_same_in_ascii(team: Path) -> None:
    done = bench(team, SEASON, "--setup", CAR, encoding="ascii")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert "?" not in done.stdout.replace("scatter?", "")
    assert "-92 +/- 31 rpm/V" in done.stdout


def report(team: Path, *words: str) -> dict[str, Any]:
    done = bench(team, *words, "--report", "json")
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    jsonschema.Draft202012Validator(json.loads(schema_text("comparison-1"))).validate(found)
    return found


def test_the_report_says_what_the_sheet_says(team: Path) -> None:
    found = report(team, SEASON, "--setup", CAR)
    motor = found["motor"]
    assert found["format"] == "comparison/1"
    assert found["ranking"] is None
    changes = {change["quantity"]: change for change in motor["comparison"]["changes"]}
    assert changes["kv_rpm_per_v"]["conclusion"] == "changed"
    assert changes["kv_rpm_per_v"]["shared_instruments"] == ["motor-bench"]
    assert changes["winding_mean_mohm"]["conclusion"] == "no change shown"
    assert {meaning["id"] for meaning in motor["meanings"]} >= {"stronger-magnet", "promise-kept"}
    gearing = motor["equivalent_gearing"]
    assert gearing["ratio"] == pytest.approx(
        gearing["old_ratio"] * changes["kv_rpm_per_v"]["second"] / changes["kv_rpm_per_v"]["first"]
    )
    assert [one["verdict"] for one in gearing["judged"]] == ["illegal"]
    assert gearing["closest"]["pinion_teeth"] == 44
    assert gearing["closest_legal"]["pinion_teeth"] == 43
    assert [crossing["quantity"] for crossing in motor["meetings"]] == ["winding_mean_mohm"]


def test_the_report_of_several_motors(team: Path) -> None:
    found = report(team, *WHOLE["side-by-side.txt"])["ranking"]
    standings = {Path(motor["file"]).stem: motor["standing"] for motor in found["motors"]}
    assert standings["00631"] == "illegal", "21.2 mOhm at 36 degrees is 19.95 at 20"
    assert found["pick"] == "examples/motors/00417.yaml"
    assert found["level_with"] == ["examples/motors/00455.yaml"], "0.09 mOhm higher, which the meter cannot see"
    assert found["one_spec"]


def test_two_runs_are_named_by_number_or_day_in_any_order(team: Path) -> None:
    one = report(team, SEASON, "--runs", "2", "6")["motor"]["comparison"]
    assert (one["first"]["number"], one["second"]["number"]) == (2, 6)
    assert report(team, SEASON, "--runs", "2026-04-27", "2026-03-02")["motor"]["comparison"] == one
    assert not one["rebuilds"]


def test_a_setup_stands_for_its_motor_and_needs_no_further_word(team: Path) -> None:
    by_setup = report(team, CAR)["motor"]
    assert by_setup["file"] == "examples/motors/00417.yaml"
    assert by_setup["equivalent_gearing"]["file"] == CAR
    by_motor = report(team, "examples/motors/00417.yaml")["motor"]
    assert by_motor["equivalent_gearing"] is None
    assert by_motor["no_equivalent_because"].startswith("the motor is in 2 setups (examples/cars/car-12-carpet.yaml, ")


def test_a_setup_that_is_named_and_has_a_problem_is_told_to_be_why_no_gearing_follows(tmp_path: Path) -> None:
    write(tmp_path, "1.yaml", MOTOR)
    write(tmp_path, "garage.yaml", GARAGE)
    write(tmp_path, "car.yaml", "format: setup/1\nmotor: 1.yaml\nnumber: 7\n")
    done = bench(tmp_path, "1.yaml", "--setup", "car.yaml", "--garage", "garage.yaml")
    assert "car.yaml has problems: mend them first" in done.stdout
    assert "no setup of the repository" not in done.stdout


def write(top: Path, name: str, text: str) -> None:
    path = top / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


RUN: Final = "{date: 2026-03-0%d, supply_v: 3.7, current_a: 3.9, kv_rpm_per_v: %d, instrument: %s}"
MOTOR: Final = (
    f"format: motor/1\nturns: 17.5\nbench_runs:\n- {RUN % (1, 2450, 'far-bench')}\n- {RUN % (3, 2300, 'near-bench')}\n"
)
GARAGE: Final = "format: garage/1\ninstruments: {far-bench: {accuracy_percent: 1}, near-bench: {accuracy_percent: 1}}\n"


def word_of(top: Path, *words: str) -> str:
    changes = report(top, *words)["motor"]["comparison"]["changes"]
    return str(next(change["conclusion"] for change in changes if change["quantity"] == "kv_rpm_per_v"))


def test_instruments_come_from_the_garage_above_from_the_one_that_is_named_or_from_that_of_the_car(
    tmp_path: Path,
) -> None:
    write(tmp_path, "team/motors/1.yaml", MOTOR)
    (tmp_path / "team" / ".git").mkdir()
    top = tmp_path / "team"
    assert word_of(top, "motors/1.yaml") == "can't tell"
    write(tmp_path, "far.yaml", GARAGE)
    assert word_of(top, "motors/1.yaml", "--garage", "../far.yaml") == "changed"
    assert word_of(top, "motors/1.yaml") == "can't tell", "what lies above the repository is not ours"
    write(top, "car/car.yaml", "format: setup/1\nmotor: ../motors/1.yaml\ngarage: ../stuff/garage.yaml\n")
    write(top, "stuff/garage.yaml", GARAGE)
    assert word_of(top, "motors/1.yaml") == "changed"
    assert report(top, "motors/1.yaml")["motor"]["instruments_from"] == ["stuff/garage.yaml"]
    write(top, "garage.yaml", GARAGE.replace("1}", "30}"))
    assert "garage.yaml" in report(top, "motors/1.yaml")["motor"]["instruments_from"]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("no.yaml",), "no.yaml: there is no such file"),
        (("1.yaml", "--runs", "1"), "Option '--runs' requires 2 arguments"),
        (
            ("1.yaml", "--runs", "1", "7"),
            "1.yaml: there is no bench run 7. The runs are 1: 1 March 2026; 2: 3 March 2026",
        ),
        (("1.yaml", "--runs", "1", "1"), "1.yaml: 1 and 1 are one run: name two"),
        (("1.yaml", "--runs", "1", "2026-03-01"), "1.yaml: 1 and 2026-03-01 are one run: name two"),
        (("1.yaml", "--runs", "1", "last"), "--runs: last is no run: give its number, 1 being the oldest, or its day"),
        (("1.yaml", "2.yaml", "--runs", "1", "2"), "two runs are compared of one motor"),
        (("--runs", "1", "2"), "Missing argument 'FILE...'"),
        (("garage.yaml",), "garage.yaml is a garage: name motors, or setups with a motor"),
        (("car.yaml",), "car.yaml states no motor"),
        (("one.yaml",), "one.yaml: there is one bench run only"),
        (("1.yaml", "--setup", "garage.yaml"), "garage.yaml says no `format: setup/1`"),
        (("1.yaml", "--ruleset", "garage.yaml"), "garage.yaml is a garage, and not a ruleset to judge by"),
        (("1.yaml", "--report", "xml"), "there is no report xml"),
        (("1.yaml", "--save", "2.yaml"), "2.yaml ends in none of .txt, .json"),
    ],
)
def test_what_cannot_run_as_asked_says_why_and_is_status_2(
    tmp_path: Path, words: tuple[str, ...], message: str
) -> None:
    write(tmp_path, "1.yaml", MOTOR)
    write(tmp_path, "2.yaml", MOTOR)
    write(tmp_path, "one.yaml", f"format: motor/1\nbench_runs: [{RUN % (1, 2450, 'far-bench')}]\n")
    write(tmp_path, "garage.yaml", GARAGE)
    write(tmp_path, "car.yaml", "format: setup/1\n")
    done = bench(tmp_path, *words)
    assert done.returncode == 2, done.stdout
    assert message in done.stderr
    assert done.stdout == ""


def test_a_file_with_a_problem_is_told_like_check_does_and_hides_no_other(tmp_path: Path) -> None:
    write(tmp_path, "1.yaml", MOTOR)
    write(tmp_path, "2.yaml", MOTOR)
    write(tmp_path, "bad.yaml", MOTOR.replace("turns: 17.5", "turnz: 17.5"))
    done = bench(tmp_path, "bad.yaml", "1.yaml", "2.yaml")
    assert done.returncode == 1
    assert "2 motors side by side" in done.stdout
    assert "bad.yaml:2:1: " in done.stdout
    alone = bench(tmp_path, "bad.yaml")
    assert alone.returncode == 1
    assert "bad.yaml:2:1: " in alone.stdout


def test_nothing_from_a_file_steers_the_terminal(tmp_path: Path) -> None:
    write(tmp_path, "1.yaml", MOTOR.replace("turns: 17.5", 'name: "a\\x1b[2Jb"\nturns: 17.5'))
    assert "\x1b" not in bench(tmp_path, "1.yaml").stdout


def test_a_trend_is_shown_when_asked_for_and_when_there_are_three_runs(team: Path, tmp_path: Path) -> None:
    write(tmp_path, "1.yaml", MOTOR)
    assert report(tmp_path, "1.yaml")["motor"]["trends"] == []
    asked = report(tmp_path, "1.yaml", "--trend")["motor"]["trends"]
    assert {trend["direction"] for trend in asked} == {"can't tell"}
    assert {trend["quantity"] for trend in report(team, SEASON)["motor"]["trends"]} == {
        "winding_mean_mohm",
        "kv_rpm_per_v",
        "current_a",
    }


def first_lines(team: Path, *words: str) -> str:
    done = bench(team, *words)
    assert done.returncode == 0, done.stderr
    return " ".join(done.stdout.split("\n\n")[0].split())


def test_the_answer_is_the_legal_pinion_that_keeps_the_top_speed(team: Path) -> None:
    assert first_lines(team, SEASON, "--setup", CAR) == (
        "After the rotor swap of 1 March 2026: less speed, more torque. Keep the top speed with 43 on 96 (legal, 1.5 %"
        " shorter; 43.6 would match exactly, and 44 is not legal)."
    )


def test_where_the_speed_is_as_it_was_the_gearing_stays(team: Path) -> None:
    assert first_lines(team, SEASON, "--setup", CAR, "--runs", "2", "4") == (
        "From 2 March 2026 to 30 March 2026, with no rebuild between: a higher winding. The gearing can stay as it is."
    )
    assert first_lines(team, SEASON, "--setup", CAR, "--runs", "4", "5") == (
        "From 30 March 2026 to 13 April 2026, with no rebuild between: no change that is larger than the bench's scatter. The"
        " gearing can stay as it is."
    )


def test_the_rest_is_one_table_with_units_and_what_it_means(team: Path) -> None:
    text = bench(team, SEASON, "--setup", CAR).stdout
    headings = [line for line in text.splitlines() if re.fullmatch("[A-Z][a-z ]+", line)]
    assert headings == ["What it means", "Gearing", "Assumed", "Over time", "Drifts towards a limit", "Notes"]
    assert re.search("\n  speed per volt +2435 +2343 +-92 ± 31 rpm/V +yes\n", text)
    assert "How it was compared" not in text
    assert "How it was compared" in bench(team, SEASON, "--setup", CAR, "--full").stdout
