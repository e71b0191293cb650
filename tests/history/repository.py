"""A repository of a test's own, that no settings of this machine reach."""

import subprocess
from pathlib import Path


def git(folder: Path, *words: str, day: str = "2026-03-01") -> None:
    subprocess.run(
        ["git", "-c", "user.name=A Racer", "-c", "user.email=racer@club.example", "-c", "init.defaultBranch=main", *words],
        cwd=folder, check=True, capture_output=True, env={
            "PATH": "/usr/local/bin:/usr/bin:/bin", "HOME": str(folder), "GIT_CONFIG_NOSYSTEM": "1",
            "GIT_AUTHOR_DATE": f"{day}T12:00:00", "GIT_COMMITTER_DATE": f"{day}T12:00:00",
        },
    )  # fmt: skip
