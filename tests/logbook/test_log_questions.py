"""Questions on a terminal: what they ask, what they take, and how they end."""

import os
import select
import sys
import time
from pathlib import Path

import pytest

from tests.check.world import a_ruleset
from tests.logbook.log_command import ROOT, command

if sys.platform == "win32":
    pytest.skip("this system has no pseudo-terminals", allow_module_level=True)

import pty

ENTER, END, STOP = "\n", "\x04", "\x03"


def converse(
    folder: Path, words: list[str], others: list[str], answers: dict[str, list[str]] | None = None
) -> tuple[str, int]:
    """What a terminal shows while questions are answered, and the exit status.

    A question gets the next of the answers to what it begins with, any other one the next of the others.
    """
    pid, terminal = pty.fork()
    if pid == 0:
        os.chdir(folder)
        os.environ.update(PYTHONPATH=str(ROOT), PYTHONWARNINGS="ignore")
        os.execv(sys.executable, command(*words))  # noqa: S606 - no shell is wanted here
    shown = b""
    while select.select([terminal], [], [], 30)[0]:
        try:
            read = os.read(terminal, 4096)
        except OSError:  # how some systems say that the other end is closed
            break
        if not read:
            break
        shown += read
        if shown.endswith(b": "):
            question = shown.decode().splitlines()[-1]
            own = (given for start, given in (answers or {}).items() if question.startswith(start) and given)
            answer = next(own, others).pop(0)
            if answer == STOP:
                time.sleep(
                    0.2
                )  # A person needs longer than the moment between the question and the waiting for its answer.
            os.write(terminal, answer.encode())
    os.close(terminal)
    return shown.decode().replace("\r\n", "\n"), os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])


def test_answers_are_looked_at_one_by_one_and_enter_skips(tmp_path: Path) -> None:
    file = tmp_path / "m.yaml"
    file.write_text("format: motor/1\nbench_runs: []\n")
    answers = {
        "date [": ["14 March\n", "2026-03-14\n"],
        "supply voltage": ["3,7\n", "3.7\n"],
        "no-load current": ["much\n", "3.9@meter\n"],
        "note": ["as new\n"],
    }
    shown, status = converse(tmp_path, ["m.yaml", "bench"], [ENTER] * 40, answers)
    assert status == 0
    assert "A bench run for m.yaml." in shown
    assert "Clamp the motor, take the pinion off, and keep clear of it." in shown
    assert "is 3,7 one number or two?" in shown
    assert '`current_a` is "much"; it takes a number in A' in shown
    assert "winding temperature" not in shown
    assert file.read_text() == (
        "format: motor/1\nbench_runs:\n"
        "  - {date: 2026-03-14, supply_v: 3.7, current_a: {value: 3.9, instrument: meter}, note: as new}\n"
    )


def test_a_measured_winding_is_asked_for_its_temperature_and_its_instruments(tmp_path: Path) -> None:
    file = tmp_path / "m.yaml"
    file.write_text("format: motor/1\n")
    answers = {"date [": ["2026-03-14\n"], "resistance AB": ["21.9\n"], "winding temperature": ["21\n"]}
    shown, status = converse(tmp_path, ["m.yaml", "bench"], [ENTER] * 40, answers)
    assert status == 0
    assert "milliohm meter (winding.instrument)" in shown
    assert file.read_text().endswith("  - {date: 2026-03-14, winding: {ab_mohm: 21.9, winding_c: 21}}\n")


def test_a_rebuild_needs_to_know_what_was_done(tmp_path: Path) -> None:
    file = tmp_path / "m.yaml"
    file.write_text("format: motor/1\n")
    shown, status = converse(
        tmp_path, ["m.yaml", "rebuild"], ["2026-03-14\n", ENTER, "polish\n", "shim\n", *[ENTER] * 4]
    )
    assert status == 0
    assert "a record without `did` cannot be kept" in shown
    assert 'item 1 of `did` is "polish"' in shown
    assert file.read_text() == "format: motor/1\nrebuilds:\n  - {date: 2026-03-14, did: [shim]}\n"


@pytest.mark.parametrize("ending", [END, STOP])
def test_who_breaks_off_has_written_nothing(tmp_path: Path, ending: str) -> None:
    file = tmp_path / "m.yaml"
    file.write_text("format: motor/1\n")
    shown, status = converse(tmp_path, ["m.yaml", "rebuild"], ["2026-03-14\n", "shim\n", ending])
    assert status == 130
    assert "Traceback" not in shown
    assert file.read_text() == "format: motor/1\n"


def test_no_answer_is_no_record(tmp_path: Path) -> None:
    file = tmp_path / "m.yaml"
    file.write_text("format: motor/1\n")
    shown, status = converse(tmp_path, ["m.yaml", "bench"], [ENTER] * 40)
    assert status == 2
    assert "no question was answered, so nothing was written" in shown
    assert file.read_text() == "format: motor/1\n"


