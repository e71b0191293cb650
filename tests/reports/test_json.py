"""The `json` report: every one of them is a `report/1`, and the same input gives the same bytes."""

import hashlib
import json
import shutil
import sys
import unicodedata
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from speclint import __version__
from speclint.reports import Order, Paper, RunOptions, json_text
from speclint.reports.kinds import CHECK, begin
from speclint.workspace.overrides import Overrides
from tests.check.world import a_ruleset, a_setup, find_in
from tests.console import GOLDEN, ROOT, Console, Golden, process
from tests.reports.misprint_cars import CARS, findings
from tests.reports.report_text import BY_NAME, report_text

IsReport = Callable[[Any], bool]


@pytest.mark.parametrize("name", CARS)
def test_whole_reports(name: str, golden: Golden, is_report: IsReport) -> None:
    text = report_text("json", findings(*CARS[name]), Paper())
    assert is_report(json.loads(text))
    golden.holds(GOLDEN / "json" / f"{name}.json", text.replace(f'"version": "{__version__}"', '"version": "0"', 1))


@pytest.mark.parametrize(
    "folder", ["examples", "rulesets", "tests/data/published", "tests/data/misprints", "tests/data/bad"]
)
def test_reports_on_whole_folders_are_reports(folder: str, console: Console, is_report: IsReport) -> None:
    run = console(ROOT, "check", "--report", "json", folder)
    report = json.loads(run.out)
    assert is_report(report)
    assert str(ROOT) not in run.out
    summary = report["summary"]
    assert (
        summary["entries"] == len(report["entries"]) == sum(summary[word] for word in ("legal", "illegal", "not_shown"))
    )
    assert summary["problems"] == len(report["problems"])
    assert summary["advice"] == len(report["advice"])
    places = [(entry["file"], entry["on"]) for entry in report["entries"]]
    assert [file for file, _ in places] == sorted(file for file, _ in places)


def test_the_schema_would_refuse_another_thing(is_report: IsReport) -> None:
    report = json.loads(report_text("json", findings(*CARS["illegal"]), Paper()))
    assert is_report(report)
    report["entries"][0]["verdict"] = "fine"
    assert not is_report(report)


def test_the_same_input_gives_the_same_bytes_in_every_process_and_order() -> None:
    paths = ("examples/cars", "examples/setups", "examples/motors", "rulesets", "examples/garage.yaml")
    runs = [
        process(ROOT, "check", "--report", "json", *order, PYTHONHASHSEED=seed).stdout
        for order, seed in ((paths, "0"), (paths, "4711"), (paths[::-1], "1"), ((*paths[2:], *paths[:2]), "2"))
    ]
    assert len(runs[0]) > 10_000
    assert len(set(runs)) == 1


@pytest.mark.parametrize("name", CARS)
def test_paper_that_takes_ascii_only_gets_the_same_values(name: str) -> None:
    text = report_text("json", findings(*CARS[name]), Paper(ascii_only=True))
    assert text.isascii()
    assert json.loads(text) == json.loads(report_text("json", findings(*CARS[name]), Paper()))


def test_a_setup_that_was_not_judged_is_in_the_report_with_the_reason() -> None:
    report = json.loads(report_text("json", findings(*CARS["problems"]), Paper()))
    assert [one["file"] for one in report["not_judged"]] == ["broken.yaml", "mistyped.yaml", "no-entry.yaml"]
    assert report["summary"]["setups"] == 3
    assert report["entries"] == []


def test_the_counts_come_last_and_each_entry_has_a_line_of_its_own() -> None:
    found = findings("legal.yaml", "illegal.yaml", "waived.yaml")
    text = report_text("json", found)
    assert list(json.loads(text)) == [
        "format", "tool", "asked", "entries", "problems", "remedies", "advice", "not_judged", "holdings", "coming",
        "summary",
    ]  # fmt: skip
    assert sum(line.startswith('  {"file": ') and '"checks": ' in line for line in text.splitlines()) == 3


def test_an_entry_is_written_as_soon_as_it_is_judged() -> None:
    report = begin(BY_NAME["json"], CHECK, Order())
    for entry in findings("legal.yaml", "illegal.yaml").entries:
        assert entry.file in report.add(report.extract(entry))


