"""README.md says what is so: every command in it runs, every output is what comes, every table is that of the code."""

from pathlib import Path

import pytest

from tests.console import process
from tests.readme.blocks import ORGANISER_GUIDE, RACER_GUIDE, README, TEAM_GUIDE, agree, blocks, setup_commands, steps
from tests.readme.sessions import play
from tests.readme.tables import TABLES, with_current_tables

PROJECT = README.parent
REGENERATE = "run `python -m tests.readme`, then look at what it changed"


def readme() -> str:
    return README.read_text(encoding="utf-8")


def test_every_table_is_current() -> None:
    texts = [readme(), ORGANISER_GUIDE.read_text(encoding="utf-8")]
    assert texts == [with_current_tables(text) for text in texts], REGENERATE
    assert all("".join(texts).count(f"<!-- table: {name} -->") == 1 for name in TABLES)


def test_every_command_prints_what_is_shown(tmp_path: Path) -> None:
    played = list(play(readme(), tmp_path))
    assert len(played) >= 5
    for one in played:
        assert one.is_current, f"{REGENERATE}; README.md has\n{one.written}\nand what came is\n{one.real}"


@pytest.mark.parametrize(
    "guide",
    [
        pytest.param(RACER_GUIDE, id="racer"),
        pytest.param(TEAM_GUIDE, id="team"),
        pytest.param(ORGANISER_GUIDE, id="organiser", marks=pytest.mark.slow),
    ],
)
def test_every_command_of_a_guide_prints_what_is_shown(tmp_path: Path, guide: Path) -> None:
    played = list(play(guide.read_text(encoding="utf-8"), tmp_path, guide))
    assert len(played) >= 2
    for block in played:
        assert block.is_current, f"{REGENERATE}; the guide has\n{block.written}\nand what came is\n{block.real}"
        assert "Usage:" not in block.real


@pytest.mark.parametrize(
    "guide", [README, RACER_GUIDE, TEAM_GUIDE, ORGANISER_GUIDE], ids=lambda guide: guide.parent.name
)
def test_no_command_edits_a_file_in_place_by_an_option_that_posix_does_not_have(guide: Path) -> None:
    # POSIX.1-2017, `sed`: its options are -n, -e and -f; what -i takes differs from system to system.
    typed = [
        step.command
        for block in blocks(guide.read_text(encoding="utf-8"))
        if block.kind == "console"
        for step in steps(block.body)
    ]
    assert typed
    assert not [command for command in typed if "sed -i" in command]


def test_no_command_in_a_session_fails_for_want_of_a_program_or_an_option(tmp_path: Path) -> None:
    for one in play(readme(), tmp_path):
        for wrong in ("command not found", "Usage:", "Traceback", "No such"):
            assert wrong not in one.real


@pytest.mark.parametrize("guide", [README, RACER_GUIDE, TEAM_GUIDE])
def test_no_command_for_racers_and_teams_needs_a_certain_shell(guide: Path) -> None:
    commands = [
        step.command
        for block in blocks(guide.read_text(encoding="utf-8"))
        if block.kind == "console"
        for step in steps(block.body)
    ]
    assert commands
    for command in commands:
        assert command.split()[0] in ("speclint", "git", "ls", "python"), command
        assert not any(sign in command for sign in ("|", "$", "&&", "`")), command


def test_what_may_be_left_out_is_lines_and_nothing_else() -> None:
    assert agree("one\n…\nfour\n", "one\ntwo\nthree\nfour\n")
    assert not agree("one\n…\nfour\n", "one\nfour\n")
    assert not agree("one\n…\n", "two\nthree\n")
    assert not agree("one\n", "one\ntwo\n")
    assert not agree("…\n", "one\n")
    assert agree("", "")


def test_the_two_commands_that_set_everything_up_come_first_and_stand_alone() -> None:
    assert [block.kind for block in blocks(readme())][:2] == ["sh", "sh"]
    commands = setup_commands()
    assert commands.first.endswith("/speclint check examples/cars")
    assert commands.tests.endswith("/python -m pytest -n auto --dist loadfile")
    for command in (commands.first, commands.tests):
        assert command.startswith("python3 -m venv .venv && .venv/bin/pip install ")
        assert "\n" not in command


def test_the_answer_to_the_first_command_fits_on_60_lines() -> None:
    words = setup_commands().first.partition("/speclint ")[2].split()
    assert 20 < len(process(PROJECT, *words).stdout.splitlines()) <= 60


def test_checks_before_a_change_goes_in_run_the_very_command_for_the_tests() -> None:
    script = (PROJECT / ".ci" / "run").read_text(encoding="utf-8")
    assert [line.strip() for line in script.splitlines()].count(setup_commands().tests) == 1


def test_a_console_block_begins_with_a_command() -> None:
    for block in blocks(readme()):
        if block.kind == "console":
            assert block.body.startswith("$ ")
            assert all(step.command.strip() for step in steps(block.body))
