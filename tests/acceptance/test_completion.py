"""Completion in a shell: what bash, zsh and fish are told, by the protocol of the command line library."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.acceptance.team_repository import EXAMPLE

SPECLINT = Path(sys.executable).parent / "speclint"


@pytest.fixture
def team(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLE, tmp_path / "team")
    return tmp_path / "team"


def offered(team: Path, *words: str) -> list[str]:
    """What is offered for the last of the words, each with its sort."""
    environment = {
        **os.environ,
        "_SPECLINT_COMPLETE": "bash_complete",
        "COMP_WORDS": f"speclint {' '.join(words)}",
        "COMP_CWORD": str(len(words)),
    }
    done = subprocess.run([SPECLINT], cwd=team, env=environment, capture_output=True, text=True, check=False)
    assert done.stderr == ""
    return done.stdout.split()


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_shell_has_its_script(shell: str, tmp_path: Path) -> None:
    environment = {**os.environ, "_SPECLINT_COMPLETE": f"{shell}_source"}
    done = subprocess.run([SPECLINT], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False)
    assert "_SPECLINT_COMPLETE" in done.stdout


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (["check", "set"], "file,set"),
        (["check", "--save", "rep"], "file,rep"),
        (["gearing", "set"], "file,set"),
        (["compare", "mot"], "file,mot"),
        (["log", "mot"], "file,mot"),
        (["publish", "rulesets/"], "file,rulesets/"),
        (["che"], "plain,check"),
        (["check", "--report", "li"], "plain,lines"),
        (["check", "--class", "sto"], "plain,stock-17"),
        (["check", "--ruleset", "quay"], "plain,quay-street"),
        (["explain", "rollo"], "plain,rollout_mm"),
        (["explain", "unknown-k"], "plain,unknown-key"),
    ],
)
def test_files_stay_files_and_words_are_those_that_are_there(words: list[str], wanted: str, team: Path) -> None:
    assert wanted in offered(team, *words)
