"""The layout of text: nothing leaves its lines or its columns, and no word is lost."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speclint.plain import columns
from speclint.reports import Paper
from speclint.reports.layout import Column, Layout, Line, Span, Style

TEXTS = st.text(st.characters(codec="utf-8"), max_size=200)


def plain(lines: list[Line]) -> list[str]:
    return ["".join(span.text for span in line).rstrip() for line in lines]


@settings(deadline=None)
@given(TEXTS, st.integers(1, 130), st.booleans())
def test_no_text_can_leave_its_lines_or_steer_the_terminal(text: str, width: int, ascii_only: bool) -> None:
    layout = Layout(Paper(width=width, ascii_only=ascii_only))
    lines = plain(layout.wrapped(text, "  why  ", "       "))
    assert lines[0].startswith("  why")
    assert all(line.isprintable() and columns(line) <= layout.width for line in lines)
    assert not ascii_only or all(line.isascii() for line in lines)


@settings(deadline=None)
@given(st.lists(st.text("abcdefghij", min_size=1, max_size=12), max_size=40), st.integers(20, 120))
def test_wrapping_keeps_every_word_and_their_order(words: list[str], width: int) -> None:
    lines = plain(Layout(Paper(width=width)).wrapped(" ".join(words), "    "))
    assert " ".join(lines).split() == words


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(*(st.lists(st.text("abcdefgh", min_size=1, max_size=9), max_size=9).map(" ".join) for _ in range(3))),
        min_size=1,
        max_size=5,
    ),
    st.integers(30, 120),
)
def test_a_table_keeps_every_word_whole_within_its_column(rows: list[tuple[str, str, str]], width: int) -> None:
    layout = Layout(Paper(width=width))
    specs = (Column("one", 4, 1), Column("two", 4, 2), Column("three"))
    cells = [tuple(Span(text) for text in row) for row in rows]
    widths = layout.widths(specs, cells)
    if widths is None:
        return
    for row in cells:
        lines = plain(layout.row(row, widths))
        assert all(columns(line) <= layout.width for line in lines)
        assert sorted(" ".join(lines).split()) == sorted(" ".join(span.text for span in row).split())


def test_a_style_goes_with_its_words_over_the_end_of_a_line() -> None:
    painted = Layout(Paper(width=30, paint=lambda text, style: f"<{style}:{text}>"))
    lines = painted.fitted(
        [Span("two plain words", Style.PLAIN), Span("and five that stand out a lot", Style.FAIL)], 20
    )
    assert painted.text(lines) == "two plain words<fail: and>\n<fail:five that stand out>\n<fail:a lot>\n"


@pytest.mark.parametrize(
    ("text", "wide"),
    [("abc", 3), ("Ω", 1), ("日本", 4), ("e\u0301", 1), ("", 0), ("ｈ", 2)],  # Unicode UAX 11, East Asian Width
)
def test_wide_signs_take_two_columns_and_combining_ones_none(text: str, wide: int) -> None:
    assert columns(text) == wide


def test_a_number_stays_with_its_unit() -> None:
    for width in range(30, 60):
        text = "it is 12.5 ± 0.1 mm and 77 % of 20.0 °C with 0.25 mΩ to spare at 2450 rpm/V and 96 ÷ 44 × 1.9"
        for line in plain(Layout(Paper(width=width)).wrapped(text)):
            assert not re.search(r"(\d|±|÷|×)$", line) or line.endswith("1.9"), line
            assert not re.match(r"(±|mm|%|°C|mΩ|rpm|÷|×)", line), line
