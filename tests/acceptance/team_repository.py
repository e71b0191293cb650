"""A team's repository as the tests make it: the example's files with races that are still to come, and the hook installed."""

import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Final

from tests.packaging.tree import PROJECT

EXAMPLE: Final = PROJECT / "examples" / "team-repo"

_RACE_DAY: Final = re.compile(r"(?<=\bon: )\d{4}-\d\d-\d\d")


@dataclass(frozen=True, slots=True)
class Team:
    """A team's repository, and the environment that its commands run in."""

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

    def commit(self) -> subprocess.CompletedProcess[str]:
        """Stage everything and try to commit it; the hook writes to the result's standard output and error."""
        self.git("add", "--all")
        return self.run("git", "commit", "--quiet", "--message", "a change")


def lay_out(folder: Path, environment: dict[str, str], example: Path = EXAMPLE) -> Team:
    """An example as a repository with one commit; its races are in a month."""
    shutil.copytree(example, folder)
    race_day = date.today() + timedelta(days=30)
    for file in folder.glob("setups/*.yaml"):
        text = file.read_text(encoding="utf-8")
        file.write_text(_RACE_DAY.sub(race_day.isoformat(), text), encoding="utf-8")
    team = Team(folder, environment)
    team.git("init", "--quiet", "--initial-branch", "main")
    first = team.commit()
    assert first.returncode == 0, first.stdout + first.stderr
    return team


def neutral_environment(home: Path) -> dict[str, str]:
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
    programs = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    return (
        kept
        | who
        | {
            "PATH": programs,
            "GIT_CONFIG_GLOBAL": os.devnull,
            "GIT_CONFIG_NOSYSTEM": "1",
            "PRE_COMMIT_HOME": str(home / "hooks"),
        }
    )
