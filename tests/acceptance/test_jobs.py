"""Cars judged by several processes: the same report to the byte, whoever dies, and nothing left behind."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

import pytest

from tests.benchmarks.setups import setup_text
from tests.console import ROOT, Console, lay_out_rulesets, process

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes as POSIX has them")

KINDS = ("html", "json", "sarif", "xml", "md", "csv")

INSPECTION = """\
format: inspection/1
event: Round 3
ruleset: harbour-city
on: 2026-03-14
cars:
  - {class: stock-17, number: 12, setup: cars/car-0003.yaml, readings: {car: {mass_g: 1340}}}
"""

MOTOR = 'format: motor/1\nname: lent\nturns: 17.5\nserial: "77"\n'


def in_a_field(folder: Path) -> Path:
    """A repository in which much spans several cars, and much is wrong."""
    lay_out_rulesets(folder)
    for name in ("cars", "motors"):
        shutil.copytree(ROOT / "examples" / name, folder / name)
    shutil.copy(ROOT / "examples" / "garage.yaml", folder)
    cars = folder / "cars"
    for number in range(12):
        (cars / f"car-{number:04d}.yaml").write_text(setup_text(number), encoding="utf-8")
    text = setup_text(3)
    entry = text[text.index("  - ruleset") : text.index("car:")]
    changed = {
        "car-0003": text.replace("    venue", "    number: 12\n    venue"),
        "car-0040-twice": text.replace(entry, entry + entry.replace("2026-03", "2026-04")),
        "car-0041-twice": text.replace(entry, entry + entry),
        "car-0042-same-motor": text,
        "car-0043-light": text.replace("mass_g: {value: 13", "mass_g: {value: 12"),
        "car-0044-broken": text + "? ]\n",
        "car-0045-misspelt": text.replace("spur_teeth", "spur_teth", 1),
        "car-0046-no-class": text.replace("stock-17", "stock-71"),
        "car-0047-lent": motor_of(text, "../../lent/motor.yaml"),
        "car-0048-lent": motor_of(text, "../../lent/motor.yaml"),
        "car-0049-faulty-motor": motor_of(text, "../../lent/faulty.yaml"),
        "car-0050-no-motor": motor_of(text, "../../lent/none.yaml"),
        "car-0051-pinned": text + "garage: ../../lent/garage.yaml\n",
    }
    for name, changed_text in changed.items():
        (cars / f"{name}.yaml").write_text(changed_text, encoding="utf-8")
    lent = folder.parent / "lent"
    lent.mkdir()
    (lent / "motor.yaml").write_text(MOTOR, encoding="utf-8")
    (lent / "faulty.yaml").write_text(f"{MOTOR}turn: 3\n", encoding="utf-8")
    pin = f'  harbour-city: {{"2026.2": "sha256:{"0" * 64}"}}\n'
    (lent / "garage.yaml").write_text(f"format: garage/1\nname: lent\npins:\n{pin}", encoding="utf-8")
    (folder / "inspection.yaml").write_text(INSPECTION, encoding="utf-8")
    return folder


def motor_of(text: str, reference: str) -> str:
    """The text of a setup with a motor file in place of its own motor."""
    motor = text[text.index("motor:\n") : text.index("track_runs:")]
    return text.replace(motor, f"motor: {reference}\n")


@pytest.fixture(scope="module")
def field(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("club") / "field"
    folder.mkdir()
    return in_a_field(folder)


@pytest.fixture(scope="module")
def entries(field: Path) -> Sequence[Mapping[str, object]]:
    """What the report of one process says of them."""
    told: Sequence[Mapping[str, object]] = json.loads(process(field, "check", "--report", "json").stdout)["entries"]
    return told


@pytest.mark.parametrize(
    "asked", [(), ("--full", "--only", "weight"), ("--coming", "7", "--from", "2026-03-10"), ("--ruleset", "nobody")]
)
def test_a_report_is_the_same_to_the_byte_whatever_the_number_of_processes(
    field: Path, tmp_path: Path, console: Console, asked: tuple[str, ...]
) -> None:
    def reports(jobs: int) -> dict[str, object]:
        told: dict[str, object] = {}
        saved = [tmp_path / f"report.{ending}" for ending in KINDS]
        for kind, files in (("text", saved), ("annotations", [])):
            saves = [word for file in files for word in ("--save", str(file))]
            run = console(field, "check", ".", "inspection.yaml", "--jobs", str(jobs), "--report", kind, *asked, *saves)
            told[kind] = run.status, run.out, run.err
        return told | {file.name: file.read_bytes() for file in saved if file.exists()}

    alone, shared = reports(1), reports(3)
    assert {name for name, report in shared.items() if report != alone[name]} == set()


def test_what_the_field_has_in_common_is_in_its_report(field: Path, console: Console) -> None:
    """Else the test above would say less than it seems to."""
    said = console(field, "check", ".", "inspection.yaml", "--jobs", "2", "--report", "lines").out
    for text in (
        "M-17A 23757 is in",
        "has the same name",
        "../lent/motor.yaml is in",
        "named by cars/car-0049-faulty-motor.yaml",
        "none.yaml does not exist",
        "../lent/garage.yaml:4:",
        "inspection.yaml:6:",
    ):
        assert text in said, text


def test_one_car_has_its_slip_whichever_process_judged_it(tmp_path: Path, console: Console) -> None:
    lay_out_rulesets(tmp_path)
    for number in range(6):
        text = setup_text(number)
        (tmp_path / f"car-{number}.yaml").write_text(text if number == 4 else f"{text}odd: 1\n", encoding="utf-8")
    alone, shared = (console(tmp_path, "check", "--jobs", jobs) for jobs in ("1", "3"))
    assert shared == alone
    assert "Car 0004" in shared.out


def test_where_there_are_no_processes_one_does_all(
    field: Path, console: Console, monkeypatch: pytest.MonkeyPatch
) -> None:
    alone = console(field, "check", "--jobs", "1")
    for gone in ({"multiprocessing": None}, {"_multiprocessing": None, "multiprocessing.connection": None}):
        with monkeypatch.context() as patched:
            for name, module in gone.items():
                patched.setitem(sys.modules, name, module)
            assert console(field, "check", "--jobs", "2") == alone
    with monkeypatch.context() as patched:
        patched.setattr(os, "fork", no_more_processes)
        assert console(field, "check", "--jobs", "2") == alone


def no_more_processes() -> int:
    raise BlockingIOError(11, "Resource temporarily unavailable")


@pytest.mark.slow
def test_processes_that_begin_from_nothing_tell_the_same(field: Path) -> None:
    program = (
        "import sys, functools, speclint.workers as w\n"
        "w._start_method = lambda: 'spawn'\n"
        "from speclint.cli import main\n"
        "if __name__ == '__main__': main()\n"
    )
    script = field.parent / "spawning.py"
    script.write_text(program, encoding="utf-8")

    def told(jobs: str) -> tuple[int, bytes, bytes]:
        done = subprocess.run(
            [sys.executable, str(script), "check", "--jobs", jobs, "--report", "json"],
            cwd=field,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            check=False,
        )
        return done.returncode, done.stdout, done.stderr

    assert told("2") == told("1")


DYING = """
import os, sys, time
import speclint.check.cars as cars
parent, judge_car = os.getpid(), cars.judge_car
def instead(workspace, setup, text, **rest):
    if text.file == {file!r} and os.getpid() {where} parent:
        {deed}
    return judge_car(workspace, setup, text, **rest)
