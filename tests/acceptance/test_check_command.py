"""`speclint check` as people run it: where its reports go, on which terminals, in which encodings, and how far it has come."""

import codecs
import io
import json
import os
import re
import select
import shutil
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path

import pytest

from speclint.progress import Counter
from speclint.whole_files import StagedFile
from tests.console import ROOT, Console, process, world, write
from tests.reports.misprint_cars import MISPRINTS

pty = pytest.importorskip("pty", reason="this system has no pseudo-terminals")

ESCAPE = re.compile(r"\x1b\[[0-9;]*m")


@pytest.fixture
def cars(empty: Path) -> Path:
    shutil.copytree(MISPRINTS, empty, dirs_exist_ok=True)
    return empty


def on_a_terminal(
    folder: Path,
    *arguments: str,
    width: int = 100,
    only_errors: bool = False,
    environment: Mapping[str, str] | None = None,
) -> tuple[int, str, str]:
    """Status, what the terminal showed, and what went elsewhere, of a run whose outputs, or only standard error, are one."""
    import fcntl
    import struct
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 40, width, 0, 0))
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "FORCE_COLOR", "COLUMNS")}
    with subprocess.Popen(
        [sys.executable, *arguments],
        cwd=folder,
        env={**kept, "PYTHONPATH": str(ROOT), "TERM": "xterm", "PYTHONIOENCODING": "utf-8", **(environment or {})},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE if only_errors else theirs,
        stderr=theirs,
    ) as run:
        os.close(theirs)
        shown = b""
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline and select.select([ours], [], [], 60)[0]:
            try:
                part = os.read(ours, 65536)
            except OSError:  # the other side is closed
                break
            if not part:
                break
            shown += part
        elsewhere = run.stdout.read().decode() if run.stdout is not None else ""
    os.close(ours)
    return run.returncode, shown.decode().replace("\r\n", "\n"), elsewhere


CHECK = ("-m", "speclint", "check")


def test_the_sheet_is_as_wide_as_the_terminal_and_in_colour(cars: Path) -> None:
    status, shown, _ = on_a_terminal(cars, *CHECK, "illegal.yaml", width=70)
    assert status == 1
    assert "\x1b[" in shown
    assert max(len(line) for line in ESCAPE.sub("", shown).splitlines()) <= 70
    assert ESCAPE.sub("", shown).splitlines()[0] == "Car 2, three things wrong: illegal (1 to inspect)"


@pytest.mark.parametrize(
    ("environment", "is_coloured"),
    [
        ({}, True),
        ({"NO_COLOR": "1"}, False),
        ({"NO_COLOR": ""}, True),
        ({"NO_COLOR": "0"}, False),
        ({"TERM": "dumb"}, False),
        ({"FORCE_COLOR": "0"}, False),
        ({"FORCE_COLOR": "1", "TERM": "dumb"}, True),
        ({"FORCE_COLOR": "1", "NO_COLOR": "1"}, False),
    ],
)
def test_who_decides_on_colour_on_a_terminal(environment: dict[str, str], is_coloured: bool, cars: Path) -> None:
    _, shown, _ = on_a_terminal(cars, *CHECK, "legal.yaml", environment=environment)
    assert ("\x1b" in shown) is is_coloured


@pytest.mark.parametrize(
    ("environment", "is_coloured"), [({}, False), ({"FORCE_COLOR": "1"}, True), ({"FORCE_COLOR": "0"}, False)]
)
def test_who_decides_on_colour_in_a_pipe(environment: dict[str, str], is_coloured: bool, cars: Path) -> None:
    assert (b"\x1b" in process(cars, "check", "legal.yaml", **environment).stdout) is is_coloured
    assert b"\x1b" not in process(cars, "check", "--report", "lines", "illegal.yaml", **environment).stdout


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "latin-1", "utf-8", "utf-16"])
@pytest.mark.parametrize("kind", ["text", "lines", "json"])
def test_no_encoding_of_the_output_is_too_small(encoding: str, kind: str, cars: Path) -> None:
    write(cars / "wide.yaml", (cars / "illegal.yaml").read_text(encoding="utf-8").replace("Car 2", "Zoë 車 № 2 ☠"))
    run = process(cars, "check", "--report", kind, "wide.yaml", PYTHONIOENCODING=encoding)
    assert (run.returncode, run.stderr) == (1, b"")
    text = codecs.decode(run.stdout, encoding)
    if kind == "json":
        assert json.loads(text)["entries"][0]["name"] == "Zoë 車 № 2 ☠, three things wrong"
    else:
        assert ("1344.0 ± 1.3 g" if encoding.startswith("utf") else "1344.0 +/- 1.3 g") in text
        assert encoding.startswith("utf") or text.isascii()


