"""The sheet, as it hangs on a car: whole sheets as files, and what holds for all of them."""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speclint.plain import columns
from speclint.reports import Paper
from speclint.reports.text_layout import TextLayout
from tests.console import GOLDEN, Golden
from tests.reports.misprint_cars import CARS, findings
from tests.reports.report_text import report_text

ESCAPE = re.compile("\x1b\\[[0-9;]*m")
PAPERS = {
    "120": Paper(width=120),
    "80": Paper(width=80),
    "40": Paper(width=40),
    "120-ascii": Paper(width=120, ascii_only=True),
    "120-colour": Paper(width=120, colour=True),
    "40-colour-ascii": Paper(width=40, colour=True, ascii_only=True),
}
SOME = ("illegal", "not-shown", "close-call", "problems")
WHOLE = [(name, paper) for name in CARS for paper in PAPERS if paper in ("120", "80", "40") or name in SOME]


@pytest.mark.parametrize(("name", "paper"), WHOLE)
def test_whole_sheets(name: str, paper: str, golden: Golden) -> None:
    golden.holds(GOLDEN / "text" / f"{name}-{paper}.txt", report_text("text", findings(*CARS[name]), PAPERS[paper]))


@pytest.mark.parametrize("name", CARS)
@pytest.mark.parametrize("width", [1, 30, 40, 66, 79, 80, 81, 93, 100, 106, 107, 120, 200, 1000])
@pytest.mark.parametrize("ascii_only", [False, True])
def test_no_line_is_longer_than_the_paper_is_wide(name: str, width: int, ascii_only: bool) -> None:
    sheet = report_text("text", findings(*CARS[name]), Paper(width=width, ascii_only=ascii_only))
    assert max(columns(line) for line in sheet.splitlines()) <= max(width, 30)
    assert not any(line != line.rstrip() for line in sheet.splitlines())


@pytest.mark.parametrize("name", CARS)
@pytest.mark.parametrize("paper", ["120", "80", "40"])
def test_colour_adds_nothing_but_colour(name: str, paper: str) -> None:
    plain = report_text("text", findings(*CARS[name]), PAPERS[paper])
    coloured = report_text("text", findings(*CARS[name]), replace(PAPERS[paper], colour=True))
    assert ESCAPE.sub("", coloured) == plain
    assert ("\x1b" in coloured) is bool(findings(*CARS[name]).entries)
    assert "\x1b" not in plain


@pytest.mark.parametrize("name", CARS)
@pytest.mark.parametrize("paper", ["120-ascii", "40-colour-ascii"])
def test_ascii_paper_takes_no_other_sign_and_loses_none(name: str, paper: str) -> None:
    sheet = report_text("text", findings(*CARS[name]), PAPERS[paper])
    assert sheet.isascii()
    assert sheet.count("?") == report_text(
        "text", findings(*CARS[name]), replace(PAPERS[paper], ascii_only=False)
    ).count("?")


@pytest.mark.parametrize("ascii_only", [False, True])
def test_columns_stand_one_below_the_other(ascii_only: bool) -> None:
    sheet = report_text("text", findings(*CARS["close-call"]), Paper(width=120, ascii_only=ascii_only)).splitlines()
    start = next(i for i, line in enumerate(sheet) if "the rule asks" in line)
    rows = [line for line in sheet[start:] if re.search(r"  (legal|not-shown|to-inspect)\b", line)]
    assert len(rows) == 9
    for heading in ("the car has", "the rule asks", "margin", "verdict", "clause"):
        column = sheet[start].index(heading)
        assert all(row[column - 2 : column] == "  " for row in rows if len(row) > column)
        assert any(row[column : column + 1].strip() for row in rows)


def test_every_failing_rule_is_marked_says_why_where_and_what_mends_it() -> None:
    sheet = report_text("text", findings(*CARS["illegal"]), Paper(width=120))
    (mass,) = re.findall(r"^x mass.*\n((?:      .+\n)+)", sheet, re.MULTILINE)
    assert [line.split(maxsplit=1)[0] for line in mass.splitlines() if line[6] != " "] == [
        "why", "how", "where", "mend", "or", "then",
    ]  # fmt: skip
    assert len(re.findall(r"^x ", sheet, re.MULTILINE)) == 4
    assert not re.search(r"^[x?] .*  legal", sheet, re.MULTILINE)


def test_the_summary_says_what_to_mend_and_ends_with_the_count_and_who_has_the_last_word() -> None:
    lines = report_text("text", findings(*CARS["illegal"]), Paper(width=1000)).splitlines()
    assert lines[-3] == (
        "illegal: Car 2, three things wrong, quay-lane/stock-17, 11 April 2026: mass 6.0 g short (mend: add 6 g of"
        " ballast); final drive ratio 0.055 short (mend: spur 98 instead of 96); rotor part (approved for M-1: R-1, R-2);"
        " battery voltage 0.060 V over (mend: let the pack down to 8.40 V before the run)"
    )
    assert lines[-2] == "1 entry: 1 illegal; 1 thing to inspect"
    assert lines[-1] == "The club's own text, the maker's instructions and the race director have the last word."


TEXTS = st.text(st.characters(codec="utf-8"), max_size=200)


@given(TEXTS, st.integers(1, 130), st.booleans())
def test_no_text_can_leave_its_lines_or_steer_the_terminal(text: str, width: int, ascii_only: bool) -> None:
    layout = TextLayout(Paper(width=width, ascii_only=ascii_only))
    lines = layout.wrapped(text, "  why  ", "       ")
    assert lines[0].startswith("  why")
    assert all(line.startswith("       ") for line in lines[1:])
    assert all(line.isprintable() and columns(line) <= layout.width for line in lines)
    assert not ascii_only or all(line.isascii() for line in lines)


@given(st.lists(st.text("abcdefghij", min_size=1, max_size=12), max_size=40), st.integers(20, 120))
def test_wrapping_keeps_every_word_and_their_order(words: list[str], width: int) -> None:
    lines = TextLayout(Paper(width=width)).wrapped(" ".join(words), "    ")
    assert " ".join(lines).split() == words


@pytest.mark.parametrize(
    ("text", "wide"),
    [("abc", 3), ("Ω", 1), ("日本", 4), ("e\u0301", 1), ("", 0), ("ｈ", 2)],  # Unicode UAX 11, East Asian Width
)
def test_wide_signs_take_two_columns_and_combining_ones_none(text: str, wide: int) -> None:
    assert columns(text) == wide


def test_a_number_stays_with_its_unit() -> None:
    for width in range(30, 60):
        for line in TextLayout(Paper(width=width)).wrapped(
            "it is 12.5 ± 0.1 mm and 77 % of 20.0 °C with 0.25 mΩ to spare"
        ):
            assert not re.search(r"(\d|±)$", line), line
            assert not re.match(r"(±|mm|%|°C|mΩ)", line), line
