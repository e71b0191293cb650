"""Whatever a file holds, the run ends with a message that says where and what, and the other files keep their verdicts."""

import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from speclint.files import FileText, Folder
from tests.console import BAD, ROOT, Console, Golden, process, world, write

CASES = sorted(folder.name for folder in BAD.iterdir() if folder.is_dir() and folder.name != "sound")
LINE = re.compile(
    r"(?P<file>[^:]+(?::rulesets/[^:]+)?):(?P<line>\d+):(?P<column>\d+): (?P<kind>problem|illegal|not-shown|close call|advice): .+"
)
ENTRY = "entries:\n  - {ruleset: pier-club, class: touring, on: 2026-05-02}\n"
NOBODY = 65534


def files_of(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.yaml"))


@pytest.mark.parametrize("name", CASES)
def test_each_bad_input_has_its_messages(
    name: str, empty: Path, console: Console, golden: Golden, is_report: Callable[[Any], bool]
) -> None:
    folder = world(empty, "sound", name)
    run = console(folder, "check", "--report", "lines", *files_of(folder))
    assert run.err == ""
    golden.holds(BAD / name / "expected.txt", f"status {run.status}\n{run.out}")
    assert run.status == 1
    assert all(LINE.fullmatch(line) for line in run.out.splitlines())
    assert not any(sign in run.out for sign in "\x1b\x07\x9b\r\u2028\u202e")
    assert str(empty) not in run.out

    report = json.loads(console(folder, "check", "--report", "json", *files_of(folder)).out)
    assert is_report(report)
    assert [entry["verdict"] for entry in report["entries"] if entry["file"] == "car-1.yaml"] == ["legal"]
    assert report["summary"]["problems"] == len(report["problems"]) > 0

    sheet = console(folder, "check", *files_of(folder)).out
    assert re.search(r"Car 1, with which nothing is wrong(:| ) *legal", sheet)
    assert not any(sign in sheet for sign in "\x1b\x07\x9b\r\u2028\u202e")
    assert max(len(line) for line in sheet.splitlines()) <= 120


STEERING = "\U000e0041\x9b\u202e\u2028\x1b[31m\x85\u2066\x07\n::error::told\ufeff"


@pytest.mark.parametrize(
    "words",
    [
        ("check", "--on", STEERING),
        ("check", "--report", STEERING),
        ("check", "--save", STEERING),
        ("check", "--jobs", STEERING),
        ("check", "--ruleset", STEERING),
        ("check", f"--{STEERING}"),
        ("check", STEERING),
        ("start", STEERING),
        ("log", "car.yaml", STEERING),
        ("explain", STEERING),
        (STEERING,),
    ],
)
def test_a_command_shows_words_that_it_does_not_know_without_what_steers_in_them(
    words: tuple[str, ...], empty: Path, console: Console
) -> None:
    write(empty / "car.yaml", "format: setup/1\n")
    run = console(empty, *words)
    assert run.status == 2
    assert all(line.isprintable() and not line.startswith("::") for line in run.err.split("\n"))


@pytest.mark.parametrize(
    ("encoding", "line", "column", "said"),
    [
        ("latin-1", 2, 13, "the byte 0xfc is not UTF-8 text: save the file as UTF-8"),
        ("utf-16", 1, 1, "the file is UTF-16, not UTF-8: save it as UTF-8"),
        ("utf-16-le", 1, 1, "the file is UTF-16, not UTF-8: save it as UTF-8"),
        ("utf-16-be", 1, 1, "the file is UTF-16, not UTF-8: save it as UTF-8"),
        ("utf-32", 1, 1, "the file is UTF-32, not UTF-8: save it as UTF-8"),
    ],
)
@pytest.mark.parametrize("path", [".", "car-7.yaml"])
def test_a_setup_in_another_encoding_is_told_to_be_saved_anew(
    encoding: str, line: int, column: int, said: str, path: str, empty: Path, console: Console
) -> None:
    world(empty, "sound")
    (empty / "car-7.yaml").write_bytes(f"format: setup/1\nname: Car Grün\n{ENTRY}".encode(encoding))
    run = console(empty, "check", "--report", "lines", path)
    assert (run.status, run.out) == (1, f"car-7.yaml:{line}:{column}: problem: {said}\n")


def test_a_byte_order_mark_and_dos_line_ends_do_no_harm(empty: Path, console: Console) -> None:
    world(empty, "sound")
    text = f"format: setup/1\r\nname: Car 7\r\n{ENTRY}car:\r\n  mass_g: 1340\r\n"
    (empty / "car-7.yaml").write_bytes(b"\xef\xbb\xbf" + text.replace("\r\n", "\n").replace("\n", "\r\n").encode())
    run = console(empty, "check", "--report", "lines", ".")
    assert run.out.startswith("car-7.yaml:6:11: illegal: mass is 1340 g; the rule asks at least 1350 g: 10 g short")


def test_a_picture_that_is_called_yaml_is_passed_over_in_a_folder_and_refused_by_name(
    empty: Path, console: Console
) -> None:
    world(empty, "sound")
    (empty / "photo.yaml").write_bytes(b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)))
    assert console(empty, "check", "--report", "lines", ".").out == ""
    run = console(empty, "check", "--report", "lines", "photo.yaml")
    assert run.status == 1
    assert run.out == "photo.yaml:1:1: problem: the byte 0x89 is not UTF-8 text: save the file as UTF-8\n"