def test_several_reports_go_to_their_places_at_once(cars: Path, console: Console) -> None:
    run = console(cars, "check", "--save", "out.json", "--report", "lines", "--save", "out.txt", "illegal.yaml")
    assert (run.status, run.err) == (1, "speclint: out.json is written\nspeclint: out.txt is written\n")
    assert run.out == console(cars, "check", "--report", "lines", "illegal.yaml").out
    assert (cars / "out.json").read_text(encoding="utf-8") == console(
        cars, "check", "--report", "json", "illegal.yaml"
    ).out
    sheet = (cars / "out.txt").read_text(encoding="utf-8")
    assert sheet.startswith("Car 2, three things wrong: illegal")
    assert "\x1b" not in sheet


@pytest.mark.parametrize("second", ["out.json", "./out.json", "sub/../out.json", "link.json"])
def test_two_reports_to_one_place_are_refused_before_any_work(second: str, cars: Path, console: Console) -> None:
    (cars / "sub").mkdir()
    (cars / "link.json").symlink_to("out.json")
    run = console(cars, "check", "--save", "out.json", "--save", second, "legal.yaml")
    assert (run.status, run.out) == (2, "")
    assert run.err == f"speclint: two reports cannot both go into {second}: give one of them another name\n"
    assert not (cars / "out.json").exists()


def test_two_reports_to_standard_output_are_refused(cars: Path, console: Console) -> None:
    run = console(cars, "check", "--report", "json", "--report", "lines", "legal.yaml")
    assert (run.status, run.out) == (2, "")
    assert "give --report once, and --save FILE for the others" in run.err


@pytest.mark.parametrize("path", ["legal.yaml", "rulesets/quay-lane.yaml", "setup.yml", "notes", "page.htm"])
def test_no_report_is_saved_under_an_ending_that_says_no_kind(path: str, cars: Path, console: Console) -> None:
    before = (cars / path).read_bytes() if (cars / path).exists() else None
    run = console(cars, "check", "--save", path, "illegal.yaml")
    assert (run.status, run.out) == (2, "")
    assert (
        f"{path} ends in none of .txt, .json, .html, .csv, .md, .sarif, .xml, which say what kind of report to save"
        in run.err
    )
    assert ((cars / path).read_bytes() if (cars / path).exists() else None) == before


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("package.json", '{"name": "somebody\'s"}'),
        ("notes.txt", "pinion 42, too hot"),
        ("laps.csv", "lap,time\n1,14.2\n"),
        ("legal.json", "format: setup/1\ncar: {mass_g: 1352}\n"),
    ],
)
def test_a_file_that_is_no_such_report_is_never_written_over(
    path: str, text: str, cars: Path, console: Console
) -> None:
    write(cars / path, text)
    run = console(cars, "check", "--save", path, "illegal.yaml")
    kind = {".json": "json", ".txt": "text", ".csv": "csv"}[Path(path).suffix]
    assert (run.status, run.out) == (2, "")
    assert run.err == (
        f"speclint: {path} is not a {kind} report of speclint, and is left as it is: give another name\n"
    )
    assert (cars / path).read_text(encoding="utf-8") == text


def test_a_report_of_another_kind_is_not_written_over_either(cars: Path, console: Console) -> None:
    console(cars, "check", "--save", "out.txt", "illegal.yaml")
    (cars / "out.txt").rename(cars / "out.json")
    assert console(cars, "check", "--save", "out.json", "illegal.yaml").status == 2


@pytest.mark.parametrize("path", ["out.json", "out.txt", "out.csv", "OUT.CSV"])
def test_a_report_is_renewed_without_a_question(path: str, cars: Path, console: Console) -> None:
    write(cars / path, "")
    texts = []
    for _ in range(3):
        run = console(cars, "check", "--save", path, "illegal.yaml")
        assert (run.status, run.err) == (1, f"speclint: {path} is written\n")
        texts.append((cars / path).read_bytes())
    assert texts[0] == texts[1] == texts[2] != b""
    assert sorted(file.name for file in cars.iterdir() if file.name.startswith(".")) == []


@pytest.mark.parametrize(
    ("path", "reason"),
    [
        ("none/out.json", "cannot be written, nothing was: no such file or directory"),
        ("folder.json", "is no ordinary file, so nothing was written"),
        (
            "twice.json",
            "has another name (a hard link), which would keep the old text: nothing was written; copy the"
            " file to make it one of its own",
        ),
    ],
)
def test_a_report_that_cannot_be_written_costs_no_other_one(
    path: str, reason: str, cars: Path, console: Console
) -> None:
    (cars / "folder.json").mkdir()
    write(cars / "twice.json", "")
    (cars / "second-name").hardlink_to(cars / "twice.json")
    run = console(cars, "check", "--save", path, "--report", "lines", "--save", "out.csv", "illegal.yaml")
    assert run.status == 2
    assert len(run.out.splitlines()) == 4
    assert run.err == f"speclint: out.csv is written\nspeclint: {path} {reason}\n"
    assert (cars / "twice.json").read_bytes() == b""


