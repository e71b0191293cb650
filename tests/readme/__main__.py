"""Brings README.md, the guides and the pictures up to date: `python -m tests.readme`."""

import tempfile
from pathlib import Path

from tests.readme.blocks import ORGANISER_GUIDE, RACER_GUIDE, README, TEAM_GUIDE
from tests.readme.pictures import pictures
from tests.readme.sessions import with_current_sessions
from tests.readme.tables import with_current_tables

if __name__ == "__main__":
    text = with_current_tables(README.read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        text = with_current_sessions(text, Path(folder))
    README.write_text(text, encoding="utf-8")
    for guide in (RACER_GUIDE, TEAM_GUIDE, ORGANISER_GUIDE):
        guide_text = with_current_tables(guide.read_text(encoding="utf-8"))
        with tempfile.TemporaryDirectory() as folder:
            guide_text = with_current_sessions(guide_text, Path(folder), guide)
        guide.write_text(guide_text, encoding="utf-8")
    for path, picture_text in pictures():
        path.write_text(picture_text, encoding="utf-8")