cars.judge_car = instead
from speclint.cli import main
sys.argv = ["speclint", "check", "--report", "json", *sys.argv[1:]]
main()
"""


def dying(deed: str, *, file: str = "cars/car-0010.yaml", where: str = "!=") -> list[str]:
    """A program in which a process that judges one of the cars comes to harm."""
    return [sys.executable, "-c", DYING.format(deed=deed, file=file, where=where), "--jobs", "2"]


@pytest.mark.parametrize(
    ("deed", "why"),
    [
        ("os.kill(os.getpid(), 9)", "was ended by signal 9, perhaps for want of memory"),
        ("os._exit(3)", "ended by itself"),
        ("raise MemoryError('a defect made for this test')", "MemoryError: a defect made for this test"),
    ],
)
def test_the_files_of_a_process_that_dies_are_named_and_the_rest_is_told(
    field: Path, entries: Sequence[Mapping[str, object]], deed: str, why: str
) -> None:
    done = subprocess.run(dying(deed), cwd=field, capture_output=True, text=True, encoding="utf-8", check=False)
    assert done.returncode == 70
    report = json.loads(done.stdout)
    lost = [setup["file"] for setup in report["not_judged"] if "a defect of speclint" in setup["reason"]]
    assert lost == ["cars/car-0010.yaml"]
    assert "the verdict on cars/car-0010.yaml could not be worked out" in done.stderr
    assert why in done.stderr
    assert report["entries"] == [entry for entry in entries if entry["file"] not in lost]


def test_of_several_files_that_kill_each_is_named_and_no_other(
    field: Path, entries: Sequence[Mapping[str, object]]
) -> None:
    killing = [f"cars/car-{number:04d}.yaml" for number in (0, 4, 5, 6, 10)]
    program = DYING.replace("text.file == {file!r}", f"text.file in {killing}")
    done = subprocess.run(
        [sys.executable, "-c", program.format(deed="os.kill(os.getpid(), 9)", where="!="), "--jobs", "2"],
        cwd=field,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 70
    report = json.loads(done.stdout)
    assert [setup["file"] for setup in report["not_judged"] if "a defect of speclint" in setup["reason"]] == killing
    assert report["entries"] == [entry for entry in entries if entry["file"] not in killing]


def test_where_every_process_dies_the_rest_is_judged_all_the_same(field: Path) -> None:
    program = DYING.replace("text.file == {file!r} and ", "").format(deed="os.kill(os.getpid(), 9)", where="!=")
    done = subprocess.run(
        [sys.executable, "-c", program, "--jobs", "2"], cwd=field, capture_output=True, text=True, check=False
    )
    assert done.returncode == 70
    report = json.loads(done.stdout)
    lost = {setup["file"] for setup in report["not_judged"] if "a defect of speclint" in setup["reason"]}
    judged = {entry["file"] for entry in report["entries"]}
    assert len(lost) in range(8, 17)
    assert {f"cars/car-{number:04d}.yaml" for number in range(12)} <= lost | judged
    assert len(judged) > 10


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
@pytest.mark.parametrize("to_all", [False, True])
def test_no_process_outlives_the_run(field: Path, number: signal.Signals, *, to_all: bool) -> None:
    program = dying("sys.stderr.write('at work\\n'), sys.stderr.flush(), time.sleep(60)")
    with subprocess.Popen(
        program, cwd=field, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, start_new_session=True
    ) as child:
        assert child.stderr is not None
        assert child.stderr.readline() == "at work\n"
        workers = set(in_session(child.pid)) - {child.pid}
        assert len(workers) == 2
        (os.killpg if to_all else os.kill)(child.pid, number)
        child.wait(20)
        assert child.returncode == {signal.SIGINT: 130, signal.SIGTERM: 143}.get(number, -number)
        if number == signal.SIGKILL and not to_all:
            # Nobody could end them: the one that is at work ends with its work, the other at once.
            assert settled(lambda: len(set(in_session(child.pid))) == 1)
            os.killpg(child.pid, number)
        assert settled(lambda: not set(in_session(child.pid)))
        assert "Traceback" not in child.stderr.read()


def in_session(session: int) -> Iterator[int]:
    """The processes of a session that are alive."""
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            after_name = (folder / "stat").read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(after_name[3]) == session and after_name[0] != "Z":
            yield int(folder.name)


def settled(holds: Callable[[], bool]) -> bool:
    """Whether something comes to hold within some seconds."""
    for _ in range(100):
        if holds():
            return True
        time.sleep(0.05)
    return False
