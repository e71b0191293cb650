"""The demonstration: somebody who installed the package and has no clone gets a team's repository to try everything on."""

import json
from pathlib import Path

import pytest

from tests.console import Console


def test_a_demonstration_is_laid_out_and_shows_what_a_first_check_can_say(console: Console, empty: Path) -> None:
    run = console(empty, "start", "demo", "teams/mine")
    assert (run.status, run.out) == (0, "")
    assert run.err.endswith("Next:\n  cd teams/mine\n  speclint check cars\n")

    top = empty / "teams" / "mine"
    report = json.loads(console(top, "check", "cars", "--report", "json").out)
    assert report["problems"] == []
    assert {entry["verdict"] for entry in report["entries"]} == {"legal", "illegal", "not-shown"}
    assert len({entry["file"] for entry in report["entries"]}) == 6
    assert console(top, "check", "rulesets").status == 0
    assert not [path for path in top.rglob("*.yaml") if "$schema=" in path.read_text(encoding="utf-8")]


def test_every_command_that_its_readme_names_runs(console: Console, empty: Path) -> None:
    console(empty, "start", "demo", "mine")
    lines = (empty / "mine" / "README.md").read_text(encoding="utf-8").splitlines()
    commands = [line.strip().split("  ")[0] for line in lines if line.startswith("    speclint ")]
    assert len(commands) == 6
    for command in commands:
        run = console(empty / "mine", *command.split()[1:])
        assert run.status in (0, 1), (command, run.err)


def test_a_repository_with_nothing_in_it_yet_takes_it(console: Console, empty: Path) -> None:
    (empty / ".git").mkdir()
    run = console(empty, "start", "demo", ".")
    assert (run.status, run.err) == (0, "a team's repository is laid out here. Next:\n  speclint check cars\n")


def test_a_folder_with_something_in_it_is_left_alone(console: Console, empty: Path) -> None:
    (empty / "mine").mkdir()
    (empty / "mine" / "notes.txt").write_text("mine", encoding="utf-8")
    run = console(empty, "start", "demo", "mine")
    assert run.status == 2
    assert "mine is there already" in run.err
    assert [path.name for path in (empty / "mine").iterdir()] == ["notes.txt"]
    assert console(empty, "start", "demo").status == 2
    assert "--name does not go with start demo" in console(empty, "start", "demo", "new", "--name", "x").err


@pytest.mark.parametrize("has_git", [False, True])
def test_a_demonstration_is_there_whole_or_not_at_all(
    has_git: bool, console: Console, empty: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    top = empty / "mine"
    if has_git:
        (top / ".git").mkdir(parents=True)
    leftover = (top if has_git else empty) / ".mine.ab12cd34.speclint-new"  # of a program that was killed
    leftover.mkdir()
    (leftover / "README.md").write_text("half", encoding="utf-8")
    write = Path.write_bytes

    def fill_up(path: Path, data: bytes) -> int:
        if path.name == "garage.yaml":
            raise OSError(28, "No space left on device")
        return write(path, data)

    monkeypatch.setattr(Path, "write_bytes", fill_up)
    run = console(empty, "start", "demo", "mine")
    assert (run.status, run.err) == (2, "speclint: mine cannot be written, nothing was: no space left on device\n")
    assert [path.name for path in empty.rglob("*")] == (["mine", ".git"] if has_git else [])
    monkeypatch.undo()
    assert console(empty, "start", "demo", "mine").status == 0
    assert console(top, "check", "rulesets").status == 0


def test_a_starting_file_makes_its_folders(console: Console, empty: Path) -> None:
    run = console(empty, "start", "garage", "a/b/garage.yaml", "--no-questions")
    assert run.status == 0, run.err
    assert (empty / "a" / "b" / "garage.yaml").is_file()