def test_a_file_of_more_than_a_mebibyte_is_not_read(empty: Path, console: Console) -> None:
    world(empty, "sound")
    head = f"format: setup/1\nname: Car 7\n{ENTRY}car: {{mass_g: 1360}}\n# "
    write(empty / "car-7.yaml", head.ljust(2**20, "x"))
    write(empty / "car-8.yaml", head.ljust(2**20 + 1, "x"))
    run = console(empty, "check", "--report", "lines", ".")
    assert (run.status, run.out) == (1, "car-8.yaml:1:1: problem: the file is larger than 1 MiB\n")


def test_a_name_of_a_mebibyte_is_cut_on_paper_and_whole_in_json(empty: Path, console: Console) -> None:
    world(empty, "sound")
    name = "x" * 1_000_000
    write(
        empty / "car-7.yaml",
        f'format: setup/1\nname: "{name}"\n{ENTRY}car: {{mass_g: 1340}}\nextra: {{note: "{name[:9000]}"}}\n',
    )
    assert json.loads(console(empty, "check", "--report", "json", "car-7.yaml").out)["entries"][0]["name"] == name
    sheet = console(empty, "check", "car-7.yaml").out
    assert len(sheet) < 3000
    assert max(len(line) for line in sheet.splitlines()) <= 120


def test_a_value_of_many_thousand_signs_is_cut_on_paper(empty: Path, console: Console) -> None:
    rule = "{id: body, quantity: extra.body, one_of: [club]}"
    write(
        empty / "rulesets/long.yaml",
        f"format: ruleset/1\nid: long\nversion: '1'\nin_force: {{from: 2026-01-01}}\nclasses: {{c: {{rules: [{rule}]}}}}\n",
    )
    write(
        empty / "car-7.yaml",
        "format: setup/1\nentries: [{ruleset: long, class: c, on: 2026-05-02}]\n"
        f'extra: {{body: "{"y" * 500_000}"}}\n',
    )
    for kind in ("text", "lines"):
        run = console(empty, "check", "--report", kind, "car-7.yaml")
        assert run.status == 1
        assert len(run.out) < 6000
        assert "illegal" in run.out


@pytest.mark.parametrize("reference", ["../elsewhere/417.yaml", "linked.yaml", "linked/417.yaml"])
def test_a_motor_outside_the_repository_is_not_read(reference: str, empty: Path, console: Console) -> None:
    repository = world(empty / "repository", "sound")
    (repository / ".git").mkdir()
    outside = write(empty / "elsewhere/417.yaml", "format: motor/1\nturns: many\n")
    (repository / "linked.yaml").symlink_to(outside)
    (repository / "linked").symlink_to(outside.parent)
    write(repository / "car-7.yaml", f"format: setup/1\n{ENTRY}car: {{mass_g: 1352}}\nmotor: {reference}\n")
    run = console(repository, "check", "--report", "lines", "car-7.yaml", "car-1.yaml")
    assert run.status == 1
    assert run.out == (f"car-7.yaml:5:8: problem: the motor {reference} lies outside the repository of this file\n")


