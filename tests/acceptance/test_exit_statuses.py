"""How a command ends: scripts, hooks and CI read nothing but its exit status."""

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[2]
SPECLINT = (sys.executable, "-m", "speclint")


@pytest.fixture(scope="module")
def team(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("team")
    shutil.copytree(PROJECT / "examples", folder / "examples")
    shutil.copytree(PROJECT / "rulesets", folder / "rulesets")
    return folder


def run(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*SPECLINT, *arguments], cwd=folder, capture_output=True, text=True, encoding="utf-8", check=False
    )


def with_check_replaced_by(statements: str) -> str:
    """A program that runs `speclint check examples` with other statements in place of the work itself."""
    return f"""
import sys, time
import speclint.check.pipeline
def instead(*_, **__): {statements}
speclint.check.pipeline.extracted = instead
from speclint.cli import main
sys.argv = ["speclint", "check", "examples"]
main()
"""


def test_a_legal_car_ends_with_0_and_says_nothing_on_standard_error(team: Path) -> None:
    done = run(team, "check", "examples/cars/car-12-carpet.yaml")
    assert (done.returncode, done.stderr) == (0, "")


def test_an_illegal_car_ends_with_1(team: Path) -> None:
    done = run(team, "check", "examples/cars/car-14-one-tooth-too-tall.yaml")
    assert (done.returncode, done.stderr) == (1, "")


def test_what_is_not_shown_fails_only_where_strictness_is_asked_for(team: Path) -> None:
    car = "examples/cars/car-18-no-weight.yaml"
    assert run(team, "check", car).returncode == 0
    assert run(team, "check", car, "--strict").returncode == 1


def test_a_close_call_fails_only_where_strictness_is_asked_for(team: Path) -> None:
    car = "examples/setups/car-14-close-call.yaml"
    assert run(team, "check", car).returncode == 0
    assert run(team, "check", car, "--strict").returncode == 1


def test_a_problem_in_a_file_ends_with_1_and_leaves_the_verdict_on_the_others(team: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: setup/1\nname: [\n", encoding="utf-8")
    done = run(team, "check", str(bad), "examples/cars/car-12-carpet.yaml")
    assert done.returncode == 1
    assert "Car 12, indoor carpet: legal" in done.stdout


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("check", "no-such-folder"), "no-such-folder"),
        (("check", "--report", "sheets"), "sheets"),
        (("check", "--on", "14 March"), "14 March"),
        (("check", "--report", "json", "--report", "lines"), "standard output"),
        (("check", "--ruleset", "nowhere.yaml"), "nowhere.yaml"),
        (("chekc",), "chekc"),
        (("check", "--no-such-option"), "--no-such-option"),
    ],
)
def test_a_command_that_cannot_run_as_asked_ends_with_2_and_says_why(
    team: Path, arguments: Sequence[str], said: str
) -> None:
    done = run(team, *arguments)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_nothing_to_check_ends_with_2(tmp_path: Path) -> None:
    (tmp_path / "other.yaml").write_text("jobs: {}\n", encoding="utf-8")
    done = run(tmp_path, "check")
    assert done.returncode == 2
    assert "nothing to check" in done.stderr


def test_a_path_that_is_not_there_ends_with_2_and_leaves_the_verdict_on_the_others(team: Path) -> None:
    done = run(team, "check", "no-such.yaml", "examples/cars/car-12-carpet.yaml")
    assert done.returncode == 2
    assert "Car 12, indoor carpet: legal" in done.stdout


def test_a_report_that_cannot_be_written_ends_with_2(team: Path) -> None:
    done = run(team, "check", "examples/cars/car-12-carpet.yaml", "--save", "no-such-folder/report.json")
    assert done.returncode == 2
    assert "no-such-folder/report.json" in done.stderr


@pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")
def test_an_interrupted_command_ends_with_130_and_without_a_traceback(team: Path) -> None:
    child = subprocess.Popen(
        [sys.executable, "-c", with_check_replaced_by("sys.stderr.write('at work\\n'); time.sleep(60)")],
        cwd=team,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    )
    assert child.stderr is not None
    assert child.stderr.readline() == "at work\n"
    child.send_signal(signal.SIGINT)
    out, err = child.communicate(timeout=60)
    assert child.returncode == 130
    assert out == ""
    assert "Traceback" not in err


@pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")
def test_an_interrupt_arrives_at_a_test_that_runs_in_the_background() -> None:
    """A job in a script's background, which ignores interrupts, and so would all that it starts."""
    test = f"{Path(__file__).relative_to(PROJECT)}::test_an_interrupted_command_ends_with_130_and_without_a_traceback"
    done = subprocess.run(
        ["bash", "-c", 'trap "" INT HUP; exec "$@"', "bash", sys.executable, "-m", "pytest", "-p", "no:cacheprovider", test],
        cwd=PROJECT, capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout


def test_a_defect_ends_with_70_and_asks_to_be_reported(team: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", with_check_replaced_by("raise ZeroDivisionError('a defect made for this test')")],
        cwd=team,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 70
    assert done.stdout == ""
    assert "a defect made for this test" in done.stderr
    assert "Please report" in done.stderr
