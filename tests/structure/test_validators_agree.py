"""The validator that decides and the one that explains say the same of every document."""

import json
from functools import cache
from typing import Any

import jsonschema_rs
import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st
from jsonschema import ValidationError

from speclint.documents.parse import parse
from speclint.problems import MOST_PROBLEMS, SORTS_BY_ID
from speclint.structure.formats import FORMATS
from speclint.structure.validate import explainer, schema_of, validate
from tests.structure.schema_documents import ANYTHING, faulty_documents, valid_documents

every_format = pytest.mark.parametrize("declared", FORMATS)
relaxed = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@cache
def _gate(declared: str) -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(schema_of(declared))


@every_format
@relaxed
@given(data=st.data())
def test_both_take_every_document_generated_from_the_schema(declared: str, data: st.DataObject) -> None:
    document = data.draw(valid_documents(schema_of(declared)))
    assert _gate(declared).is_valid(document)
    assert explainer(declared).is_valid(document)


@every_format
@relaxed
@given(data=st.data())
def test_both_say_the_same_of_a_document_with_faults(declared: str, data: st.DataObject) -> None:
    document = data.draw(faulty_documents(schema_of(declared)))
    verdict = _gate(declared).is_valid(document)
    event(f"valid: {verdict}")
    assert explainer(declared).is_valid(document) is verdict


def _is_of_a_quantity(error: ValidationError) -> bool:
    """The one refusal that the reader of rulesets tells: a name that no quantity has."""
    return error.validator == "enum" and "'mass_g'" in str(error.validator_value)


def _checked(document: Any, declared: str) -> None:
    text = json.dumps(document, ensure_ascii=False)
    parsed, _ = parse("x.yaml", text)
    if parsed is None:
        return
    problems = validate(parsed, declared)
    refused = [error for error in explainer(declared).iter_errors(parsed.data) if not _is_of_a_quantity(error)]
    assert (not [p for p in problems if p.id != "no-such-date"]) is (not refused)
    assert len(problems) <= MOST_PROBLEMS + 1
    places = [problem.place for problem in problems[:MOST_PROBLEMS]]
    assert places == sorted(places)
    lines = text.splitlines() or [""]
    for problem in problems:
        assert problem.id in SORTS_BY_ID
        assert problem.message
        assert problem.message.isprintable()
        assert 1 <= problem.place.line <= len(lines)
        assert 1 <= problem.place.column <= len(lines[problem.place.line - 1]) + 1


@every_format
@relaxed
@given(data=st.data())
def test_every_refusal_has_a_place_and_a_sentence(declared: str, data: st.DataObject) -> None:
    _checked(data.draw(faulty_documents(schema_of(declared))), declared)


@every_format
@relaxed
@given(document=ANYTHING)
def test_nothing_that_can_be_parsed_makes_it_raise(declared: str, document: Any) -> None:
    _checked(document, declared)