def test_without_a_repository_a_motor_may_lie_anywhere(empty: Path, console: Console) -> None:
    world(empty / "here", "sound")
    write(empty / "there/417.yaml", "format: motor/1\nturns: 17.5\n")
    write(empty / "here/car-7.yaml", f"format: setup/1\n{ENTRY}car: {{mass_g: 1352}}\nmotor: ../there/417.yaml\n")
    assert console(empty / "here", "check", "--report", "lines").status == 0


def test_a_motor_with_problems_is_told_once_with_the_setups_that_name_it(empty: Path, console: Console) -> None:
    world(empty, "sound", "motor-with-problems")
    for paths in (["."], ["car-7.yaml", "car-8.yaml"]):
        lines = console(empty, "check", "--report", "lines", *paths).out.splitlines()
        told = [line for line in lines if "problem" in line]
        assert [line.partition(" problem:")[0] for line in told] == ["motors/00417.yaml:2:1:", "motors/00417.yaml:3:1:"]
        assert all(line.endswith(" (named by car-7.yaml:6:8, car-8.yaml:6:8)") for line in told)
        assert "car-8.yaml:5:15: illegal: mass is 1340 g" in "\n".join(lines)


def test_a_path_that_is_not_there_is_status_2_with_the_other_verdicts(empty: Path, console: Console) -> None:
    world(empty, "sound")
    run = console(empty, "check", "car-1.yaml", "car-9.yaml", "setups/")
    assert run.status == 2
    assert re.search(r"Car 1, with which nothing is wrong(:| ) *legal", run.out)
    assert run.err == (
        "speclint: car-9.yaml: there is no such file or folder\nspeclint: setups/: there is no such file or folder\n"
    )


