"""Notices beside the reports: on a terminal no word of theirs is broken, and in a pipe they stay one line."""

import sys

import pytest

from speclint.commands.shell import folded, say
from tests.console import ROOT

NOTICE = "speclint: cars/a-car-with-a-very-long-name-indeed.yaml was not checked: it says no `format:`; a setup begins with it"


@pytest.mark.parametrize("width", [30, 60, 80, 100, 140])
def test_a_notice_is_folded_between_its_words(width: int) -> None:
    lines = folded(NOTICE, width).split("\n")
    assert " ".join(line.strip() for line in lines) == NOTICE
    assert all(len(line) < width or len(line.split()) == 1 for line in lines)
    assert all(line.startswith("  ") for line in lines[1:])


def test_a_pipe_gets_one_line() -> None:
    assert folded(NOTICE, None) == NOTICE


@pytest.mark.parametrize("stream", ["stdout", "stderr"])
def test_a_long_line_of_log_is_folded_on_a_terminal(
    stream: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    line = "motors/00417.yaml, line 30: bench run added, {date: 2026-03-10, supply_v: 3.7, current_a: 3.9, kv_rpm_per_v: 2450}"
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.setattr(getattr(sys, stream), "isatty", lambda: True, raising=False)
    say(line, err=stream == "stderr")
    lines = getattr(capsys.readouterr(), stream[3:]).splitlines()
    assert len(lines) > 1
    assert max(map(len, lines)) <= 60
    assert " ".join(part.strip() for part in lines) == line


def test_no_command_says_a_sentence_past_the_width() -> None:
    for module in (ROOT / "speclint/commands").glob("*.py"):
        echoed = module.read_text(encoding="utf-8").count("click.echo(one_line(")
        # A line of a difference stays one line, so that it can be copied.
        assert echoed == (1 if module.name == "log.py" else 0), module.name
