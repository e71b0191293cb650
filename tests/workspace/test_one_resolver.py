"""What stands in place of an entry's ruleset, class or day is understood alike by every command: one wording, one status."""

from pathlib import Path
from typing import Final

import pytest

from tests.console import Console, Run, write

CLUB: Final = """\
format: ruleset/1
id: club
version: "%s"
in_force: {from: %s}
classes:
  stock: {rules: [{id: weight, quantity: mass_g, at_least: %s, measure: Ready to race.}]}
"""
MOTOR: Final = """\
format: motor/1
turns: 17.5
bench_runs:
  - {date: 2026-01-05, supply_v: 7.4, current_a: 3.3, kv_rpm_per_v: 2400, can_c: 25}
  - {date: 2026-01-06, supply_v: 7.4, current_a: 3.3, kv_rpm_per_v: 2410, can_c: 25}
"""
CAR: Final = """\
format: setup/1
entries: [{ruleset: club, class: stock, on: 2026-03-14}]
car: {mass_g: 1350, internal_ratio: 1.9, spur_teeth: 96, pinion_teeth: 30, tyre_diameter_mm: 62.5}
battery: {cells: 2}
motor: motor.yaml
"""
OVERRIDDEN: Final = ("check", "gearing", "compare", "start")
"""Every command that takes `--ruleset`, `--class` and `--on`."""


@pytest.fixture
def club(empty: Path) -> Path:
    write(empty / "rulesets/club-1.yaml", CLUB % (1, "2026-01-01", 1300))
    write(empty / "rulesets/club-2.yaml", CLUB % (2, "2026-06-01", 1340))
    write(empty / "drafts/club.yaml", CLUB % (1, "2026-01-01", 1351))
    write(empty / "motor.yaml", MOTOR)
    write(empty / "car.yaml", CAR)
    return empty


@pytest.fixture
def bad(club: Path) -> Path:
    """A club that has a ruleset beside its own which names a list that is not there."""
    naming_no_list = "quantity: motor_part, listed_in: motors"
    text = (CLUB % (1, "2026-01-01", 1300)).replace("id: club", "id: bad")
    write(club / "rulesets/bad.yaml", text.replace("quantity: mass_g, at_least: 1300", naming_no_list))
    return club


def run(
    console: Console, folder: Path, command: str, ruleset: str, class_id: str = "stock", on: str = "2026-03-14"
) -> Run:
    options = ("--ruleset", ruleset, "--class", class_id, "--on", on)
    words = {
        "check": ("car.yaml", "--report", "lines"),
        "gearing": ("car.yaml",),
        "compare": ("car.yaml",),
        "start": ("setup",),
    }
    return console(folder, command, *words[command], *options)


@pytest.mark.parametrize("command", OVERRIDDEN)
@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("club", "stok"), "club@1 has no class stok; did you mean stock? Known: stock"),
        (("club@1", "stok"), "club@1 has no class stok; did you mean stock? Known: stock"),
        (("rulesets/club-1.yaml", "stok"), "club@1 has no class stok; did you mean stock? Known: stock"),
        (("clbu", "stock"), "there is no ruleset clbu; did you mean club? "),
        (("club@3", "stock"), "there is no version 3 of club; known: 1, 2"),
        (("nowhere.yaml", "stock"), "nowhere.yaml: there is no such file"),
        (("rulesets", "stock"), "rulesets: it is a folder, not a file"),
        (("motor.yaml", "stock"), "motor.yaml is a motor, and not a ruleset to judge by"),
        (("club@1", "stock", "2025-12-31"), "no version of club is in force on 31 December 2025: 1 from 2026-01-01"),
        (("club@2", "stock", "2026-03-14"), "no version of club is in force on 14 March 2026: 2 from 2026-06-01"),
    ],
)
def test_what_cannot_stand_in_is_a_mistake_of_the_command_line(
    command: str, words: tuple[str, ...], told: str, club: Path, console: Console
) -> None:
    done = run(console, club, command, *words)
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"speclint: {told}")
    assert done.err.count("\n") == 1


@pytest.mark.parametrize("command", OVERRIDDEN)
@pytest.mark.parametrize("ruleset", ["bad", "bad@1", "rulesets/bad.yaml"])
def test_a_ruleset_with_a_problem_judges_nobody_and_its_cause_is_told(
    command: str, ruleset: str, bad: Path, console: Console
) -> None:
    done = run(console, bad, command, ruleset)
    assert done.status == 1
    assert "rulesets/bad.yaml:6:" in done.out + done.err
    assert "there is no list motors" in done.out + done.err


@pytest.mark.parametrize("command", ["check", "gearing", "compare"])
def test_a_ruleset_with_a_problem_is_told_with_its_cause_where_the_entry_itself_names_it(
    command: str, bad: Path, console: Console
) -> None:
    write(bad / "car.yaml", CAR.replace("ruleset: club", "ruleset: bad"))
    done = console(bad, command, "car.yaml")
    assert done.status == 1
    assert "rulesets/bad.yaml:6:" in done.out
    assert "there is no list motors" in done.out


@pytest.mark.parametrize("command", OVERRIDDEN)
@pytest.mark.parametrize("ruleset", ["club", "club@1", "rulesets/club-1.yaml", "./rulesets/../rulesets/club-1.yaml"])
def test_a_ruleset_is_named_by_its_id_a_version_or_its_file(
    command: str, ruleset: str, club: Path, console: Console
) -> None:
    done = run(console, club, command, ruleset)
    assert done.err == ""
    assert done.status == 0 if command != "gearing" else done.status in (0, 1)
    assert done.out == run(console, club, command, "club").out or command == "start"
    if command == "start":
        assert "mass_g" in done.out
        assert f"ruleset: {'club@1' if ruleset == 'club@1' else 'club'}\n" in done.out


def test_a_file_wins_over_the_ruleset_of_its_id_and_version(club: Path, console: Console) -> None:
    assert run(console, club, "check", "club").status == 0
    assert run(console, club, "check", "drafts/club.yaml").status == 1


def test_a_new_setup_is_not_begun_for_a_ruleset_that_no_check_would_find(club: Path, console: Console) -> None:
    write(club / "drafts/other.yaml", (CLUB % (1, "2026-01-01", 1351)).replace("id: club", "id: other"))
    done = run(console, club, "start", "drafts/other.yaml")
    assert (done.status, done.out) == (2, "")
    assert "drafts/other.yaml is not in a folder `rulesets` beside the new file or above it" in done.err


@pytest.mark.parametrize(
    ("name", "status", "told"),
    [
        ("club/stok", 2, "club@2 has no class stok; did you mean stock? Known: stock"),
        ("clbu/stock", 2, "there is no ruleset clbu; did you mean club? "),
        ("club@3/stock", 2, "there is no version 3 of club; known: 1, 2"),
    ],
)
def test_explain_says_the_same_of_a_name(name: str, status: int, told: str, club: Path, console: Console) -> None:
    done = console(club, "explain", name, "--on", "2026-06-14")
    assert (done.status, done.out) == (status, "")
    assert done.err.startswith(f"speclint: {told}")


def test_explain_tells_the_cause_where_a_ruleset_has_a_problem(club: Path, console: Console) -> None:
    write(club / "rulesets/worse.yaml", (CLUB % (1, "2026-01-01", "heavy")).replace("id: club", "id: worse"))
    done = console(club, "explain", "worse/stock")
    assert (done.status, done.out) == (1, "")
    assert "rulesets/worse.yaml:6:" in done.err
