"""Brings README.md, the team's guide and the pictures up to date: `python -m tests.readme`."""

import tempfile
from pathlib import Path

from tests.readme.blocks import README, TEAM_GUIDE
from tests.readme.pictures import pictures
from tests.readme.sessions import with_current_sessions
from tests.readme.tables import with_current_tables

if __name__ == "__main__":
    text = with_current_tables(README.read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        text = with_current_sessions(text, Path(folder))
    README.write_text(text, encoding="utf-8")
    team_text = TEAM_GUIDE.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        team_text = with_current_sessions(team_text, Path(folder), TEAM_GUIDE)
    TEAM_GUIDE.write_text(team_text, encoding="utf-8")
    for path, picture_text in pictures():
        path.write_text(picture_text, encoding="utf-8")
