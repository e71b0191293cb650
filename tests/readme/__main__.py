"""Brings README.md up to date, its tables and what its commands print: `python -m tests.readme`."""

import tempfile
from pathlib import Path

from tests.readme.blocks import README
from tests.readme.sessions import with_current_sessions
from tests.readme.tables import with_current_tables

if __name__ == "__main__":
    text = with_current_tables(README.read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as folder:
        text = with_current_sessions(text, Path(folder))
    README.write_text(text, encoding="utf-8")
