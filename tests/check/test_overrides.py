"""What the command line says over the entries: another ruleset, class or day, and the day on which things were known."""

import json
from pathlib import Path

import pytest

from tests.console import Console, Run, write

HEAD = "format: setup/1\nname: Car 7\n"
CAR = "car: {mass_g: 1350}\nmotor: {part: M-2}\n"


@pytest.fixture
def club(empty: Path) -> Path:
    """A club with two versions, an amendment and a late item on a list, and a draft that lies elsewhere."""
    write(
        empty / "rulesets/club-1.yaml",
        """\
format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01}
published: 2025-12-01
lists:
  motors: {items: [{id: M-1}, {id: M-2, published: 2026-04-10}]}
classes:
  stock:
    rules:
      - {id: weight, quantity: mass_g, at_least: 1300, measure: Ready to race.}
      - {id: weight-from-may, replaces: weight, from: 2026-05-01, published: 2026-04-15, quantity: mass_g,
         at_least: 1360, measure: Ready to race.}
      - {id: motor, quantity: motor_part, listed_in: motors}
  open: {rules: [{id: weight, quantity: mass_g, at_least: 1200, measure: Ready to race.}]}
""",
    )
    write(
        empty / "rulesets/club-2.yaml",
        """\
format: ruleset/1
id: club
version: "2"
in_force: {from: 2026-06-01}
published: 2026-05-15
classes:
  stock: {rules: [{id: weight, quantity: mass_g, at_least: 1340, measure: Ready to race.}]}
""",
    )
    write(
        empty / "drafts/club.yaml",
        """\
format: ruleset/1
id: club
version: "1"
in_force: {from: 2026-01-01}
classes:
  stock: {rules: [{id: weight, quantity: mass_g, at_least: 1351, measure: Ready to race.}]}
  spec: {rules: [{id: weight, quantity: mass_g, at_least: 1000, measure: Ready to race.}]}
""",
    )
    entries = """\
entries:
  - {ruleset: club, class: stock, on: 2026-04-20}
  - {ruleset: club, class: stock, on: 2026-05-20}
  - {ruleset: club, class: open, on: 2026-05-20}
"""
    write(empty / "car-7.yaml", HEAD + entries + CAR)
    write(empty / "car-8.yaml", HEAD.replace("7", "8") + CAR)
    return empty


def judged(run: Run) -> list[tuple[str, str, str, str]]:
    return [
        (entry["ruleset_version"], entry["class"], entry["on"], entry["verdict"])
        for entry in json.loads(run.out)["entries"]
    ]


def test_without_overrides_the_entries_count(club: Path, console: Console) -> None:
    assert judged(console(club, "check", "--report", "json", "car-7.yaml")) == [
        ("1", "stock", "2026-04-20", "legal"),
        ("1", "stock", "2026-05-20", "illegal"),
        ("1", "open", "2026-05-20", "legal"),
    ]


def test_another_day_judges_every_entry_on_it_and_like_ones_once(club: Path, console: Console) -> None:
    run = console(club, "check", "--report", "json", "--on", "2026-06-02", "car-7.yaml")
    report = json.loads(run.out)
    assert judged(run) == [("2", "stock", "2026-06-02", "legal")]
    # The file says nothing wrong: on its own day the ruleset has the class.
    assert report["problems"] == []
    assert report["not_judged"] == [{"file": "car-7.yaml", "reason": "club@2 has no class open; known: stock"}]
    assert run.status == 1


def test_another_class_is_put_over_that_of_each_entry(club: Path, console: Console) -> None:
    assert judged(console(club, "check", "--report", "json", "--class", "open", "car-7.yaml")) == [
        ("1", "open", "2026-04-20", "legal"),
        ("1", "open", "2026-05-20", "legal"),
    ]


def test_a_ruleset_that_is_named_judges_even_where_another_has_its_id_and_version(club: Path, console: Console) -> None:
    run = console(club, "check", "--report", "json", "--ruleset", "drafts/club.yaml", "car-7.yaml")
    assert judged(run) == [("1", "stock", "2026-04-20", "illegal"), ("1", "stock", "2026-05-20", "illegal")]
    report = json.loads(run.out)
    assert report["problems"] == []
    assert [refused["reason"] for refused in report["not_judged"]] == ["club@1 has no class open; known: spec, stock"]


def test_a_setup_without_entries_is_judged_by_a_ruleset_and_a_class(club: Path, console: Console) -> None:
    for path in ("car-8.yaml", "./car-8.yaml"):
        run = console(
            club, "check", "--report", "json", "--ruleset", "drafts/../drafts/club.yaml", "--class", "spec", "--on",
            "2026-07-01", path,
        )  # fmt: skip
        assert judged(run) == [("1", "spec", "2026-07-01", "legal")]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ((), "car-8.yaml: no entry: add one under `entries`, or say --ruleset NAME --class NAME"),
        (
            ("--ruleset", "drafts/club.yaml"),
            "car-8.yaml: no entry: say with --class which class to judge it in (club@1 states spec, stock)",
        ),
        (("--class", "stock"), "car-8.yaml: no entry: say with --ruleset which rules to judge it by"),
    ],
)
def test_a_setup_without_an_entry_is_no_failure_and_is_told_so(
    options: tuple[str, ...], said: str, club: Path, console: Console
) -> None:
    run = console(club, "check", "--strict", *options, "car-8.yaml")
    assert run.status == 0
    assert run.out.splitlines()[:3] == [said, "", "0 entries: 1 setup without an entry"]
    report = json.loads(console(club, "check", "--report", "json", *options, "car-8.yaml").out)
    assert report["not_judged"] == [{"file": "car-8.yaml", "reason": said.partition(": ")[2]}]
    assert report["summary"]["setups"] == 1
    assert console(club, "check", "--report", "lines", *options, "car-8.yaml").out == ""


