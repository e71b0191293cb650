"""A program that is killed in the middle of writing leaves the old file or the new one, and the next one clears up.

The child has every call that touches the file system counted, and is killed, or interrupted, before a certain one.
"""

import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

from speclint.cli import COMMANDS

ROOT: Final = Path(__file__).resolve().parents[2]
BEFORE: Final = "format: motor/1\nbench_runs:\n  - date: 2026-03-10\n    current_a: 3.9\n"
AFTER: Final = BEFORE + "  - date: 2026-03-20\n    current_a: 3.7\n"
WORDS: Final = ("log", "motor.yaml", "bench", "--date", "2026-03-20", "--current-a", "3.7")

PROGRAM: Final = """
import os, signal, sys, tempfile
number, sent, words = int(sys.argv[1]), getattr(signal, sys.argv[2]), sys.argv[3:]
import speclint.whole_files, speclint.edits.write, speclint.commands.log, speclint.commands.start
import speclint.commands.pin, speclint.commands.check, speclint.delivery, speclint.check.pipeline
import speclint.starters.start, speclint.starters.neighbours, speclint.starters.options  # reading code is no step
calls = 0
def counted(function):
    def before(*arguments, **options):
        global calls
        calls += 1
        if calls == number:
            os.kill(os.getpid(), sent)
        return function(*arguments, **options)
    return before
for name in ("open", "write", "fsync", "chmod", "chown", "link", "rename", "replace", "unlink", "close", "fdopen", "scandir",
             "mkdir", "rmdir"):
    setattr(os, name, counted(getattr(os, name)))
sys.argv = ["speclint", *words]
from speclint.cli import main
try:
    main()
finally:
    print("CALLS", calls, file=sys.stderr)
"""

