"""Published class rules as fixtures: every car comes out as the rulebook says it must.

The source of each is named at the top of its file under tests/data/published/; all are paraphrased, and every number is
what was published in that year. LEFT.md there lists what the forms of a ruleset cannot say.
"""

from pathlib import Path

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
    assert rulebooks == {f"R{number}" for number in range(1, 16)}


@pytest.mark.parametrize("name", sorted(SHELF.documents))
def test_the_source_is_named_with_the_year_of_publication(name: str) -> None:
    source = SHELF.documents[name][0].data["source"]
    assert "paraphrased" in source
    assert "was published" in source or "year of publication is not known" in source
