"""Every document under `tests/data/structure/bad`, beside the problems that must be told of it, word for word."""

from pathlib import Path

import pytest

from speclint.documents.parse import parse
from speclint.problems import ProblemKind
from speclint.structure.validate import validate
from tests.console import Golden

BAD = Path(__file__).parents[1] / "data" / "structure" / "bad"


@pytest.mark.parametrize("path", sorted(BAD.glob("*.yaml")), ids=lambda path: path.stem)
def test_its_problems_are_told_where_and_as_they_should_be(path: Path, golden: Golden) -> None:
    document, unreadable = parse(path.name, path.read_text(encoding="utf-8"))
    assert document is not None
    assert unreadable == ()
    problems = validate(document, document.data["format"])
    lines = "".join(f"{p.place.line}:{p.place.column} {p.id}: {p.message}\n" for p in problems)
    golden.holds(path.with_suffix(".problems"), lines)
    assert all(p.kind is ProblemKind.SCHEMA or p.id == "no-such-date" for p in problems)


def test_every_document_has_its_problems_beside_it() -> None:
    assert {p.stem for p in BAD.glob("*.yaml")} == {p.stem for p in BAD.glob("*.problems")}


def test_the_pointer_is_that_of_the_key_to_edit() -> None:
    document, _ = parse(
        "x.yaml", "format: setup/1\ncar:\n  pinion_tooth: 42\n  mass_g: 1352 g\nentries:\n  - {class: a}\n"
    )
    assert document is not None
    pointers = [problem.place.pointer for problem in validate(document, "setup/1")]
    assert pointers == ["/car/pinion_tooth", "/car/mass_g", "/entries/0/on", "/entries/0/ruleset"]


@pytest.mark.parametrize("text", ["- 1\n", "5\n", "null\n", "{}\n"])
def test_a_file_that_is_something_else_altogether_is_told_in_one_sentence(text: str) -> None:
    document, _ = parse("x.yaml", text)
    assert document is not None
    assert len(validate(document, "setup/1")) == 1
