"""Where an interpreter has no build of the compiled parts, everything is read and told the same, only slower."""

import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

from tests.console import BAD, ROOT

_STARTED: Final = "from speclint.cli import main; main()"
_WITHOUT: Final = "import sys; sys.modules['_ruamel_yaml'] = sys.modules['jsonschema_rs'] = None; " + _STARTED


def told(program: str, folder: Path, *arguments: str) -> tuple[int, bytes, bytes]:
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments],
        cwd=folder,
        env={"PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    return done.returncode, done.stdout, done.stderr


@pytest.mark.parametrize("kind", ["text", "lines", "json"])
def test_the_examples_come_out_to_the_same_byte(kind: str) -> None:
    arguments = ("check", "examples", "--report", kind)
    assert told(_WITHOUT, ROOT, *arguments) == told(_STARTED, ROOT, *arguments)


def test_the_problems_of_bad_files_are_the_same_at_the_same_places() -> None:
    arguments = ("check", ".", "--report", "lines")
    _, compiled, _ = told(_STARTED, BAD, *arguments)
    _, pure, _ = told(_WITHOUT, BAD, *arguments)
    assert pure.decode().splitlines() == compiled.decode().splitlines()
