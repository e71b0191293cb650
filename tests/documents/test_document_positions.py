"""Every place and every span of a document is that of what stands there.

That a span, read again by itself, gives the value it is said to hold, is a check that needs no other source. Texts are
written by ruamel.yaml's own dumper and the standard library's json, which know nothing of speclint.
"""

import io
import json
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from speclint.documents.parse import parse
from speclint.documents.text import unreadable
from speclint.documents.tree import Document
from speclint.places import Path, Place, Span

SETUP = """\
# a setup
format: setup/1
car:
  mass_g: 1352   # with transponder

  "width_mm": 189.50
battery: {cells: 2, 𝄞: [a, 'b'] }
empty:
runs:
- date: 2026-03-14
  note: >-
    ran
    warm

- [1, [2, 3]]   # last
-
text: |
  one

  two

# the end
"""


def _document(text: str) -> Document:
    document, problems = parse("car.yaml", text)
    assert problems == ()
    assert document is not None
    return document


def _paths(data: Any, path: Path = ()) -> Iterator[Path]:
    yield path
    children: Any = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for step, child in children:
        yield from _paths(child, (*path, step))


@pytest.mark.parametrize(
    ("path", "written", "line", "column"),
    [
        (("format",), "setup/1", 2, 9),
        (("car",), 'mass_g: 1352   # with transponder\n\n  "width_mm": 189.50', 4, 3),
        (("car", "mass_g"), "1352", 4, 11),
        (("car", "width_mm"), "189.50", 6, 15),
        (("battery",), "{cells: 2, 𝄞: [a, 'b'] }", 7, 10),
        (("battery", "𝄞"), "[a, 'b']", 7, 24),
        (("battery", "𝄞", 1), "'b'", 7, 28),
        (("empty",), "", 8, 7),
        (("runs", 0), "date: 2026-03-14\n  note: >-\n    ran\n    warm", 10, 3),
        (("runs", 0, "note"), ">-\n    ran\n    warm", 11, 9),
        (("runs", 1), "[1, [2, 3]]", 15, 3),
        (("runs", 2), "", 16, 2),
        (("text",), "|\n  one\n\n  two", 17, 7),
    ],
)
def test_a_value_stands_where_a_person_finds_it(path: Path, written: str, line: int, column: int) -> None:
    for text in (SETUP, SETUP.replace("\n", "\r\n"), "\ufeff" + SETUP):
        document = _document(text)
        assert document.written(path) == (written.replace("\n", "\r\n") if "\r" in text else written)
        place = document.place(path)
        assert (place.file, place.line, place.column) == ("car.yaml", line, column)


def test_the_document_ends_with_its_last_value_and_not_with_its_text() -> None:
    document = _document(SETUP)
    assert document.span(()) == Span(SETUP.index("format"), SETUP.index("two") + 3)


def test_the_place_of_a_key_is_the_key() -> None:
    document = _document(SETUP)
    path = ("car", "width_mm")
    assert document.place(path, of_key=True) == Place("car.yaml", 6, 3, "/car/width_mm")
    span = document.key_span(path)
    assert SETUP[span.start : span.end] == '"width_mm"'


def test_an_item_of_a_list_has_no_key() -> None:
    document = _document(SETUP)
    assert document.place(("runs", 1), of_key=True) == document.place(("runs", 1))
    for path in ((), ("runs", 1)):
        with pytest.raises(KeyError):
            document.key_span(path)


@pytest.mark.parametrize(
    ("path", "line", "column", "pointer"),
    [
        (("car", "length_mm"), 3, 1, "/car/length_mm"),
        (("car", "mass_g", "x", 3), 4, 3, "/car/mass_g/x/3"),
        (("motor", "turns"), 2, 1, "/motor/turns"),
        (("runs", 1, 7), 15, 3, "/runs/1/7"),
        (("runs", -1), 9, 1, "/runs/-1"),
        (("runs", "0"), 9, 1, "/runs/0"),
        (("car", 0), 3, 1, "/car/0"),
        (("a/b~c",), 2, 1, "/a~1b~0c"),
    ],
)
def test_what_is_missing_is_placed_at_the_nearest_that_is_there(
    path: Path, line: int, column: int, pointer: str
) -> None:
    document = _document(SETUP)
    assert not document.has(path)
    assert document.get(path, "none") == "none"
    assert document.place(path) == Place("car.yaml", line, column, pointer)
    with pytest.raises(KeyError):
        document.span(path)