@pytest.mark.parametrize(
    ("file", "said"),
    [
        ("car-8.yaml", "car-8.yaml is a setup, and not a ruleset to judge by"),
        ("notes.yaml", "notes.yaml says no `format: ruleset/1`, and not a ruleset to judge by"),
        ("none.yaml", "none.yaml: there is no such file"),
        ("drafts", "drafts: it is a folder, not a file"),
    ],
)
def test_what_is_no_ruleset_judges_nobody(file: str, said: str, club: Path, console: Console) -> None:
    write(club / "notes.yaml", "a: 1\n")
    run = console(club, "check", "--ruleset", file, "car-7.yaml")
    assert (run.status, run.out, run.err) == (2, "", f"speclint: {said}\n")


def test_a_class_that_the_named_ruleset_does_not_have_is_a_mistake_of_the_command(club: Path, console: Console) -> None:
    run = console(club, "check", "--ruleset", "drafts/club.yaml", "--class", "stok", "car-7.yaml")
    assert (run.status, run.out) == (2, "")
    assert run.err == "speclint: club@1 has no class stok; did you mean stock? Known: spec, stock\n"


@pytest.mark.parametrize(
    "mistake",
    [
        "quantity: mass_g, at_least: heavy",  # not of the right shape
        "quantity: mass_q, at_least: 1300",  # names a quantity that does not exist
        "quantity: motor_part, listed_in: motors",  # names a list that it does not have
    ],
)
def test_a_named_ruleset_with_problems_judges_nobody_and_says_why(mistake: str, club: Path, console: Console) -> None:
    write(
        club / "drafts/bad.yaml",
        'format: ruleset/1\nid: bad\nversion: "1"\nin_force: {from: 2026-01-01}\n'
        f"classes: {{stock: {{rules: [{{id: weight, {mistake}}}]}}}}\n",
    )
    run = console(club, "check", "--ruleset", "drafts/bad.yaml", "--class", "stock", "car-7.yaml", "car-8.yaml")
    assert run.status == 1
    assert "  drafts/bad.yaml:5:" in run.out
    refusal = "not judged: car-7.yaml, car-8.yaml: the ruleset that was asked for has problems: see drafts/bad.yaml"
    assert refusal in " ".join(run.out.split())
    assert "0 entries: 1 problem, 2 not judged" in run.out
    assert console(club, "check", "--report", "lines", "--ruleset", "drafts/bad.yaml", "car-7.yaml").status == 1


def test_what_was_published_later_is_left_out(club: Path, console: Console) -> None:
    def known(day: str, on: str) -> dict[str, str]:
        run = console(
            club, "check", "--report", "json", "--known-on", day, "--on", on, "--class", "stock", "car-7.yaml"
        )
        (entry,) = json.loads(run.out)["entries"]
        return {"version": entry["ruleset_version"]} | {check["rule"]: check["verdict"] for check in entry["checks"]}

    # The amendment and the item of the list are known from the middle of April, the second version from that of May.
    assert known("2026-04-01", "2026-05-20") == {"version": "1", "weight": "legal", "motor": "illegal"}
    assert known("2026-04-12", "2026-05-20") == {"version": "1", "weight": "legal", "motor": "legal"}
    assert known("2026-04-15", "2026-05-20") == {"version": "1", "weight-from-may": "illegal", "motor": "legal"}
    assert known("2026-05-14", "2026-06-20") == {"version": "1", "weight-from-may": "illegal", "motor": "legal"}
    assert known("2026-05-15", "2026-06-20") == {"version": "2", "weight": "legal"}
    run = console(club, "check", "--report", "lines", "--known-on", "2025-11-30", "car-7.yaml")
    assert (run.status, run.out) == (2, "")
    assert run.err == "speclint: no version of club published by 30 November 2025 is in force on 20 April 2026\n"


def test_entries_that_differ_in_what_a_rule_may_test_are_all_judged(club: Path, console: Console) -> None:
    rule = "{id: w, quantity: mass_g, at_least: 1400, when: {entry.venue: outdoor}, measure: Ready to race.}"
    write(
        club / "rulesets/venues.yaml",
        f"format: ruleset/1\nid: venues\nversion: '1'\nin_force: {{from: 2026-01-01}}\nclasses: {{c: {{rules: [{rule}]}}}}\n",
    )
    entry = "  - {{ruleset: venues, class: c, on: 2026-05-02, venue: {}}}\n"
    write(
        club / "car-9.yaml",
        f"{HEAD}entries:\n{entry.format('indoor')}{entry.format('outdoor')}{entry.format('indoor')}{CAR}",
    )
    run = console(club, "check", "--report", "json", "car-9.yaml")
    assert [entry["verdict"] for entry in json.loads(run.out)["entries"]] == ["not-shown", "illegal"]


def test_strictness_fails_on_what_is_not_shown_and_on_nothing_else_that_is_sound(club: Path, console: Console) -> None:
    write(club / "car-9.yaml", HEAD + "entries: [{ruleset: club, class: open, on: 2026-05-02}]\n")
    assert console(club, "check", "car-9.yaml").status == 0
    assert console(club, "check", "--strict", "car-9.yaml").status == 1
    assert console(club, "check", "--strict", "--class", "open", "--on", "2026-05-02", "car-7.yaml").status == 0


def test_a_day_that_is_none_is_refused_with_the_way_to_write_one(club: Path, console: Console) -> None:
    run = console(club, "check", "--on", "2026-02-30", "car-7.yaml")
    assert run.status == 2
    assert "2026-02-30 is not a day; write it as 2026-03-14" in run.err
