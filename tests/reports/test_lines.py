"""The `lines` report, in the form of the GNU Coding Standards, section 4.4 (Formatting Error Messages)."""

import re

import pytest

from speclint.reports import Paper
from tests.console import GOLDEN, Golden
from tests.reports.misprint_cars import CARS, findings
from tests.reports.report_text import report_text

# "The line number of the first line is 1, the column number of the first column too" (GNU Coding Standards 4.4).
LINE = re.compile(r"[^:\n]+:[1-9]\d*:[1-9]\d*: (problem|illegal|not-shown|close call|differs|advice): \S.*")


@pytest.mark.parametrize("name", CARS)
def test_whole_lists_of_lines(name: str, golden: Golden) -> None:
    golden.holds(GOLDEN / "lines" / f"{name}.txt", report_text("lines", findings(*CARS[name]), Paper()))


@pytest.mark.parametrize("name", CARS)
@pytest.mark.parametrize(
    "paper",
    [Paper(width=1, paint=lambda text, _: f"\x1b[1m{text}"), Paper(width=40, ascii_only=True), Paper(width=9999)],
)
def test_each_finding_is_one_line_whatever_the_paper(name: str, paper: Paper) -> None:
    found = findings(*CARS[name])
    lines = report_text("lines", found, paper).splitlines()
    failing = [
        check for entry in found.entries for check in entry.checks if check.verdict.value in ("illegal", "not-shown")
    ]
    close = [
        check
        for entry in found.entries
        for check in entry.checks
        if check.close_call and check.verdict.value == "legal"
    ]
    differing = [
        reading
        for entry in found.entries
        if entry.inspected is not None
        for reading in entry.inspected.by_rule.values()
        if reading.disagrees
    ]
    told = (*found.problems, *found.advice, *failing, *close, *differing)
    assert len(lines) == len(told)
    assert all(LINE.fullmatch(line) for line in lines)
    if paper.ascii_only:
        assert all(line.isascii() for line in lines)


def test_nothing_is_said_of_what_is_legal() -> None:
    assert report_text("lines", findings(*CARS["legal"]), Paper()) == ""
