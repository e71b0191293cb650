"""Files that a setup names: how far away they may lie, where no git repository says what belongs together."""

from pathlib import Path

import pytest

from tests.console import Console

MOTOR = "format: motor/1\nname: lent\n"
FAR = "lies outside the folder over that of this file, and no git repository says that it belongs here"


def motors(folder: Path, reference: str) -> Path:
    """A club's folder with cars in `cars` and motors in several places, one of which a car names."""
    club = folder / "home" / "club"
    for place in (club / "motors", club.parent / "motors", folder):
        place.mkdir(parents=True, exist_ok=True)
        (place / "motor.yaml").write_text(MOTOR, encoding="utf-8")
    cars = club / "cars"
    cars.mkdir()
    (cars / "car.yaml").write_text(f"format: setup/1\nmotor: {reference}\n", encoding="utf-8")
    return club


@pytest.mark.parametrize("run_in", ["", "cars", "motors", ".."])
def test_a_motor_beside_the_cars_is_read_wherever_the_command_runs(
    tmp_path: Path, console: Console, run_in: str
) -> None:
    club = motors(tmp_path, "../motors/motor.yaml")
    run = console(club / run_in, "check", str(club / "cars"), "--report", "lines")
    assert "problem" not in run.out
    assert run.status == 0


def test_a_file_above_the_folder_that_holds_the_cars_is_refused(tmp_path: Path, console: Console) -> None:
    club = motors(tmp_path, "../../../motor.yaml")
    run = console(club, "check", "--report", "lines")
    assert run.status == 1
    assert f"cars/car.yaml:2:8: problem: the motor ../../../motor.yaml {FAR}" in run.out


def test_a_whole_path_is_refused_alike(tmp_path: Path, console: Console) -> None:
    club = motors(tmp_path, str(tmp_path / "motor.yaml"))
    assert FAR in console(club, "check", "--report", "lines").out


def test_who_runs_it_above_may_have_files_further_away(tmp_path: Path, console: Console) -> None:
    club = motors(tmp_path, "../../motors/motor.yaml")
    assert console(club.parent, "check", "--report", "lines").status == 0
    assert FAR in console(club / "cars", "check", "--report", "lines").out


def test_a_repository_says_how_far_its_files_lie_apart(tmp_path: Path, console: Console) -> None:
    club = motors(tmp_path, "../../../motor.yaml")
    (club / ".git").mkdir()
    assert "lies outside the repository of this file" in console(club, "check", "--report", "lines").out
    (club / ".git").rmdir()
    (tmp_path / ".git").mkdir()
    assert console(club, "check", "--report", "lines").status == 0
