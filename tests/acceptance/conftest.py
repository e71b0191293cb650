"""What the tests of a team's repository share: the project as others get it."""

from pathlib import Path

import pytest

from tests.acceptance.team_repository import Team, neutral_environment
from tests.packaging.tree import copy_project


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the hook runner keeps the environment that it builds once for the session."""
    return tmp_path_factory.mktemp("home")


@pytest.fixture(scope="session")
def published(tmp_path_factory: pytest.TempPathFactory, home: Path) -> str:
    """The address of the project as others get it: a repository without a tag."""
    folder = copy_project(tmp_path_factory.mktemp("published") / "speclint")
    project = Team(folder, neutral_environment(home))
    project.git("init", "--quiet")
    done = project.commit()
    assert done.returncode == 0, done.stderr
    return folder.as_uri()
