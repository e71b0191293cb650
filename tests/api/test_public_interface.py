"""What a Python program can ask of speclint: the same as the JSON report says, as frozen values."""

import ast
import dataclasses
import doctest
import json
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

import speclint
from speclint.api import opening
from speclint.api.report import (
    CarRemedies,
    Check,
    Entry,
    Inspected,
    KeyChange,
    LookedAt,
    Notice,
    NotJudged,
    OfficialReading,
    Place,
    Problem,
    Remedy,
    Waiver,
)
from speclint.reports.check.fields import ENTRY, REPORT
from speclint.reports.fields import Record
from tests.console import ROOT, Console, write


def test_the_examples_in_the_docstrings_are_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    outcome = doctest.testmod(opening)
    assert outcome.attempted >= 8
    assert outcome.failed == 0


def test_every_public_name_is_there_and_type_checkers_are_told_of_it() -> None:
    stub = ast.parse((ROOT / "speclint" / "__init__.pyi").read_text(encoding="utf-8"))
    told = {alias.asname for node in stub.body if isinstance(node, ast.ImportFrom) for alias in node.names}
    assert told - {None} == set(speclint.__all__) - {"__version__"}
    for name in speclint.__all__:
        assert getattr(speclint, name) is not None
    assert set(speclint.__all__) <= set(dir(speclint))
    with pytest.raises(AttributeError, match="no attribute 'check_files'"):
        speclint.check_files  # type: ignore[attr-defined] # noqa: B018


def test_importing_the_package_loads_none_of_its_rooms() -> None:
    program = "import sys, speclint; print(*sorted(name for name in sys.modules if name.startswith('speclint')))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["speclint"]


def records(record: Record[Any]) -> Iterator[Record[Any]]:
    yield record
    for field in record.fields:
        if field.record is not None:
            yield from records(field.record)


def test_every_field_of_the_report_is_an_attribute() -> None:
    values = {
        "where": Place, "change": KeyChange, "remedy": Remedy, "check": Check, "notice": Notice, "waiver": Waiver,
        "judged_entry": Entry, "problem": Problem, "whole_car": CarRemedies, "advice": speclint.Advice,
        "not_judged": NotJudged, "holding": speclint.Holding, "read_file": speclint.ReadFile, "coming": speclint.ComingChange, "test": speclint.Test,
            "inspected": Inspected, "official_reading": OfficialReading, "looked_at": LookedAt,
    }  # fmt: skip
    by_name = {record.name: record for record in (*records(REPORT), *records(ENTRY))}
    for name, value_type in values.items():
        keys = {"class_id" if field.key == "class" else field.key for field in by_name[name].fields}
        assert {field.name for field in dataclasses.fields(value_type)} == keys
    assert set(by_name) - set(values) == {"report", "tool", "asked", "summary"}


def plain(value: Any) -> Any:
    """A frozen value as JSON has it."""
    if dataclasses.is_dataclass(value):
        return {
            "class" if field.name == "class_id" else field.name: plain(getattr(value, field.name))
            for field in dataclasses.fields(value)
        }
    if isinstance(value, tuple):
        return [plain(member) for member in value]
    if isinstance(value, date):
        return value.isoformat()
    return dict(value) if hasattr(value, "items") else value


def test_it_says_what_the_json_report_says(console: Console, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    report = speclint.check_paths("examples")
    stated = json.loads(console(ROOT, "check", "examples", "--report", "json").out)
    said = plain(report)
    for key in ("entries", "problems", "remedies", "advice", "not_judged"):
        assert json.loads(json.dumps(said[key])) == stated[key]
    assert report.failed


def test_the_values_cannot_be_changed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    entry = speclint.check_paths(Path("examples/cars/car-12-carpet.yaml")).entries[0]
    with pytest.raises(dataclasses.FrozenInstanceError):
        entry.verdict = "illegal"  # type: ignore[misc]
    check = next(check for check in entry.checks if check.limit)
    with pytest.raises(TypeError):
        check.limit["at_least"] = 0  # type: ignore[index]


def test_overrides_mean_what_they_mean_on_the_command_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    car = ROOT / "examples/cars/car-12-carpet.yaml"
    report = speclint.check_paths([car], ruleset="harbour-city@2026.2", class_id="stock-17", on=date(2026, 6, 13))
    assert {(entry.ruleset_version, entry.on) for entry in report.entries} == {("2026.2", date(2026, 6, 13))}
    with pytest.raises(speclint.SpeclintError, match="has no class stok-17; did you mean stock-17"):
        speclint.check_paths(car, class_id="stok-17")


def test_what_cannot_be_read_is_in_the_report_and_hides_nothing(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "examples", empty / "examples")
    shutil.copytree(ROOT / "rulesets", empty / "rulesets")
    write(empty / "notes.yaml", "a: 1\n")
    monkeypatch.chdir(empty)
    report = speclint.check_paths(["nowhere.yaml", "notes.yaml", "examples/cars/car-12-carpet.yaml"])
    assert [entry.verdict for entry in report.entries] == ["legal"]
    assert [(refused.file, refused.reason) for refused in report.not_judged] == [
        ("nowhere.yaml", "there is no such file or folder"),
        ("notes.yaml", "it says no `format:`"),
    ]
    assert report.failed


def test_a_ruleset_is_read_by_file_id_or_version(empty: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    march = date(2026, 3, 14)
    by_file = speclint.load_ruleset(ROOT / "rulesets/harbour-city-2026.2.yaml", on=march)
    assert (
        by_file
        == speclint.load_ruleset("harbour-city", on=march)
        == speclint.load_ruleset("harbour-city@2026.2", on=march)
    )
    june = speclint.load_ruleset("harbour-city", on=date(2026, 6, 13))
    asks = {rule.id: rule.asks for rule in june.classes["stock-17"].rules}
    assert asks["final-drive-from-june"] == "at least 4.4"
    assert by_file.digest.startswith("sha256:")
    with pytest.raises(speclint.SpeclintError, match="there is no ruleset harbor-city; did you mean harbour-city"):
        speclint.load_ruleset("harbor-city", on=march)
    write(empty / "bad.yaml", "format: ruleset/1\nid: bad\n")
    with pytest.raises(speclint.SpeclintError, match=r"bad\.yaml"):
        speclint.load_ruleset(empty / "bad.yaml", on=march)
