"""One value set in a text: what it replaces, where a missing key goes, and what it would rather not touch."""

from typing import Any

import pytest

from speclint.documents.parse import parse
from speclint.documents.tree import Document
from speclint.edits.proof import spliced
from speclint.edits.values import set_value, with_value
from speclint.errors import WriteRefusedError
from speclint.places import Path


def document_of(text: str) -> Document:
    document, problems = parse("car.yaml", text)
    assert document is not None
    assert not problems
    return document


def after_setting(text: str, path: Path, value: Any) -> str:
    document = document_of(text)
    return spliced(document, [set_value(document, path, value)], with_value(document.data, path, value)).text


@pytest.mark.parametrize(
    ("before", "path", "value", "after"),
    [
        ("car:\n  spur_teeth: 96   # new\n", ("car", "spur_teeth"), 98, "car:\n  spur_teeth: 98   # new\n"),
        ("car: {a: 1, pinion_teeth: 42}\n", ("car", "pinion_teeth"), 43, "car: {a: 1, pinion_teeth: 43}\n"),
        ("a: '4.2'\r\nb: 1", ("a",), "4.3", "a: '4.3'\r\nb: 1"),
        ('a: "00417"\n', ("a",), "R-12", 'a: "R-12"\n'),
        ('a: "40/21"\n', ("a",), 1.9, "a: 1.9\n"),
        ("a: 1.9\n", ("a",), "40/21", "a: 40/21\n"),
        ("a: R-12\n", ("a",), "4.2", 'a: "4.2"\n'),
        ("a: R-12\n", ("a",), "no", 'a: "no"\n'),
        ("a: R-12\n", ("a",), 'say "hi"', 'a: say "hi"\n'),
        ("a: R-12\n", ("a",), '"hi" # 1', "a: '\"hi\" # 1'\n"),
        ("a: R-12\n", ("a",), "one\ntwo\x07", 'a: "one\\ntwo\\x07"\n'),
        ("a:   # nothing yet\nb: 1\n", ("a",), 5, "a: 5   # nothing yet\nb: 1\n"),
        ("a:", ("a",), 5, "a: 5"),
        ("{a, b: }", ("a",), 5, "{a: 5, b: }"),
        ("a: |\n  one\n  two\n# end\n", ("a",), "three", "a: three\n# end\n"),
        ("a: ~\n", ("a",), True, "a: true\n"),
        ("s: {drive_end: [0.1, 0.2]}\n", ("s", "drive_end"), [0.3], "s: {drive_end: [0.3]}\n"),
        ("runs:\n- 1\n- 2 # b\n", ("runs", 1), 3, "runs:\n- 1\n- 3 # b\n"),
    ],
)
def test_a_value_takes_the_place_of_another(before: str, path: Path, value: Any, after: str) -> None:
    assert after_setting(before, path, value) == after


@pytest.mark.parametrize(
    ("before", "path", "value", "after"),
    [
        ("car:\n    a: 1  # one\nb: 2\n", ("car", "c"), 3, "car:\n    a: 1  # one\n    c: 3\nb: 2\n"),
        (
            "car:\n  a: 1\n    # of a\n# of b\nb: 2\n",
            ("car", "c"),
            3,
            "car:\n  a: 1\n    # of a\n  c: 3\n# of b\nb: 2\n",
        ),
        ("a: 1", ("car", "c"), 3, "a: 1\ncar: {c: 3}"),
        ("a: 1\r\n...\r\n", ("c",), 3, "a: 1\r\nc: 3\r\n...\r\n"),
        ("a: |+\n  x\n\n", ("c",), 3, "a: |+\n  x\n\nc: 3\n"),
        ("car: {}\n", ("car", "c"), 3, "car: {c: 3}\n"),
        ("car:\n", ("car", "c", "d"), 3, "car: {c: {d: 3}}\n"),
        ("car: {a: 1}  # one\n", ("car", "c"), "x: y", 'car: {a: 1, c: "x: y"}  # one\n'),
        ("car: {\n  a: 1,\n  b: 2  # two\n}\n", ("car", "c"), 3, "car: {\n  a: 1,\n  b: 2,  # two\n  c: 3\n}\n"),
        ("car: {\n  a: 1,\n  b: 2,  # two\n}\n", ("car", "c"), 3, "car: {\n  a: 1,\n  b: 2,  # two\n  c: 3,\n}\n"),
        ('{"a": 1, "car": {"b": 2}}', ("car", "c"), "x", '{"a": 1, "car": {"b": 2, "c": "x"}}'),
        ("runs:\n  - a: 1\n  - b: 2\n", ("runs", 0, "c"), 3, "runs:\n  - a: 1\n    c: 3\n  - b: 2\n"),
    ],
)
def test_a_missing_key_goes_behind_the_last_one_of_its_mapping(before: str, path: Path, value: Any, after: str) -> None:
    assert after_setting(before, path, value) == after


@pytest.mark.parametrize(
    ("text", "path", "said"),
    [
        ("a: {value: 5, instrument: x}\n", ("a",), "a holds a mapping that would be lost"),
        ("a:\n  - 1\n  - 2\n", ("a",), "a holds a list that would be lost"),
        ("a: 5\n", ("a", "b"), "a is no mapping"),
        ("a: [1]\n", ("a", 1), "a is no mapping"),
        ("a: |\n  ends without a line break", ("b",), "written in a way that this change does not fit into"),
    ],
)
def test_what_would_be_lost_is_left_alone(text: str, path: Path, said: str) -> None:
    with pytest.raises(WriteRefusedError, match=said):
        after_setting(text, path, 6)