def test_a_program_is_told_what_it_may_write_and_what_is_done_by_hand() -> None:
    report = json.loads(report_text("json", findings(*CARS["illegal"])))
    checks = {check["rule"]: check for check in report["entries"][0]["checks"]}
    gears = checks["gearing"]["remedies"][0]
    assert gears["changes"] == [{"file": "illegal.yaml", "pointer": "/car/spur_teeth", "to": 98}]
    assert not gears["by_hand"]
    ballast = checks["weight"]["remedies"][0]
    assert ballast["by_hand"]
    assert ballast["changes"] == [{"file": "illegal.yaml", "pointer": "/car/mass_g", "to": 1352}]
    (whole,) = report["remedies"]
    assert (whole["file"], whole["remedies"], whole["reason"]) == (
        "illegal.yaml",
        [],
        "another rotor is needed (approved for M-1: R-1, R-2)",
    )


def test_what_was_asked_for_and_the_waivers_that_counted_are_in_the_report() -> None:
    asked = RunOptions(Overrides(today=date(2026, 3, 14), known_on=date(2026, 3, 1), class_id="stock-17"))
    report = begin(BY_NAME["json"], CHECK, Order(Paper(), asked))
    found = findings(*CARS["waived"])
    document = json.loads(
        "".join([*(report.add(report.extract(entry)) for entry in found.entries), *report.end(found)])
    )
    assert document["asked"] == {
        "from": None, "coming_from": None, "coming_until": None, "known_on": "2026-03-01", "as_of": None, "ruleset": None, "class": "stock-17", "on": None,
    }  # fmt: skip
    assert [waiver["rule"] for entry in document["entries"] for waiver in entry["waivers"]] != []


_STEERING = ("Cc", "Cf", "Cs", "Zl", "Zp")
"""General categories of the Unicode standard (table 4-4): controls, formats (directions and tags), surrogates, separators."""


def test_no_sign_that_steers_a_terminal_gets_into_any_json() -> None:
    signs = " ".join(sign for sign in map(chr, range(sys.maxunicode + 1)) if unicodedata.category(sign) in _STEERING)
    text = json_text.dumped({"name": f"ü {signs} Ω"})
    assert text.isprintable()
    assert text.startswith('{"name": "ü ')
    assert json.loads(text, strict=False) == {"name": f"ü {signs} Ω"}


def test_an_entry_names_every_file_that_it_rests_on_with_the_sum_that_anybody_can_take(
    empty: Path, console: Console
) -> None:
    shutil.copytree(ROOT / "examples", empty / "examples")
    shutil.copytree(ROOT / "rulesets", empty / "rulesets")
    car = empty / "examples/cars/car-14-one-tooth-too-tall.yaml"
    car.write_bytes(b"\xef\xbb\xbf" + car.read_bytes().replace(b"\n", b"\r\n"))
    (entry,) = json.loads(console(empty, "check", "--report", "json", str(car)).out)["entries"]
    assert [read["file"] for read in entry["files"]] == [
        "examples/cars/car-14-one-tooth-too-tall.yaml",
        "examples/motors/00455.yaml",
        "examples/garage.yaml",
        "rulesets/coastal-league-2026.1.yaml",
        "rulesets/harbour-city-2026.2.yaml",
    ]
    for read in entry["files"]:
        assert read["sha256"] == hashlib.sha256((empty / read["file"]).read_bytes()).hexdigest()


def test_of_several_things_the_worst_is_the_value_and_all_are_beside_it() -> None:
    found = find_in(
        {
            "club.yaml": a_ruleset("{id: ride, quantity: extra.ride_heights_mm, at_least: 5}"),
            "car.yaml": a_setup("extra: {ride_heights_mm: [5.6, 4.6, 5.2]}"),
        }
    )
    (check,) = json.loads(report_text("json", found))["entries"][0]["checks"]
    assert (check["value"], check["values"], check["verdict"]) == (4.6, [5.6, 4.6, 5.2], "illegal")