GARAGE = """\
format: garage/1
instruments: {motor-bench: {accuracy_percent: 1}, meter: {unit: mohm}}
parts_box:
  rotors:
    - {kind: standard, part: R-12, diameter_mm: 12.3, bore_mm: 5, length_mm: 24.8}
    - {kind: torque, part: R-13, diameter_mm: 12.5}
"""
MOTOR = """\
format: motor/1
rotor: {kind: standard, part: R-12, diameter_mm: 12.3, bore_mm: 5, length_mm: 24.8}   # the first one
shims_mm: {drive_end: [0.1, 0.2], sensor_end: []}
"""


def test_a_rotor_swap_asks_what_went_in_and_puts_it_in_once_it_was_seen(tmp_path: Path) -> None:
    (tmp_path / "garage.yaml").write_text(GARAGE)
    file = tmp_path / "m.yaml"
    file.write_text(MOTOR)
    answers = {
        "date [": ["2026-03-14\n"],
        "what was done": ["rotor-swap\n"],
        "Which rotor": ["R-13\n"],
        "Which shims are at the drive end": ["thin\n", "0.1\n"],
        "Which shims are at the sensor end": ["0\n"],
    }
    shown, status = converse(tmp_path, ["m.yaml", "rebuild"], [ENTER] * 9, answers)
    assert status == 0, shown
    assert "Which rotor went in, by its part number (R-12, R-13)" in shown
    assert "thin: write each shim by its thickness in mm" in shown
    assert shown.index("+shims_mm: {drive_end: [0.1], sensor_end: []}") < shown.index("Write this?")
    assert file.read_text() == (
        "format: motor/1\n"
        "rotor: {kind: torque, part: R-13, diameter_mm: 12.5, bore_mm: null, length_mm: null}   # the first one\n"
        "shims_mm: {drive_end: [0.1], sensor_end: []}\n"
        "rebuilds:\n  - {date: 2026-03-14, did: [rotor-swap]}\n"
    )


def test_who_says_no_to_what_would_be_written_has_written_nothing(tmp_path: Path) -> None:
    file = tmp_path / "m.yaml"
    file.write_text("format: motor/1\n")
    answers = {"what was done": ["clean\n"], "Write this?": ["n\n"]}
    shown, status = converse(tmp_path, ["m.yaml", "rebuild"], [ENTER] * 9, answers)
    assert status == 0
    assert "nothing was written" in shown
    assert file.read_text() == "format: motor/1\n"


def test_an_instrument_that_nobody_describes_is_doubted_once(tmp_path: Path) -> None:
    (tmp_path / "garage.yaml").write_text(GARAGE)
    file = tmp_path / "m.yaml"
    file.write_text("format: motor/1\n")
    answers = {
        "no-load current": ["3.9@motor-bnch\n", "3.9@motor-bench\n"],
        "supply voltage": ["3.7@dmm\n", "3.7@dmm\n"],
    }
    shown, status = converse(tmp_path, ["m.yaml", "bench"], [ENTER] * 40, answers)
    assert status == 0
    assert "Instruments that are described: meter, motor-bench." in shown
    assert "no file here describes motor-bnch; did you mean motor-bench?" in shown
    assert "current_a: {value: 3.9, instrument: motor-bench}" in file.read_text()
    assert "supply_v: {value: 3.7, instrument: dmm}" in file.read_text()


def test_a_track_run_is_driven_with_the_fitted_gears_unless_somebody_says_otherwise(tmp_path: Path) -> None:
    file = tmp_path / "c.yaml"
    file.write_text("format: setup/1\ncar: {spur_teeth: 96, pinion_teeth: 42}\n")
    answers = {"date [": ["2026-03-14\n"], "pinion": ["43\n"], "minutes": ["5\n"], "run time": ["5\n"]}
    shown, status = converse(tmp_path, ["c.yaml", "track"], [ENTER] * 20, answers)
    assert status == 0, shown
    assert "spur_teeth: 96, pinion_teeth: 43" in file.read_text(), shown


def test_of_an_inspected_car_only_what_its_rules_want_is_asked(tmp_path: Path) -> None:
    rules = ("{id: weight, quantity: mass_g, at_least: 1350}", "{id: body, inspect: uncut}")
    (tmp_path / "rulesets").mkdir()
    (tmp_path / "rulesets" / "club.yaml").write_text(a_ruleset(*rules))
    file = tmp_path / "round-3.yaml"
    head = "format: inspection/1\non: 2026-03-14\nruleset: club\n"
    file.write_text(head)
    answers = {
        "number": ["14\n"],
        "class": ["stcok\n", "stock\n"],
        "mass": ["1351\n"],
        "looked at": ["body=passed\n"],
        "Write this": ["y\n"],
    }
    shown, status = converse(tmp_path, ["round-3.yaml", "car"], [ENTER] * 12, answers)
    assert status == 0
    assert "did you mean stock" in shown
    assert "To look at: body, uncut" in shown
    assert "voltage" not in shown and "spur" not in shown
    assert file.read_text() == head + (
        "cars:\n  - {number: 14, class: stock, readings: {car: {mass_g: 1351}}, looked_at: {body: passed}}\n"
    )
