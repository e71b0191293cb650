"""The git hook, run by the real hook runner at real commits and merges in a team's repository."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.acceptance.team_repository import EXAMPLE, Team, lay_out, neutral_environment
from tests.packaging.tree import PROJECT
from tests.readme.blocks import README, blocks

CAR = "setups/car-12.yaml"
RULESET = "rulesets/quay-street-2026.1.yaml"
CONFIGURATION = ".pre-commit-config.yaml"

_LINE = re.compile(r"^\S+\.yaml:\d+:\d+: .*$", re.MULTILINE)


@pytest.fixture
def team(published: str, home: Path, tmp_path: Path) -> Team:
    """A team that has done what the configuration says."""
    team = lay_out(tmp_path / "team", neutral_environment(home))
    (command,) = re.findall(r"^#\s+(git ls-remote .*)$", (team.folder / CONFIGURATION).read_text(), re.MULTILINE)
    listed = team.git(*command.replace("ADDRESS-OF-SPECLINT", published).split()[1:])
    team.replace(CONFIGURATION, "REVISION-OF-SPECLINT", listed.split()[0])
    team.replace(CONFIGURATION, "- repo: ADDRESS-OF-SPECLINT", f"- repo: {published}")
    installed = team.run("pre-commit", "install")
    assert installed.returncode == 0, installed.stdout + installed.stderr
    first = team.commit()
    assert (first.returncode, first.stderr.count("Passed")) == (0, 1), first.stdout + first.stderr
    assert not _LINE.findall(first.stderr)
    return team


def lines(done: subprocess.CompletedProcess[str]) -> list[str]:
    """What the hook says, line by line."""
    return _LINE.findall(done.stdout + done.stderr)


def test_the_readme_gives_the_configuration_of_the_example() -> None:
    (block,) = (block for block in blocks(README.read_text(encoding="utf-8")) if block.file == CONFIGURATION)
    assert block.body == (EXAMPLE / CONFIGURATION).read_text(encoding="utf-8")


@pytest.mark.slow
def test_an_illegal_gearing_is_refused_mended_as_it_says_and_accepted(team: Team) -> None:
    before = team.git("rev-parse", "HEAD")
    team.replace(CAR, "  pinion_teeth: 42\n", "  pinion_teeth: 44\n")
    refused = team.commit()
    assert refused.returncode == 1
    assert team.git("rev-parse", "HEAD") == before
    (line,) = lines(refused)
    assert line.startswith(
        "setups/car-12.yaml:12:17: illegal: final drive ratio is 4.145; the rule asks at least 4.2: 0.055 short"
        " (quay-street/stock-17/final-drive, 3.1, "
    )
    assert "pinion 43 instead of 44: final drive ratio 4.242, 0.042 to spare" in line

    assert team.run(sys.executable, "-m", "speclint", "check", CAR, "--apply", "1").returncode == 0
    mended = team.commit()
    assert mended.returncode == 0, mended.stdout + mended.stderr
    assert team.git("rev-parse", "HEAD") != before


@pytest.mark.slow
def test_a_clean_merge_that_makes_a_car_illegal_is_refused(team: Team) -> None:
    team.replace(CAR, "value: 1356", "value: 1350")
    assert team.commit().returncode == 0
    team.git("checkout", "--quiet", "-b", "amendment", "HEAD~1")
    team.replace(RULESET, "at_least: 1350", "at_least: 1352")
    team.replace(RULESET, "car: {mass_g: 1350}", "car: {mass_g: 1352}")
    assert team.commit().returncode == 0
    team.git("checkout", "--quiet", "main")
    before = team.git("rev-parse", "HEAD")
    merged = team.run("git", "merge", "--no-edit", "amendment")
    assert merged.returncode != 0
    assert team.git("rev-parse", "HEAD") == before
    (line,) = lines(merged)
    assert "mass is 1350.0 ± 1.7 g; the rule asks at least 1352 g" in line


@pytest.mark.slow
def test_a_ruleset_alone_is_held_against_cars_that_did_not_change(team: Team) -> None:
    team.replace(RULESET, "at_least: 1350", "at_least: 1357")
    team.replace(RULESET, "car: {mass_g: 1350}", "car: {mass_g: 1357}")
    refused = team.commit()
    assert refused.returncode == 1
    illegal, close = lines(refused)  # a close call is told only where something is refused
    assert illegal.startswith(f"{CAR}:8:11: illegal: mass is 1356.0 ± 1.7 g; the rule asks at least 1357 g")
    assert close.startswith("setups/car-14.yaml:8:11: close call: ")


@pytest.mark.slow
def test_a_ruleset_whose_own_example_fails_is_refused(team: Team) -> None:
    team.replace(RULESET, "at_least: 4.2", "at_least: 4.1")
    refused = team.commit()
    assert refused.returncode == 1
    (line,) = lines(refused)
    assert line.startswith(f"{RULESET}:")


@pytest.mark.slow
def test_a_motor_that_is_gone_or_renamed_is_one_problem_for_all_cars(team: Team) -> None:
    team.replace("setups/car-14.yaml", "0463", "0417")
    team.git("rm", "--quiet", "motors/0463.yaml")
    assert team.commit().returncode == 0
    team.git("mv", "motors/0417.yaml", "motors/417.yaml")
    refused = team.commit()
    assert refused.returncode == 1
    (line,) = lines(refused)
    assert line.startswith(f"{CAR}:17:8: problem: the motor ../motors/0417.yaml does not exist")
    assert line.endswith("(also setups/car-14.yaml:17:8)")
    for car in (CAR, "setups/car-14.yaml"):
        team.replace(car, "0417", "417")
    assert team.commit().returncode == 0


@pytest.mark.slow
def test_a_fault_in_a_shared_motor_names_each_car(team: Team) -> None:
    team.replace("setups/car-14.yaml", "0463", "0417")
    team.replace("motors/0417.yaml", "timing_deg: 38", "timing_deg: 34")
    refused = lines(team.commit())
    assert len(refused) == 2
    assert len(set(refused)) == 2
    assert all(line.startswith("motors/0417.yaml:6:13: illegal: ") for line in refused)
    assert [CAR in line for line in refused] == [True, False]


@pytest.mark.slow
def test_what_is_staged_is_judged_and_not_what_lies_in_the_folder(team: Team) -> None:
    team.replace(CAR, "  pinion_teeth: 42\n", "  pinion_teeth: 44\n")
    team.git("add", "--all")
    team.replace(CAR, "  pinion_teeth: 44\n", "  pinion_teeth: 42\n")
    refused = team.run("git", "commit", "--quiet", "--message", "a change")
    assert refused.returncode == 1
    assert len(lines(refused)) == 1
    assert "pinion_teeth: 42\n" in (team.folder / CAR).read_text(encoding="utf-8")


@pytest.mark.slow
def test_a_motor_that_git_does_not_have_mends_no_car_and_a_car_that_it_does_not_have_stops_no_commit(
    team: Team,
) -> None:
    (team.folder / "setups" / "draft.yaml").write_text("format: setup/1\ncar: {pinion_tooth: 42}\n", encoding="utf-8")
    team.replace(CAR, "name: Car 12", "name: Car twelve")
    team.git("add", CAR)
    done = team.run("git", "commit", "--quiet", "--message", "a name")
    assert done.returncode == 0, done.stdout + done.stderr
    team.git("mv", "motors/0417.yaml", "motors/new.yaml")
    team.git("rm", "--quiet", "--cached", "motors/new.yaml")
    (team.folder / "motors" / "0417.yaml").write_bytes((team.folder / "motors" / "new.yaml").read_bytes())
    refused = team.run("git", "commit", "--quiet", "--message", "a motor less")
    assert refused.returncode == 1
    assert "the motor ../motors/0417.yaml does not exist" in lines(refused)[0]


@pytest.mark.slow
def test_a_race_that_is_over_stops_no_commit(team: Team) -> None:
    team.replace(CAR, "  pinion_teeth: 42\n", "  pinion_teeth: 44\n")
    text = (team.folder / CAR).read_text(encoding="utf-8")
    (team.folder / CAR).write_text(re.sub(r"on: [\d-]+", "on: 2026-03-14", text), encoding="utf-8")
    done = team.commit()
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.slow
def test_other_yaml_and_an_empty_repository_are_passed_over_in_silence(team: Team) -> None:
    (team.folder / "jobs.yaml").write_text("on: push\njobs: {}\n", encoding="utf-8")
    (team.folder / "template.yml").write_text("{{ not: [yaml\n", encoding="utf-8")
    passed = team.commit()
    assert passed.returncode == 0, passed.stdout + passed.stderr
    team.git("rm", "-r", "--quiet", ".", "--cached")
    (team.folder / ".git" / "info" / "exclude").write_text(
        "*.yaml\n*.yml\n!.pre-commit-config.yaml\n", encoding="utf-8"
    )
    emptied = team.commit()
    assert emptied.returncode == 0, emptied.stdout + emptied.stderr


@pytest.mark.slow
def test_300_staged_cars_cost_half_a_second_on_top_of_the_runner(team: Team) -> None:
    car = (team.folder / CAR).read_text(encoding="utf-8")
    for number in range(300):
        (team.folder / "setups" / f"car-1{number:03}.yaml").write_text(
            car.replace("Car 12", f"Car 1{number:03}").replace("number: 12", f"number: 1{number:03}"),
            encoding="utf-8",
        )
    team.git("add", "--all")
    runner = ("pre-commit", "run", "--hook-stage", "pre-commit")
    (team.folder / "nothing.yaml").write_text(
        "repos: [{repo: local, hooks: [{id: nothing, name: nothing, entry: 'true', language: system,"
        " pass_filenames: false, always_run: true}]}]\n",
        encoding="utf-8",
    )
    alone = min(_cpu_seconds(team, *runner, "--config", "nothing.yaml") for _ in range(3))
    with_hook = min(_cpu_seconds(team, *runner) for _ in range(3))
    # 0.5 s is what is wanted, and what comes on a machine of its own; one that is busy takes up to half as much again.
    assert with_hook - alone < 0.75, f"runner alone {alone:.2f} s, with the hook {with_hook:.2f} s"


def _cpu_seconds(team: Team, *command: str) -> float:
    """What a command and all that it starts takes of the processor: what else runs on the machine matters little to it."""
    before = os.times()
    done = team.run(*command)
    assert done.returncode == 0, done.stdout + done.stderr
    after = os.times()
    return after.children_user - before.children_user + after.children_system - before.children_system


def test_the_hook_is_declared_as_the_runner_wants_it() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pre_commit", "validate-manifest", str(PROJECT / ".pre-commit-hooks.yaml")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
