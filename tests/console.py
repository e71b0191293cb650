"""What the tests of the command line share: a run of it, its files, and expected outputs that can be renewed."""

import contextlib
import gc
import io
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import pytest

from speclint.cli import main

ROOT: Final = Path(__file__).resolve().parent.parent
DATA: Final = ROOT / "tests" / "data"
BAD: Final = DATA / "bad"
GOLDEN: Final = ROOT / "tests" / "golden"


@dataclass(frozen=True, slots=True)
class Run:
    """How a command ended, and what it wrote."""

    status: int
    out: str
    err: str


@dataclass(frozen=True, slots=True)
class Console:
    capsys: pytest.CaptureFixture[str]
    monkeypatch: pytest.MonkeyPatch

    def __call__(self, folder: Path, *arguments: str) -> Run:
        self.monkeypatch.chdir(folder)
        self.monkeypatch.setattr(sys, "argv", ["speclint", *arguments])
        self.capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main()
        out, err = self.capsys.readouterr()
        assert isinstance(ended.value.code, int)
        return Run(ended.value.code, out, err)


def in_process(folder: Path, *arguments: str, encoding: str = "utf-8") -> subprocess.CompletedProcess[str]:
    """A run in this process, for tests that a fixture does not reach; it is spared the start of another one."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding, write_through=True) for _ in range(2))
    with (
        pytest.MonkeyPatch.context() as patched,
        contextlib.chdir(folder),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
        pytest.raises(SystemExit) as ended,
    ):
        patched.setenv("NO_COLOR", "1")
        patched.setattr(sys, "argv", ["speclint", *arguments])
        main()
    gc.enable()
    gc.unfreeze()
    assert isinstance(ended.value.code, int)
    texts = (stream.buffer.getvalue().decode(encoding) for stream in (out, err))
    return subprocess.CompletedProcess(arguments, ended.value.code, *texts)


@dataclass(frozen=True, slots=True)
class Golden:
    update: bool

    def holds(self, path: Path, text: str) -> None:
        """Asserts that a file says what came out; with `--update-golden` it is made to."""
        if self.update:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="")
        assert text == path.read_bytes().decode(), f"{path.relative_to(ROOT)} says otherwise; --update-golden renews it"


def lay_out_rulesets(folder: Path) -> None:
    """Puts the invented league and clubs where setups in a folder find their rules."""
    shutil.copytree(ROOT / "rulesets", folder / "rulesets", dirs_exist_ok=True)


def process(folder: Path, *arguments: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """A run in a process of its own, for what only a process has: encodings, pipes, a terminal."""
    kept = {
        key: value for key, value in os.environ.items() if key not in ("NO_COLOR", "FORCE_COLOR", "PYTHONIOENCODING")
    }
    return subprocess.run(
        [sys.executable, "-m", "speclint", *arguments],
        cwd=folder,
        env={**kept, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", **environment},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=60,
        check=False,
    )


def example(name: str) -> str:
    """The path of an example car from the top of the project, by its name."""
    (path,) = ROOT.glob(f"examples/*/{name}.yaml")
    return path.relative_to(ROOT).as_posix()


def world(folder: Path, *names: str) -> Path:
    """Puts the files of some folders of `tests/data/bad` into one."""
    for name in names:
        shutil.copytree(BAD / name, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("expected.txt"))
    return folder


def write(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path
