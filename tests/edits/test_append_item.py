"""A record added to a list: in the style of the ones that are there, or the first of its list."""

from typing import Any

import pytest

from speclint.edits.append import append_item, with_item
from speclint.edits.proof import spliced
from speclint.errors import WriteRefusedError
from speclint.places import Path
from tests.edits.test_set_value import document_of

SHORT: dict[str, Any] = {"date": "2026-04-01", "did": ["clean"]}
NESTED: dict[str, Any] = {"date": "2026-04-01", "winding": {"ab_mohm": 21.9, "winding_c": 20}, "note": "a: b"}


def after_adding(text: str, path: Path, item: dict[str, Any]) -> str:
    document = document_of(text)
    return spliced(document, [append_item(document, path, item)], with_item(document, path, item)).text


@pytest.mark.parametrize(
    ("before", "item", "after"),
    [
        pytest.param(
            "x:\n  - {date: a}  # first\n# of y\ny: 1\n", SHORT,
            "x:\n  - {date: a}  # first\n  - {date: 2026-04-01, did: [clean]}\n# of y\ny: 1\n", id="on one line"),
        pytest.param(
            "x:\n- date: a\n  did: [shim]", SHORT,
            "x:\n- date: a\n  did: [shim]\n- date: 2026-04-01\n  did: [clean]", id="without a final line break"),
        pytest.param(
            "x:\r\n    -   date: a\r\n        # of a\r\n    # of what follows\r\ny: 1\r\n", SHORT,
            "x:\r\n    -   date: a\r\n        # of a\r\n    -   date: 2026-04-01\r\n        did: [clean]\r\n"
            "    # of what follows\r\ny: 1\r\n", id="wide, with comments"),
        pytest.param(
            "x:\n  - date: a\n    winding:\n        ab_mohm: 1\n    did:\n    - shim\n", {**NESTED, **SHORT},
            "x:\n  - date: a\n    winding:\n        ab_mohm: 1\n    did:\n    - shim\n  - date: 2026-04-01\n"
            "    winding:\n        ab_mohm: 21.9\n        winding_c: 20\n    note: \"a: b\"\n    did:\n    - clean\n",
            id="one key a line throughout"),
        pytest.param(
            "x:\n  - date: a\n\n  - date: b\n\ny: 1\n", {"date": "c"},
            "x:\n  - date: a\n\n  - date: b\n\n  - date: c\n\ny: 1\n", id="set apart by empty lines"),
        pytest.param("x: [{date: a}]\n", {"date": "c"}, "x: [{date: a}, {date: c}]\n", id="in brackets"),
        pytest.param(
            '{\n "x": [\n  {"date": "a"}   \n ]\n}\n', {"date": "c"},
            '{\n "x": [\n  {"date": "a"},   \n  {"date": "c"}\n ]\n}\n', id="as JSON"),
    ],
)  # fmt: skip
def test_a_record_looks_like_the_last_one(before: str, item: dict[str, Any], after: str) -> None:
    assert after_adding(before, ("x",), item) == after


@pytest.mark.parametrize(
    ("before", "item", "after"),
    [
        ("a: 1\n", SHORT, "a: 1\nx:\n  - {date: 2026-04-01, did: [clean]}\n"),
        ("a: 1\nb:\n- 2\n", SHORT, "a: 1\nb:\n- 2\nx:\n- {date: 2026-04-01, did: [clean]}\n"),
        (
            "a: 1\nx: []  # none yet\nb: 2\n",
            SHORT,
            "a: 1\nx:  # none yet\n  - {date: 2026-04-01, did: [clean]}\nb: 2\n",
        ),
        ("x:  # none yet\nb: 2\n", SHORT, "x:  # none yet\n  - {date: 2026-04-01, did: [clean]}\nb: 2\n"),
        ("x: null\r\nb: 2\r\n", SHORT, "x:\r\n  - {date: 2026-04-01, did: [clean]}\r\nb: 2\r\n"),
        ("x: [\n  # none yet\n]\n", {"date": "a"}, "x: [{date: a}\n  # none yet\n]\n"),
        ("{a: 1}\n", SHORT, "{a: 1, x: [{date: 2026-04-01, did: [clean]}]}\n"),
        ("a: 1", {"date": "a", "note": "n" * 90}, f"a: 1\nx:\n  - date: a\n    note: {'n' * 90}"),
    ],
)
def test_the_first_record_begins_the_list(before: str, item: dict[str, Any], after: str) -> None:
    assert after_adding(before, ("x",), item) == after


def test_the_list_of_a_motor_in_place_stands_in_the_motor() -> None:
    before = "motor:\n    turns: 17.5\n\ncar: {spur_teeth: 96}\n"
    after = (
        "motor:\n    turns: 17.5\n    rebuilds:\n      - {date: 2026-04-01, did: [clean]}\n\ncar: {spur_teeth: 96}\n"
    )
    assert after_adding(before, ("motor", "rebuilds"), SHORT) == after


def test_what_is_no_list_is_left_alone() -> None:
    with pytest.raises(WriteRefusedError, match="x is no list"):
        after_adding("x: 5\n", ("x",), SHORT)
