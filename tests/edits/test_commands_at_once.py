"""Several commands that write one file at the same moment: each says what became of its change, and none is lost."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.console import ROOT, lay_out_rulesets

pytestmark = pytest.mark.slow

MOTOR = "format: motor/1\nname: club stock\nbench_runs:\n  - date: 2026-03-10\n    current_a: 3.9\n"


def at_once(folder: Path, commands: list[list[str]]) -> list[tuple[int, str]]:
    """How each of some commands ended that were begun together, and what it said beside its output."""
    children = [
        subprocess.Popen(
            [sys.executable, "-m", "speclint", *command],
            cwd=folder,
            env={"PYTHONPATH": str(ROOT)},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            encoding="utf-8",
        )
        for command in commands
    ]
    return [(child.returncode, err) for child in children for _, err in (child.communicate(timeout=120),)]


def test_what_a_log_says_that_it_wrote_is_in_the_file(tmp_path: Path) -> None:
    motor = tmp_path / "motor.yaml"
    motor.write_text(MOTOR, encoding="utf-8")
    days = [f"2026-03-{day}" for day in range(20, 26)]
    ends = at_once(tmp_path, [["log", "motor.yaml", "bench", "--date", day, "--current-a", "3.7"] for day in days])
    text = motor.read_text(encoding="utf-8")
    written = [day for day, (status, _) in zip(days, ends, strict=True) if status == 0]
    assert written
    assert [day for day in days if f"date: {day}" in text] == written
    assert text.startswith(MOTOR)
    for status, err in ends:
        assert status == 0 or "was changed by someone else meanwhile" in err
    assert list(tmp_path.iterdir()) == [motor]


def test_of_many_who_start_one_file_one_does(tmp_path: Path) -> None:
    command = ["start", "motor", "motors/motor.yaml", "--no-questions"]
    ends = at_once(tmp_path, [command] * 5)
    assert [status for status, _ in ends].count(0) == 1
    assert all("is there already" in err for status, err in ends if status != 0)
    assert [path.name for path in (tmp_path / "motors").iterdir()] == ["motor.yaml"]
    assert (tmp_path / "motors" / "motor.yaml").read_text(encoding="utf-8").count("format: motor/1") == 1


def test_of_several_pins_each_that_is_told_stands_in_the_garage(tmp_path: Path) -> None:
    lay_out_rulesets(tmp_path)
    garage = tmp_path / "garage.yaml"
    garage.write_text("format: garage/1\nname: team  # ours\n", encoding="utf-8")
    names = ("coastal-league", "pine-hall", "harbour-city")
    ends = at_once(tmp_path, [["pin", name, "--garage", "garage.yaml"] for name in names])
    text = garage.read_text(encoding="utf-8")
    assert [name for name, (status, _) in zip(names, ends, strict=True) if status == 0] == [
        name for name in names if f"{name}: {{" in text
    ]
    assert any(status == 0 for status, _ in ends)
    assert text.startswith("format: garage/1\nname: team  # ours\n")


def test_a_remedy_that_several_apply_at_once_is_in_the_file_once(tmp_path: Path) -> None:
    lay_out_rulesets(tmp_path)
    car = tmp_path / "car.yaml"
    shutil.copy(ROOT / "examples" / "cars" / "car-14-one-tooth-too-tall.yaml", car)
    shutil.copytree(ROOT / "examples" / "motors", tmp_path / "motors")
    before = car.read_text(encoding="utf-8").replace("../motors", "motors").replace("../garage", "garage")
    shutil.copy(ROOT / "examples" / "garage.yaml", tmp_path)
    car.write_text(before, encoding="utf-8")
    ends = at_once(tmp_path, [["check", "car.yaml", "--apply", "1"]] * 4)
    after = car.read_text(encoding="utf-8")
    changed = [pair for pair in zip(before.splitlines(), after.splitlines(), strict=True) if pair[0] != pair[1]]
    assert len(changed) == 1
    assert any(status == 0 for status, _ in ends)
    assert all(status in (0, 2) for status, _ in ends)
