"""A document says what it is, or is told how to."""

import pytest

from speclint.documents.declared import KEYS_OF_KINDS, KINDS
from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.structure.formats import FORMATS, format_of
from speclint.structure.validate import schema_of


def _document(text: str) -> Document:
    document, problems = parse("x.yaml", text)
    assert document is not None
    assert problems == ()
    return document


@pytest.mark.parametrize("declared", FORMATS)
def test_a_format_that_is_read_is_told_without_a_problem(declared: str) -> None:
    document = _document(f"format: {declared}\n")
    assert format_of(document) == (declared, ())


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("name: Car 12\n",
         "`format` is missing, so that nobody knows what this file is; add one of setup/1, motor/1, ruleset/1,"
         " garage/1 or inspection/1"),
        ("format: setup/2\n",
         '`format` is "setup/2"; this speclint reads setup/1: a newer one may read the file'),
        ("format: setp/1\n", '`format` is "setp/1"; did you mean setup/1?'),
        ("format: Setup/1\n", '`format` is "Setup/1"; did you mean setup/1?'),
        ("format: setup\n", '`format` is "setup"; did you mean setup/1?'),
        ("format: rulesets/1.0\n", '`format` is "rulesets/1.0"; did you mean ruleset/1?'),
        ("format: report/1\n",
         '`format` is "report/1", which speclint does not read; it reads setup/1, motor/1, ruleset/1, garage/1 or inspection/1'),
        ("format: html\n",
         '`format` is "html", which speclint does not read; it reads setup/1, motor/1, ruleset/1, garage/1 or inspection/1'),
        ("format: 1\n", "`format` must be one of setup/1, motor/1, ruleset/1, garage/1 or inspection/1"),
        ("- format: setup/1\n",
         "the dash before `format` makes a list of the file; remove it, and indent what follows by as much less"),
        ("- name: Car 12\n",
         "the file holds a list where keys and values are expected; begin it with, say, `format: setup/1`"),
        ("formt: setup/1\n", "`formt` is not a key of any file; did you mean `format`?"),
        ("Format: setup/1\n", "`Format` is not a key of any file; did you mean `format`?"),
        ("car: {mass_g: 1352}\nentries: []\n",
         "`format` is missing; this looks like a setup: begin it with `format: setup/1`"),
        ("setup/1\n",
         "the file holds a single value where keys and values are expected; begin it with, say, `format: setup/1`"),
    ],
)  # fmt: skip
def test_any_other_is_told_what_to_write(text: str, message: str) -> None:
    document = _document(text)
    declared, problems = format_of(document)
    assert declared is None
    assert [(problem.id, problem.message) for problem in problems] == [("format", message)]


def test_a_misspelt_format_is_shown_at_its_key() -> None:
    problem = format_of(_document("# a car\nname: Car 12\nformat: setp/1\n"))[1][0]
    assert (problem.place.line, problem.place.column, problem.place.pointer) == (3, 1, "/format")


@pytest.mark.parametrize("kind", KINDS)
def test_the_keys_that_tell_a_kind_are_keys_of_it_and_two_of_them_of_no_other(kind: str) -> None:
    keys = {key.decode() for key in KEYS_OF_KINDS[kind]}
    assert keys <= set(schema_of(f"{kind}/1")["properties"])
    for other in set(KINDS) - {kind}:
        assert len(keys & set(schema_of(f"{other}/1")["properties"])) < 2 or other == "setup"