def test_a_disk_that_fills_up_leaves_the_old_report_whole(
    cars: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    console(cars, "check", "--save", "out.json", "legal.yaml")
    before = (cars / "out.json").read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(StagedFile, "write", full)
    run = console(cars, "check", "--report", "lines", "--save", "out.json", "illegal.yaml")
    assert (run.status, run.err) == (2, "speclint: out.json cannot be written: no space left on device\n")
    assert len(run.out.splitlines()) == 4
    assert (cars / "out.json").read_bytes() == before
    assert [file.name for file in cars.iterdir() if file.name.startswith(".")] == []


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_a_full_disk_behind_standard_output_is_told(cars: Path) -> None:
    with Path("/dev/full").open("w") as full:
        run = subprocess.run(
            [sys.executable, *CHECK, "legal.yaml"],
            cwd=cars,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert run.returncode == 2
    assert run.stderr == "speclint: standard output cannot be written: no space left on device\n"


@pytest.mark.parametrize("kind", ["text", "lines", "json"])
def test_a_reader_who_has_seen_enough_is_no_error(kind: str, empty: Path) -> None:
    shutil.copytree(ROOT / "examples", empty, dirs_exist_ok=True)
    command = f"{sys.executable} -m speclint check --report {kind} . | head -n 1; echo ${{PIPESTATUS[0]}}"
    run = subprocess.run(
        ["bash", "-c", command],
        cwd=empty,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    assert run.stderr == b""
    assert run.stdout.splitlines()[-1] == b"1"


def test_a_reader_who_has_seen_enough_costs_no_other_report(cars: Path) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    run = subprocess.run(
        [sys.executable, *CHECK, "--save", "out.json", "illegal.yaml"],
        cwd=cars,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writer)
    assert (run.returncode, run.stderr) == (1, b"speclint: out.json is written\n")
    assert json.loads((cars / "out.json").read_text(encoding="utf-8"))["summary"]["illegal"] == 1


def test_without_standard_output_the_status_still_tells(cars: Path) -> None:
    command = f"{sys.executable} -m speclint check illegal.yaml >&-"
    run = subprocess.run(
        ["bash", "-c", command], cwd=cars, env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, check=False
    )
    assert (run.returncode, run.stderr) == (1, b"")


def test_a_report_that_does_not_exist_is_refused_with_those_that_do(cars: Path, console: Console) -> None:
    run = console(cars, "check", "--report", "jason", "legal.yaml")
    assert run.status == 2
    assert "there is no report jason for standard output; did you mean json?" in run.err


def test_nothing_that_the_machine_alone_knows_is_in_a_report(empty: Path) -> None:
    world(empty, "sound", "motor-with-problems", "unknown-ruleset", "circular-rulesets")
    for kind in ("text", "lines", "json"):
        run = process(empty, "check", "--report", kind, str(empty))
        for known in (str(empty), str(ROOT), sys.prefix, os.uname().nodename):
            assert known.encode() not in run.stdout + run.stderr


SLOW = """
import sys, time
import speclint.workspace.loaded as loaded
quick = loaded.load
def slow(source):
    time.sleep({pause})
    return quick(source)
loaded.load = slow
from speclint.cli import main
sys.argv = ["speclint", "check", "--report", "lines"]
main()
"""


def test_a_long_run_on_a_terminal_says_how_far_it_is_and_leaves_no_trace(empty: Path) -> None:
    world(empty, "sound")
    for i in range(30):
        write(empty / f"car-{i + 10}.yaml", "format: setup/1\n")
    status, shown, out = on_a_terminal(empty, "-c", SLOW.format(pause=0.05), only_errors=True)
    assert (status, out) == (0, "")
    assert re.search(r"checked \d+ of 31 cars", shown)
    # The line is erased at the end: EL, "erase in line", of ECMA-48.
    assert re.search(r"\x1b\[2K\Z", shown)


def test_a_short_run_says_nothing_and_a_long_one_in_a_pipe_neither(empty: Path) -> None:
    world(empty, "sound")
    assert on_a_terminal(empty, "-c", SLOW.format(pause=0), only_errors=True) == (0, "", "")
    write(empty / "car-10.yaml", "format: setup/1\n")
    run = subprocess.run(
        [sys.executable, "-c", SLOW.format(pause=0.25)],
        cwd=empty,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    assert (run.returncode, run.stdout, run.stderr) == (0, b"", b"")


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_the_counter_waits_a_second_and_then_tells_ten_times_a_second_at_most() -> None:
    terminal, now = _Terminal(), 0.0
    counter = Counter(terminal, lambda: now)
    for i in range(300):
        now = i / 100
        counter("checked", i, 1000)
    told = re.findall(r"checked (\d+) of 1000 cars", terminal.getvalue())
    assert told[0] == "100"
    assert 15 <= len(set(told)) <= 20
    counter.wipe()
    told_in_all = terminal.getvalue()
    counter.wipe()
    assert terminal.getvalue() == told_in_all


def test_the_counter_says_nothing_where_nobody_looks() -> None:
    pipe, now = io.StringIO(), 0.0
    counter = Counter(pipe, lambda: now)
    for i in range(300):
        now = i / 100
        counter("checked", i, 1000)
    counter.wipe()
    assert pipe.getvalue() == ""
