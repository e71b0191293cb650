"""Setups side by side, or one then and now: what changed, what it did to verdicts and margins, and how warm the motor gets."""

import json
import subprocess
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from speclint.resources import schema_text
from tests.comparison.test_command import bench

CLUB = """\
format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01}
classes:
  stock-17:
    rules:
      - {id: final-drive, quantity: final_drive_ratio, at_least: 4.2, cite: "4.3"}
      - {id: weight, quantity: mass_g, at_least: 1350, cite: "3.1"}
      - {id: tyre, quantity: extra.tyre, one_of: [HT-36], cite: "7.1"}
"""
CAR = """\
format: setup/1
name: Car 12
entries:
  - {ruleset: club, class: stock-17, on: 2026-03-14}
car: {mass_g: 1352, spur_teeth: 96, pinion_teeth: 44, internal_ratio: 1.9, tyre_diameter_mm: 62.5}
battery: {cells: 2}
motor: {turns: 17.5}
extra: {tyre: HT-36}
"""

COLD = CAR.replace(", tyre_diameter_mm: 62.5", "")
"""The same with nothing to predict by, where no temperature is looked at: that takes most of the time."""


def team(top: Path, **cars: str) -> Path:
    (top / "rulesets").mkdir()
    (top / "rulesets" / "club.yaml").write_text(CLUB, encoding="utf-8")
    for name, text in cars.items():
        (top / f"{name}.yaml").write_text(text, encoding="utf-8")
    return top


def report(top: Path, *words: str) -> dict[str, Any]:
    done = bench(top, *words, "--report", "json")
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    jsonschema.Draft202012Validator(json.loads(schema_text("comparison-1"))).validate(found)
    setups: dict[str, Any] = found["setups"]
    assert found["motor"] is None
    assert found["ranking"] is None
    return setups


def test_two_setups_tell_what_changed_and_what_that_did_to_every_margin(tmp_path: Path) -> None:
    top = team(tmp_path, tall=CAR, short=CAR.replace("pinion_teeth: 44", "pinion_teeth: 43").replace("1352", "1340"))
    done = bench(top, "tall.yaml", "short.yaml")
    assert (done.returncode, done.stderr) == (0, "")
    lines = [" ".join(line.split()) for line in done.stdout.splitlines()]
    assert lines[0].startswith("Pinion 44 teeth → 43 teeth; mass 1352 g → 1340 g. club/stock-17: illegal. The can ")
    # 96 ÷ 44 × 1.9 = 4.1455 and 96 ÷ 43 × 1.9 = 4.2419 about the limit of 4.2, by hand.
    assert "final drive ratio 0.055 short, illegal 0.042 to spare, legal 4.3" in lines
    assert "mass 2 g to spare, legal 10 g short, illegal 3.1" in lines
    assert "* pinion 44 teeth 43 teeth" in lines
    assert "final drive ratio 4.145 4.242" in lines
    assert not any("tyre " in line and "HT-36" in line for line in lines), "what is alike is not told"


def test_the_report_has_the_same(tmp_path: Path) -> None:
    top = team(tmp_path, tall=CAR, short=CAR.replace("pinion_teeth: 44", "pinion_teeth: 43"))
    found = report(top, "tall.yaml", "short.yaml")
    changes = {change["quantity"]: change for change in found["changes"]}
    assert changes["pinion_teeth"]["values"] == ["44 teeth", "43 teeth"]
    assert not changes["pinion_teeth"]["follows"]
    assert changes["final_drive_ratio"]["follows"]
    assert found["entries"] == [{"class": "club/stock-17", "verdicts": ["illegal", "legal"]}]
    assert [rule["rule"] for rule in found["rules"]] == ["final-drive"]
    can = [state["forecast"]["can_c"] for state in found["setups"]]
    assert all(low < likely < high for low, likely, high in can)


def test_what_is_not_stated_any_more_and_extra_keys_are_told(tmp_path: Path) -> None:
    other = COLD.replace("mass_g: 1352, ", "").replace("HT-36", "HT-40")
    found = report(team(tmp_path, one=COLD, two=other), "one.yaml", "two.yaml")
    changes = {change["quantity"]: change["values"] for change in found["changes"]}
    assert changes["mass_g"] == ["1352 g", ""]
    assert changes["extra.tyre"] == ["HT-36", "HT-40"]
    assert {rule["rule"] for rule in found["rules"]} == {"weight", "tyre"}


