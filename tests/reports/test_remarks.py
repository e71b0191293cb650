"""Remarks: one message for one fault, with the car it is of."""

from speclint.reports import Paper
from tests.check.world import a_ruleset, find_in
from tests.reports.report_text import report_text

CLUB = a_ruleset(
    "{id: timing, quantity: timing_set_deg, at_most: 40}", "{id: turns, quantity: motor_turns, stated: true}"
)
CAR = """\
format: setup/1
name: %s
entries:
  - {ruleset: club, class: stock, on: 2026-03-14}
  - {ruleset: club, class: stock, on: 2026-03-21}
motor: motors/1.yaml
"""


def lines(motor: str | None) -> list[str]:
    """What is told of two cars with one motor, advice apart."""
    files = {"club.yaml": CLUB, "car-1.yaml": CAR % "one", "car-2.yaml": CAR % "two"}
    if motor is not None:
        files["motors/1.yaml"] = motor
    text = report_text("lines", find_in(files), Paper())
    return [line for line in text.splitlines() if ": advice: " not in line]


def test_a_fault_in_a_shared_motor_is_a_line_for_each_car_with_all_its_days() -> None:
    assert lines("format: motor/1\nturns: 17.5\ntiming_deg: 44\n") == [
        f"motors/1.yaml:3:13: illegal: timing set is 44°; the rule asks at most 40°: 4° over ({car}, club/stock/timing,"
        " 2026-03-14, 2026-03-21); to mend it: timing set 40° instead of 44°: timing set 40°, on the limit itself"
        for car in ("car-1.yaml", "car-2.yaml")
    ]


def test_a_missing_motor_is_one_line_for_all_cars_and_no_row_is_told_as_not_shown_for_it() -> None:
    assert lines(None) == [
        "car-1.yaml:6:8: problem: the motor motors/1.yaml does not exist; the path starts at this file's folder"
        " (also car-2.yaml:6:8)"
    ]


def test_a_broken_motor_is_one_line_that_names_its_cars() -> None:
    (line,) = lines("format: motor/1\nturns: many\n")
    assert line.startswith("motors/1.yaml:2:1: problem: `turns` is ")
    assert line.endswith(" (named by car-1.yaml:6:8, car-2.yaml:6:8)")


def test_what_the_cars_themselves_lack_is_told_all_the_same() -> None:
    assert len([line for line in lines("format: motor/1\nname: bare\n") if ": not-shown: " in line]) == 4
