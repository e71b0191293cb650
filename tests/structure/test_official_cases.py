"""Both validators against the official JSON Schema test suite, for every keyword that the schemas use."""

import json
import math
from pathlib import Path
from typing import Any

import jsonschema
import jsonschema_rs
import pytest
from referencing import Registry

from speclint.schemas import DOCUMENTS, schema
from tests.structure.schema_walk import keywords

OFFICIAL = Path(__file__).parents[1] / "data" / "structure" / "official"
HELP_ONLY = {
    "$schema", "$id", "$ref", "$defs", "title", "description", "examples", "defaultSnippets", "enumDescriptions",
    "errorMessage",
}  # fmt: skip
CONDITIONS = {"if", "then", "else"}


def _official_groups() -> list[Any]:
    return [
        pytest.param(group, id=f"{path.stem}: {group['description']}")
        for path in sorted(OFFICIAL.glob("*.json"))
        for group in json.loads(path.read_text(encoding="utf-8"))
    ]


@pytest.mark.parametrize("group", _official_groups())
def test_both_validators_say_what_the_official_suite_says(group: dict[str, Any]) -> None:
    explainer = jsonschema.Draft202012Validator(group["schema"], registry=Registry())
    gate = jsonschema_rs.Draft202012Validator(group["schema"])
    for case in group["tests"]:
        assert explainer.is_valid(case["data"]) is case["valid"], case["description"]
        assert gate.is_valid(case["data"]) is case["valid"], case["description"]


def test_every_keyword_of_the_schemas_has_its_official_cases() -> None:
    used = set().union(*(keywords(schema(name)) for name in DOCUMENTS)) - HELP_ONLY
    held = {path.stem for path in OFFICIAL.glob("*.json")} | CONDITIONS
    assert used <= held
    assert (OFFICIAL / "if-then-else.json").exists()


# The same suite, and the specification (JSON Schema Validation 2020-12, sections 6 and 7), by name: what a writer of
# schemas gets wrong.


@pytest.mark.parametrize("make", [jsonschema.Draft202012Validator, jsonschema_rs.Draft202012Validator])
class TestTraps:
    def test_a_float_without_a_fraction_is_an_integer(self, make: Any) -> None:
        assert make({"type": "integer"}).is_valid(1.0)

    def test_true_is_neither_an_integer_nor_a_number(self, make: Any) -> None:
        assert not make({"type": ["integer", "number"]}).is_valid(True)

    def test_a_pattern_is_not_anchored_by_itself(self, make: Any) -> None:
        assert make({"pattern": "b"}).is_valid("abc")

    def test_a_date_format_is_a_remark_and_not_a_rule(self, make: Any) -> None:
        assert make({"format": "date"}).is_valid("not a date")


def test_limits_of_size_let_through_what_is_not_a_number_so_documents_must_not_hold_it() -> None:
    assert jsonschema.Draft202012Validator({"minimum": 1, "maximum": 2}, registry=Registry()).is_valid(math.nan)
