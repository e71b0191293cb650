"""The files as a git revision holds them: the same report as in a checkout of it, and plain words where there is none."""

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.console import Console, write
from tests.history.repository import git

CLUB = """\
format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01}
classes:
  stock: {rules: [{id: weight, quantity: mass_g, at_least: 1350, measure: Ready to race.}]}
"""
CAR = "format: setup/1\nentries: [{ruleset: club, class: stock, on: 2026-03-14}]\ncar: {mass_g: %s}\nmotor: ../motors/1.yaml\n"


@pytest.fixture
def team(empty: Path) -> Path:
    """A repository of three days: a car too light, then heavier, and today lighter again without a commit."""
    shutil.rmtree(empty / ".git", ignore_errors=True)
    git(empty, "init")
    write(empty / "rulesets/club.yaml", CLUB)
    write(empty / "motors/1.yaml", "format: motor/1\nturns: 17.5\n")
    write(empty / "setups/car.yaml", CAR % 1340)
    git(empty, "add", ".")
    git(empty, "commit", "-m", "first", day="2026-03-01")
    git(empty, "tag", "round-1")
    write(empty / "setups/car.yaml", CAR % 1360)
    git(empty, "commit", "-am", "ballast", day="2026-03-08")
    write(empty / "setups/car.yaml", CAR % 1300)
    return empty


@pytest.mark.parametrize(
    ("as_of", "grams", "status"),
    [
        ("round-1", "1340", 1),
        ("HEAD~1", "1340", 1),
        ("HEAD", "1360", 0),
        ("main", "1360", 0),
        ("2026-03-01", "1340", 1),
        ("2026-03-07", "1340", 1),
        ("2026-03-08", "1360", 0),
        ("2026-12-31", "1360", 0),
    ],
)
def test_an_earlier_revision_is_checked_as_it_was(
    as_of: str, grams: str, status: int, team: Path, console: Console
) -> None:
    done = console(team, "check", "--as-of", as_of, "--report", "json")
    assert done.status == status
    assert json.loads(done.out)["entries"][0]["checks"][0]["value"] == int(grams)
    assert console(team, "check").status == 1


def test_names_are_shown_from_the_current_folder_as_ever(team: Path, console: Console) -> None:
    for folder, paths in (
        (team, ()),
        (team / "setups", ()),
        (team / "setups", ("..",)),
        (team / "motors", ("../setups/car.yaml",)),
    ):
        write(team / "setups/car.yaml", CAR % 1340)
        now = console(folder, "check", *paths, "--report", "json")
        write(team / "setups/car.yaml", CAR % 1300)
        then = console(folder, "check", *paths, "--report", "json", "--as-of", "round-1")
        as_asked = now.out.replace('"as_of": null', '"as_of": "round-1"')
        assert (then.status, then.out) == (now.status, as_asked)
        assert '"setups/car.yaml"' in now.out or '"car.yaml"' in now.out or '"../setups/car.yaml"' in now.out


def test_a_ruleset_that_is_named_is_that_of_the_revision(team: Path, console: Console) -> None:
    write(team / "rulesets/club.yaml", CLUB.replace("1350", "1000"))
    done = console(team / "setups", "check", "--as-of", "round-1", "--ruleset", "../rulesets/club.yaml")
    assert done.status == 1
    assert "1350" in done.out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--as-of", "round-9"), "there is no revision round-9: name a commit, a tag or a branch, or a day as 2026-03-14"),
        (("--as-of", "--all"), "there is no revision --all: "),
        (("--as-of", "HEAD:setups"), "there is no revision HEAD:setups: "),
        (("--as-of", "2026-02-28"), "the repository has no commit of 2026-02-28 or before it"),
        (("--as-of", "HEAD", "--apply", "1"), "--apply changes the files as they are now, and --as-of looks at earlier ones"),
        (("--as-of", "HEAD", "garage.yaml"), "garage.yaml: there is no such file or folder"),
    ],
)  # fmt: skip
def test_what_cannot_be_looked_at_is_status_2(words: tuple[str, ...], told: str, team: Path, console: Console) -> None:
    done = console(team, "check", *words)
    assert (done.status, done.out) == (2, "")
    assert f"speclint: {told}" in done.err


