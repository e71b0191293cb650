"""The `csv` report: RFC 4180, a row for each check, and nothing in it that a spreadsheet would work out."""

import csv
import io

import pytest

from tests.check.world import a_ruleset, a_setup, find_in
from tests.console import GOLDEN, Golden
from tests.reports.misprint_cars import CARS, findings
from tests.reports.report_text import report_text


def rows(text: str) -> list[dict[str, str]]:
    assert text.startswith("\ufeff")
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


@pytest.mark.parametrize("name", ["illegal", "close-call"])
def test_whole_tables(name: str, golden: Golden) -> None:
    golden.holds(GOLDEN / "csv" / f"{name}.csv", report_text("csv", findings(*CARS[name])))


@pytest.mark.parametrize("name", CARS)
def test_there_is_a_row_for_each_check(name: str) -> None:
    found = findings(*CARS[name])
    table = rows(report_text("csv", found))
    assert [(row["file"], row["rule"], row["verdict"]) for row in table] == [
        (entry.file, check.rule.id, check.verdict.value) for entry in found.entries for check in entry.checks
    ]


def test_without_entries_there_is_the_heading() -> None:
    text = report_text("csv", findings(*CARS["problems"]))
    assert text.count("\r\n") == 1
    assert rows(text) == []


@pytest.mark.parametrize(
    "name", ["=1+1", "+A1", "-2", "@SUM(A1)", "\t=1", 'quotes " and, commas', "two\nlines", "車 ±"]
)
def test_text_from_a_file_is_one_cell_and_never_a_formula(name: str) -> None:
    rules = ("{id: mass, quantity: mass_g, at_least: 1350}",)
    escaped = name.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    stated = f'name: "{escaped}"\ncar: {{mass_g: 1340}}'
    found = find_in({"club.yaml": a_ruleset(*rules), "car.yaml": a_setup(stated)})
    (row,) = rows(report_text("csv", found))
    assert not row["name"].startswith(("=", "+", "-", "@", "\t"))
    assert row["name"].lstrip("'").split() == name.split()
    assert (row["value"], row["margin"], row["verdict"]) == ("1340", "-10.0", "illegal")
