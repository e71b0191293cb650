"""A document says what it is, or is told how to."""

import pytest

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.structure.formats import FORMATS, declares_format, format_of


def _document(text: str) -> Document:
    document, problems = parse("x.yaml", text)
    assert document is not None
    assert problems == ()
    return document


@pytest.mark.parametrize("declared", FORMATS)
def test_a_format_that_is_read_is_told_without_a_problem(declared: str) -> None:
    document = _document(f"format: {declared}\n")
    assert format_of(document) == (declared, ())
    assert declares_format(document)


@pytest.mark.parametrize(
    ("text", "ours", "message"),
    [
        ("name: Car 12\n", False,
         "`format` is missing, so that nobody knows what this file is; add one of setup/1, motor/1, ruleset/1 or"
         " garage/1"),
        ("format: setup/2\n", True,
         '`format` is "setup/2"; this speclint reads setup/1: a newer one may read the file'),
        ("format: setp/1\n", True, '`format` is "setp/1"; did you mean setup/1?'),
        ("format: Setup/1\n", True, '`format` is "Setup/1"; did you mean setup/1?'),
        ("format: setup\n", True, '`format` is "setup"; did you mean setup/1?'),
        ("format: rulesets/1.0\n", True, '`format` is "rulesets/1.0"; did you mean ruleset/1?'),
        ("format: report/1\n", False,
         '`format` is "report/1", which speclint does not read; it reads setup/1, motor/1, ruleset/1 or garage/1'),
        ("format: html\n", False,
         '`format` is "html", which speclint does not read; it reads setup/1, motor/1, ruleset/1 or garage/1'),
        ("format: 1\n", False, "`format` must be one of setup/1, motor/1, ruleset/1 or garage/1"),
        ("- format: setup/1\n", False,
         "the file holds a list where keys and values are expected; begin it with, say, `format: setup/1`"),
        ("setup/1\n", False,
         "the file holds a single value where keys and values are expected; begin it with, say, `format: setup/1`"),
    ],
)  # fmt: skip
def test_any_other_is_told_what_to_write(text: str, ours: bool, message: str) -> None:
    document = _document(text)
    declared, problems = format_of(document)
    assert declared is None
    assert [(problem.id, problem.message) for problem in problems] == [("format", message)]
    assert declares_format(document) is ours


def test_a_misspelt_format_is_shown_at_its_key() -> None:
    problem = format_of(_document("# a car\nname: Car 12\nformat: setp/1\n"))[1][0]
    assert (problem.place.line, problem.place.column, problem.place.pointer) == (3, 1, "/format")