def test_an_empty_value_is_there() -> None:
    document = _document(SETUP)
    assert document.has(("empty",))
    assert document.get(("empty",), "none") is None


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("a: |\n  x\nb: 1\n", "|\n  x"),
        ("a: |\n  x\n\n\nb: 1\n", "|\n  x"),
        ("a: |+\n  x\n\n\nb: 1\n", "|+\n  x\n\n"),
        ("a: |-\n  x\n  \n# c\nb: 1\n", "|-\n  x"),
        ("a: |\n  x\n     \nb: 1\n", "|\n  x\n     "),
        ("a: | # 1 + 1\n  x\n\nb: 1\n", "| # 1 + 1\n  x"),
        ("a: |2\n    x\n    \n\nb: 1\n", "|2\n    x\n    \n"),
        ("a: >\n  x\n\n  y", ">\n  x\n\n  y"),
        ("a: |\n\nb: 1\n", "|"),
        ("a: |\r\n  x\r\n\r\nb: 1\r\n", "|\r\n  x"),
    ],
)
def test_the_text_put_in_place_of_a_literal_leaves_the_next_line_alone(text: str, written: str) -> None:
    document = _document(text)
    assert document.written(("a",)) == written
    span = document.span(("a",))
    changed = _document(text[: span.start] + "7" + text[span.end :])
    assert changed.data == {**document.data, "a": 7}


_WORDS = st.text(max_size=12).filter(lambda text: unreadable("", text) is None)
_SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-9999, 9999)
    | st.sampled_from(
        [17.5, -0.25, 1e20, "no", "12:30", "a: b", "# no", "one\ntwo\n", "one\n\n two", "x\n\n", " pad ", "𝄞 é"]
    )
    | _WORDS
)
_DATA = st.recursive(
    _SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_WORDS, inner, max_size=4),
    max_leaves=10,
).filter(lambda data: data is not None)


def _texts(data: Any) -> Iterator[str]:
    for is_flow in (True, False, None):
        out = io.StringIO()
        writer = YAML(typ="safe", pure=True)
        writer.default_flow_style = is_flow
        writer.allow_unicode = True
        writer.dump(data, out)
        yield out.getvalue()
    yield json.dumps(data, ensure_ascii=False, indent=1)


@given(_DATA)
@settings(max_examples=150, deadline=None)
def test_a_span_read_again_gives_the_value_that_stands_there(data: Any) -> None:
    for plain in _texts(data):
        for text in (plain, plain.replace("\n", "\r\n")):
            document, problems = parse("f", text)
            if problems:  # what a dumper writes need not lie in the subset
                continue
            assert document is not None
            for path in _paths(document.data):
                value = document.get(path)
                span = document.span(path)
                line_start = text.rfind("\n", 0, span.start) + 1
                written = " " * (span.start - line_start) + text[span.start : span.end] + "\n"
                if not text[span.start : span.end]:
                    assert value is None
                else:
                    # A pair without braces in a list with brackets can be read in brackets only.
                    in_brackets = bool(path) and document.written(path[:-1]).startswith("[")
                    again, _ = parse("f", f"[{written}]" if in_brackets else written)
                    assert again is not None, written
                    assert again.data == ([value] if in_brackets else value)
                place = document.place(path)
                assert (place.line, place.column) == (text.count("\n", 0, span.start) + 1, span.start - line_start + 1)
                if path and isinstance(path[-1], str):
                    key = document.key_span(path)
                    name = text[key.start : key.end]
                    if name.startswith(("'", '"')):
                        again, _ = parse("f", name)
                        assert again is not None
                        assert again.data == path[-1]
                    else:
                        assert name == path[-1]


def test_a_part_of_a_document_keeps_its_places() -> None:
    part = _document(SETUP).part(("runs", 0))
    assert part.data == {"date": "2026-03-14", "note": "ran warm"}
    assert part.written(("date",)) == "2026-03-14"
    assert part.place(("note",), of_key=True) == Place("car.yaml", 11, 3, "/runs/0/note")
    assert part.place(("track",)) == Place("car.yaml", 10, 3, "/runs/0/track")
    assert not part.has(("runs",))
