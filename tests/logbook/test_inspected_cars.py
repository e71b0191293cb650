"""A car put into an inspection: by options, by questions, and what is refused."""

from pathlib import Path

import pytest

from speclint.files import Folder
from speclint.logbook.fields import fields_of
from speclint.logbook.kinds import KINDS_BY_NAME
from speclint.workspace.loaded import load
from tests.check.world import a_ruleset
from tests.logbook.log_command import run

RULES = (
    "{id: weight, quantity: mass_g, at_least: 1350, instrument: tech-scale, cite: '3.1'}",
    "{id: winding, quantity: winding_mean_mohm, at_least: 20.5}",
    "{id: tyre, quantity: extra.tyre, equals: HT-36}",
    "{id: body, inspect: uncut}",
)
HEAD = "format: inspection/1\non: 2026-03-14\nruleset: club\nofficials: [chief inspector]\n"
FIRST = "cars:\n  - number: 12\n    class: stock\n    ruling: passed  # after a second look\n"


@pytest.fixture(autouse=True)
def club(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A club's folder with its ruleset and an inspection with one car; it is the current folder."""
    for folder in (".git", "rulesets"):
        (tmp_path / folder).mkdir()
    instruments = "instruments: {tech-scale: {accuracy_percent: 0.1, resolution: 1, unit: g}}"
    (tmp_path / "rulesets" / "club.yaml").write_text(a_ruleset(*RULES, top=instruments))
    (tmp_path / "round-3.yaml").write_text(HEAD + FIRST)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_car_is_added_with_its_readings_and_nothing_else_changes() -> None:
    told = run("round-3.yaml", "car", "--number", "14", "--class", "stock", "--mass-g", "1351@tech-scale",
               "--looked-at", "body=passed", "--extra", "tyre=HT-36", "--ruling", "passed")  # fmt: skip
    assert (told.status, told.err) == (0, ())
    assert Path("round-3.yaml").read_text() == HEAD + FIRST + (
        "  - number: 14\n    class: stock\n"
        "    readings: {car: {mass_g: {value: 1351, instrument: tech-scale}}, extra: {tyre: HT-36}}\n"
        "    looked_at: {body: passed}\n    ruling: passed\n"
    )


def test_what_was_read_on_the_bench_has_the_day_of_the_inspection() -> None:
    told = run("round-3.yaml", "car", "--number", "14", "--class", "stock", "--ab-mohm", "21.4", "--winding-c", "20")
    assert told.status == 0
    assert "readings: {motor: {bench_runs: [{date: 2026-03-14, winding: {ab_mohm: 21.4, winding_c: 20}}]}}" in (
        Path("round-3.yaml").read_text()
    )


@pytest.mark.parametrize("written", ["", "cars:\n", "cars: []\n", "cars:\n  # - number:\n  #   class:\n"])
def test_the_first_car_begins_the_list(written: str) -> None:
    Path("round-3.yaml").write_text(HEAD + written)
    assert run("round-3.yaml", "car", "--setup", "none", "--class", "stock", "--ruling", "failed").status == 0
    assert "setup: none, class: stock, ruling: failed" in Path("round-3.yaml").read_text()


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--class", "stock", "--mass-g", "1351"], "say which car it is, with --number or --setup"),
        (["--number", "12", "--class", "stock"], "round-3.yaml has number 12 already, in line 6"),
        (["--number", "14", "--mass-g", "1351"], "--class: this inspected car needs `class`"),
        (["--number", "14", "--class", "stock", "--ruling", "past"], "--ruling: "),
        (["--number", "14", "--class", "stock", "--looked-at", "body"], "body: write NAME=VALUE"),
        (
            ["--number", "14", "--class", "stock", "--looked-at", "seal=passed"],
            "--looked-at: no rule seal binds in stock that day; known: body, tyre, weight, winding",
        ),
        (
            ["--number", "14", "--class", "stock", "--looked-at", "body=passed,weight=passed"],
            "--looked-at: weight is a rule on a number: write what was read of the mass under `readings`",
        ),
        (["--number", "14", "--class", "stok"], "--class: club@1 has no class stok; did you mean stock? Known: stock"),
    ],
)
def test_what_check_would_refuse_is_refused_and_nothing_is_written(words: list[str], message: str) -> None:
    told = run("round-3.yaml", "car", *words)
    assert told.status == 2
    assert message in told.all
    assert Path("round-3.yaml").read_text() == HEAD + FIRST


def test_an_instrument_that_neither_the_officials_nor_the_ruleset_describe_is_told() -> None:
    told = run("round-3.yaml", "car", "--number", "14", "--class", "stock", "--mass-g", "1351@tech-scael")
    assert "no file here describes the instrument tech-scael" in told.all
    assert "did you mean tech-scale" in told.all


def test_a_slip_of_the_pen_is_told_when_it_is_logged() -> None:
    told = run("round-3.yaml", "car", "--number", "14", "--class", "stock", "--mass-g", "13510@tech-scale")
    assert "13510 g looks like a misplaced decimal point" in told.all


def test_each_record_goes_into_the_file_it_belongs_to() -> None:
    Path("car.yaml").write_text("format: setup/1\n")
    assert "car.yaml is a setup: a car goes into an inspection" in run("car.yaml", "car", "--number", "12").all
    told = run("round-3.yaml", "track", "--minutes", "5")
    assert "round-3.yaml is an inspection: a track run goes into a setup" in told.all


def test_a_car_is_put_down_where_nobody_has_the_rules_at_hand() -> None:
    Path("rulesets/club.yaml").unlink()
    assert run("round-3.yaml", "car", "--number", "14", "--class", "stock", "--looked-at", "seal=passed").status == 0


def test_the_help_names_every_option_in_little_room() -> None:
    lines = run("round-3.yaml", "car", "--help").out
    words = " ".join(lines).split()
    assert [field.option for field in fields_of(KINDS_BY_NAME["car"]) if field.option not in words] == []
    assert len(lines) < 70
    assert max(map(len, lines)) <= 80


def test_help_is_given_behind_the_file_as_well() -> None:
    done = run("round-3.yaml", "--help")
    assert (done.status, done.out) == (0, run("--help").out)


def test_every_option_takes_what_its_help_gives_as_an_example() -> None:
    Path("round-3.yaml").write_text(HEAD)
    refused: dict[str, str] = {}
    for i, field in enumerate(fields_of(KINDS_BY_NAME["car"])):
        words = {"--number": str(200 + i), "--class": "stock", field.option: field.example}
        told = run("round-3.yaml", "car", *(f"{option}={value}" for option, value in words.items()))
        if told.status and field.key != "class":
            refused[field.option] = told.all
    assert refused == {}
    assert load(Folder(".").read("round-3.yaml")).problems == ()