def test_several_setups_stand_side_by_side(tmp_path: Path) -> None:
    cars = {f"car{teeth}": COLD.replace("pinion_teeth: 44", f"pinion_teeth: {teeth}") for teeth in (42, 43, 44)}
    found = report(team(tmp_path, **cars), "car42.yaml", "car43.yaml", "car44.yaml")
    assert [state["setup"] for state in found["setups"]] == ["car42", "car43", "car44"]
    assert found["entries"][0]["verdicts"] == ["legal", "legal", "illegal"]


def test_a_long_value_wraps_in_its_column_and_the_table_stays_one(tmp_path: Path) -> None:
    body = "the long low one with the wide rear wing, " * 3
    top = team(tmp_path, tall=COLD, short=COLD.replace("HT-36", f'HT-36, body: "{body}"'))
    rows = bench(top, "tall.yaml", "short.yaml").stdout.splitlines()
    assert rows[0].startswith("Body not stated → the long low one"), "what stands under extra is stated, too"
    at = rows.index(next(row for row in rows if row.split() == ["tall", "short"]))
    first = next(row for row in rows[at:] if row.startswith("  * body"))
    assert first.split()[:5] == ["*", "body", "-", "the", "long"]
    assert rows[at].index("tall") == first.index("-")
    assert (
        rows[at].index("short")
        == first.index("the long")
        == len(rows[rows.index(first) + 1]) - len(rows[rows.index(first) + 1].lstrip())
    ), "the rest stands below it"


def test_two_that_state_the_same_say_so(tmp_path: Path) -> None:
    done = bench(team(tmp_path, one=CAR, two=CAR.replace("Car 12", "Car 13")), "one.yaml", "two.yaml")
    assert done.stdout.startswith("Both state the same. club/stock-17: illegal. The can stays as warm.\n")


def test_one_setup_then_and_now(tmp_path: Path) -> None:
    top = team(tmp_path, car=COLD)
    for words in (
        ("init", "-q"),
        ("add", "."),
        ("-c", "user.name=x", "-c", "user.email=x@example.invalid", "commit", "-qm", "first"),
    ):
        subprocess.run(["git", *words], cwd=top, check=True)
    (top / "car.yaml").write_text(COLD.replace("pinion_teeth: 44", "pinion_teeth: 42"), encoding="utf-8")
    found = report(top, "car.yaml", "--since", "HEAD")
    assert [state["setup"] for state in found["setups"]] == ["HEAD", "now"]
    assert found["changes"][0]["values"] == ["44 teeth", "42 teeth"]
    assert found["entries"] == [{"class": "club/stock-17", "verdicts": ["illegal", "legal"]}]
    assert bench(top, "car.yaml", "--since", "HEAD~7").returncode == 2


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("one.yaml", "motor.yaml"), "one.yaml is a setup and motor.yaml a motor: name files of one kind"),
        (("one.yaml", "two.yaml", "--runs", "1", "2"), "--runs goes with motors: these are setups"),
        (("one.yaml", "two.yaml", "--trend"), "--trend goes with motors: these are setups"),
        (("one.yaml", "two.yaml", "--since", "HEAD"), "--since looks at one setup, then and now: name one file"),
        (("one.yaml", "--since", "HEAD"), "this folder lies in no git repository"),
    ],
)
def test_what_does_not_go_together_is_refused_by_name(tmp_path: Path, words: tuple[str, ...], message: str) -> None:
    top = team(tmp_path, one=CAR, two=CAR, motor="format: motor/1\n")
    done = bench(top, *words)
    assert done.returncode == 2, done.stdout
    assert message in done.stderr


def test_a_setup_with_a_problem_is_told_as_check_does(tmp_path: Path) -> None:
    top = team(tmp_path, one=COLD, two=COLD.replace("pinion_teeth", "pinion_tooth"))
    done = bench(top, "one.yaml", "two.yaml")
    assert done.returncode == 1
    assert "two.yaml:5:" in done.stdout
