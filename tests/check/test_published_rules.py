"""Published class rules as fixtures: every car comes out as the rulebook says it must.

The source of each is named at the top of its file under tests/data/published/; all are paraphrased, and every number is
what was published in that year. LEFT.md there lists what the forms of a ruleset cannot say.
"""

import csv
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from speclint.documents.declared import declared_kind
from speclint.files import FileText
from speclint.rules.examples import ExampleResult, run_examples
from speclint.workspace.loaded import load
from speclint.workspace.ruleset_index import RulesetIndex, index_rulesets

FOLDER = Path(__file__).resolve().parents[1] / "data" / "published"


def _shelf() -> RulesetIndex:
    texts = {path.name: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.yaml"))}
    return index_rulesets(
        load(FileText(name, text, None, declared_kind(text.encode()))) for name, text in texts.items()
    )


SHELF = _shelf()
RESULTS = {
    f"{file.removesuffix('.yaml')}: {result.example.about}: {result.rule} is {result.expected}": result
    for file, (ruleset, document) in SHELF.documents.items()
    for result in run_examples(ruleset, document, SHELF.library)
}


def test_every_published_rulebook_is_sound() -> None:
    assert SHELF.problems == ()
    assert sorted(SHELF.documents) == sorted(path.name for path in FOLDER.glob("*.yaml"))


def test_every_expectation_is_looked_at() -> None:
    written = [
        expected
        for ruleset, _ in SHELF.documents.values()
        for example in ruleset.examples
        for expected in example.expect
    ]
    assert len(RESULTS) == len(written)


@pytest.mark.parametrize("said", RESULTS)
def test_a_car_of_a_published_rulebook_comes_out_as_the_rulebook_says(said: str) -> None:
    result: ExampleResult = RESULTS[said]
    assert result.found == result.expected


def test_every_table_of_published_cars_is_here() -> None:
    rulebooks = {name.removesuffix(".yaml").partition("-")[0] for name in SHELF.documents}
    assert rulebooks == {f"R{number}" for number in range(1, 16)} | {"T1", "T5", "others"}


@pytest.mark.parametrize("name", sorted(SHELF.documents))
def test_the_source_is_named_with_the_year_of_publication(name: str) -> None:
    source = SHELF.documents[name][0].data["source"]
    assert "paraphrased" in source
    assert "was published" in source or "year of publication is not known" in source


HOW = ("directly", "by an inspector", "only its outcome", "not at all")
"""How a ruleset says a rule: its limit as data, a look that an inspector takes, a yes or no that the racer states; or not."""


def _rows() -> list[dict[str, str]]:
    with (FOLDER / "rules.csv").open(encoding="utf-8", newline="") as file:
        return [*csv.DictReader(file)]


def _named(row: dict[str, str]) -> list[tuple[str, str, str]]:
    """File, class and rule of each rule of a ruleset that says the row."""
    file, *rules = row["fixture"].split() or [""]
    return [(file, class_id, rule_id) for class_id, rule_id in (rule.split("/") for rule in rules)]


def _stated() -> dict[tuple[str, str, str], Any]:
    """Every rule of the fixtures as it is written."""
    return {
        (name.removesuffix(".yaml"), class_id, rule["id"]): rule
        for name, (_, document) in SHELF.documents.items()
        for class_id, stated in document.data["classes"].items()
        for rule in stated["rules"]
    }


def _said(rule: Any) -> str:
    if "inspect" in rule:
        return "by an inspector"
    is_answer = str(rule.get("quantity", "")).startswith("extra.") and isinstance(rule.get("equals"), bool)
    return "only its outcome" if is_answer else "directly"


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['source']}: {row['what the rulebook says']}")
def test_a_rule_is_said_as_the_table_has_it(row: dict[str, str]) -> None:
    stated = _stated()
    said = {_said(stated[name]) for name in _named(row)} or {"not at all"}
    assert said == {row["how it is said"]}


def test_every_rule_of_every_fixture_stands_in_the_table() -> None:
    told = {name for row in _rows() for name in _named(row)}
    # A class with a leeway that the rulebook does not have shows what one would do.
    assert _stated().keys() - told == {("R1", "touring-17-with-leeway", "weight")}


def test_the_page_counts_the_rules() -> None:
    page = (FOLDER / "LEFT.md").read_text(encoding="utf-8")
    counts = Counter(row["how it is said"] for row in _rows())
    assert set(counts) == set(HOW)
    assert "".join(f"| {how} | {counts[how]} |\n" for how in HOW) in page
    said = counts["directly"] + counts["by an inspector"]
    assert f"{said} of {counts.total()}" in page
    assert said / counts.total() >= 0.95
