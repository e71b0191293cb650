"""The git hooks, run by the real hook runner at a real commit in a team's repository."""

import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.packaging.tree import PROJECT, copy_project
from tests.readme.blocks import hook_configuration

TAG = "v0.1.0"


@dataclass(frozen=True, slots=True)
class Team:
    """A team's repository with one car in it, and the environment that its commands run in."""

    folder: Path
    environment: dict[str, str]

    def run(self, *command: str, **more: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            command,
            cwd=self.folder,
            env=self.environment | more,
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )

    def git(self, *arguments: str) -> str:
        done = self.run("git", *arguments)
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def replace(self, file: str, old: str, new: str) -> None:
        path = self.folder / file
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")

    def commit(self, *, skip: str = "") -> subprocess.CompletedProcess[str]:
        """Stage everything and try to commit it; the hooks write to the result's standard output and error."""
        self.git("add", "--all")
        return self.run("git", "commit", "--quiet", "--message", "a change", SKIP=skip)


@pytest.fixture(scope="session")
def published(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The project as others get it: a repository with a tag."""
    folder = copy_project(tmp_path_factory.mktemp("published") / "speclint")
    for arguments in (
        ("init", "--quiet"), ("add", "--all"), ("commit", "--quiet", "--message", "as it is"), ("tag", TAG),
    ):  # fmt: skip
        subprocess.run(["git", *arguments], cwd=folder, env=_environment(folder.parent), check=True)
    return folder


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the hook runner keeps the environment that it builds once for the session."""
    return tmp_path_factory.mktemp("home")


@pytest.fixture
def team(published: Path, home: Path, tmp_path: Path) -> Team:
    folder = tmp_path / "team"
    for file in ("garage.yaml", "cars/car-12-carpet.yaml", "motors/00417.yaml"):
        (folder / file).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(PROJECT / "examples" / file, folder / file)
    shutil.copytree(PROJECT / "rulesets", folder / "rulesets")
    configuration = hook_configuration()
    assert configuration.count("ADDRESS-OF-THIS-REPOSITORY") == 1
    configuration = configuration.replace("ADDRESS-OF-THIS-REPOSITORY", published.as_uri())
    (folder / ".pre-commit-config.yaml").write_text(configuration, encoding="utf-8")
    team = Team(folder, _environment(home))
    team.git("init", "--quiet")
    installed = team.run(sys.executable, "-m", "pre_commit", "install")
    assert installed.returncode == 0, installed.stdout + installed.stderr
    first = team.commit()
    assert first.returncode == 0, first.stdout + first.stderr
    return team


def _environment(home: Path) -> dict[str, str]:
    """Nobody's own git settings, and nothing of a git command that these tests may run beneath."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("GIT_", "PRE_COMMIT", "SKIP", "PYTHON"))
    }
    who = {
        f"GIT_{role}_{key}": value
        for role in ("AUTHOR", "COMMITTER")
        for key, value in (("NAME", "A Racer"), ("EMAIL", "racer@example.org"))
    }
    return (
        kept
        | who
        | {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1", "PRE_COMMIT_HOME": str(home / "hooks")}
    )


def test_a_commit_with_an_illegal_gearing_is_refused_with_what_makes_it_legal(team: Team) -> None:
    before = team.git("rev-parse", "HEAD")
    team.replace("cars/car-12-carpet.yaml", "  pinion_teeth: 42\n", "  pinion_teeth: 44\n")
    refused = team.commit()
    assert refused.returncode == 1
    assert team.git("rev-parse", "HEAD") == before
    said = refused.stdout + refused.stderr
    assert (
        "cars/car-12-carpet.yaml:15:17: illegal: final drive ratio is 4.145; the rule asks at least 4.2: 0.055 short"
        " (harbour-city/stock-17/final-drive, 4.3, 2026-03-14); to mend it: "
    ) in said
    assert "pinion 43 instead of 44: final drive ratio 4.242, 0.042 to spare" in said

    team.replace("cars/car-12-carpet.yaml", "  pinion_teeth: 44\n", "  pinion_teeth: 43\n")
    mended = team.commit()
    assert mended.returncode == 0, mended.stdout + mended.stderr
    assert team.git("rev-parse", "HEAD") != before


def test_a_changed_ruleset_is_held_against_setups_that_did_not_change(team: Team) -> None:
    ruleset = "rulesets/harbour-city-2026.2.yaml"
    team.replace(ruleset, "quantity: mass_g, at_least: 1350,", "quantity: mass_g, at_least: 1360,")
    team.replace(ruleset, "setup: {car: {mass_g: 1350}}", "setup: {car: {mass_g: 1360}}")
    refused = team.commit()
    assert refused.returncode == 1
    assert "cars/car-12-carpet.yaml:10:11: illegal: mass is 1354.0 ± 1.7 g; the rule asks at least 1360 g" in (
        refused.stdout + refused.stderr
    )
    alone = team.commit(skip="speclint-all")
    assert alone.returncode == 0, "the hook for changed files has no reason to look at a setup that did not change"


def test_a_ruleset_whose_own_example_fails_is_refused(team: Team) -> None:
    team.replace("rulesets/harbour-city-2026.2.yaml", "between: [36, 40]", "between: [36, 42]")
    refused = team.commit(skip="speclint-all")
    assert refused.returncode == 1
    assert "rulesets/harbour-city-2026.2.yaml:" in refused.stdout + refused.stderr


def test_a_motor_that_is_gone_is_missed_by_the_setup_that_names_it(team: Team) -> None:
    team.git("rm", "--quiet", "motors/00417.yaml")
    refused = team.commit()
    assert refused.returncode == 1
    assert "the motor ../motors/00417.yaml does not exist" in refused.stdout + refused.stderr


def test_other_yaml_in_a_commit_is_passed_over(team: Team) -> None:
    (team.folder / "jobs.yaml").write_text("on: push\njobs: {}\n", encoding="utf-8")
    (team.folder / "template.yml").write_text("{{ not: [yaml\n", encoding="utf-8")
    passed = team.commit()
    assert passed.returncode == 0, passed.stdout + passed.stderr


def test_what_is_staged_is_judged_and_not_what_lies_in_the_work_tree(team: Team) -> None:
    car = "cars/car-12-carpet.yaml"
    team.replace(car, "  pinion_teeth: 42\n", "  pinion_teeth: 44\n")
    team.git("add", "--all")
    team.replace(car, "  pinion_teeth: 44\n", "  pinion_teeth: 42\n")
    refused = team.run("git", "commit", "--quiet", "--message", "a change")
    assert refused.returncode == 1
    assert "pinion_teeth: 42\n" in (team.folder / car).read_text(encoding="utf-8")


def test_the_hooks_are_declared_as_the_runner_wants_them() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pre_commit", "validate-manifest", str(PROJECT / ".pre-commit-hooks.yaml")],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