def test_links_that_lead_nowhere_or_in_a_circle_are_told(empty: Path, console: Console) -> None:
    world(empty, "sound")
    (empty / "car-8.yaml").symlink_to("car-9.yaml")
    (empty / "loop.yaml").symlink_to("loop.yaml")
    (empty / "around").symlink_to(empty)
    for paths in ([], ["car-8.yaml", "loop.yaml", "car-1.yaml"]):
        run = console(empty, "check", *paths)
        assert run.status == 2
        assert re.search(r"Car 1, with which nothing is wrong(:| ) *legal", run.out)
        assert "1 entry: 1 legal" in run.out
        assert re.fullmatch(
            r"speclint: car-8\.yaml: .+\nspeclint: loop\.yaml: it cannot be read: too many levels of symbolic links\n",
            run.err,
        )


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_never_waited_for(empty: Path) -> None:
    world(empty, "sound")
    os.mkfifo(empty / "pipe.yaml")
    write(empty / "car-7.yaml", f"format: setup/1\n{ENTRY}car: {{mass_g: 1352}}\nmotor: pipe.yaml\n")
    run = process(empty, "check", "--report", "lines", ".")
    assert (run.returncode, run.stderr) == (1, b"")
    assert run.stdout == b"car-7.yaml:5:8: problem: the motor pipe.yaml is of no use here: it is not a plain file\n"
    run = process(empty, "check", "--report", "lines", "pipe.yaml", "/dev/zero", "car-1.yaml")
    assert run.returncode == 2
    assert run.stderr.count(b"it is not a plain file") == 2
    run = process(empty, "check", "--ruleset", "pipe.yaml", "car-1.yaml")
    assert run.returncode == 2
    assert run.stderr == b"speclint: pipe.yaml: it is not a plain file\n"


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user can reach, which those of the test runner are not."""
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        yield Path(name)


@contextmanager
def as_nobody() -> Iterator[None]:
    """Gives up the right to read everything, where the tests run as root."""
    is_root = os.geteuid() == 0
    if is_root:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if is_root:
            os.seteuid(0)


def test_what_must_not_be_read_is_told_and_the_rest_is_judged(open_folder: Path, console: Console) -> None:
    world(open_folder, "sound")
    write(open_folder / "locked.yaml", "format: setup/1\n")
    write(open_folder / "motors/417.yaml", "format: motor/1\n")
    write(open_folder / "shut/car-9.yaml", "format: setup/1\n")
    write(open_folder / "car-7.yaml", f"format: setup/1\n{ENTRY}car: {{mass_g: 1352}}\nmotor: motors/417.yaml\n")
    # Once with all rights, so that nothing of Python's own has to be read later.
    assert console(open_folder, "check", "--report", "lines").status == 0
    assert console(open_folder, "check", "--report", "lines", "none").status == 2
    (open_folder / "locked.yaml").chmod(0)
    (open_folder / "motors/417.yaml").chmod(0)
    (open_folder / "shut").chmod(0)
    try:
        with as_nobody():
            found = console(open_folder, "check", "--report", "lines")
            named = console(
                open_folder, "check", "--report", "lines", "locked.yaml", "car-7.yaml", "shut/car-9.yaml", "shut"
            )
            ruleset = console(open_folder, "check", "--ruleset", "locked.yaml", "car-1.yaml")
        (open_folder / "rulesets").chmod(0)
        with as_nobody():
            rulesets = console(open_folder, "check", "--report", "lines", "car-1.yaml")
    finally:
        for path in ("shut", "rulesets"):
            (open_folder / path).chmod(0o755)
    motor = (
        "car-7.yaml:5:8: problem: the motor motors/417.yaml is of no use here: it cannot be read: permission denied\n"
    )
    assert (found.status, found.out) == (2, motor)
    assert found.err.splitlines() == [
        "speclint: locked.yaml: it cannot be read: permission denied",
        "speclint: motors/417.yaml: it cannot be read: permission denied",
        "speclint: shut: it cannot be read: permission denied",
    ]
    assert (named.status, named.out) == (2, motor)
    assert named.err.splitlines() == [
        "speclint: locked.yaml: it cannot be read: permission denied",
        "speclint: shut/car-9.yaml: it cannot be read: permission denied",
        "speclint: shut: it cannot be read: permission denied",
    ]
    assert (ruleset.status, ruleset.err) == (2, "speclint: locked.yaml: it cannot be read: permission denied\n")
    assert rulesets.status == 1
    assert rulesets.out.splitlines()[0].startswith("car-1.yaml:4:15: problem: there is no ruleset pier-club")
    assert rulesets.out.splitlines()[1:] == ["rulesets:1:1: problem: rulesets: it cannot be read: permission denied"]


def test_a_file_that_vanishes_while_it_is_looked_for_is_nothing_to_check(empty: Path) -> None:
    world(empty, "sound")
    gone = write(empty / "car-7.yaml", "format: setup/1\n")

    class Hasty(Folder):
        def read(self, shown: str) -> FileText:
            gone.unlink(missing_ok=True)
            return super().read(shown)

    found = Hasty(str(empty)).find((".",))
    assert [source.file for source in found.files] == ["car-1.yaml", "rulesets/pier-club.yaml"]
    assert found.troubles == ()
    assert Hasty(str(empty)).find(("car-7.yaml",)).troubles == ("car-7.yaml: there is no such file or folder",)


def test_a_folder_that_vanishes_under_the_command_is_told(empty: Path) -> None:
    inner = empty / "inner"
    inner.mkdir()
    command = f"import os, sys; os.rmdir({str(inner)!r}); sys.path.insert(0, {str(ROOT)!r}); sys.argv = ['speclint', 'check'];"
    done = subprocess.run(
        [sys.executable, "-c", f"{command} from speclint.cli import main; main()"],
        cwd=inner,
        capture_output=True,
        check=False,
        text=True,
    )
    assert (done.returncode, done.stderr) == (2, "speclint: the current folder is not there any more\n")
