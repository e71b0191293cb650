"""The project's own files: those that git tracks, and a copy of them where a test can build or install."""

import shutil
import subprocess
from pathlib import Path
from typing import Final

PROJECT: Final = Path(__file__).resolve().parents[2]

_NEVER_COPIED: Final = shutil.ignore_patterns(
    ".git", ".venv", "__pycache__", ".*_cache", ".hypothesis", "dist", "build", "*.egg-info"
)


def tracked_files() -> list[str]:
    """The files that git tracks, in order; none outside a repository, as in an unpacked source archive.

    What else lies about in the folder, such as an environment of whatever name, is nobody's business.
    """
    done = subprocess.run(
        ["git", "ls-files", "--cached"], cwd=PROJECT, capture_output=True, text=True, encoding="utf-8", check=False
    )
    return sorted(name for name in set(done.stdout.splitlines()) if (PROJECT / name).is_file())


def copy_project(target: Path) -> Path:
    """Copy what a clone would hold into a folder that is not there yet, and return it."""
    names = tracked_files()
    if not names:
        shutil.copytree(PROJECT, target, ignore=_NEVER_COPIED)
    for name in names:
        (target / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(PROJECT / name, target / name)
    return target