@pytest.mark.parametrize("as_of", ["index", "HEAD"])
def test_a_submodule_is_not_checked_in_silence(as_of: str, team: Path, console: Console) -> None:
    git(team, "init", "club")
    write(team / "club/car.yaml", CAR % 1340)
    git(team / "club", "add", ".")
    git(team / "club", "commit", "-m", "a car")
    write(team / "setups/car.yaml", CAR % 1360)
    git(team, "add", ".")
    git(team, "commit", "-m", "a repository in this one, as git keeps a submodule")
    told = (
        "speclint: club was not checked: it is a repository of its own, a submodule of this one:"
        f" `cd club && speclint check --as-of {as_of}` checks it\n"
    )
    done = console(team, "check", "--as-of", as_of)
    assert (done.status, done.err) == (0, told)
    for path in ("club", "club/car.yaml"):
        done = console(team, "check", "--as-of", as_of, path)
        assert (done.status, done.err) == (
            2,
            f"speclint: {path}: there is no such file or folder; it is there now, but what git has lacks it\n{told}",
        )
    assert console(team, "check", "--as-of", as_of, "--pass-over", "setups/car.yaml").err == ""
    git(team, "rm", "-rq", "--cached", "rulesets", "motors", "setups")
    git(team, "commit", "-qm", "nothing but that repository")
    done = console(team, "check", "--as-of", as_of)
    nothing = "speclint: there is nothing to check: no file that git has here says `format: setup/1` or another of speclint's\n"
    assert (done.status, done.err) == (2, told + nothing)
    # The command that is told does check it.
    assert console(team / "club", "check", "--as-of", as_of).status != 2
    # A revision of the one is none of the other.
    git(team, "tag", "round-2")
    assert "`cd club && speclint check` checks it\n" in console(team, "check", "--as-of", "round-2").err


def test_a_file_named_by_its_whole_path_is_found_in_a_revision(team: Path, console: Console) -> None:
    done = console(team, "check", "--as-of", "round-1", str(team / "setups/car.yaml"), "--report", "lines")
    assert done.out.startswith("setups/car.yaml:3:15: illegal: mass is 1340 g")


def test_without_a_repository_the_message_says_so(
    empty: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.rmtree(empty / ".git", ignore_errors=True)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(empty.parent))
    done = console(empty, "check", "--as-of", "HEAD")
    assert (done.status, done.err) == (
        2,
        "speclint: this folder lies in no git repository, so there is no earlier state of the files to look at\n",
    )


def test_without_git_the_message_says_what_to_do(team: Path, console: Console, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(team))
    done = console(team, "check", "--as-of", "HEAD")
    assert (done.status, done.err) == (
        2,
        "speclint: git was not found: install it to look at an earlier state of the files\n",
    )
    assert console(team, "check").status == 1


def test_what_a_shallow_clone_lacks_is_told_with_the_way_to_fetch_it(
    team: Path, tmp_path_factory: pytest.TempPathFactory, console: Console
) -> None:
    clone = tmp_path_factory.mktemp("clone") / "team"
    git(clone.parent, "clone", "--depth", "1", f"file://{team}", str(clone))
    assert console(clone, "check", "--as-of", "HEAD").status == 0
    for as_of in ("round-1", "2026-03-01"):
        done = console(clone, "check", "--as-of", as_of)
        assert done.status == 2
        assert "this clone is shallow, and `git fetch --unshallow` brings the rest" in done.err


def test_nothing_in_the_repository_changes(team: Path, console: Console) -> None:
    before = {path: path.stat().st_mtime_ns for path in (team / ".git").rglob("*")}
    console(team, "check", "--as-of", "round-1")
    assert {path: path.stat().st_mtime_ns for path in (team / ".git").rglob("*")} == before


def test_what_is_staged_is_checked_whatever_lies_in_the_folder(team: Path, console: Console) -> None:
    write(team / "setups/unknown-to-git.yaml", CAR % 1000)
    assert console(team, "check", "--as-of", "index").status == 0
    git(team, "add", "setups/car.yaml")
    staged = console(team, "check", "--as-of", "index", "--report", "lines", "--no-advice")
    assert (staged.status, staged.out.count("\n")) == (1, 1)
    assert "mass is 1300 g" in staged.out
    git(team, "rm", "-r", "-q", "--cached", ".")
    assert console(team, "check", "--as-of", "index", "--pass-over").status == 0
    assert console(team, "check", "--as-of", "index").status == 2


def test_what_is_staged_is_not_judged_by_one_side_of_a_merge(team: Path, console: Console) -> None:
    write(team / "setups/car.yaml", CAR % 1390)
    git(team, "commit", "-am", "ours")
    git(team, "checkout", "-b", "theirs", "HEAD~1")
    write(team / "setups/car.yaml", CAR % 1380)
    git(team, "commit", "-am", "theirs")
    with pytest.raises(subprocess.CalledProcessError):
        git(team, "merge", "main")
    run = console(team, "check", "--as-of", "index")
    assert (run.status, run.out) == (2, "")
    assert run.err == (
        "speclint: setups/car.yaml is not merged yet: keep one of the versions between git's lines, and stage that\n"
    )


def test_races_before_a_day_are_left_unjudged_and_counted(team: Path, console: Console) -> None:
    before, on_the_day, after = (
        console(team, "check", "--from", day, "--report", "json") for day in ("2026-03-13", "2026-03-14", "2026-03-15")
    )
    assert [done.status for done in (before, on_the_day, after)] == [1, 1, 0]
    report = json.loads(after.out)
    assert (report["entries"], report["summary"]["past"], report["asked"]["from"]) == ([], 1, "2026-03-15")
    assert json.loads(on_the_day.out)["summary"]["past"] == 0
    assert "1 earlier entry not judged" in console(team, "check", "--from", "2026-03-15").out
    assert "without an entry" not in console(team, "check", "--from", "2026-03-15").out
    assert console(team, "check", "--from", "today").status == 0
