"""Notices beside the reports: on a terminal no word of theirs is broken, and in a pipe they stay one line."""

import pytest

from speclint.commands.shell import folded

NOTICE = "speclint: cars/a-car-with-a-very-long-name-indeed.yaml was not checked: it says no `format:`; a setup begins with it"


@pytest.mark.parametrize("width", [30, 60, 80, 100, 140])
def test_a_notice_is_folded_between_its_words(width: int) -> None:
    lines = folded(NOTICE, width).split("\n")
    assert " ".join(line.strip() for line in lines) == NOTICE
    assert all(len(line) < width or len(line.split()) == 1 for line in lines)
    assert all(line.startswith("  ") for line in lines[1:])


def test_a_pipe_gets_one_line() -> None:
    assert folded(NOTICE, None) == NOTICE
