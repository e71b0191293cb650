"""A ruleset or a motor that git does not have counts for the committer alone: that is told, and never a failure."""

import json
import shutil
from pathlib import Path

import pytest

from speclint.history import untracked
from tests.check.world import a_ruleset, a_setup
from tests.console import Console, write
from tests.history.repository import git

RULE = "{id: weight, quantity: mass_g, at_least: 1350, measure: Ready to race.}"
CAR = a_setup("garage: ../garage.yaml\nmotor: ../motors/1.yaml\ncar: {mass_g: 1360}")


@pytest.fixture
def team(empty: Path) -> Path:
    git(empty, "init")
    write(empty / "rulesets/base.yaml", a_ruleset(RULE, id_="base"))
    write(empty / "rulesets/club.yaml", a_ruleset(top="based_on: base@1"))
    write(empty / "motors/1.yaml", "format: motor/1\nturns: 17.5\n")
    write(empty / "garage.yaml", "format: garage/1\nname: ours\n")
    write(empty / "setups/car.yaml", CAR)
    git(empty, "add", ".")
    git(empty, "commit", "-m", "all")
    return empty


def told(folder: Path, console: Console, *words: str) -> list[str]:
    run = console(folder, "check", "--report", "json", *words)
    assert run.status == 0
    assert run.err == ""
    return [
        f"{advice['where']['file']}:{advice['where']['pointer']} {advice['message'].partition(' is not in git')[0]}"
        for advice in json.loads(run.out)["advice"]
        if advice["id"] == "file-not-in-git"
    ]


FILES = {
    "motors/1.yaml": "/motor",
    "garage.yaml": "/garage",
    "rulesets/club.yaml": "/entries/0/ruleset",
    "rulesets/base.yaml": "/entries/0/ruleset",
}


@pytest.mark.parametrize("file", FILES)
def test_what_a_car_rests_on_is_told_where_the_setup_names_it(file: str, team: Path, console: Console) -> None:
    assert told(team, console) == []
    git(team, "rm", "--cached", "-q", file)
    assert told(team, console) == [f"setups/car.yaml:{FILES[file]} {file}"]
    assert told(team / "setups", console) == [f"car.yaml:{FILES[file]} ../{file}"]
    assert told(team, console, "--no-advice") == []
    # What is about to be committed is there for everybody.
    git(team, "add", file)
    assert told(team, console) == []


def test_what_is_ignored_is_missing_for_everybody_else_too(team: Path, console: Console) -> None:
    git(team, "rm", "--cached", "-q", "motors/1.yaml")
    write(team / ".gitignore", "motors/\n")
    assert told(team, console) == ["setups/car.yaml:/motor motors/1.yaml"]


def test_a_car_that_is_not_in_git_itself_gives_no_rise_to_it(team: Path, console: Console) -> None:
    git(team, "rm", "--cached", "-q", "motors/1.yaml", "setups/car.yaml")
    assert told(team, console) == []


def test_the_hook_is_not_slowed_and_not_stopped_by_it(
    team: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(team, "rm", "--cached", "-q", "motors/1.yaml")

    def asked(*_: object) -> frozenset[str]:
        raise AssertionError

    monkeypatch.setattr("speclint.history.untracked", asked)
    assert console(team, "check", "--no-advice", "--pass-over", "setups/car.yaml").status == 0


@pytest.mark.parametrize("what", ["no repository", "no git", "a broken repository", "an earlier revision"])
def test_where_git_cannot_be_asked_nothing_is_said(
    what: str, team: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(team, "rm", "--cached", "-q", "motors/1.yaml")
    words: tuple[str, ...] = ()
    match what:
        case "no repository":
            shutil.rmtree(team / ".git")
        case "no git":
            monkeypatch.setenv("PATH", str(team))
        case "a broken repository":
            (team / ".git" / "HEAD").unlink()
        case _:
            words = ("--as-of", "HEAD")
    assert told(team, console, *words) == []


@pytest.mark.parametrize("version", ["2", "3", "4"])
def test_every_version_of_gits_list_is_understood(version: str, team: Path) -> None:
    git(team, "update-index", "--index-version", version)
    write(team / "motors/2.yaml", "format: motor/1\n")
    write(team / "otors/1.yaml", "format: motor/1\n")
    write(team / f"motors/{'long' * 50}.yaml", "format: motor/1\n")
    names = [path.relative_to(team).as_posix() for path in sorted(team.rglob("*.yaml"))]
    missing = untracked(str(team), {name: str(team / name) for name in names})
    assert missing == {"motors/2.yaml", "otors/1.yaml", f"motors/{'long' * 50}.yaml"}


def test_names_that_look_like_patterns_are_names(team: Path) -> None:
    for name in ("motors/[1].yaml", "motors/*.yaml", ":top.yaml", "-z.yaml", "motors/ä.yaml"):
        write(team / name, "format: motor/1\n")
    files = {
        name: str(team / name) for name in ("motors/[1].yaml", "motors/*.yaml", ":top.yaml", "-z.yaml", "motors/ä.yaml")
    }
    assert untracked(str(team), files) == set(files)
    git(team, "add", ".")
    assert untracked(str(team), files) == frozenset()


def test_of_a_repository_to_which_nothing_was_added_git_need_not_be_asked(
    team: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = {name: str(team / name) for name in FILES}
    (team / ".git" / "index").unlink()
    monkeypatch.setenv("PATH", str(team))  # where there is no git
    assert untracked(str(team), files) == set(FILES)


def test_a_work_tree_beside_its_repository_is_asked_too(team: Path, tmp_path: Path) -> None:
    tree = tmp_path / "tree"
    git(team, "worktree", "add", "-q", str(tree))
    write(tree / "motors/2.yaml", "format: motor/1\n")
    files = {name: str(tree / name) for name in ("motors/1.yaml", "motors/2.yaml")}
    assert untracked(str(tree), files) == {"motors/2.yaml"}


def test_what_git_ignores_is_not_walked_unless_it_is_asked_for(empty: Path, console: Console) -> None:
    shutil.rmtree(empty / ".git", ignore_errors=True)
    git(empty, "init")
    broken = "format: setup/1\ncar: {pinion_tooth: 42}\n"
    write(empty / "old" / ".gitignore", "car.yaml\n")
    for file in ("old/car.yaml", "env/lib/car.yaml", "node_modules/x/car.yaml"):
        write(empty / file, broken)
    write(empty / "env" / "pyvenv.cfg", "home = /usr/bin\n")
    write(empty / "car.yaml", "format: setup/1\ncar: {pinion_teeth: 42}\n")
    assert console(empty, "check").status == 0
    assert console(empty, "check", "old/car.yaml").status == 1
    git(empty, "add", "--force", "old/car.yaml")  # what git has is not ignored
    assert console(empty, "check").status == 1
    write(empty / ".gitignore", "/old/\n")
    assert console(empty, "check", "old").status == 1
