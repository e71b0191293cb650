"""The `json` report: every one of them is a `report/1`, and the same input gives the same bytes."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from speclint import __version__
from speclint.reports import Paper, write
from tests.console import GOLDEN, ROOT, Console, Golden, process
from tests.reports.misprint_cars import CARS, findings

IsReport = Callable[[Any], bool]


@pytest.mark.parametrize("name", CARS)
def test_whole_reports(name: str, golden: Golden, is_report: IsReport) -> None:
    text = write("json", findings(*CARS[name]), Paper())
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
    report = json.loads(write("json", findings(*CARS["illegal"]), Paper()))
    assert is_report(report)
    report["entries"][0]["verdict"] = "fine"
    assert not is_report(report)


def test_the_same_input_gives_the_same_bytes_in_every_process_and_order() -> None:
    paths = ("examples/setups", "examples/motors", "rulesets", "examples/garage.yaml")
    runs = [
        process(ROOT, "check", "--report", "json", *order, PYTHONHASHSEED=seed).stdout
        for order, seed in ((paths, "0"), (paths, "4711"), (paths[::-1], "1"), ((*paths[2:], *paths[:2]), "2"))
    ]
    assert len(runs[0]) > 10_000
    assert len(set(runs)) == 1


@pytest.mark.parametrize("name", CARS)
def test_paper_that_takes_ascii_only_gets_the_same_values(name: str) -> None:
    text = write("json", findings(*CARS[name]), Paper(ascii_only=True))
    assert text.isascii()
    assert json.loads(text) == json.loads(write("json", findings(*CARS[name]), Paper()))


def test_a_setup_that_was_not_judged_is_in_the_report_with_the_reason() -> None:
    report = json.loads(write("json", findings(*CARS["problems"]), Paper()))
    assert [one["file"] for one in report["not_judged"]] == ["broken.yaml", "mistyped.yaml", "no-entry.yaml"]
    assert report["summary"]["setups"] == 3
    assert report["entries"] == []