pytestmark = [pytest.mark.slow, pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")]


def run(folder: Path, number: int, sent: str, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", PROGRAM, str(number), sent, *words],
        cwd=folder,
        env={"PYTHONPATH": str(ROOT), "PATH": os.environ["PATH"]},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def files(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in sorted(folder.iterdir()) if path.is_file()}


def steps(folder: Path, *words: str) -> int:
    """How many calls a whole run makes."""
    done = run(folder, 0, "SIGKILL", *words)
    assert done.returncode == 0, done.stderr
    return int(done.stderr.rpartition("CALLS")[2])


def test_a_killed_log_leaves_the_old_file_or_the_new_one_and_the_next_log_clears_up(tmp_path: Path) -> None:
    motor = tmp_path / "motor.yaml"
    motor.write_text(BEFORE, encoding="utf-8")
    count = steps(tmp_path, *WORDS)
    assert count > 8
    left_over = 0
    for number in range(1, count + 1):
        motor.write_text(BEFORE, encoding="utf-8")
        done = run(tmp_path, number, "SIGKILL", *WORDS)
        assert done.returncode == -signal.SIGKILL
        assert motor.read_text(encoding="utf-8") in (BEFORE, AFTER)
        left_over += len(files(tmp_path)) - 1
        motor.write_text(BEFORE, encoding="utf-8")
        assert run(tmp_path, 0, "SIGKILL", *WORDS).returncode == 0
        assert files(tmp_path) == {"motor.yaml": AFTER}
    assert left_over > 0, "no step was in the middle of the writing"


@pytest.mark.parametrize("sent", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_one_that_is_asked_to_end_clears_up_itself_and_says_what_is_written(tmp_path: Path, sent: str) -> None:
    motor = tmp_path / "motor.yaml"
    motor.write_text(BEFORE, encoding="utf-8")
    for number in range(1, steps(tmp_path, *WORDS) + 1):
        motor.write_text(BEFORE, encoding="utf-8")
        done = run(tmp_path, number, sent, *WORDS)
        assert done.returncode == 128 + getattr(signal, sent)
        assert files(tmp_path) in ({"motor.yaml": BEFORE}, {"motor.yaml": AFTER})
        is_told = "speclint: interrupted, but motor.yaml is written\n" in done.stderr
        assert is_told is (motor.read_text(encoding="utf-8") == AFTER)
        assert "Traceback" not in done.stderr


def test_a_killed_start_leaves_no_file_or_a_whole_one(tmp_path: Path) -> None:
    words = ("start", "garage", "garage.yaml")
    count = steps(tmp_path, *words)
    whole = (tmp_path / "garage.yaml").read_text(encoding="utf-8")
    for number in range(1, count + 1):
        (tmp_path / "garage.yaml").unlink(missing_ok=True)
        run(tmp_path, number, "SIGKILL", *words)
        assert files(tmp_path).get("garage.yaml", whole) == whole


def test_what_another_program_is_writing_at_the_moment_is_no_leftover(tmp_path: Path) -> None:
    from speclint.whole_files import staged

    with staged("car.yaml", str(tmp_path / "car.yaml")) as first:
        first.write(b"first")
        with staged("car.yaml", str(tmp_path / "car.yaml")) as second:
            second.write(b"second")
            second.replace()
        first.replace()
    assert files(tmp_path) == {"car.yaml": "first"}


CLUB: Final = """format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01}
classes: {stock: {rules: [{id: gears, quantity: final_drive_ratio, at_least: 4}]}}
"""
CAR: Final = """format: setup/1
entries: [{ruleset: club, class: stock, on: 2026-03-14}]
car: {spur_teeth: 96, pinion_teeth: 50, internal_ratio: 1.9, gear_pitch_dp: 64}
motor: {turns: 17.5, bench_runs: [{date: 2026-03-01, supply_v: 3.7, current_a: 3.9}]}
"""
WRITING: Final = (
    ("log", "car.yaml", "track", "--date", "2026-03-20", "--minutes", "5", "--can-c", "61"),
    ("start", "motor", "motor.yaml", "--no-questions"),
    ("start", "demo", "team"),
    ("pin", "club"),
    ("publish", "club", "site"),
    ("schema", "--copy", "schemas"),
    ("check", "car.yaml", "--apply", "1"),
    ("check", "car.yaml", "--save", "report.json"),
    ("gearing", "car.yaml", "--save", "report.json"),
    ("compare", "car.yaml", "two.yaml", "--save", "report.json"),
)
ONLY_TELLING: Final = {"explain", "editor"}


def a_club(folder: Path) -> dict[str, bytes]:
    """A fresh repository of a club; what it holds."""
    shutil.rmtree(folder, ignore_errors=True)
    (folder / "rulesets").mkdir(parents=True)
    (folder / "rulesets/club.yaml").write_text(CLUB, encoding="utf-8")
    (folder / "garage.yaml").write_text("format: garage/1\nname: team\n", encoding="utf-8")
    (folder / "car.yaml").write_text(CAR, encoding="utf-8")
    (folder / "two.yaml").write_text(CAR.replace("50", "48"), encoding="utf-8")
    return all_files(folder)


def all_files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_every_command_that_writes_is_tried() -> None:
    assert {words[0] for words in WRITING} | ONLY_TELLING == set(COMMANDS)


@pytest.mark.parametrize("words", WRITING, ids=" ".join)
@pytest.mark.parametrize("sent", ["SIGKILL", "SIGTERM", "SIGHUP"])
def test_whatever_writes_leaves_each_file_as_it_was_or_as_it_is_to_be(
    words: tuple[str, ...], sent: str, tmp_path: Path
) -> None:
    folder = tmp_path / "club"
    before = a_club(folder)
    count = int(run(folder, 0, sent, *words).stderr.rpartition("CALLS")[2])
    after = all_files(folder)
    assert after != before
    for number in range(1, count + 1, max(1, count // 6)):
        a_club(folder)
        done = run(folder, number, sent, *words)
        assert "Traceback" not in done.stderr
        for name, data in all_files(folder).items():
            is_leftover = sent == "SIGKILL" and any(part.startswith(".") for part in name.split("/"))
            assert is_leftover or data in (before.get(name), after.get(name)), name
        assert before.keys() <= all_files(folder).keys()
