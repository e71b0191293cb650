"""The ready workflows: each step that runs a command is run, one by one, as a CI service does."""

import json
import subprocess
import sys
import venv
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from tests.acceptance.team_repository import EXAMPLE, Team, lay_out, neutral_environment

WORKFLOW = Path(".github") / "workflows" / "speclint.yml"
ORGANISER = EXAMPLE.parent / "organiser-repo"


def steps(repository: Path) -> list[dict[str, Any]]:
    """The steps of a repository's only job."""
    workflow = YAML(typ="safe", pure=True).load((repository / WORKFLOW).read_text(encoding="utf-8"))
    (job,) = workflow["jobs"].values()
    of_job: list[dict[str, Any]] = job["steps"]
    return of_job


def run(step: dict[str, Any], place: Team, address: str) -> subprocess.CompletedProcess[str]:
    """A step as the service runs it: by bash, which stops at the first command that fails."""
    command = str(step["run"])
    if "pip install" in command:
        revision = place.run("git", "ls-remote", address, "HEAD").stdout.split()[0]
        command = command.replace("ADDRESS-OF-SPECLINT", address).replace("REVISION-OF-SPECLINT", revision)
    return place.run("bash", "-e", "-o", "pipefail", "-c", command)


@pytest.fixture(scope="session")
def environment(published: str, home: Path) -> dict[str, str]:
    """An environment of its own, into which the step that installs has put speclint."""
    folder = home / "ci"
    venv.create(folder, with_pip=True)
    values = neutral_environment(home) | {"GITHUB_STEP_SUMMARY": str(home / "summary.md")}
    values["PATH"] = f"{folder / 'bin'}:{values['PATH'].partition(':')[2]}"
    (install,) = (step for step in steps(EXAMPLE) if "pip install" in step.get("run", ""))
    done = run(install, Team(home, values), published)
    assert done.returncode == 0, done.stderr
    return values


@pytest.mark.slow
def test_the_steps_of_a_team_refuse_an_illegal_car_and_keep_all_reports(
    environment: dict[str, str], published: str, tmp_path: Path
) -> None:
    team = lay_out(tmp_path / "team", environment)
    check, summary = (step for step in steps(team.folder) if "run" in step and "pip install" not in step["run"])
    assert run(check, team, published).returncode == 0
    team.replace("setups/car-12.yaml", "pinion_teeth: 42", "pinion_teeth: 44")
    refused = run(check, team, published)
    assert refused.returncode == 1
    assert refused.stdout.startswith("::error file=setups/car-12.yaml,line=12,endLine=12,col=17,endColumn=19,")
    assert run(summary, team, published).returncode == 0
    assert Path(environment["GITHUB_STEP_SUMMARY"]).read_text(encoding="utf-8").startswith("## 1 illegal, 1 legal\n")
    (log,) = json.loads((team.folder / "speclint.sarif").read_text(encoding="utf-8"))["runs"]
    assert [result["level"] for result in log["results"] if result["kind"] == "fail"].count("error") == 1
    assert (team.folder / "speclint.xml").read_text(encoding="utf-8").count("<failure ") == 1
    assert team.git("status", "--porcelain").split() == ["M", "setups/car-12.yaml"]


@pytest.mark.slow
def test_the_steps_of_an_organiser_try_the_examples_and_build_the_site(
    environment: dict[str, str], published: str, tmp_path: Path
) -> None:
    place = lay_out(tmp_path / "club", environment, ORGANISER)
    commands = [step for step in steps(place.folder) if "run" in step and "pip install" not in step["run"]]
    for step in commands:
        done = run(step, place, published)
        assert done.returncode == 0, done.stdout + done.stderr
    assert (place.folder / "site" / "index.html").is_file()
    assert place.git("status", "--porcelain") == ""
    place.replace("rulesets/ferry-road-2026.1.yaml", "at_least: 4.2", "at_least: 4.1")
    assert run(commands[0], place, published).returncode == 1


@pytest.mark.parametrize("repository", [EXAMPLE, ORGANISER], ids=lambda folder: folder.name)
def test_a_repository_is_as_yamllint_wants_it(repository: Path) -> None:
    configuration = EXAMPLE / ".yamllint"
    done = subprocess.run(
        [sys.executable, "-m", "yamllint", "--strict", "-c", configuration, repository, repository / WORKFLOW],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout
    assert "truthy" in configuration.read_text(encoding="utf-8")
