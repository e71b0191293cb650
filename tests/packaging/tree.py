"""The project's own files, copied to where a test can build or install from them."""

import shutil
from pathlib import Path
from typing import Final

PROJECT: Final = Path(__file__).resolve().parents[2]

_NEVER_COPIED: Final = shutil.ignore_patterns(
    ".git", ".venv", "__pycache__", ".*_cache", ".hypothesis", "dist", "build", "*.egg-info"
)


def copy_project(target: Path) -> Path:
    """Copy what a clone would hold into a folder that is not there yet, and return it."""
    shutil.copytree(PROJECT, target, ignore=_NEVER_COPIED)
    return target
