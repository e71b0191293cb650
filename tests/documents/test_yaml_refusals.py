"""What the subset refuses, told at the right line and column, in words for a racer.

The cases are the files of tests/data/yaml/bad; which mistakes are common is common practice.
"""

import json
import re
import sys
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.documents.parse import parse
from speclint.documents.refusals import DEEPEST
from speclint.documents.text import LARGEST_BYTES, unreadable
from speclint.problems import MOST_PROBLEMS, SORTS_BY_ID, ProblemKind

_BAD: Final = Path(__file__).parents[1] / "data" / "yaml" / "bad"
_EXPECTED: Final[dict[str, list[dict[str, Any]]]] = json.loads((_BAD / "expected.json").read_text(encoding="utf-8"))
_PARSERS_WORDS: Final = ("token", "stream", "scalar", "node", "expected <", "did not find", "simple key", "context")


def test_every_bad_file_has_its_expectation() -> None:
    assert {path.stem for path in _BAD.glob("*.yaml")} == set(_EXPECTED)


_PRINTABLE: Final = re.compile("[\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""c-printable of YAML 1.2.2, section 5.1, production 1."""


def test_what_is_printed_may_stand_in_a_file_and_what_yaml_has_not_may_not() -> None:
    characters = [chr(code) for code in range(sys.maxunicode + 1)]
    readable = [character for character in characters if unreadable("setup.yaml", character) is None]
    assert all(map(_PRINTABLE.fullmatch, readable))
    # A byte order mark, and what only YAML 1.1 takes for the end of a line, are told: nobody sees them.
    refused = "".join(sorted(set(filter(_PRINTABLE.fullmatch, characters)) - set(readable)))
    assert refused == "\x85\u2028\u2029\ufeff"


@pytest.mark.parametrize("name", sorted(_EXPECTED))
def test_a_mistake_is_told_where_it_stands(name: str) -> None:
    text = (_BAD / f"{name}.yaml").read_bytes().decode("utf-8")
    _, problems = parse(f"{name}.yaml", text)
    assert [(problem.place.line, problem.place.column, problem.id) for problem in problems] == [
        (expected["line"], expected["column"], expected["id"]) for expected in _EXPECTED[name]
    ]
    for problem, expected in zip(problems, _EXPECTED[name], strict=True):
        assert all(words in problem.message for words in expected["says"]), problem.message
        assert SORTS_BY_ID[problem.id].kind is ProblemKind.YAML
        assert not any(words in problem.message for words in _PARSERS_WORDS)


@pytest.mark.parametrize("name", sorted(_EXPECTED))
def test_windows_line_ends_change_no_line_and_no_column(name: str) -> None:
    text = (_BAD / f"{name}.yaml").read_bytes().decode("utf-8")
    _, unix = parse("f", text)
    _, windows = parse("f", text.replace("\n", "\r\n"))
    assert windows == unix


def test_the_pointer_of_a_problem_leads_to_its_value() -> None:
    _, problems = parse("f", "car:\n  a/b: [1, {x: .nan}]\n  a/b: 2\nspare: !t 1\n")
    assert [problem.place.pointer for problem in problems] == ["/car/a~1b/1/x", "/car/a~1b", "/spare"]


@pytest.mark.parametrize(
    ("line", "problem_id"), [("a: 1\n", "duplicate-key"), ("- &b 1\n", "anchor"), ("%c\n", "directive")]
)
def test_of_very_many_problems_the_first_are_told_and_how_many_more_there_are(line: str, problem_id: str) -> None:
    _, problems = parse("f", "x:\n" * (problem_id == "duplicate-key") + line * 100 + "---\na: 1\n" * (line[0] == "%"))
    assert {problem.id for problem in problems} == {problem_id}
    assert len(problems) == MOST_PROBLEMS + 1
    left_out = 100 - (problem_id == "duplicate-key") - MOST_PROBLEMS
    assert problems[-1].message == f"and {left_out} more problems in this file: mend these first"
    assert problems[-1].place.line == 100 + (problem_id == "duplicate-key")


def test_what_ends_the_reading_is_told_however_much_there_was_before() -> None:
    _, problems = parse("f", "a: 1\n" * 100 + "b: [\n")
    assert [problem.id for problem in problems[-2:]] == ["syntax", "duplicate-key"]
    assert problems[-1].message == "and 79 more problems in this file: mend these first"


SIDES: Final = ("<" * 7, "=" * 7, ">" * 7)


def in_conflict(*between: str) -> str:
    begin, middle, end = SIDES
    return f"{begin} HEAD\n{between[0]}\n{middle}\n{between[1]}\n{end} their-branch\n"


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_what_git_could_not_merge_is_named_as_such(line_end: str) -> None:
    text = "format: setup/1\ncar:\n" + in_conflict("  mass_g: 1352", "  mass_g: 1350") + "name: x\n"
    document, (problem,) = parse("f", text.replace("\n", line_end))
    assert document is None
    assert (problem.id, problem.place.line, problem.place.column) == ("conflict-markers", 3, 1)
    assert problem.message.startswith("Git could not merge two versions of the lines from here to line 7: keep one")


def test_marks_in_braces_would_be_a_part_of_a_value_and_are_named_all_the_same() -> None:
    text = "format: setup/1\ncar: {type: pan\n" + in_conflict(", mass_g: 1352", ", mass_g: 1350") + "}\n"
    assert [problem.id for problem in parse("f", text + text)[1]] == ["conflict-markers"]
    assert "in 1 more place of this file" in parse("f", text + text)[1][0].message


@pytest.mark.parametrize(
    "text", [f"a: |\n  {SIDES[0]} x\n  {SIDES[2]} y\n", f"a: '{SIDES[0]}'\nb: '{SIDES[2]}'\n", f"{SIDES[0]}x: 1\n"]
)
def test_a_text_that_quotes_such_marks_is_a_text(text: str) -> None:
    document, problems = parse("f", text)
    assert problems == ()
    assert document is not None


def test_a_file_with_problems_is_read_on_and_the_first_of_two_values_kept() -> None:
    document, problems = parse("f", "a: 1\na: {b: 2}\n<<: {c: 3}\nd: *x\n? [e]\n: 4\ng: 5\n")
    assert [problem.id for problem in problems] == ["duplicate-key", "anchor", "anchor", "key-not-text"]
    assert document is not None
    assert document.data == {"a": 1, "d": None, "g": 5}


def test_a_quoted_merge_sign_is_an_ordinary_key() -> None:
    document, problems = parse("f", '"<<": 1\n')
    assert problems == ()
    assert document is not None
    assert document.data == {"<<": 1}


@pytest.mark.parametrize(
    "text",
    [
        "[" * 2000,
        "[" * 200_000,
        "{a: " * 2000,
        "- " * 200_000,
        "? " * 2000,
        "".join(" " * n + "a:\n" for n in range(900)),
    ],
)
def test_nesting_without_end_is_one_problem(text: str) -> None:
    document, problems = parse("f", text)
    assert document is None
    assert [problem.id for problem in problems if problem.id != "key-not-text"] == ["too-deep"]


@pytest.mark.parametrize(("opening", "closing"), [("[", "]"), ("{a: ", "}")])
def test_forty_levels_are_read_and_one_more_is_not(opening: str, closing: str) -> None:
    assert DEEPEST == 40
    document, problems = parse("f", opening * 40 + closing * 40)
    assert document is not None
    assert problems == ()
    document, problems = parse("f", opening * 41 + closing * 41)
    assert document is not None
    assert [problem.id for problem in problems] == ["too-deep"]
    depth, data = 0, document.data
    while data:
        depth, data = depth + 1, data[0] if isinstance(data, list) else data["a"]
    assert depth == 40


def test_a_mebibyte_is_read_and_one_byte_more_is_not() -> None:
    assert LARGEST_BYTES == 1024 * 1024
    start = "a: 1\n#"
    for filling in ("x", "é"):
        count, rest = divmod(LARGEST_BYTES - len(start), len(filling.encode()))
        text = start + filling * count + "x" * rest
        assert parse("f", text)[1] == ()
        document, problems = parse("f", text + "x")
        assert document is None
        assert [problem.id for problem in problems] == ["too-large"]


def test_a_mark_at_the_start_of_the_file_is_no_part_of_it() -> None:
    document, problems = parse("f", "\ufeffa: .inf\n")
    assert document is not None
    assert document.text == "a: .inf\n"
    assert [(problem.id, problem.place.line, problem.place.column) for problem in problems] == [("not-finite", 1, 4)]


@given(st.text())
@settings(deadline=None)
def test_no_text_whatever_raises(text: str) -> None:
    document, problems = parse("f", text)
    assert document is not None or problems
    assert list(problems) == sorted(problems, key=lambda problem: (problem.place.line, problem.place.column))


_SIGNS: Final = "abn01.:-?,[]{}#&*!|>'\"%@`~ \t\n\r\\<=+é𝄞\u2028\ufeff\ud800"
_MORSELS: Final = (
    r"""\n··|\n-·|:·|-·|?·|---\n|...\n|%YAML·1.2\n|<<:·|*a|&a·|!t·|key:·|"x"|'y'|>-\n··|.inf|1e400|\\u|0x1"""
)
_NEAR_YAML: Final = st.lists(
    st.sampled_from([*_SIGNS, *(morsel.replace("·", " ").replace(r"\n", "\n") for morsel in _MORSELS.split("|"))]),
    max_size=40,
).map("".join)


@given(_NEAR_YAML)
@settings(deadline=None)
def test_no_text_near_yaml_raises_and_every_place_is_in_the_file(text: str) -> None:
    document, problems = parse("f", text)
    assert document is not None or problems
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for problem in problems:
        assert 1 <= problem.place.line <= len(lines)
        assert 1 <= problem.place.column <= len(lines[problem.place.line - 1]) + 1
