"""The pure parser, where it has to stand in for the C one, gives the same data, positions and problems."""

import io
import json
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from speclint.documents import events as module
from speclint.documents.events import c_events, pure_events
from speclint.documents.parse import parse, parse_events
from speclint.documents.text import unreadable

_DATA: Final = Path(__file__).parents[1] / "data" / "yaml"
_BAD: Final = sorted((_DATA / "bad").glob("*.yaml"))
_SUITE: Final = {
    case["case"]: case["yaml"] for case in json.loads((_DATA / "yaml-test-suite.json").read_text(encoding="utf-8"))
}


def _both(text: str) -> tuple[Any, Any]:
    results = []
    for events_of in (c_events, pure_events):
        document, problems = parse_events("f", text, events_of)
        found = None if document is None else (document.data, document.positions.starts, document.positions.ends)
        results.append((found, problems))
    return results[0], results[1]


def _spans(found: tuple[Any, list[int], list[int]]) -> list[tuple[int, int]]:
    # Where a value is left empty in brackets, the parsers place it on different sides of the blanks there.
    return [(start, end) if end > start else (0, 0) for start, end in zip(found[1], found[2], strict=True)]


# Texts that the pure parser refuses and the C one reads: a tab between two parts of a line, and in the suite's cases
# named last, empty lines of unequal indentation before a text, a value right after the colon of a quoted key, and a
# lone ? in braces.
_PURE_REFUSES: Final = {
    *("6BCT/00", "DC7X/00", "DK95/05", "HS5T/00", "J3BT/00", "K54U/00", "NB6Z/00", "UV7Q/00"),
    *("4QFQ/00", "DFF7/00", "DWX9/00", "S98Z/00", "T26H/00", "X4QW/00"),
}


@pytest.mark.parametrize("name", sorted(_SUITE))
def test_the_parsers_agree_on_the_suite(name: str) -> None:
    by_c, by_pure = _both(_SUITE[name])
    if by_c[1]:
        assert by_pure[1], "what the one refuses is refused"
    elif name in _PURE_REFUSES:
        assert by_pure[1]
    else:
        assert by_pure[1] == ()
        assert by_pure[0][0] == by_c[0][0]
        assert _spans(by_pure[0])[1:] == _spans(by_c[0])[1:]


@pytest.mark.parametrize("path", _BAD, ids=lambda path: path.stem)
def test_the_parsers_agree_on_mistakes(path: Path) -> None:
    by_c, by_pure = _both(path.read_bytes().decode("utf-8"))
    for ours, theirs in zip(by_c[1], by_pure[1], strict=False):
        assert (theirs.id, theirs.place.line) == (ours.id, ours.place.line)
    assert bool(by_c[1]) == bool(by_pure[1])


_WORDS = st.text(max_size=12).filter(lambda text: unreadable("", text) is None)
_DATA_OF_ALL_KINDS = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-9999, 9999)
    | st.floats(-1e6, 1e6).map(lambda number: round(number, 6))
    | _WORDS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_WORDS, inner, max_size=4),
    max_leaves=12,
)


@given(_DATA_OF_ALL_KINDS, st.sampled_from([True, False, None]))
@settings(deadline=None)
def test_the_parsers_agree_on_what_a_dumper_writes(data: Any, is_flow: bool | None) -> None:
    out = io.StringIO()
    writer = YAML(typ="safe", pure=True)
    writer.default_flow_style = is_flow
    writer.allow_unicode = True
    writer.dump(data, out)
    text = out.getvalue()
    for written in (text, text.replace("\n", "\r\n"), json.dumps(data, ensure_ascii=False)):
        by_c, by_pure = _both(written)
        assert bool(by_pure[1]) == bool(by_c[1])
        if not by_c[1]:
            assert by_pure[0][0] == by_c[0][0]
            assert _spans(by_pure[0]) == _spans(by_c[0])


@given(
    st.lists(st.sampled_from([*"ab1.:-?,[]{}#'\"é𝄞", " ", "\n", "\n  ", "\n- ", "b: ", "- ", "? "]), max_size=12).map(
        "".join
    )
)
@settings(deadline=None)
def test_what_the_c_parser_refuses_is_refused(text: str) -> None:
    by_c, by_pure = _both(text)
    if by_c[1]:
        assert by_pure[1]


@pytest.mark.parametrize(
    "text",
    ["a: [http://x]\n", "a: {b:1}\n", "a: [x?]\n", "a: {?b: 1}\n", "a: |\n \tx\n", "|\nx\n", ": x\n", '"\\ud800"'],
)
def test_what_only_the_pure_parser_would_take_is_refused_by_both(text: str) -> None:
    by_c, by_pure = _both(text)
    assert [(problem.id, problem.place.line) for problem in by_c[1]] == [
        (problem.id, problem.place.line) for problem in by_pure[1]
    ]
    assert by_c[1]


def test_the_pure_parser_stands_in_where_the_c_one_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    with_c = parse("f", "a: {b: [1, x]}\n")
    monkeypatch.setattr(module, "CParser", None)
    monkeypatch.setattr(module, "c_events", None)
    without_c = parse("f", "a: {b: [1, x]}\n")
    assert without_c == with_c
